//! A lane read, and one throw followed to the pins.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Form, LeaveView, PlaceView, SideWord};

/// A lane: what `read` says of it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ReadAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// Name of the lane.
    pub lane: String,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// Length of the pattern, feet; null for a lane known by its friction, as are all that follow of the oil.
    pub length_ft: Option<f64>,
    /// Oil in all, millilitres.
    pub volume_ml: Option<f64>,
    /// Oil of boards 18 to 22 over that of boards 3 to 7 of both sides; null where no oil lies outside.
    pub ratio: Option<f64>,
    /// Board at which the ball should leave the oil, by the rule of 31.
    pub exit_board: Option<f64>,
    /// The oil by distance and board.
    pub film: Option<FilmTable>,
    /// Friction by distance and board; null where the lane is known by its oil.
    pub friction: Option<FrictionTable>,
}

/// Oil by distance and board.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FilmTable {
    /// Distances, feet.
    pub feet: Vec<f64>,
    /// Units of oil on boards 1 to 39 at each distance.
    pub units: Vec<Vec<f64>>,
}

/// Friction by distance and board.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FrictionTable {
    /// Distances, feet.
    pub feet: Vec<f64>,
    /// Coefficient of friction on boards 1 to 39 at each distance.
    pub mu: Vec<Vec<f64>>,
}

/// One release, thrown with one ball or several.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThrowAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// Name of the lane.
    pub lane: String,
    /// The bowler.
    pub bowler: String,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// The release.
    pub release: ReleaseView,
    /// What came of it.
    #[serde(flatten)]
    pub thrown: Thrown,
}

/// A single throw's keys stand in the answer itself; several throws stand in a list.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Thrown {
    /// One ball.
    One(Box<OneThrow>),
    /// Several.
    Several {
        /// Ball by ball, in the order asked.
        throws: Vec<OneThrow>,
    },
}

/// A release.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ReleaseView {
    /// Board of laydown.
    pub laydown: f64,
    /// Launch angle, degrees, positive toward the bowling-hand gutter.
    pub launch_deg: f64,
    /// Speed, mph.
    pub speed_mph: f64,
    /// Rev rate, rpm.
    pub rev_rate_rpm: f64,
    /// Axis rotation, degrees.
    pub rotation_deg: f64,
    /// Axis tilt, degrees.
    pub tilt_deg: f64,
    /// Loft, feet.
    pub loft_ft: f64,
}

/// A throw with its path foot by foot and what it leaves.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OneThrow {
    /// Where it turns, leaves the oil and ends.
    #[serde(flatten)]
    pub ends: ThrowEnds,
    /// Percentage of strikes of the throw as meant, by the carry table.
    pub strike_pct: f64,
    /// What it leaves, commonest first.
    pub leaves: Vec<LeaveView>,
    /// A row for each foot from 0 to 60, as if no pin stood.
    pub path: Vec<PathPoint>,
}

/// Where a throw turns, leaves the oil and ends.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThrowEnds {
    /// The ball, by its id.
    pub ball: String,
    /// Its finish in words.
    pub finish: Option<String>,
    /// How it comes to the pins; null if it reaches none.
    pub entry: Option<EntryView>,
    /// Where it drops into a gutter; null if it stays on the lane.
    pub gutter: Option<GutterView>,
    /// Closest to the bowling-hand gutter.
    pub breakpoint: PlaceView,
    /// At the pattern's end; null where there is no pattern.
    pub exit: Option<PlaceView>,
    /// At the arrows, 15 ft; null if it does not get there.
    pub arrows: Option<PlaceView>,
    /// Feet at which it begins to roll; null if it never does.
    pub roll_feet: Option<f64>,
    /// Time until it ends, seconds.
    pub time_s: f64,
}

/// How a ball comes to the pins.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct EntryView {
    /// Board at which its line of entry crosses the head pin's row.
    pub board: f64,
    /// Angle, degrees, positive from the hand side toward the pocket.
    pub angle_deg: f64,
    /// Speed at first contact, mph.
    pub speed_mph: f64,
    /// Distance of the head pin's row, feet.
    pub feet: f64,
    /// Number of the pin touched first.
    pub first_pin: u8,
}

/// A ball that drops into a gutter.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GutterView {
    /// Where, feet.
    pub feet: f64,
    /// Which one, as seen from the bowling hand.
    pub side: GutterSide,
}

/// A gutter, as seen from the bowling hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum GutterSide {
    /// On the bowling-hand side.
    Hand,
    /// On the other.
    Away,
}

impl From<boardwise_lane::Side> for GutterSide {
    fn from(side: boardwise_lane::Side) -> Self {
        match side {
            boardwise_lane::Side::Hand => Self::Hand,
            boardwise_lane::Side::Away => Self::Away,
        }
    }
}

/// A ball on its way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PathPoint {
    /// Feet from the foul line.
    pub feet: f64,
    /// Board.
    pub board: f64,
    /// Direction, degrees, positive away from the hand side.
    pub angle_deg: f64,
    /// Speed, mph.
    pub speed_mph: f64,
    /// Rev rate, rpm.
    pub rev_rate_rpm: f64,
    /// Speed at which its foot slips on the lane, metres per second.
    pub slip_mps: f64,
    /// Coefficient of friction under it.
    pub friction: f64,
}
