//! The evening before an event: what `brief` says.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Form, LineMeantView, MeanSd, MissRoomView, PlaceView, ShiftView, SideWord};

/// Where to start, what a miss does, which balls to have, which moves to expect, what to practise, and the spares.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BriefAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// Name of the event.
    pub event: String,
    /// The bowler.
    pub bowler: String,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// What to do, in a sentence.
    pub verdict: String,
    /// How sure that is.
    pub doubt: String,
    /// Why, sentence by sentence.
    pub reasons: Vec<String>,
    /// Where to start, lane by lane.
    pub starts: Vec<BriefStart>,
    /// The balls to have, the one to start with first.
    pub balls: Vec<BriefBall>,
    /// The ball for spares, which comes on top; null if the bag has none.
    pub spare_ball: Option<String>,
    /// The moves to expect, lane by lane.
    pub ahead: Vec<BriefLane>,
    /// The practice throws, in order.
    pub practice: Vec<BriefShot>,
    /// How to make what the first line leaves most.
    pub spares: Vec<BriefSpare>,
    /// What to take care of.
    pub cautions: Vec<String>,
    /// Time it took, seconds.
    pub seconds: f64,
}

/// Where to stand and look.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StandAndLook {
    /// Board to slide on, by the inner edge of the slide foot.
    pub slide_board: f64,
    /// Board to look at, at the arrows.
    pub look_board: f64,
    /// The line.
    pub line: LineMeantView,
}

/// Where to start on a lane.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BriefStart {
    /// Number of the lane.
    pub lane: u32,
    /// Its pattern.
    pub pattern: String,
    /// The ball, by its id.
    pub ball: String,
    /// Where to stand and look, with the usual hand.
    #[serde(flatten)]
    pub at: StandAndLook,
    /// Percentage of strikes, over what the lanes may be like.
    pub strike_pct: MeanSd,
    /// Board a good throw comes in on.
    pub comes_in_board: MeanSd,
    /// Where it turns, of the throw as meant; null where the event states the line.
    pub breakpoint: Option<PlaceView>,
    /// By how much a throw may be off; null where the event states the line.
    pub miss_room: Option<MissRoomView>,
    /// What misses do.
    pub misses: Vec<BriefMiss>,
}

/// A miss and what it does.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BriefMiss {
    /// What was off, in words.
    pub off: String,
    /// Percentage of strikes then.
    pub strike_pct: MeanSd,
    /// Board it comes in on.
    pub comes_in_board: MeanSd,
    /// What it does, in words.
    pub says: String,
}

/// A ball to have.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BriefBall {
    /// The ball, by its id.
    pub ball: String,
    /// With its finish, in words.
    pub words: String,
    /// Why, in words.
    pub why: String,
    /// Where to start with it on each fresh lane; null where it finds no pocket there.
    pub fresh: Vec<Option<BriefBallLine>>,
}

/// A ball on a fresh lane.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BriefBallLine {
    /// Number of the lane.
    pub lane: u32,
    /// Where to stand and look.
    #[serde(flatten)]
    pub at: StandAndLook,
    /// Percentage of strikes.
    pub strike_pct: MeanSd,
}

/// The moves to expect on a lane.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BriefLane {
    /// Number of the lane.
    pub lane: u32,
    /// Look by look.
    pub stages: Vec<BriefStage>,
}

/// A look at a lane.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BriefStage {
    /// Games that everybody has bowled by then; 0 after practice.
    pub games: u32,
    /// The ball, by its id.
    pub ball: String,
    /// Where to stand and look.
    #[serde(flatten)]
    pub at: StandAndLook,
    /// The move from the line before.
    pub moved: ShiftView,
    /// What to expect, in words.
    pub says: String,
    /// Percentage of strikes there.
    pub strike_pct: MeanSd,
    /// Percentage of strikes for who stays where they were.
    pub stay_strike_pct: MeanSd,
}

/// A throw of the practice.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BriefShot {
    /// Number of the lane.
    pub lane: u32,
    /// The ball, by its id.
    pub ball: String,
    /// Where to stand and look.
    #[serde(flatten)]
    pub at: StandAndLook,
    /// Board it comes in on, over what the lanes may be like.
    pub comes_in_board: MeanSd,
    /// The move it asks for if it comes in higher, in words.
    pub if_high: String,
    /// The move it asks for if it comes in lighter, in words.
    pub if_light: String,
}

/// How to make a leave.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BriefSpare {
    /// Number of the lane; null for both.
    pub lane: Option<u32>,
    /// Numbers of the pins that stand.
    pub pins: Vec<u8>,
    /// Percentage of first balls that leave them.
    pub pct: f64,
    /// Where to stand and look, with the ball for spares.
    #[serde(flatten)]
    pub at: StandAndLook,
    /// How often it is made, percent.
    pub make_pct: f64,
}
