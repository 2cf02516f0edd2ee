//! Ten pins, a ball, and what happens.
//!
//! Fixed steps, fixed order (ball and pins by number, pairs by number, surroundings), no allocation. Two bodies found
//! overlapping are moved back to the instant they met before the blow. Each pair has a timer: it is looked at again only
//! when it could have met. A pin sleeps until something touches it.

use crate::body::{BallMotion, PinBody, Rigid};
use crate::constants::Constants;
use crate::deck::{Deck, PIT_M};
use crate::impulse::{Surface, strike};
use crate::outcome::{Exit, FULL_RACK, Mask, Outcome};
use crate::profile::Profile;
use crate::shape::Shape;
use crate::touch::{pin_and_pin, sphere_and_pin};
use ball::Entry;
use glam::DVec3;
use measure::stream::Stream;
use measure::{court, math};

/// The ball as the pins feel it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BallBody {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Radius, metres.
    pub radius_m: f64,
    /// Radius of gyration, taken the same about every axis, metres.
    pub gyration_m: f64,
}

impl BallBody {
    /// A ball of a given weight, 8.55 in across, RG 2.5 in: the middle of what is allowed (facts.md, "Ball" \[S\]).
    pub fn of_pounds(pounds: f64) -> Self {
        let mass_kg = measure::Pounds(pounds).to_kilograms();
        Self { mass_kg, radius_m: 8.55 / 2.0 * 0.0254, gyration_m: 2.5 * 0.0254 }
    }
}

/// Why a throw could not be made.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ThrowError {
    /// A number of the entry or of the ball is not finite, or the ball has no mass or size.
    #[error("the ball's {0} must be a finite number in its range")]
    NotANumber(&'static str),
    /// The ball is not on the lane.
    #[error("the ball enters {x_m:.3} m from the centre line, off the lane (at most 0.527 m)")]
    OffTheLane {
        /// Place across the lane, metres.
        x_m: f64,
    },
    /// The ball does not move toward the pins.
    #[error("the ball moves at {y_m_s} m/s toward the pins; at least 1 m/s is needed")]
    TooSlow {
        /// Speed along the lane, m/s.
        y_m_s: f64,
    },
    /// A set of pins names a pin beyond the tenth.
    #[error("the set of pins {0:#b} has a bit beyond pin 10")]
    NoSuchPin(Mask),
}

/// Everything that moves, at one instant; see [`Rack::watch`].
#[derive(Clone, Copy, Debug)]
pub struct View<'a> {
    /// Time since the ball was let go, seconds.
    pub time_s: f64,
    /// The ball. Origin at the head pin's spot, y toward the pit.
    pub ball: &'a BallMotion,
    /// The ten pins, those of the set and not.
    pub pins: &'a [PinBody; 10],
    /// Pins that are still in play: not in the pit.
    pub present: Mask,
}

/// Pins on a deck, ready to be thrown at.
///
/// ```
/// use ball::Entry;
/// use glam::DVec3;
/// use measure::{Board, court, stream::Stream};
/// use pins::{BallBody, Constants, Rack};
///
/// let rack = Rack::new(Constants::default());
/// let ball = BallBody::of_pounds(15.0);
/// // Board 17.5, 7.2 m/s at 6 degrees, rolling.
/// let (vx, vy) = (-0.7526, 7.1606);
/// let entry = Entry {
///     x_m: Board(17.5).to_metres(),
///     y_m: court::HEAD_PIN_M - 0.155,
///     velocity_m_s: DVec3::new(vx, vy, 0.0),
///     spin_rad_s: DVec3::new(-vy, vx, 0.0) / ball.radius_m,
/// };
/// let outcome = rack.throw(&entry, &ball, &mut Stream::keyed(1, "rack", 0))?;
/// assert!(outcome.standing.count_ones() < 10);
/// # Ok::<(), pins::ThrowError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Rack {
    constants: Constants,
    shape: Shape,
}

/// A standing pin that moved farther than this slid off its spot: half an inch, our judgement.
const SLID_M: f64 = 0.0127;
/// The ball starts this far before the place the entry names, clear of pins that stand a little off their spots.
const RUN_UP_M: f64 = 0.03;
/// Allowance for what gravity and friction add to a speed before a pair is looked at again, m/s, and the longest time
/// without a look, seconds.
const SLACK_M_S: f64 = 0.2;
const LONGEST_WAIT_S: f64 = 0.02;
/// When nothing sweeps faster than these, the step doubles and trebles.
const SLOW_M_S: f64 = 3.0;
const SLOWEST_M_S: f64 = 1.2;
/// A lying pin slower than this topples nothing. Toppling takes 0.38 N s at the centre of gravity (physics.md section 6),
/// 0.9 N s at the height of a lying pin's belly; a pin of 1.5 kg gives that at 0.7 m/s and more.
const HARMLESS_M_S: f64 = 0.4;
/// Nothing is followed longer than this.
const LONGEST_S: f64 = 6.0;
const LOOK_EVERY: u32 = 16;

#[derive(Clone, Copy, PartialEq)]
enum State {
    Asleep,
    Awake,
    Gone,
}

struct Scene<'a> {
    shape: &'a Shape,
    deck: Deck,
    ball_pin: [Surface; 10],
    pin_pin: Surface,
    pin_share: [f64; 10],
    pins: [PinBody; 10],
    state: [State; 10],
    sweep_m_s: [f64; 10],
    ball: BallMotion,
    ball_radius_m: f64,
    ball_gone: bool,
    ball_due_s: [f64; 10],
    pair_due_s: [[f64; 10]; 10],
    time_s: f64,
    touched: Mask,
    exit: Option<Exit>,
}

impl Rack {
    /// A rack with these constants. Works out the tables of the pin's shape: keep it and throw often.
    pub fn new(constants: Constants) -> Self {
        Self { constants, shape: Shape::new(&Profile::published()) }
    }

    /// The constants it was made with.
    pub fn constants(&self) -> &Constants {
        &self.constants
    }

    /// Throws a ball at ten pins. The stream places the pins and varies their restitution and friction.
    ///
    /// # Errors
    /// If the ball is off the lane, does not come toward the pins, or some number is not finite.
    pub fn throw(&self, entry: &Entry, ball: &BallBody, stream: &mut Stream) -> Result<Outcome, ThrowError> {
        self.throw_at(FULL_RACK, entry, ball, stream)
    }

    /// Throws a ball at some of the pins: a spare.
    ///
    /// # Errors
    /// As [`Rack::throw`], or if the set names a pin beyond the tenth.
    pub fn throw_at(
        &self,
        pins: Mask,
        entry: &Entry,
        ball: &BallBody,
        stream: &mut Stream,
    ) -> Result<Outcome, ThrowError> {
        self.watch(pins, entry, ball, stream, |_| ())
    }

    /// As [`Rack::throw_at`], showing every step to `see`.
    ///
    /// # Errors
    /// As [`Rack::throw_at`].
    pub fn watch(
        &self,
        pins: Mask,
        entry: &Entry,
        ball: &BallBody,
        stream: &mut Stream,
        mut see: impl FnMut(&View),
    ) -> Result<Outcome, ThrowError> {
        check(pins, entry, ball)?;
        let mut scene = self.scene(pins, stream);
        scene.place_ball(entry, ball);
        let spots = scene.pins.map(|pin| pin.centre_m);
        let step = self.constants.step_s;
        let mut steps = 0;
        loop {
            let fastest = scene.fastest_m_s();
            let stride = if fastest < SLOWEST_M_S { 3.0 } else if fastest < SLOW_M_S { 2.0 } else { 1.0 };
            scene.advance(stride * step);
            see(&scene.view());
            steps += 1;
            if steps % LOOK_EVERY == 0 && (scene.is_over() || scene.time_s > LONGEST_S) {
                break;
            }
        }
        let mut outcome = Outcome {
            standing: 0,
            slid: 0,
            touched: scene.touched,
            exit: scene.exit,
            time_s: scene.time_s,
            steps,
        };
        for (i, spot) in spots.iter().enumerate() {
            if scene.stands(i) {
                outcome.standing |= 1 << i;
                let moved = scene.pins[i].centre_m - *spot;
                if math::hypot(moved.x, moved.y) > SLID_M {
                    outcome.slid |= 1 << i;
                }
            }
        }
        Ok(outcome)
    }

    /// Lets pins go from given poses without a ball and with none asleep, for a time. For tests of standing and tipping.
    pub fn release(&self, poses: &[PinBody; 10], present: Mask, time_s: f64, mut see: impl FnMut(&View)) {
        let mut scene = self.scene(present & FULL_RACK, &mut Stream::keyed(0, "release", 0));
        scene.pins = *poses;
        for state in scene.state.iter_mut().filter(|state| **state == State::Asleep) {
            *state = State::Awake;
        }
        scene.ball_gone = true;
        while scene.time_s < time_s {
            scene.advance(self.constants.step_s);
            see(&scene.view());
        }
    }

    /// A pin standing on its spot, or anywhere else: for [`Rack::release`].
    pub fn upright(&self, x_m: f64, y_m: f64) -> PinBody {
        let solid = &self.shape.solid;
        let centre = DVec3::new(x_m, y_m, solid.cg_height_m);
        PinBody::at_rest(centre, self.constants.pin_mass_kg, solid.transverse_gyration_m, solid.axial_gyration_m)
    }

    fn scene(&self, pins: Mask, stream: &mut Stream) -> Scene<'_> {
        let c = &self.constants;
        let mut upright = [self.upright(0.0, 0.0); 10];
        let mut pin_share = [1.0; 10];
        for (i, (x_in, y_in)) in court::PIN_SPOTS_IN.into_iter().enumerate() {
            let (dx, dy) = (stream.normal() * c.spot_jitter_m, stream.normal() * c.spot_jitter_m);
            upright[i] = self.upright(x_in * 0.0254 + dx, y_in * 0.0254 + dy);
            pin_share[i] = (1.0 + c.restitution_jitter * stream.normal()).max(0.0);
        }
        let mut rough = |surface: Surface| Surface {
            friction: surface.friction * (1.0 + c.friction_jitter * stream.normal()).max(0.0),
            ..surface
        };
        let ball_pin = rough(c.ball_pin);
        let scaled = |share: f64| Surface { restitution: (ball_pin.restitution * share).min(1.0), ..ball_pin };
        let mut state = [State::Gone; 10];
        for (i, state) in state.iter_mut().enumerate() {
            if pins >> i & 1 == 1 {
                *state = State::Asleep;
            }
        }
        Scene {
            shape: &self.shape,
            pin_pin: rough(c.pin_pin),
            deck: Deck {
                pin_deck: rough(c.pin_deck),
                kickback: rough(c.kickback),
                cushion: c.cushion,
                ball_deck: rough(c.ball_deck),
            },
            ball_pin: pin_share.map(scaled),
            pin_share,
            pins: upright,
            state,
            sweep_m_s: [0.0; 10],
            ball: BallMotion {
                centre_m: DVec3::ZERO,
                velocity_m_s: DVec3::ZERO,
                spin_rad_s: DVec3::ZERO,
                per_mass: 1.0,
                per_inertia: 1.0,
            },
            ball_radius_m: 0.0,
            ball_gone: false,
            ball_due_s: [0.0; 10],
            pair_due_s: [[0.0; 10]; 10],
            time_s: 0.0,
            touched: 0,
            exit: None,
        }
    }
}

fn check(pins: Mask, entry: &Entry, ball: &BallBody) -> Result<(), ThrowError> {
    let sizes = [("mass", ball.mass_kg), ("radius", ball.radius_m), ("radius of gyration", ball.gyration_m)];
    for (name, size) in sizes {
        if !(size.is_finite() && size > 0.0) {
            return Err(ThrowError::NotANumber(name));
        }
    }
    let numbers = [
        ("place", entry.x_m.is_finite() && entry.y_m.is_finite()),
        ("velocity", entry.velocity_m_s.is_finite()),
        ("spin", entry.spin_rad_s.is_finite()),
    ];
    for (name, finite) in numbers {
        if !finite {
            return Err(ThrowError::NotANumber(name));
        }
    }
    if entry.x_m.abs() > court::WIDTH_M / 2.0 {
        return Err(ThrowError::OffTheLane { x_m: entry.x_m });
    }
    if entry.velocity_m_s.y < 1.0 {
        return Err(ThrowError::TooSlow { y_m_s: entry.velocity_m_s.y });
    }
    if pins & !FULL_RACK != 0 {
        return Err(ThrowError::NoSuchPin(pins));
    }
    Ok(())
}

impl Scene<'_> {
    fn place_ball(&mut self, entry: &Entry, ball: &BallBody) {
        let velocity = DVec3::new(entry.velocity_m_s.x, entry.velocity_m_s.y, 0.0);
        let place = DVec3::new(entry.x_m, entry.y_m - court::HEAD_PIN_M, ball.radius_m);
        self.ball = BallMotion {
            centre_m: place - velocity * (RUN_UP_M / math::sqrt(velocity.length_squared())),
            velocity_m_s: velocity,
            spin_rad_s: entry.spin_rad_s,
            per_mass: 1.0 / ball.mass_kg,
            per_inertia: 1.0 / (ball.mass_kg * ball.gyration_m * ball.gyration_m),
        };
        self.ball_radius_m = ball.radius_m;
    }

    fn view(&self) -> View<'_> {
        let present = (0..10).filter(|&i| self.state[i] != State::Gone).fold(0, |mask, i| mask | 1 << i);
        View { time_s: self.time_s, ball: &self.ball, pins: &self.pins, present }
    }

    fn fastest_m_s(&self) -> f64 {
        let ball = if self.ball_gone { 0.0 } else { math::sqrt(self.ball.velocity_m_s.length_squared()) };
        self.sweep_m_s.iter().fold(ball, |fastest, &sweep| fastest.max(sweep))
    }

    fn advance(&mut self, step_s: f64) {
        self.time_s += step_s;
        for i in 0..10 {
            if self.state[i] == State::Awake {
                self.pins[i].fly(step_s);
            }
        }
        if !self.ball_gone {
            self.ball.fly(step_s);
            for i in 0..10 {
                if self.state[i] != State::Gone && self.ball_due_s[i] <= self.time_s {
                    self.meet_ball(i, step_s);
                }
            }
        }
        for i in 0..9 {
            for j in i + 1..10 {
                if self.pair_due_s[i][j] <= self.time_s {
                    self.meet_pair(i, j, step_s);
                }
            }
        }
        for i in 0..10 {
            if self.state[i] == State::Awake {
                let pin = &mut self.pins[i];
                self.deck.hold_pin(self.shape, pin, step_s);
                self.sweep_m_s[i] = pin.sweep_m_s(self.shape.reach_m);
                // Over the end and sinking, or well into the pit: it will not come back to the deck.
                let past = pin.centre_m.y - PIT_M;
                if (past > 0.05 && pin.centre_m.z < -0.05) || past > 0.5 || pin.centre_m.z < -0.5 {
                    self.state[i] = State::Gone;
                    self.sweep_m_s[i] = 0.0;
                }
            }
        }
        if !self.ball_gone {
            self.deck.hold_ball(&mut self.ball, self.ball_radius_m, step_s);
            let past = self.ball.centre_m.y - PIT_M;
            if past > 0.0 && self.exit.is_none() {
                let velocity_m_s = self.ball.velocity_m_s;
                self.exit = Some(Exit { x_m: self.ball.centre_m.x - velocity_m_s.x * past / velocity_m_s.y, velocity_m_s });
            }
            self.ball_gone = past > 2.0 * self.ball_radius_m;
        }
    }

    fn meet_ball(&mut self, i: usize, step_s: f64) {
        let (shape, radius) = (self.shape, self.ball_radius_m);
        let touch = sphere_and_pin(shape, &self.pins[i], self.ball.centre_m, radius);
        if touch.gap_m >= 0.0 {
            let speed = math::sqrt(self.ball.velocity_m_s.length_squared()) + self.sweep_m_s[i] + SLACK_M_S;
            self.ball_due_s[i] = self.time_s + (touch.gap_m / speed).min(LONGEST_WAIT_S);
            return;
        }
        let (ball, pin) = (&mut self.ball, &mut self.pins[i]);
        let point = touch.point_m;
        let approach =
            (ball.velocity_at(point - ball.centre_m) - pin.velocity_at(point - pin.centre_m)).dot(touch.normal);
        if approach < 0.0 {
            let back = (touch.gap_m / approach).min(step_s);
            ball.coast(-back);
            pin.coast(-back);
            let touch = sphere_and_pin(shape, pin, ball.centre_m, radius);
            strike(ball, pin, touch.point_m, touch.normal, self.ball_pin[i]);
            ball.coast(back);
            pin.coast(back);
            self.touched |= 1 << i;
            self.ball_due_s = [0.0; 10];
            self.disturb(i);
        } else if touch.gap_m < -TOLERATED_M {
            pin.centre_m += touch.normal * (touch.gap_m + TOLERATED_M);
        }
    }

    fn meet_pair(&mut self, i: usize, j: usize, step_s: f64) {
        if self.state[i] == State::Gone
            || self.state[j] == State::Gone
            || (self.state[i] == State::Asleep && self.state[j] == State::Asleep)
        {
            // Waking either one makes the pair due again.
            self.pair_due_s[i][j] = f64::INFINITY;
            return;
        }
        let shape = self.shape;
        let touch = pin_and_pin(shape, &self.pins[i], &self.pins[j]);
        if touch.gap_m >= 0.0 {
            let speed = self.sweep_m_s[i] + self.sweep_m_s[j] + SLACK_M_S;
            self.pair_due_s[i][j] = self.time_s + (touch.gap_m / speed).min(LONGEST_WAIT_S);
            return;
        }
        let (low, high) = self.pins.split_at_mut(j);
        let (a, b) = (&mut low[i], &mut high[0]);
        let point = touch.point_m;
        let approach = (a.velocity_at(point - a.centre_m) - b.velocity_at(point - b.centre_m)).dot(touch.normal);
        if approach < 0.0 {
            let back = (touch.gap_m / approach).min(step_s);
            a.coast(-back);
            b.coast(-back);
            let touch = pin_and_pin(shape, a, b);
            let mut surface = self.pin_pin;
            surface.restitution = (surface.restitution * 0.5 * (self.pin_share[i] + self.pin_share[j])).min(1.0);
            strike(a, b, touch.point_m, touch.normal, surface);
            a.coast(back);
            b.coast(back);
            self.disturb(i);
            self.disturb(j);
        } else if touch.gap_m < -TOLERATED_M {
            let apart = touch.normal * (0.5 * (touch.gap_m + TOLERATED_M));
            a.centre_m -= apart;
            b.centre_m += apart;
        }
    }

    /// Pin `i` was struck: it is awake, and all its pairs are to be looked at.
    fn disturb(&mut self, i: usize) {
        self.state[i] = State::Awake;
        self.sweep_m_s[i] = self.pins[i].sweep_m_s(self.shape.reach_m);
        self.ball_due_s[i] = 0.0;
        for j in 0..10 {
            self.pair_due_s[i.min(j)][i.max(j)] = 0.0;
        }
    }

    /// Whether a pin stands: in place, upright within what it can right itself from, and not in flight.
    fn stands(&self, i: usize) -> bool {
        match self.state[i] {
            State::Asleep => true,
            State::Gone => false,
            State::Awake => {
                let pin = &self.pins[i];
                pin.axis.z > STANDING_COSINE && (pin.centre_m.z - self.shape.solid.cg_height_m).abs() < 0.01
            }
        }
    }

    /// Whether nothing more can fall.
    fn is_over(&self) -> bool {
        let mut may_stand = false;
        let rolling = !self.ball_gone && self.ball.velocity_m_s.y > 0.3;
        let mut restless = rolling;
        for i in 0..10 {
            match self.state[i] {
                State::Gone => {}
                State::Asleep => may_stand = true,
                State::Awake => {
                    let pin = &self.pins[i];
                    let lying = pin.axis.z < DOWN_COSINE;
                    may_stand |= !lying;
                    restless |= if lying { self.sweep_m_s[i] > HARMLESS_M_S } else { !self.settles(i) };
                }
            }
        }
        (!may_stand && !rolling) || !restless
    }

    /// Whether a pin upright on the floor has so little energy that it cannot tip over.
    fn settles(&self, i: usize) -> bool {
        let (pin, solid) = (&self.pins[i], &self.shape.solid);
        let base = crate::profile::BASE_RADIUS_M;
        let weight_n = court::GRAVITY_M_S2 / pin.per_mass;
        // Standing to balanced on its edge: 0.0336 J for a pin of 1.53 kg (physics.md section 6).
        let barrier_j = weight_n * (math::hypot(solid.cg_height_m, base) - solid.cg_height_m);
        let rise_j = weight_n * (pin.centre_m.z - solid.cg_height_m);
        pin.axis.z > SETTLED_COSINE && pin.energy_j() + rise_j < 0.5 * barrier_j
    }
}

/// Overlap that is left alone when two bodies part or rest, metres.
const TOLERATED_M: f64 = 0.0005;
/// Tilt of 9.93 degrees: beyond it a pin falls (physics.md section 6).
const STANDING_COSINE: f64 = 0.985;
/// Tilt of 5 degrees: within it a pin without energy rights itself.
const SETTLED_COSINE: f64 = 0.996;
/// Tilt of 53 degrees: beyond it no pin comes back.
const DOWN_COSINE: f64 = 0.6;
