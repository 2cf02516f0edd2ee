//! The throw lab.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Form, LeaveView, LineAnswer, LineView, SideWord, ThrowAnswer, ThrowEnds};

/// The lanes of a question without any throw.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LabLanes {
    /// Form of this answer.
    pub schema: Form,
    /// Lane by lane.
    pub lanes: Vec<LanePictured>,
}

/// A lane's picture, and where on it a hand drags.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LanePictured {
    /// Form of this answer.
    pub schema: Form,
    /// Name of the lane.
    pub lane: String,
    /// The picture, SVG.
    pub svg: String,
    /// Where a hand drags.
    pub rails: LabRails,
}

/// Where boards 1 and 39 lie in a lane's picture, in its units: x, then y.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LabRails {
    /// At the foul line.
    pub laydown: [[f64; 2]; 2],
    /// At the arrows.
    pub target: [[f64; 2]; 2],
    /// At the head pin's row.
    pub pins: [[f64; 2]; 2],
}

/// Where the edges of a lane lie in its picture from above, in its units.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LookRails {
    /// Boards 1 and 39 as the lane's file counts them: x.
    pub boards: [f64; 2],
    /// 0 and 60 ft: y.
    pub feet: [f64; 2],
}

/// The throws of a question.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LabThrows {
    /// Form of this answer.
    pub schema: Form,
    /// The question as the parts of a link, with nothing left to the bowler's own.
    pub question: Vec<(&'static str, String)>,
    /// Launch angle, degrees, positive toward the bowling-hand gutter.
    pub launch_deg: f64,
    /// The bowler.
    pub bowler: String,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// Lane by lane.
    pub lanes: Vec<LabLane>,
}

/// What is thrown on a lane.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LabLane {
    /// Name of the lane.
    pub lane: String,
    /// What moves in its picture, SVG.
    pub overlay: String,
    /// Ball by ball.
    pub balls: Vec<LabBall>,
}

/// A ball's throw as meant, and what the bowler's shots at it come to.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LabBall {
    /// Where the throw as meant turns, leaves the oil and ends.
    #[serde(flatten)]
    pub ends: ThrowEnds,
    /// Percentage of strikes.
    pub strike_pct: f64,
    /// Its standard error.
    pub strike_se_pct: f64,
    /// Percentage of splits.
    pub split_pct: f64,
    /// The likeliest leaves in words.
    pub likely: String,
    /// What the shots leave, commonest first.
    pub leaves: Vec<LeaveView>,
    /// Percentage of shots that come in beyond the carry table, whose edge answers.
    pub beyond_table_pct: f64,
    /// Shots behind these numbers.
    pub shots: u32,
}

/// The throws of a question in full, as a file to keep.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LabFile {
    /// Form of this answer.
    pub schema: Form,
    /// Lane by lane.
    pub lanes: Vec<ThrowAnswer>,
}

/// Lines for a ball on a lane, with what puts each into the lab.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LabLines {
    /// What `line` says, with more for each line.
    #[serde(flatten)]
    pub found: LineAnswer<LabLine>,
    /// The map of strikes over laydown and launch, SVG.
    pub map: String,
}

/// A line with what puts it into the lab.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LabLine {
    /// The line.
    #[serde(flatten)]
    pub line: LineView,
    /// Board pointed at, at the arrows.
    pub target: f64,
    /// The commonest misses in words.
    pub misses_words: String,
}

/// A throw with everything that it needs, to be opened on another machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LabParcel {
    /// The number of its form: 1.
    pub schema: u32,
    /// The question as the parts of a link.
    pub question: Vec<(String, String)>,
    /// The files that it names.
    pub files: Vec<LabParcelFile>,
}

/// A file of a parcel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LabParcelFile {
    /// The shelf it stands on: lane, bowler or bag.
    pub shelf: String,
    /// Its name.
    pub id: String,
    /// What it says.
    pub text: String,
}
