//! One world: what the lanes, the covers and the bowler's day may be like, as departures from what is said of them.

use crate::{Unknowns, WORLDS};
use boardwise_ball::Ball;
use boardwise_lane::{Coating, Field, Film, Lane, Release, Shape};
use boardwise_units::stream::normal_quantile;
use boardwise_units::{Degrees, Mph, Rpm, math};

/// Boards and feet of the coarse grid on which oil is guessed.
const BOARDS: [f64; 5] = [4.0, 12.0, 20.0, 28.0, 36.0];
const FEET: [f64; 3] = [6.0, 22.0, 38.0];
const NODES: usize = BOARDS.len() * FEET.len();
/// Numbers that describe one lane: oil at the nodes, friction, wear, tilt.
const LANE: usize = NODES + 3;
/// Place of the slope among them.
const TILT: usize = NODES + 2;
/// Numbers that describe the bowler's day: speed, launch, rev rate, spread.
const DAY: usize = 4;
/// Covers with a number of their own; balls beyond share them.
const COVERS: usize = 8;

/// One possible truth about a pair of lanes, the covers and the bowler's day. Every number is a departure from what the
/// pattern, the bag and the bowler's file say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct World {
    numbers: [f64; World::SIZE],
    /// Which set of the pins' constants holds in it; the mean over all sets where it is none in particular.
    pins: Option<u32>,
}

impl World {
    /// How many numbers describe a world.
    pub const SIZE: usize = 2 * LANE + DAY + COVERS;
    /// Everything is as said.
    pub const AS_SAID: Self = Self { numbers: [0.0; Self::SIZE], pins: None };

    /// World number `index` of an even spread over what is not known (a scrambled Sobol sequence): the same for the same
    /// seed, and a few of them stand for all.
    pub fn drawn(unknowns: &Unknowns, index: u32, seed: u64) -> Self {
        let mut draws = Draws { index, seed: seed as u32 ^ (seed >> 32) as u32, next: 0 };
        let mut numbers = [0.0; Self::SIZE];
        // What matters most is drawn first: the first dimensions of the sequence are the evenest.
        let day: [f64; DAY] = core::array::from_fn(|_| draws.normal());
        let sds = [unknowns.speed.0, unknowns.launch.0, unknowns.rev_rate.0, unknowns.spread_log];
        for k in 0..DAY {
            numbers[2 * LANE + k] = sds[k] * day[k];
        }
        let lanes: [[f64; LANE]; 3] = core::array::from_fn(|_| lane_numbers(unknowns, &mut draws));
        let shares = (math::sqrt(unknowns.common), math::sqrt(1.0 - unknowns.common));
        for (lane, own) in lanes[1..].iter().enumerate() {
            for k in 0..LANE {
                let together = shares.0 * lanes[0][k] + shares.1 * own[k];
                // Two lanes share their oil, their stuff and their climate, but no carpenter.
                numbers[lane * LANE + k] = if k == TILT { own[k] } else { together };
            }
        }
        for number in &mut numbers[2 * LANE + DAY..] {
            *number = unknowns.cover_log * draws.normal();
        }
        Self { numbers, pins: unknowns.pins.then_some(index) }
    }

    /// The numbers themselves, for what moves many worlds at once.
    pub const fn numbers(&self) -> &[f64; Self::SIZE] {
        &self.numbers
    }

    /// This world with other numbers.
    #[must_use]
    pub const fn with_numbers(self, numbers: [f64; Self::SIZE]) -> Self {
        Self { numbers, ..self }
    }

    /// Which set of the pins' constants holds in it, to be taken modulo how many there are; none in particular for a mean.
    pub const fn pins(&self) -> Option<u32> {
        self.pins
    }

    /// The mean of several worlds; [`World::AS_SAID`] for none.
    pub fn mean(worlds: &[Self]) -> Self {
        let mut numbers = [0.0; Self::SIZE];
        for world in worlds {
            for (sum, number) in numbers.iter_mut().zip(world.numbers) {
                *sum += number / worlds.len() as f64;
            }
        }
        Self { numbers, pins: None }
    }

    /// A ball as it grips a lane; `place` is its place in the bag.
    pub fn ball(&self, place: usize, lane: usize, ball: &Ball) -> Ball {
        let mut ball = ball.clone();
        ball.cover.dry_friction *= self.friction(lane) * math::exp(self.numbers[2 * LANE + DAY + place % COVERS]);
        ball
    }

    /// Oil at a place over what the pattern and the wear so far say.
    pub fn oil(&self, lane: usize, board: f64, feet: f64) -> f64 {
        let (j, t) = between(&FEET, feet);
        let log = |j: usize| self.log(lane, j, between(&BOARDS, board));
        math::exp(log(j) * (1.0 - t) + log(j + 1) * t)
    }

    /// The same as a logarithm, at one of the feet of the coarse grid.
    fn log(&self, lane: usize, foot: usize, (i, s): (usize, f64)) -> f64 {
        let nodes = &self.numbers[lane * LANE + foot * BOARDS.len()..];
        nodes[i] * (1.0 - s) + nodes[i + 1] * s
    }

    /// The same on every board of a field.
    fn logs(&self, lane: usize) -> Logs {
        let mut logs = [[0.0; Field::ACROSS]; FEET.len()];
        for column in 0..Field::ACROSS {
            let at = between(&BOARDS, Field::board(column).0);
            for (foot, logs) in logs.iter_mut().enumerate() {
                logs[column] = self.log(lane, foot, at);
            }
        }
        logs
    }

    /// Dry friction of a lane over the usual.
    pub fn friction(&self, lane: usize) -> f64 {
        math::exp(self.numbers[lane * LANE + NODES])
    }

    /// How fast a lane wears over the usual.
    pub fn wear(&self, lane: usize) -> f64 {
        math::exp(self.numbers[lane * LANE + NODES + 1])
    }

    /// Slope of a lane across, from the hand's side.
    pub fn tilt(&self, lane: usize) -> f64 {
        self.numbers[lane * LANE + TILT]
    }

    /// What the bowler throws today when meaning this.
    #[must_use]
    pub fn today(&self, meant: &Release) -> Release {
        let [speed, launch, rev_rate] = [0, 1, 2].map(|k| self.numbers[2 * LANE + k]);
        Release {
            speed: Mph(meant.speed.0 + speed),
            launch: Degrees(meant.launch.0 + launch),
            rev_rate: Rpm((meant.rev_rate.0 + rev_rate).max(0.0)),
            ..*meant
        }
    }

    /// Today's spread over the usual.
    pub fn spread(&self) -> f64 {
        math::exp(self.numbers[2 * LANE + 3])
    }

    /// The lane in this world, given it fresh and as it is worn if everything is as said.
    pub fn lane(&self, lane: usize, fresh: &Lane, now: &Lane) -> Lane {
        let coating = match (&fresh.coating, &now.coating) {
            (Coating::Oil(before), Coating::Oil(after)) => {
                let mut thickness_m = after.thickness_m.clone();
                lay(&before.thickness_m, &mut thickness_m, self.wear(lane), &self.logs(lane));
                Coating::Oil(Film { thickness_m, length: after.length })
            }
            (_, given) => given.clone(),
        };
        let tilt = self.tilt(lane);
        let shape = if tilt == 0.0 {
            now.shape.clone()
        } else {
            let (across, along) = now.shape.as_ref().map_or_else(
                || (Field::constant(tilt), Field::constant(0.0)),
                |known| (known.across.map(|rise| rise + tilt), known.along.clone()),
            );
            Some(Shape { across, along })
        };
        Lane { coating, shape, ..now.clone() }
    }
}

/// Oil over what is said as a logarithm: on every board of a field, at each of the feet of the coarse grid.
type Logs = [[f64; Field::ACROSS]; FEET.len()];

/// The film as a world has it: oil that is gone and oil that was carried there by its own wear, all of it by its own guess.
fn lay(fresh_m: &Field, now_m: &mut Field, wear: f64, logs: &Logs) {
    for row in 0..Field::ALONG {
        let was = fresh_m.row(row);
        // Most of a lane has no oil to have more or less of.
        if was.iter().chain(now_m.row(row)).any(|&film| film != 0.0) {
            let (j, t) = between(&FEET, Field::feet(row).0);
            lay_row(was, now_m.row_mut(row), wear, [&logs[j], &logs[j + 1]], t);
        }
    }
}

/// One row of a film: `logs` before and behind it, `t` of the way from one to the other.
#[multiversion::multiversion(targets(
    "x86_64+avx512f+avx512bw+avx512cd+avx512dq+avx512vl+avx2+fma",
    "x86_64+avx2+fma"
))]
#[allow(clippy::needless_bitwise_bool, reason = "without a branch, so that the compiler makes it wide")]
fn lay_row(was: &[f64], is: &mut [f64], wear: f64, logs: [&[f64; Field::ACROSS]; 2], t: f64) {
    let (Ok(was), Ok(is)) = (<&[f64; Field::ACROSS]>::try_from(was), <&mut [f64; Field::ACROSS]>::try_from(is)) else {
        return;
    };
    for k in 0..Field::ACROSS {
        let (before, now) = (was[k], is[k]);
        let changed = (now - before).abs() > 1e-6 * before;
        let thinned = changed & (before > 1e-9) & (now < before);
        // Of oil that is gone a share is left; oil that was carried there came as so much more.
        let left = math::log_even((now / before).clamp(f64::MIN_POSITIVE, 1.0));
        let more = before + (now - before) * wear;
        let base = if changed { more } else { now };
        let base = if thinned & (now > 0.0) { before } else { base };
        let base = if thinned & (now <= 0.0) { 0.0 } else { base };
        let share = if thinned { wear * left } else { 0.0 };
        is[k] = base * math::exp_even(share + logs[0][k] * (1.0 - t) + logs[1][k] * t);
    }
}

/// Normal numbers of one world, dimension after dimension.
struct Draws {
    index: u32,
    seed: u32,
    next: u32,
}

impl Draws {
    fn normal(&mut self) -> f64 {
        // Half a step of the sequence's 24 bits keeps 0 out.
        let even = f64::from(sobol_burley::sample(self.index, self.next, self.seed)) + 0.5 / f64::from(1 << 24);
        self.next += 1;
        normal_quantile(even)
    }
}

/// One lane's numbers: places alike where they lie close.
fn lane_numbers(prior: &Unknowns, draws: &mut Draws) -> [f64; LANE] {
    let mut numbers = [0.0; LANE];
    let whole = prior.oil_log * draws.normal();
    numbers[NODES] = prior.friction_log * draws.normal();
    numbers[NODES + 1] = prior.wear_log * draws.normal();
    numbers[TILT] = prior.tilt * draws.normal();
    // Independent draws smoothed over their neighbours and scaled back to the deviation meant.
    let draws: [f64; NODES] = core::array::from_fn(|_| draws.normal());
    for (k, number) in numbers[..NODES].iter_mut().enumerate() {
        let (mut sum, mut square) = (0.0, 0.0);
        for (other, draw) in draws.iter().enumerate() {
            let (boards, feet) = apart(k, other);
            let weight = math::exp(-(boards / 8.0).powi(2) - (feet / 14.0).powi(2));
            sum += weight * draw;
            square += weight * weight;
        }
        *number = whole + prior.place_log * sum / math::sqrt(square);
    }
    numbers
}

/// Boards and feet between two nodes.
fn apart(a: usize, b: usize) -> (f64, f64) {
    let place = |k: usize| (BOARDS[k % BOARDS.len()], FEET[k / BOARDS.len()]);
    let ((x, y), (u, v)) = (place(a), place(b));
    (x - u, y - v)
}

/// The cell of an axis in which a place lies, and how far along; the nearest end beyond it.
fn between(axis: &[f64], at: f64) -> (usize, f64) {
    let k = axis[1..axis.len() - 1].iter().filter(|edge| at >= **edge).count();
    (k, ((at - axis[k]) / (axis[k + 1] - axis[k])).clamp(0.0, 1.0))
}

impl Unknowns {
    /// The worlds that stand for all, alike in weight: the same for the same seed. Their mean is what is said. One where
    /// nothing is unknown.
    pub fn worlds(&self, seed: u64) -> Vec<World> {
        if *self == Self::NONE {
            return vec![World::AS_SAID];
        }
        let drawn: Vec<World> = (0..WORLDS).map(|index| World::drawn(self, index, seed)).collect();
        let mean = *World::mean(&drawn).numbers();
        let centred = |world: World| world.with_numbers(core::array::from_fn(|k| world.numbers()[k] - mean[k]));
        drawn.into_iter().map(centred).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spread_over;

    #[test]
    fn law_worlds_are_spread_as_stated_and_a_few_stand_for_all() {
        let unknowns = Unknowns::default();
        let worlds = unknowns.worlds(7);
        let sd = |values: &[f64]| crate::mean_and_sd(values).1;
        let speeds: Vec<f64> = worlds.iter().map(|world| world.today(&Release::default()).speed.0).collect();
        assert!((sd(&speeds) - unknowns.speed.0).abs() < 0.02, "{}", sd(&speeds));
        let wear: Vec<f64> = worlds.iter().map(|world| world.wear(0).ln()).collect();
        assert!((sd(&wear) - unknowns.wear_log).abs() < 0.08, "{}", sd(&wear));
        // The first sixteen have nearly the mean of all.
        let some: Vec<f64> = spread_over(16, worlds.len()).map(|place| worlds[place].oil(0, 12.0, 22.0).ln()).collect();
        assert!(crate::mean_and_sd(&some).0.abs() < 0.08, "{:?}", crate::mean_and_sd(&some));
        assert_eq!(worlds, unknowns.worlds(7));
        assert_ne!(worlds, unknowns.worlds(8));
    }

    #[test]
    fn law_a_known_lane_is_the_same_in_every_world() {
        let worlds = Unknowns::default().with_known_lanes().worlds(1);
        assert!(worlds.iter().all(|world| world.oil(0, 10.0, 20.0) == 1.0 && world.tilt(1) == 0.0));
        assert!(worlds[0].today(&Release::default()) != worlds[1].today(&Release::default()));
        assert_eq!(Unknowns::NONE.worlds(1), [World::AS_SAID]);
    }
}
