//! What a finish is worth, and the simplest answer: whether it is in the pocket.

use crate::FirstBall;
use boardwise_lane::Finish;
use boardwise_units::Board;

/// How a ball met the rack, seen by a bowler.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hit {
    /// Head pin first, inside the pocket.
    Pocket,
    /// Head pin first or missed to the far side of the pocket: too much hook.
    High,
    /// Short of the pocket on the bowling-hand side: too little hook.
    Light,
    /// Head pin from the far side.
    OtherSide,
    /// Into a gutter, on either side.
    Gutter,
}

/// The entry boards that count as the pocket, until pins say what carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pocket {
    /// Lightest entry board.
    pub light: Board,
    /// Highest entry board.
    pub high: Board,
}

impl Default for Pocket {
    /// Boards 16.5 to 18.5 at the head pin's row.
    fn default() -> Self {
        Self { light: Board(16.5), high: Board(18.5) }
    }
}

/// Turns a finish into a hit and what it is worth.
pub trait Payoff: Sync {
    /// What kind of hit this was.
    fn hit(&self, finish: &Finish) -> Hit;
    /// Worth between 0 and 1: the chance of the outcome looked for.
    fn worth(&self, finish: &Finish) -> f64;
    /// What the worth is a share of, in a few words.
    fn counts(&self) -> &'static str;
    /// Whether the finish did what was meant: the measure of miss room.
    fn as_meant(&self, finish: &Finish) -> bool {
        self.hit(finish) == Hit::Pocket
    }
    /// What these finishes leave at a full rack, where the payoff knows.
    fn first_ball(&self, _finishes: &[Finish]) -> Option<FirstBall> {
        None
    }
}

impl Payoff for Pocket {
    fn hit(&self, finish: &Finish) -> Hit {
        if finish.gutter.is_some() {
            return Hit::Gutter;
        }
        let Some(touch) = finish.touch else {
            return Hit::Light;
        };
        let board = touch.board().0;
        if touch.pin == 1 && (self.light.0..=self.high.0).contains(&board) {
            Hit::Pocket
        } else if board < self.light.0 {
            Hit::Light
        } else if board <= 20.0 {
            Hit::High
        } else {
            Hit::OtherSide
        }
    }

    fn worth(&self, finish: &Finish) -> f64 {
        if self.hit(finish) == Hit::Pocket { 1.0 } else { 0.0 }
    }
    fn counts(&self) -> &'static str {
        "in the pocket"
    }
}
