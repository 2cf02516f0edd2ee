//! A hidden lane on which a bowler throws, an eye and a film that tell of it, and how far off forecasts of other lines are then.

use crate::typical::{CARRY, dull, pattern, right_hander, strikes};
use boardwise_ball::Ball;
use boardwise_belief::{Belief, Figure, Film, Noticed, Seen};
use boardwise_lane::{ContactLaw, Finish, Lane, Release, Runway};
use boardwise_search::{Bowler, Payoff, Spread, Unknowns, World, came_in};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Degrees, Mph, Rpm};

/// Standard errors of film (docs/watch.md, root mean squares of untouched rendered film; launch from the spread of laydown and arrows there; tilt
/// is our judgement).
const LAYDOWN_BOARD: f64 = 0.11;
const LAUNCH_DEG: f64 = 0.05;
const ARROWS_BOARD: f64 = 0.09;
const BREAKPOINT_BOARD: f64 = 0.08;
const BREAKPOINT_FEET: f64 = 1.1;
const ENTRY_BOARD: f64 = 0.27;
const ENTRY_DEG: f64 = 0.31;
const SPEED_SHARE: f64 = 0.016;
const REV_RATE_SHARE: f64 = 0.025;
const ROTATION_DEG: f64 = 3.2;
const TILT_DEG: f64 = 3.0;
/// What an eye makes of boards, as the belief takes it.
const EYE_ARROWS: f64 = 0.5;
const EYE_BREAKPOINT: f64 = 1.2;
/// How often a hit is called otherwise than it was.
const MISCALLED: f64 = 0.1;

/// Lines are forecast this far from the line thrown: boards at the feet and at the arrows.
pub const OTHER_LINES: [(f64, f64); 6] = [(2.0, 1.0), (4.0, 2.0), (6.0, 3.5), (-2.0, -1.0), (-4.0, -2.0), (3.0, 3.0)];

/// How shots are told to the belief.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// Not at all: the ball only wears the lane.
    Nothing,
    /// As an eye sees them.
    ByEye,
    /// As a film measures them.
    ByFilm,
}

/// A lane, a cover and a bowler as they are, with what is told of them.
pub struct Hidden {
    index: u64,
    told: Lane,
    bowler: Bowler,
    truth: World,
    fresh: Lane,
    law: ContactLaw,
    ball: Ball,
    meant: Release,
}

/// Forecasts of one line after the shots.
#[derive(Clone, Copy, Debug)]
pub struct Forecast {
    /// Board at which a good throw comes in, as believed.
    pub mean: f64,
    /// How unsure the belief is of it.
    pub sd: f64,
    /// The same in truth.
    pub is: f64,
}

impl Hidden {
    /// Number `index` of the hidden worlds. They are drawn apart from the belief's worlds, and are off in ways for which those have no numbers: the
    /// pattern's length and walls, the cover's reach, the law's own constants.
    pub fn of(index: u64) -> Self {
        let mut draw = Stream::keyed(29, "filmed world", index);
        let (length, outside) = [(32.0, 0.85), (40.0, 0.25), (42.0, 0.6)][(index % 3) as usize];
        let release = Release {
            speed: Mph(17.5 + 0.8 * draw.uniform()),
            rev_rate: Rpm(300.0 + 120.0 * draw.uniform()),
            rotation: Degrees(40.0 + 12.0 * draw.uniform()),
            ..Release::default()
        };
        let bowler = right_hander(release);
        let told = pattern(length, outside);
        let centre = Unknowns { oil_log: 0.1, place_log: 0.12, wear_log: 0.3, cover_log: 0.0, ..Unknowns::default() };
        let truth = World::drawn(&centre, (1024.0 * draw.uniform()) as u32, index ^ 0xf11e);
        let built = pattern(length + 0.7 * draw.normal(), (outside * (0.1 * draw.normal()).exp()).min(1.0));
        let fresh = truth.lane(0, &built, &built);
        let law = ContactLaw::default();
        let law = ContactLaw {
            split_film_m: law.split_film_m * (0.25 * draw.normal()).exp(),
            swath_m: law.swath_m * (0.25 * draw.normal()).exp(),
            film_cap: law.film_cap * (0.1 * draw.normal()).exp(),
            ..law
        };
        let mut ball = dull();
        ball.cover.film_reach_m *= (0.08 * draw.normal()).exp();
        ball.cover.dry_friction *= (0.05 * draw.normal()).exp() * truth.friction(0);
        let belief =
            Belief::new([told.clone(), told.clone()], bowler.clone(), vec![dull()], &Unknowns::default(), index);
        let meant = belief.line(0, 0, &[], &CARRY).map_or(release, |line| line.release);
        Self { index, told, bowler, truth, fresh, law, ball, meant }
    }

    /// Forecasts of all other lines that reach the pins in truth, after so many shots told so.
    pub fn forecasts(&self, shots: u32, told: Told) -> Vec<Forecast> {
        let told_lanes = [self.told.clone(), self.told.clone()];
        let mut belief = Belief::new(told_lanes, self.bowler.clone(), vec![dull()], &Unknowns::default(), self.index);
        let mut lane = self.fresh.clone();
        let mut draw = Stream::keyed(31, "filmed shots", self.index);
        for _ in 0..shots {
            let off: [f64; 6] = core::array::from_fn(|_| draw.normal());
            let release = self.bowler.thrown(&self.meant, &self.truth, &[off]).next().expect("one");
            let finish = Runway::new(&lane, &self.ball, &self.law).throw_many(&[release])[0];
            let (path, _) = lane.wear(&self.ball, &release, &self.law).expect("possible");
            let strikes = strikes(&self.ball);
            let touch = finish.touch.filter(|_| finish.gutter.is_none());
            let standing = strikes.leaves_of(&[touch]).drawn(draw.uniform());
            let hit = strikes.hit(&finish);
            let hit = (draw.uniform() >= MISCALLED).then_some(hit);
            let noticed = match told {
                Told::Nothing => {
                    belief.thrown(0, &dull(), &self.meant).expect("possible");
                    continue;
                }
                Told::ByEye => Noticed {
                    hit,
                    arrows: Some(Board(finish.arrows.0 + EYE_ARROWS * draw.normal())),
                    breakpoint: Some(Board(finish.breakpoint.board.0 + EYE_BREAKPOINT * draw.normal())),
                    ..Noticed::default()
                },
                Told::ByFilm => {
                    let rev_rate = path.rows[0].rev_rate.0;
                    Noticed { hit, film: Some(film(&release, rev_rate, &finish, &mut draw)), ..Noticed::default() }
                }
            };
            belief.saw(&Seen { lane: 0, ball: 0, meant: self.meant, standing, noticed }, &CARRY).expect("possible");
        }
        let on = Runway::new(&lane, &self.ball, &self.law);
        let others = OTHER_LINES.iter().map(|(feet, eyes)| self.other(*feet, *eyes));
        others
            .filter_map(|line| {
                let is = self.good(&on, &line)?;
                let comes_in = belief.comes_in(0, 0, &line);
                Some(Forecast { mean: comes_in.mean, sd: comes_in.sd, is })
            })
            .collect()
    }

    /// The line with feet and eyes moved in by so many boards.
    fn other(&self, feet: f64, eyes: f64) -> Release {
        // A board at the arrows over 15 ft.
        let turn = Board(feet - eyes).to_metres() - Board(0.0).to_metres();
        let launch = self.meant.launch.0 + (turn / (15.0 * boardwise_units::FOOT_M)).atan().to_degrees();
        Release { laydown: Board(self.meant.laydown.0 + feet), launch: Degrees(launch), ..self.meant }
    }

    /// Where a good throw of a line comes in in truth; none if it does not reach the pins.
    fn good(&self, on: &Runway, line: &Release) -> Option<f64> {
        let releases: Vec<Release> = self.bowler.thrown(line, &self.truth, &Spread::points(64, self.index)).collect();
        let finishes = on.throw_many(&releases);
        let mut boards: Vec<f64> = finishes.iter().map(came_in).collect();
        boards.sort_by(f64::total_cmp);
        let is = f64::midpoint(boards[31], boards[32]);
        (3.0..37.0).contains(&is).then_some(is)
    }
}

/// What a film measures of a throw, with its errors.
fn film(release: &Release, rev_rate: f64, finish: &Finish, draw: &mut Stream) -> Film {
    let mut figure = |is: f64, error: f64| Some(Figure { value: is + error * draw.normal(), error });
    Film {
        laydown_board: figure(release.laydown.0, LAYDOWN_BOARD),
        launch_deg: figure(release.launch.0, LAUNCH_DEG),
        release_mph: figure(release.speed.0, SPEED_SHARE * release.speed.0),
        rev_rate_rpm: figure(rev_rate, REV_RATE_SHARE * rev_rate),
        rotation_deg: figure(release.rotation.0, ROTATION_DEG),
        tilt_deg: figure(release.tilt.0, TILT_DEG),
        arrows_board: figure(finish.arrows.0, ARROWS_BOARD),
        breakpoint_board: figure(finish.breakpoint.board.0, BREAKPOINT_BOARD),
        breakpoint_feet: figure(finish.breakpoint.feet.0, BREAKPOINT_FEET),
        entry_board: figure(came_in(finish), ENTRY_BOARD),
        entry_deg: finish.touch.and_then(|touch| figure(touch.angle().0, ENTRY_DEG)),
    }
}

/// Root mean square error of forecasts, boards.
pub fn off(forecasts: &[Forecast]) -> f64 {
    let square: f64 = forecasts.iter().map(|one| (one.mean - one.is).powi(2)).sum();
    (square / forecasts.len().max(1) as f64).sqrt()
}
