//! What was seen of a shot, and how likely a throw would have shown it.

use boardwise_lane::{Finish, Release};
use boardwise_score::PinSet;
use boardwise_search::{Hit, Payoff, Spread, Strikes};
use boardwise_units::Board;

/// How a throw felt to the bowler.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feel {
    /// As meant.
    Good,
    /// Faster than meant.
    Fast,
    /// Slower than meant.
    Slow,
    /// Inside of the target.
    In,
    /// Outside of the target.
    Out,
    /// The hand came late: less hand than meant.
    HandLate,
}

/// A first ball as it was seen. Only what stands must be known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Lane of the pair, 0 or 1.
    pub lane: usize,
    /// The ball, by its place in the bag.
    pub ball: usize,
    /// What the bowler meant to throw.
    pub meant: Release,
    /// What stood afterwards, as the bowler sees the pins.
    pub standing: PinSet,
    /// How it hit, if seen.
    pub hit: Option<Hit>,
    /// Board at the arrows, if seen.
    pub arrows: Option<Board>,
    /// Board of the breakpoint, if seen.
    pub breakpoint: Option<Board>,
    /// How it felt, if told.
    pub feel: Option<Feel>,
}

/// How well people see boards, as standard deviations (our judgement).
const ARROWS_BOARDS: f64 = 0.5;
const BREAKPOINT_BOARDS: f64 = 1.2;
/// How often what is seen has another cause than any world holds: no single shot may decide.
const SURPRISE: f64 = 0.02;
/// How often a hit is called otherwise than it was.
const MISCALLED: f64 = 0.15;

impl Seen {
    /// How likely a throw that finished so, with these deviations from what was meant (in standard deviations), would be seen so.
    pub(super) fn likelihood(&self, strikes: &Strikes<'_>, finish: &Finish, off: &[f64; 6]) -> f64 {
        let leave = strikes.chance_of(finish, self.standing);
        let hit = match self.hit {
            None => 1.0,
            Some(hit) if hit == strikes.hit(finish) => 1.0 - MISCALLED,
            Some(_) => MISCALLED / 4.0,
        };
        let near = |seen: Option<Board>, is: Board, sd: f64| {
            seen.map_or(1.0, |seen| (-0.5 * ((seen.0 - is.0) / sd).powi(2)).exp())
        };
        let arrows = near(self.arrows, finish.arrows, ARROWS_BOARDS);
        let breakpoint = near(self.breakpoint, finish.breakpoint.board, BREAKPOINT_BOARDS);
        leave * hit * arrows * breakpoint * self.felt(off)
    }

    /// How likely deviations are felt so. Deviations are in the order of a spread: laydown, launch, speed, rev rate, rotation, tilt.
    fn felt(&self, off: &[f64; 6]) -> f64 {
        // Out is toward the hand, which launch counts as positive.
        let toward = |k: usize, sign: f64| (-0.5 * ((sign * off[k] - 1.2) / 0.9).powi(2)).exp();
        match self.feel {
            None => 1.0,
            Some(Feel::Good) => (-0.5 * off.iter().take(4).map(|z| (z / 1.1).powi(2)).sum::<f64>()).exp(),
            Some(Feel::Fast) => toward(2, 1.0),
            Some(Feel::Slow) => toward(2, -1.0),
            Some(Feel::Out) => toward(1, 1.0),
            Some(Feel::In) => toward(1, -1.0),
            Some(Feel::HandLate) => toward(3, -1.0),
        }
    }
}

/// How likely a board is seen at the arrows where shots pass on another in the mean.
pub(super) fn arrows_likelihood(seen: Board, mean: f64, spread: &Spread) -> f64 {
    // Launch moves the board at 15 ft by 2.95 boards a degree.
    let stray = spread.laydown_boards.hypot(2.95 * spread.launch.0).hypot(ARROWS_BOARDS);
    (-0.5 * ((seen.0 - mean) / stray).powi(2)).exp()
}

/// The likelihood of a shot by a world, with a floor for what no world foresees; `typical` is its mean over the worlds.
pub(super) fn with_surprise(likelihood: f64, typical: f64) -> f64 {
    (1.0 - SURPRISE) * likelihood + SURPRISE * typical
}
