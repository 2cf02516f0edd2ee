//! Before the block: the bag weighed, the block forecast, practice planned.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Form, MeanSd, MissRoomView, PlaceView, SideWord};

/// Which balls to take: what `bag` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BagAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// Name of the event.
    pub event: String,
    /// The bowler.
    pub bowler: String,
    /// The set worth taking, the ball that adds most first.
    pub take: Vec<TakenBall>,
    /// The ball for spares, which comes on top; null if the bag has none.
    pub spare_ball: Option<String>,
    /// Balls that may stay at home.
    pub leave_at_home: Vec<String>,
    /// Mean score of a game with the set's best ball at every stage.
    pub set_score: f64,
    /// The same with the whole bag.
    pub whole_bag_score: f64,
    /// Every ball with every surface, best first.
    pub balls: Vec<BagBall>,
    /// The ways in which the lane may turn out that the balls were weighed in.
    pub worlds: Vec<BagWorld>,
    /// Time it took, seconds.
    pub seconds: f64,
}

/// A ball of the set.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TakenBall {
    /// The ball, by its id.
    pub ball: String,
    /// Its surface in words.
    pub surface: String,
    /// Pins a game that the set would lose without it.
    pub adds_pins: f64,
    /// Standard error of that; null with one world.
    pub adds_pins_se: Option<f64>,
    /// Percentage of worlds in which it is the set's best: on fresh lanes, then after each game.
    pub best_pct_by_game: Vec<f64>,
}

/// A ball with one surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BagBall {
    /// The ball, by its id.
    pub ball: String,
    /// Its surface in words.
    pub surface: String,
    /// Mean score of a game over all stages.
    pub expected_score: f64,
    /// On fresh lanes, then after each game.
    pub stages: Vec<BagStage>,
    /// The other ball that costs least in its place; null if there is none.
    pub stand_in: Option<StandIn>,
}

/// A ball's best line at a stage, mean over the worlds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BagStage {
    /// Games bowled before.
    pub games: u32,
    /// Score of a game.
    pub expected_score: f64,
    /// Percentage of strikes.
    pub strike_pct: f64,
    /// Percentage of shots in the pocket.
    pub pocket_pct: f64,
    /// How far a shot can be off.
    pub miss_room: MissRoomView,
    /// Board of laydown.
    pub laydown: f64,
    /// Board aimed at, at the arrows.
    pub arrows_board: f64,
    /// Percentage of worlds in which the ball has a line at all.
    pub worlds_pct: f64,
}

/// A ball that could stand in for another.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StandIn {
    /// The ball, by its id.
    pub ball: String,
    /// Its surface in words.
    pub surface: String,
    /// Pins a game lost where the one is better.
    pub costs_pins: f64,
}

/// A way in which a lane may turn out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BagWorld {
    /// Oil, as a multiple of what the sheet says.
    pub oil: f64,
    /// Friction, as a multiple of what is usual.
    pub friction: f64,
    /// Number of the lane.
    pub lane: u32,
}

/// How the lanes will change: what `block` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// Name of the event.
    pub event: String,
    /// The bowler.
    pub bowler: String,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// Pair by pair, in order.
    pub pairs: Vec<BlockPair>,
    /// Times the block was run.
    pub runs: u32,
}

/// A pair with its forecast.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockPair {
    /// Games bowled on it.
    pub games: u32,
    /// Games that others bowled on it before.
    pub games_before: u32,
    /// Practice shots of each bowler on each lane.
    pub practice_shots: u32,
    /// Its two lanes.
    pub lanes: Vec<BlockLane>,
    /// Throws made in all.
    pub throws: u64,
    /// Time it took, seconds.
    pub seconds: f64,
}

/// A lane from fresh to the end.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockLane {
    /// Its number.
    pub number: u32,
    /// Name of its pattern.
    pub lane: String,
    /// Each look at it.
    pub stages: Vec<BlockStage>,
    /// Games after which the first line falls behind, run by run; null where it pays to the end.
    pub first_line_pays_games: Vec<Option<f64>>,
}

/// A look at a lane.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockStage {
    /// Games that everybody has bowled.
    pub games: f64,
    /// Whether practice is over.
    pub practised: bool,
    /// What has become of the oil; null for a lane known by its friction.
    pub film: Option<WornFilm>,
    /// The line of the first run.
    pub line: BlockLine,
    /// Percentage of strikes on the line found.
    pub strike_pct: MeanSd,
    /// On the line of the look before.
    pub stay_strike_pct: MeanSd,
    /// On the line of the fresh lane.
    pub first_line_strike_pct: MeanSd,
    /// Board of laydown.
    pub laydown: MeanSd,
    /// Board aimed at, at the arrows.
    pub arrows_board: MeanSd,
    /// Boards by which a shot may be off, both sides together.
    pub miss_room_boards: MeanSd,
    /// The move from the look before.
    pub moves: BlockMoves,
    /// Percentage of runs that go on with each ball, the commonest first.
    pub ball: Vec<BallShare>,
    /// Each ball's strikes on its own best line; only where games end.
    pub balls: Vec<BallStrikes>,
}

/// Oil worn off and carried down, two boards to each side of the first line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WornFilm {
    /// Percentage gone in all.
    pub gone_pct: f64,
    /// Percentage gone from the heads.
    pub heads_gone_pct: f64,
    /// Percentage gone from the rest of the pattern.
    pub middle_gone_pct: f64,
    /// Oil carried beyond the pattern, millilitres.
    pub carried_down_ml: f64,
}

/// A line of the first run.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockLine {
    /// The ball, by its id.
    pub ball: String,
    /// Board of laydown.
    pub laydown: f64,
    /// Launch angle, degrees, positive toward the bowling-hand gutter.
    pub launch_deg: f64,
    /// Board aimed at, at the arrows.
    pub arrows_board: f64,
    /// Closest to the bowling-hand gutter.
    pub breakpoint: PlaceView,
    /// At the pattern's end; null where there is no pattern.
    pub exit: Option<PlaceView>,
    /// Speed meant, mph.
    pub speed_mph: f64,
    /// Axis rotation meant, degrees.
    pub rotation_deg: f64,
    /// Percentage of strikes.
    pub strike_pct: f64,
    /// Percentage of shots in the pocket.
    pub pocket_pct: f64,
    /// How far a shot can be off.
    pub miss_room: MissRoomView,
}

/// A move, mean of the runs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockMoves {
    /// Boards at the feet, positive in, away from the bowling hand.
    pub feet_boards: MeanSd,
    /// Boards at the target, positive in.
    pub eyes_boards: MeanSd,
    /// Percentage of runs that move here.
    pub runs_pct: f64,
}

/// How many runs go on with a ball.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BallShare {
    /// The ball, by its id.
    pub ball: String,
    /// Percentage of runs.
    pub runs_pct: f64,
}

/// What a ball strikes on its own best line.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BallStrikes {
    /// The ball, by its id.
    pub ball: String,
    /// Percentage of strikes, mean over the runs.
    pub strike_pct: f64,
    /// Its standard deviation from run to run, percent.
    pub sd: f64,
}

/// What to throw in practice: what `practice` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PracticeAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// Name of the event.
    pub event: String,
    /// The bowler.
    pub bowler: String,
    /// The gutter that boards count from.
    pub boards_from: SideWord,
    /// The throws, in the order that teaches most first.
    pub shots: Vec<PracticeShotView>,
    /// Time it took, seconds.
    pub seconds: f64,
}

/// A throw of the practice.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PracticeShotView {
    /// Number of the lane.
    pub lane: u32,
    /// The ball, by its id.
    pub ball: String,
    /// Board of laydown.
    pub laydown: f64,
    /// Board aimed at, at the arrows.
    pub arrows_board: f64,
    /// Launch angle, degrees, positive toward the bowling-hand gutter.
    pub launch_deg: f64,
    /// Board it comes in on, over what the lanes may be like.
    pub comes_in_board: MeanSd,
    /// What it teaches beyond those before it, nats.
    pub teaches_nats: f64,
    /// The move it asks for if it comes in higher; null where no line is found.
    pub if_high: Option<ShiftView>,
    /// The move it asks for if it comes in lighter.
    pub if_light: Option<ShiftView>,
}

/// A move.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ShiftView {
    /// Boards at the feet, positive in, away from the bowling hand.
    pub feet_boards: f64,
    /// Boards at the target, positive in.
    pub eyes_boards: f64,
}

impl From<boardwise_search::Move> for ShiftView {
    fn from(moved: boardwise_search::Move) -> Self {
        Self { feet_boards: moved.feet_boards, eyes_boards: moved.eyes_boards }
    }
}
