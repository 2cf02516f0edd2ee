//! Lines for full racks and for spares, and what an entry carries.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Form, LeaveView, MissRoomView, PinsShare, PlaceView, SideWord};

/// Lines worth playing: what `line` finds. The throw lab has more to say of each line, and fills `L` with that.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "LineAnswer")]
pub struct LineAnswer<L = LineView> {
    /// Form of this answer.
    pub schema: Form,
    /// Name of the lane.
    pub lane: String,
    /// The bowler.
    pub bowler: String,
    /// The ball, by its id.
    pub ball: String,
    /// Its finish in words.
    pub finish: Option<String>,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// The lines, best first.
    pub lines: Vec<L>,
    /// Lines with another speed or rotation that strike clearly more often.
    pub other_hands: Vec<LineView>,
    /// The ball that spares are thrown with; null if the bag has none.
    pub spare_ball: Option<String>,
    /// Throws made in all.
    pub throws: u64,
    /// Time it took, seconds.
    pub seconds: f64,
}

/// A line: what to do, and what comes of it with this bowler's spread.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LineView {
    /// Place among the lines, from 1; lines within each other's error share one.
    pub rank: usize,
    /// Board under the inner edge of the slide foot.
    pub slide_board: f64,
    /// Board of laydown.
    pub laydown: f64,
    /// Launch angle, degrees, positive toward the bowling-hand gutter.
    pub launch_deg: f64,
    /// Board aimed at, at the arrows.
    pub arrows_board: f64,
    /// Closest to the bowling-hand gutter, of the throw as meant.
    pub breakpoint: PlaceView,
    /// At the pattern's end; null where there is no pattern.
    pub exit: Option<PlaceView>,
    /// How it comes to the pins; null if the throw as meant reaches none.
    pub entry: Option<EntrySpread>,
    /// Speed meant, mph.
    pub speed_mph: f64,
    /// Axis rotation meant, degrees.
    pub rotation_deg: f64,
    /// Percentage of shots in the pocket.
    pub pocket_pct: f64,
    /// Its standard error.
    pub pocket_error_pct: f64,
    /// Percentage of strikes; null where the pins were not asked, as are all that follow of them.
    pub strike_pct: Option<f64>,
    /// Its standard error.
    pub strike_se_pct: Option<f64>,
    /// Standard deviation of the strikes over what is not known of lane, covers and day.
    pub strike_sd_over_worlds_pct: f64,
    /// What its shots leave, commonest first.
    pub leaves: Option<Vec<LeaveView>>,
    /// Percentage of splits.
    pub split_pct: Option<f64>,
    /// Pins of a first ball, on average.
    pub mean_pins: Option<f64>,
    /// Percentage of shots that come in beyond the carry table, whose edge answers.
    pub beyond_table_pct: Option<f64>,
    /// Percentage of its leaves that the bowler makes.
    pub conversion_pct: Option<f64>,
    /// Mean score of a game on this line.
    pub expected_score: Option<f64>,
    /// Its standard error.
    pub expected_score_se: Option<f64>,
    /// Standard deviation of the score from game to game.
    pub score_sd: Option<f64>,
    /// Throws behind these numbers.
    pub throws: u32,
    /// What becomes of the shots that miss.
    pub misses: MissShares,
    /// How far a shot can be off.
    pub miss_room: MissRoomView,
}

/// How a line comes to the pins: as meant, and over the spread.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct EntrySpread {
    /// Board of the throw as meant.
    pub board: f64,
    /// Angle of the throw as meant, degrees.
    pub angle_deg: Option<f64>,
    /// Speed of the throw as meant, mph.
    pub speed_mph: Option<f64>,
    /// Mean board.
    pub mean_board: f64,
    /// Standard deviation of the board.
    pub sd_boards: f64,
    /// Mean angle, degrees.
    pub mean_angle_deg: f64,
    /// Standard deviation of the angle, degrees.
    pub sd_angle_deg: f64,
}

/// Percentages of shots that miss.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MissShares {
    /// Past the pocket on the head pin.
    pub high_pct: f64,
    /// Short of the pocket.
    pub light_pct: f64,
    /// Past the head pin's middle.
    pub other_side_pct: f64,
    /// In a gutter.
    pub gutter_pct: f64,
}

/// What an entry carries: what `carry` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CarryAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// The ball, by its id.
    pub ball: String,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// The entry asked about.
    pub entry: EntryAsked,
    /// Percentage of strikes.
    pub strike_pct: f64,
    /// Its standard error.
    pub strike_se_pct: f64,
    /// What it leaves, commonest first.
    pub leaves: Vec<LeaveView>,
    /// Percentage of splits.
    pub split_pct: f64,
    /// Pins on average.
    pub mean_pins: f64,
    /// Racks behind these numbers: those thrown, or those behind each cell of the table, at least.
    pub racks: u32,
    /// Where they come from.
    pub source: CarrySource,
    /// Whether the entry lies beyond the table, whose edge answers.
    pub beyond_table: bool,
}

/// Where a carry comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum CarrySource {
    /// Racks thrown for this answer.
    Racks,
    /// The carry table.
    Table,
}

/// An entry asked about.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct EntryAsked {
    /// Board at the head pin's row.
    pub board: f64,
    /// Angle, degrees, positive from the hand side toward the pocket.
    pub angle_deg: f64,
    /// Speed at the pins, mph.
    pub speed_mph: f64,
    /// Weight of the ball, pounds.
    pub weight_lb: f64,
}

/// How to make a leave: what `leave` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeaveAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// Name of the lane.
    pub lane: String,
    /// The bowler.
    pub bowler: String,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// Numbers of the pins that stand.
    pub pins: Vec<u8>,
    /// What sort of leave, in words.
    pub kind: &'static str,
    /// Whether it is a split.
    pub split: bool,
    /// Whether it is a washout.
    pub washout: bool,
    /// Lines that make it, best first.
    pub lines: Vec<LeaveLine>,
    /// Percentage made on the best of them.
    pub make_pct: f64,
    /// What the best line leaves standing, commonest first.
    pub after: Vec<PinsShare>,
    /// Racks thrown to see that.
    pub racks: u32,
}

/// A line that makes a leave.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeaveLine {
    /// Board of laydown.
    pub laydown: f64,
    /// Launch angle, degrees, positive toward the bowling-hand gutter.
    pub launch_deg: f64,
    /// Board aimed at, at the arrows.
    pub arrows_board: f64,
    /// Speed meant, mph.
    pub speed_mph: f64,
    /// The ball, by its id.
    pub ball: String,
    /// Percentage made.
    pub make_pct: f64,
    /// Its standard error.
    pub make_se_pct: f64,
    /// Pins on average.
    pub mean_pins: f64,
    /// How it comes to the pins; null if the throw as meant reaches none.
    pub entry: Option<LeaveEntry>,
    /// How far a shot can be off.
    pub miss_room: MissRoomView,
    /// Throws behind these numbers.
    pub throws: u32,
}

/// How a spare line comes to the pins.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeaveEntry {
    /// Board.
    pub board: f64,
    /// Angle, degrees.
    pub angle_deg: Option<f64>,
}
