//! What a game of such first balls comes to.

use crate::FirstBall;
use boardwise_pins::spare::Second;
use boardwise_score::{Forecast, Game, Leave, LeaveRate, Scoring, Skill};

/// A game of ten frames, all bowled on one line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GameScore {
    /// Mean score.
    pub mean: f64,
    /// Standard error of the mean from that of the strikes; what the model does not know comes on top.
    pub error: f64,
    /// Standard deviation from game to game.
    pub sd: f64,
    /// Share of the leaves that the second ball makes.
    pub conversion: f64,
}

impl GameScore {
    /// The exact distribution's mean and deviation, by dynamic programming over frames: strikes and leaves of the first
    /// ball, `second` at each leave.
    ///
    /// # Errors
    /// If a chance is none, such as one that is not a number.
    pub fn of(first: &FirstBall, second: impl Fn(Leave) -> Second) -> Result<Self, boardwise_score::Error> {
        let rates: Vec<(Leave, f64, Second)> =
            first.leaves.iter().map(|l| (l.leave, l.share, second(l.leave))).collect();
        let fresh = Game::new(Scoring::Traditional);
        let scores = |strike: f64| -> Result<_, boardwise_score::Error> {
            let others = 1.0 - first.strike;
            let scale = if others > 0.0 { (1.0 - strike) / others } else { 0.0 };
            let leaves = rates.iter().map(|&(leave, share, second)| rate(leave, share * scale, second));
            let skill = Skill::new(strike, leaves.collect::<Result<_, _>>()?)?;
            Ok(Forecast::new(&skill).of(&fresh))
        };
        let game = scores(first.strike)?;
        let error = if first.leaves.is_empty() {
            0.0
        } else {
            // Toward the middle, so that the step stays inside 0 to 1.
            let step = if first.strike > 0.5 { -STEP } else { STEP };
            (scores(first.strike + step)?.mean() - game.mean()) / step * first.strike_error
        };
        let missed: f64 = rates.iter().map(|(_, share, second)| share * (1.0 - second.make)).sum();
        let all: f64 = rates.iter().map(|(_, share, _)| share).sum();
        let conversion = if all > 0.0 { 1.0 - missed / all } else { 1.0 };
        Ok(Self { mean: game.mean(), error: error.abs(), sd: game.sd(), conversion })
    }
}

/// Strikes more or less, to see how much the score moves with them.
const STEP: f64 = 0.01;

/// A leave's rate with what a miss takes: its mean number of pins, split between the two whole numbers around it.
fn rate(leave: Leave, share: f64, second: Second) -> Result<LeaveRate, boardwise_score::Error> {
    let standing = usize::from(leave.pins().len());
    let make = second.make.clamp(0.0, 1.0);
    let missed = if make < 1.0 { (second.down - make * standing as f64) / (1.0 - make) } else { 0.0 };
    let missed = missed.clamp(0.0, standing as f64 - 1.0);
    let mut chances = [0.0; 10];
    let low = missed as usize;
    chances[low] = 1.0 - (missed - low as f64);
    if missed > low as f64 {
        chances[low + 1] = missed - low as f64;
    }
    LeaveRate::of(leave, share, make)?.missed(&chances[..standing])
}
