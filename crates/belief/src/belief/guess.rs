//! A guess of what the lanes and the bowler are like today, and the spread of guesses before any shot.

use boardwise_lane::{Coating, Field, Film, Lane, Release, Shape};
use boardwise_units::stream::Stream;
use boardwise_units::{Degrees, Mph, Rpm, math};

/// Boards and feet of the coarse grid on which oil is guessed.
const BOARDS: [f64; 5] = [4.0, 12.0, 20.0, 28.0, 36.0];
const FEET: [f64; 3] = [6.0, 22.0, 38.0];
const NODES: usize = BOARDS.len() * FEET.len();
/// Numbers that describe one lane: oil at the nodes, friction, wear, tilt.
const LANE: usize = NODES + 3;
/// Numbers that describe the bowler today: speed, launch, rev rate, spread.
const BOWLER: usize = 4;
/// Numbers of a guess.
pub(super) const SIZE: usize = 2 * LANE + BOWLER;

/// How far lanes and bowlers differ from what is told of them, as standard deviations (our judgement; no published values were found).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// Logarithm of the oil everywhere over the pattern's.
    pub oil_log: f64,
    /// Logarithm of the oil at a place over that, alike within about ten boards and fifteen feet.
    pub place_log: f64,
    /// Logarithm of the dry friction.
    pub friction_log: f64,
    /// Logarithm of how fast the lane wears.
    pub wear_log: f64,
    /// Slope across the lane; the steepest legal one is 9.6e-4 \[C from S\].
    pub tilt: f64,
    /// Share of all that which the two lanes of a pair have in common.
    pub common: f64,
    /// Today's speed over the usual.
    pub speed: Mph,
    /// Today's launch over what is meant.
    pub launch: Degrees,
    /// Today's rev rate over the usual.
    pub rev_rate: Rpm,
    /// Logarithm of today's spread over the usual.
    pub spread_log: f64,
}

impl Default for Prior {
    /// Wider than we take lanes and bowlers to be, by as much as made 80% intervals hold in simulated blocks whose lanes are off in ways that no guess
    /// has words for (docs/belief.md).
    fn default() -> Self {
        Self {
            oil_log: 0.10,
            place_log: 0.15,
            friction_log: 0.075,
            wear_log: 0.4,
            tilt: 2.5e-4,
            common: 0.5,
            speed: Mph(0.25),
            launch: Degrees(0.12),
            rev_rate: Rpm(10.0),
            spread_log: 0.19,
        }
    }
}

/// One guess. Everything is told as a departure from what the pattern and the bowler's file say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guess {
    pub(super) numbers: [f64; SIZE],
}

impl Guess {
    /// No departure at all.
    pub const AS_TOLD: Self = Self { numbers: [0.0; SIZE] };

    /// A guess drawn from the prior.
    pub fn drawn(prior: &Prior, stream: &mut Stream) -> Self {
        let mut numbers = [0.0; SIZE];
        let common = lane_numbers(prior, stream);
        for lane in 0..2 {
            let own = lane_numbers(prior, stream);
            let shares = (math::sqrt(prior.common), math::sqrt(1.0 - prior.common));
            for k in 0..LANE {
                numbers[lane * LANE + k] = shares.0 * common[k] + shares.1 * own[k];
            }
        }
        let sds = [prior.speed.0, prior.launch.0, prior.rev_rate.0, prior.spread_log];
        for (number, sd) in numbers[2 * LANE..].iter_mut().zip(sds) {
            *number = sd * stream.normal();
        }
        Self { numbers }
    }

    /// Oil at a place over what the pattern and the wear so far say.
    pub fn oil(&self, lane: usize, board: f64, feet: f64) -> f64 {
        let nodes = &self.numbers[lane * LANE..lane * LANE + NODES];
        let ((i, s), (j, t)) = (between(&BOARDS, board), between(&FEET, feet));
        let row = |j: usize| nodes[j * BOARDS.len() + i] * (1.0 - s) + nodes[j * BOARDS.len() + i + 1] * s;
        math::exp(row(j) * (1.0 - t) + row(j + 1) * t)
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
        self.numbers[lane * LANE + NODES + 2]
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

    /// The lane as guessed, given it fresh and as it is worn if everything is as told.
    pub fn lane(&self, lane: usize, fresh: &Lane, now: &Lane) -> Lane {
        let coating = match (&fresh.coating, &now.coating) {
            (Coating::Oil(before), Coating::Oil(after)) => {
                let wear = self.wear(lane);
                let thickness_m = Field::from_nodes(|column, row| {
                    let (was, is) = (before.thickness_m.row(row)[column], after.thickness_m.row(row)[column]);
                    let worn = if (is - was).abs() <= 1e-6 * was {
                        is
                    } else if was > 1e-9 && is < was {
                        was * math::pow(is / was, wear)
                    } else {
                        was + (is - was) * wear
                    };
                    // Most of a lane has no oil that there could be more or less of.
                    if worn == 0.0 { worn } else { worn * self.oil(lane, Field::board(column).0, Field::feet(row).0) }
                });
                Coating::Oil(Film { thickness_m, length: after.length })
            }
            (_, given) => given.clone(),
        };
        let tilt = self.tilt(lane);
        let shape = if tilt == 0.0 {
            now.shape.clone()
        } else {
            let level = || Field::constant(0.0);
            let known = now.shape.clone().unwrap_or_else(|| Shape { across: level(), along: level() });
            Some(Shape { across: known.across.map(|rise| rise + tilt), along: known.along })
        };
        Lane { coating, shape, ..now.clone() }
    }
}

/// One lane's numbers: places alike where they lie close.
fn lane_numbers(prior: &Prior, stream: &mut Stream) -> [f64; LANE] {
    let mut numbers = [0.0; LANE];
    let whole = prior.oil_log * stream.normal();
    // Independent draws smoothed over their neighbours and scaled back to the deviation meant.
    let draws: [f64; NODES] = core::array::from_fn(|_| stream.normal());
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
    numbers[NODES] = prior.friction_log * stream.normal();
    numbers[NODES + 1] = prior.wear_log * stream.normal();
    numbers[NODES + 2] = prior.tilt * stream.normal();
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
