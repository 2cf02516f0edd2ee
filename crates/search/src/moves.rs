//! A move: feet and eyes, in boards.

use crate::Hit;
use boardwise_lane::Release;
use boardwise_units::{Board, Degrees, Feet, math};

/// How far down the lane eyes aim: the arrows.
const ARROWS_FT: f64 = 15.0;

/// A change of where a bowler stands and looks, boards; positive away from the bowling hand ("in").
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Move {
    /// Feet: the board of laydown.
    pub feet_boards: f64,
    /// Eyes: the board looked at at the arrows, 15 ft.
    pub eyes_boards: f64,
}

impl Move {
    /// No move.
    pub const STAY: Self = Self { feet_boards: 0.0, eyes_boards: 0.0 };

    /// The usual answer to a hit: 2 and 1 in from a high one, 2 and 1 out from a light one (common practice, no source).
    pub fn usual(hit: Hit) -> Self {
        match hit {
            Hit::High | Hit::OtherSide => Self { feet_boards: 2.0, eyes_boards: 1.0 },
            Hit::Light => Self { feet_boards: -2.0, eyes_boards: -1.0 },
            Hit::Pocket | Hit::Gutter => Self::STAY,
        }
    }

    /// The release after the move; feet stay on the lane.
    #[must_use]
    pub fn of(&self, release: &Release) -> Release {
        let laydown = (release.laydown.0 + self.feet_boards).clamp(1.0, 39.0);
        pointed(release, Board(laydown), Board(aim(release).0 + self.eyes_boards), Feet(ARROWS_FT))
    }

    /// The move that leads from one release to another.
    pub fn between(from: &Release, to: &Release) -> Self {
        Self { feet_boards: to.laydown.0 - from.laydown.0, eyes_boards: aim(to).0 - aim(from).0 }
    }
}

/// The board a release points at, at the arrows.
pub fn aim(release: &Release) -> Board {
    let toward_hand_m = Feet(ARROWS_FT).to_metres() * math::tan(release.launch.to_radians());
    Board::from_metres(release.laydown.to_metres() + toward_hand_m)
}

/// How far off the lane a bowler would have to look for a release, boards: nobody looks at a board that is not there (common
/// practice, no source). A ball that hooks early crosses the arrows inside of what is looked at.
pub fn looks_off_lane_boards(release: &Release) -> f64 {
    const BOARDS: (f64, f64) = (1.0, 39.0);
    let look = aim(release).0;
    (BOARDS.0 - look).max(look - BOARDS.1).max(0.0)
}

/// The same release laid down on a board and pointed at one at some distance; at most 9 degrees to either side.
pub(crate) fn pointed(release: &Release, laydown: Board, target: Board, at: Feet) -> Release {
    let aimed = Release { laydown, ..*release }.aimed_at(target, at);
    Release { launch: Degrees(aimed.launch.0.clamp(-9.0, 9.0)), ..aimed }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_look_beside_the_lane_is_off_it_by_its_distance() {
        let at = |board: f64| looks_off_lane_boards(&Release::default().aimed_at(Board(board), Feet(ARROWS_FT)));
        assert_eq!((at(1.5), at(20.0), at(38.5)), (0.0, 0.0, 0.0));
        assert!((at(-0.5) - 1.5).abs() < 1e-9 && (at(40.0) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn law_a_move_leads_there_and_back() {
        let from = Release { laydown: Board(15.0), launch: Degrees(1.5), ..Release::default() };
        let there = Move { feet_boards: 3.0, eyes_boards: 1.5 };
        let to = there.of(&from);
        let told = Move::between(&from, &to);
        assert!((told.feet_boards - 3.0).abs() < 1e-9 && (told.eyes_boards - 1.5).abs() < 1e-9);
        let back = Move { feet_boards: -3.0, eyes_boards: -1.5 }.of(&to);
        assert!((back.launch.0 - from.launch.0).abs() < 1e-9);
        // Feet further in than eyes: the ball is sent out more.
        assert!(to.launch.0 > from.launch.0);
    }
}
