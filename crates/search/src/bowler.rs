//! The bowler: the release they have, how it varies, and what they can do on purpose.

use crate::{BowlerError, Spread, World};
use boardwise_lane::Release;
use boardwise_units::{Board, Degrees, Hand, Mph};

/// Boards from the slide foot's inner edge to the middle of the ball where a file does not say (common practice, no source).
pub const USUAL_SLIDE_OFFSET_BOARDS: f64 = 6.0;

/// A bowler, as the search needs them.
#[derive(Clone, Debug, PartialEq)]
pub struct Bowler {
    /// What to call them.
    pub name: String,
    /// The hand that bowls.
    pub hand: Hand,
    /// The usual release; its laydown and launch are only a starting point.
    pub release: Release,
    /// How shots meant alike differ.
    pub spread: Spread,
    /// What they can do on purpose.
    pub range: Range,
    /// From the inner edge of the slide foot to the middle of the ball, boards: what lies between the board to slide on and
    /// the board of laydown. Five to seven with most bowlers (common practice, no source).
    pub slide_offset_boards: f64,
    /// How they throw at spares, if they say; its laydown and launch are only a starting point.
    pub spare_release: Option<Release>,
}

/// A bowler who throws otherwise than usual, or opens up the lane, throws less consistently: the spread grows by this share
/// for each half mile an hour, for each eight degrees of rotation, and for each degree of launch beyond two (our judgement;
/// that it grows is common practice, no source).
const LOOSER: f64 = 0.08;
const LOOSER_MPH: f64 = 0.5;
const LOOSER_DEG: f64 = 8.0;
const STRAIGHT_DEG: f64 = 2.0;

/// What a bowler can change on purpose, lowest to highest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Release speeds.
    pub speed: (Mph, Mph),
    /// Axis rotations.
    pub rotation: (Degrees, Degrees),
}

impl Bowler {
    /// A typical bowler of this hand: the usual release and spread, and a mile an hour and fifteen degrees of rotation to
    /// either side on purpose (our judgement).
    pub fn usual(hand: Hand) -> Self {
        let release = Release::default();
        let (speed, rotation) = (release.speed.0, release.rotation.0);
        Self {
            name: "a typical bowler".into(),
            hand,
            release,
            spread: Spread::default(),
            range: Range {
                speed: (Mph(speed - 1.0), Mph(speed + 1.0)),
                rotation: (Degrees(rotation - 15.0), Degrees(rotation + 15.0)),
            },
            slide_offset_boards: USUAL_SLIDE_OFFSET_BOARDS,
            spare_release: None,
        }
    }

    /// Spread of a shot meant so over the bowler's usual one: 1 for a fairly straight shot with the usual hand, more the
    /// further speed and rotation are from it and the more the shot opens up the lane.
    pub fn looseness(&self, meant: &Release) -> f64 {
        let speed = (meant.speed.0 - self.release.speed.0).abs() / LOOSER_MPH;
        let hand = (meant.rotation.0 - self.release.rotation.0).abs() / LOOSER_DEG;
        let open = (meant.launch.0.abs() - STRAIGHT_DEG).max(0.0);
        1.0 + LOOSER * (speed + hand + open)
    }

    /// The releases of a shot meant so in a world, one for each deviation (in standard deviations).
    pub fn thrown(&self, meant: &Release, world: &World, offs: &[[f64; 6]]) -> impl Iterator<Item = Release> {
        let (today, wide) = (world.today(meant), world.spread() * self.looseness(meant));
        offs.iter().map(move |off| self.spread.apply(&today, &off.map(|z| z * wide)))
    }

    /// The same bowler at spares: with the release they have for them, or with the least rotation they can do, and no
    /// other.
    #[must_use]
    pub fn at_spares(&self) -> Self {
        let own = Release { rotation: self.range.rotation.0, ..self.release };
        let release = self.spare_release.unwrap_or(own);
        let range = Range { speed: (release.speed, release.speed), rotation: (release.rotation, release.rotation) };
        Self { release, range, ..self.clone() }
    }

    /// The board to slide on for a laydown, by the inner edge of the slide foot. It may lie beyond the lane's last board: the approach is wider.
    pub fn slide_board(&self, laydown: Board) -> Board {
        Board(laydown.0 + self.slide_offset_boards)
    }

    /// Checks the release, the spread and that the ranges hold the bowler's own values.
    ///
    /// # Errors
    /// At the first value that cannot be; the error names it and what is allowed.
    pub fn check(&self) -> Result<(), BowlerError> {
        self.release.check()?;
        self.spread.check()?;
        let (key, value) = ("slide_offset_boards", self.slide_offset_boards);
        if !(-15.0..=15.0).contains(&value) {
            return Err(BowlerError::Value { key, value, low: -15.0, high: 15.0 });
        }
        let ranges = [
            ("speed_mph", self.range.speed.0.0, self.range.speed.1.0, self.release.speed.0, 5.0, 40.0),
            ("rotation_deg", self.range.rotation.0.0, self.range.rotation.1.0, self.release.rotation.0, -30.0, 120.0),
        ];
        for (key, low, high, own, least, most) in ranges {
            for value in [low, high] {
                if !(least..=most).contains(&value) {
                    return Err(BowlerError::Value { key, value, low: least, high: most });
                }
            }
            if !(low..=high).contains(&own) {
                return Err(BowlerError::RangeWithout { key, low, high, own });
            }
        }
        Ok(())
    }
}
