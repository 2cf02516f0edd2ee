//! One throw, as exactly as the model allows: the reference for the batch engine.
//!
//! Classical fourth-order steps in time, with the moments at which the ball lands, starts to roll or breaks away found and
//! not smoothed over.

use crate::LaneError;
use crate::friction::{Contact, ContactLaw};
use crate::motion::{Footing, Mechanics, Phase, ROLL_SLIP_SHARE, State};
use crate::path::{Approach, Path, PathRow, PinTouch, Place, Side, heading};
use crate::release::Release;
use crate::surface::{Coat, Ground};
use crate::track::{DryTrack, GridTrack, Met, Pass, RingTrack, Track};
use alloc::vec::Vec;
use boardwise_ball::{Ball, Entry};
use boardwise_units::{Board, Feet, Mph, Rpm, court, math};
use glam::{DMat3, DQuat, DVec2, DVec3};

/// How the oil on the ball's track is kept.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TrackForm {
    /// On a grid of the whole cover: the reference.
    #[default]
    Grid,
    /// The last revolution only, as the batch engine does.
    Ring,
    /// Not at all: every spot of cover arrives dry.
    Dry,
}

/// How finely to integrate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Time step, s.
    pub step_s: f64,
    /// How the track film is kept.
    pub track: TrackForm,
}

impl Default for Fineness {
    /// A millisecond, with the film on a grid.
    fn default() -> Self {
        Self { step_s: 1e-3, track: TrackForm::Grid }
    }
}

/// Throws one ball and follows it to the pins. Where the ground has a pattern, the path tells where the ball left it.
///
/// # Errors
/// If the release is not possible ([`Release::check`]).
///
/// ```
/// use boardwise_ball::{Ball, BallSpec, CoverKind};
/// use boardwise_lane::{Coating, ContactLaw, Field, Fineness, Lane, Release, throw};
///
/// let ball = Ball::new(BallSpec::new("any", CoverKind::Reactive)).unwrap().0;
/// let lane = Lane::new(Coating::Friction(Field::constant(0.08)));
/// let release = Release { laydown: boardwise_units::Board(3.0), ..Release::default() };
/// let path = throw(&lane, &ball, &release, &ContactLaw::default(), Fineness::default())?;
/// assert!(path.roll.is_some(), "it rolls before the pins");
/// # Ok::<(), boardwise_lane::LaneError>(())
/// ```
pub fn throw(
    ground: &impl Ground,
    ball: &Ball,
    release: &Release,
    law: &ContactLaw,
    fineness: Fineness,
) -> Result<Path, LaneError> {
    match fineness.track {
        TrackForm::Grid => throw_with(&mut GridTrack::new(ball.radius_m), ground, ball, release, law, fineness.step_s),
        TrackForm::Ring => throw_with(&mut RingTrack::new(ball.radius_m), ground, ball, release, law, fineness.step_s),
        TrackForm::Dry => throw_with(&mut DryTrack, ground, ball, release, law, fineness.step_s),
    }
}

/// As [`throw`], with a track to keep the oil on.
pub(crate) fn throw_with(
    track: &mut impl Track,
    ground: &impl Ground,
    ball: &Ball,
    release: &Release,
    law: &ContactLaw,
    step_s: f64,
) -> Result<Path, LaneError> {
    release.check()?;
    let flight = Flight::new(ground, ball, release, law.between(ball, ground.roughness_m()), step_s);
    let mut log = Log::new(ground.pattern_end());
    flight.follow(track, &mut log);
    Ok(log.finish(ball.radius_m))
}

/// A throw under way.
struct Flight<'a, G> {
    ground: &'a G,
    mechanics: Mechanics,
    core_axes: DMat3,
    step_s: f64,
    start: State,
    loft_m: f64,
    landing_speed_m_s: f64,
}

impl<'a, G: Ground> Flight<'a, G> {
    fn new(ground: &'a G, ball: &Ball, release: &Release, contact: Contact, step_s: f64) -> Self {
        let start = State {
            place_m: DVec2::new(release.laydown.to_metres(), 0.0),
            velocity_m_s: release.velocity_m_s().truncate(),
            attitude: DQuat::from_mat3(&release.core_in_lane(ball)).normalize(),
            spin_rad_s: release.spin_rad_s() * contact.rev_share,
        };
        Self {
            ground,
            mechanics: Mechanics::new(ball, contact),
            core_axes: ball.core_axes,
            step_s,
            start,
            loft_m: release.loft.to_metres(),
            landing_speed_m_s: release.landing_speed_m_s(),
        }
    }

    /// Friction and slope under a state whose track carries `track_m`.
    fn footing(&self, state: &State, track_m: f64) -> Footing {
        let DVec2 { x, y } = state.place_m;
        let friction = match self.ground.coat(x, y) {
            Coat::Friction(mu) => mu,
            Coat::Oil(film_m) => {
                let slip = state.slip_m_s(self.mechanics.radius_m).length();
                self.mechanics.contact.friction(film_m, track_m, slip)
            }
        };
        Footing { friction, slope: self.ground.slope(x, y) }
    }

    fn pass(&self, state: &State, turned_rad: f64, time_s: f64, step_s: f64) -> Pass {
        let to_ball = self.core_axes * DMat3::from_quat(state.attitude).transpose();
        Pass {
            contact: to_ball * -DVec3::Z,
            axis: to_ball * state.spin_rad_s.try_normalize().unwrap_or(DVec3::X),
            turned_rad,
            step_rad: state.spin_rad_s.length() * step_s,
            time_s,
            place_m: state.place_m,
        }
    }

    fn follow(&self, track: &mut impl Track, log: &mut Log) {
        let radius_m = self.mechanics.radius_m;
        let contact = &self.mechanics.contact;
        let (mut state, mut time_s, mut turned_rad) = (self.start, 0.0, 0.0);
        let mut phase = if self.loft_m > 0.0 { Phase::Flying } else { Phase::Sliding(DVec2::Y) };
        log.record(&state, time_s, &self.footing(&state, 0.0), radius_m);
        while !log.done() {
            let pass = self.pass(&state, turned_rad, time_s, self.step_s);
            let track_m = track.film_m(&pass, contact);
            let here = self.footing(&state, track_m);
            let mut step_s = self.step_s;
            match phase {
                Phase::Flying => {
                    let left_s = (self.loft_m - state.place_m.y) / state.velocity_m_s.y;
                    if left_s <= 1e-12 {
                        state = self.mechanics.land(&state, here.friction, self.landing_speed_m_s);
                        phase = Phase::Sliding(DVec2::Y);
                        continue;
                    }
                    step_s = step_s.min(left_s);
                }
                Phase::Sliding(_) => {
                    if state.slip_m_s(radius_m).length() < 1e-8 && self.mechanics.hold(&state, &here).is_ok() {
                        phase = Phase::Rolling;
                    } else if let Some(left_s) = self.mechanics.time_to_roll(&state, &here, phase) {
                        step_s = step_s.min(left_s);
                    }
                }
                Phase::Rolling => {
                    if let Err(direction) = self.mechanics.hold(&state, &here) {
                        phase = Phase::Sliding(direction);
                    }
                }
            }
            // A step that ends the slip is cut to that instant, but never to nothing.
            step_s = step_s.max(1e-9);
            let before = state;
            state = self.mechanics.step(&before, step_s, phase, &mut |s| self.footing(s, track_m));
            if phase != Phase::Flying
                && let Coat::Oil(film_m) = self.ground.coat(before.place_m.x, before.place_m.y)
            {
                let flat = DVec2::new(before.spin_rad_s.x, before.spin_rad_s.y).length();
                let sweep = before.velocity_m_s.length() / (radius_m * flat).max(1e-6);
                let passed = self.pass(&before, turned_rad, time_s, step_s);
                track.lay(&passed, contact, track_m, Met { lane_m: film_m, sweep });
            }
            turned_rad += before.spin_rad_s.length() * step_s;
            time_s += step_s;
            log.advance(&before, &state, time_s - step_s, time_s, |s| self.footing(s, track_m), radius_m);
        }
    }
}

/// What is written down along the way.
struct Log {
    rows: Vec<PathRow>,
    pattern_end: Option<Feet>,
    exit: Option<Place>,
    arrows: Option<Place>,
    breakpoint: Place,
    gutter: Option<(Feet, Side)>,
    last_slip: Option<f64>,
    approach: Option<Approach>,
    end: Option<(State, f64)>,
    stalled: bool,
}

/// Where the approach to the pins is read: before any ball can touch the head pin.
pub(crate) const APPROACH_FT: f64 = 59.0;

impl Log {
    fn new(pattern_end: Option<Feet>) -> Self {
        Self {
            rows: Vec::with_capacity(61),
            pattern_end,
            exit: None,
            arrows: None,
            breakpoint: Place { board: Board(f64::INFINITY), feet: Feet(0.0) },
            gutter: None,
            last_slip: None,
            approach: None,
            end: None,
            stalled: false,
        }
    }

    fn done(&self) -> bool {
        self.gutter.is_some() || self.stalled || self.end.is_some()
    }

    fn record(&mut self, state: &State, time_s: f64, footing: &Footing, radius_m: f64) {
        let slip_m_s = state.slip_m_s(radius_m).length();
        self.note_breakpoint(state);
        self.rows.push(PathRow {
            feet: Feet::from_metres(state.place_m.y).0,
            board: Board::from_metres(state.place_m.x).0,
            angle: heading(state.velocity_m_s),
            speed: Mph::from_metres_per_second(state.velocity_m_s.length()),
            rev_rate: Rpm::from_radians_per_second(state.spin_rad_s.length()),
            slip_m_s,
            friction: footing.friction,
            velocity_m_s: state.velocity_m_s,
            spin_rad_s: state.spin_rad_s,
            time_s,
        });
    }

    fn note_breakpoint(&mut self, state: &State) {
        let board = Board::from_metres(state.place_m.x);
        if board.0 < self.breakpoint.board.0 {
            self.breakpoint = Place { board, feet: Feet::from_metres(state.place_m.y) };
        }
    }

    /// Takes in a step: rows at whole feet, crossings, the gutter. Between steps the state runs as a cubic.
    fn advance(
        &mut self,
        before: &State,
        after: &State,
        from_s: f64,
        to_s: f64,
        footing: impl Fn(&State) -> Footing,
        radius_m: f64,
    ) {
        let crossed = |feet: Feet| {
            let y = feet.to_metres();
            (before.place_m.y < y && y <= after.place_m.y).then(|| between(before, after, to_s - from_s, y))
        };
        let edge = 0.5 * court::WIDTH_M;
        if after.place_m.x.abs() > edge {
            let side = if after.place_m.x > 0.0 { Side::Hand } else { Side::Away };
            let share = (edge - before.place_m.x.abs()) / (after.place_m.x.abs() - before.place_m.x.abs());
            let y = before.place_m.y + share.clamp(0.0, 1.0) * (after.place_m.y - before.place_m.y);
            self.note_breakpoint(after);
            self.breakpoint.board.0 = self.breakpoint.board.0.max(0.5);
            self.gutter = Some((Feet::from_metres(y), side));
            self.end = Some((*after, to_s));
            return;
        }
        self.note_breakpoint(after);
        let next = self.rows.len();
        if next <= 60
            && let Some((share, state)) = crossed(Feet(next as f64))
        {
            self.record(&state, from_s + share * (to_s - from_s), &footing(&state), radius_m);
        }
        let place = |(_, state): (f64, State)| Place {
            board: Board::from_metres(state.place_m.x),
            feet: Feet::from_metres(state.place_m.y),
        };
        if let Some(found) = self.pattern_end.and_then(crossed) {
            self.exit = Some(place(found));
        }
        if let Some(found) = crossed(Feet(15.0)) {
            self.arrows = Some(place(found));
        }
        if after.slip_m_s(radius_m).length() >= ROLL_SLIP_SHARE * after.velocity_m_s.length() {
            self.last_slip = Some(after.place_m.y);
        }
        if let Some((_, state)) = crossed(Feet(APPROACH_FT)) {
            let lean = state.velocity_m_s.x / state.velocity_m_s.y;
            self.approach = Some(Approach { x_m: state.place_m.x, y_m: state.place_m.y, lean, bend_per_m: 0.0 });
        }
        if let Some((share, state)) = crossed(Feet(court::HEAD_PIN_FT)) {
            if let Some(approach) = &mut self.approach {
                let lean = state.velocity_m_s.x / state.velocity_m_s.y;
                approach.bend_per_m = (lean - approach.lean) / (state.place_m.y - approach.y_m);
            }
            self.end = Some((state, from_s + share * (to_s - from_s)));
        }
        // A ball this slow never gets there.
        self.stalled = after.velocity_m_s.y < 0.2;
    }

    fn finish(self, radius_m: f64) -> Path {
        let time_s = self.end.map_or(0.0, |(_, time_s)| time_s);
        let touch = self.approach.zip(self.end).filter(|_| self.gutter.is_none()).and_then(|(approach, (end, _))| {
            let (pin, x_m, y_m) = approach.first_touch(radius_m)?;
            let lean = approach.lean + (y_m - approach.y_m) * approach.bend_per_m;
            let speed = end.velocity_m_s.length() / math::sqrt(1.0 + lean * lean);
            let velocity_m_s = DVec3::new(speed * lean, speed, 0.0);
            Some(PinTouch { pin, entry: Entry { x_m, y_m, velocity_m_s, spin_rad_s: end.spin_rad_s } })
        });
        let roll = match self.last_slip {
            None => Some(Feet(0.0)),
            Some(y_m) if y_m < 0.999 * court::HEAD_PIN_M && !self.stalled => Some(Feet::from_metres(y_m)),
            Some(_) => None,
        };
        Path {
            rows: self.rows,
            touch,
            roll: roll.filter(|_| self.gutter.is_none()),
            gutter: self.gutter,
            breakpoint: self.breakpoint,
            exit: self.exit,
            arrows: self.arrows,
            time_s,
        }
    }
}

/// The state where a step passes `y_m`: cubic in place, linear in the rest; with the share of the step.
fn between(before: &State, after: &State, step_s: f64, y_m: f64) -> (f64, State) {
    let hermite = |t: f64| {
        let (t2, t3) = (t * t, t * t * t);
        before.place_m * (2.0 * t3 - 3.0 * t2 + 1.0)
            + before.velocity_m_s * (step_s * (t3 - 2.0 * t2 + t))
            + after.place_m * (3.0 * t2 - 2.0 * t3)
            + after.velocity_m_s * (step_s * (t3 - t2))
    };
    let mut t = (y_m - before.place_m.y) / (after.place_m.y - before.place_m.y);
    for _ in 0..3 {
        let slope = before.velocity_m_s.y + t * (after.velocity_m_s.y - before.velocity_m_s.y);
        t += (y_m - hermite(t).y) / (slope * step_s);
    }
    let state = State {
        place_m: hermite(t),
        velocity_m_s: before.velocity_m_s.lerp(after.velocity_m_s, t),
        attitude: before.attitude.lerp(after.attitude, t),
        spin_rad_s: before.spin_rad_s.lerp(after.spin_rad_s, t),
    };
    (t, state)
}
