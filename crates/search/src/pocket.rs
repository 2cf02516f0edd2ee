//! What a finish is worth, and the simplest answer: whether it is in the pocket.

use crate::{FirstBall, Throw};
use boardwise_lane::{Finish, Side};
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

/// The board a ball comes in on; for one that was lost in a gutter, the lane's edge on that side.
pub fn came_in(finish: &Finish) -> f64 {
    match (finish.touch, finish.gutter) {
        (Some(touch), _) => touch.board().0,
        (None, Some((_, Side::Away))) => 39.5,
        (None, _) => 0.5,
    }
}

/// Nobody's ball is meant to go nearer to the gutter than this, at the arrows and where it turns (common practice, no source:
/// "straight up 5, 3 or 2", and "breakpoints on boards 1 to 5" on the shortest oil). It crosses the arrows about a board inside
/// of what the bowler looks at.
const OUTERMOST_ARROWS: f64 = 2.0;
const OUTERMOST_BREAKPOINT: f64 = 1.0;

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
    /// Worth where a set of the pins' constants holds ([`crate::World::pins`]), as far as the payoff knows of pins.
    fn worth_in(&self, finish: &Finish, _pins: Option<u32>) -> f64 {
        self.worth(finish)
    }
    /// Whether this is a hit of what was aimed at. What others are worth is luck: a forecast counts it, and no line is chosen
    /// by it.
    fn is_meant(&self, _finish: &Finish) -> bool {
        true
    }
    /// How far a shot as meant is from what it may be aimed at, boards; nothing where it may be aimed anywhere.
    fn off_aim_boards(&self, _finish: &Finish) -> f64 {
        0.0
    }
    /// What these throws leave at a full rack, where the payoff knows.
    fn first_ball(&self, _throws: &[Throw]) -> Option<FirstBall> {
        None
    }
}

impl Pocket {
    /// How far a shot as meant is from what a bowler aims at, boards: nothing if it comes in at the pocket and keeps off the
    /// gutter on the way, the width of the lane for a ball that does not meet the head pin first.
    pub fn off_boards(&self, finish: &Finish) -> f64 {
        let first = finish.touch.filter(|touch| touch.pin == 1 && finish.gutter.is_none());
        first.map_or(39.0, |touch| {
            let board = touch.board().0;
            let off_pocket = (self.light.0 - board).max(board - self.high.0);
            let near_gutter =
                (OUTERMOST_ARROWS - finish.arrows.0).max(OUTERMOST_BREAKPOINT - finish.breakpoint.board.0);
            off_pocket.max(near_gutter).max(0.0)
        })
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

    fn off_aim_boards(&self, finish: &Finish) -> f64 {
        self.off_boards(finish)
    }

    fn counts(&self) -> &'static str {
        "in the pocket"
    }
}
