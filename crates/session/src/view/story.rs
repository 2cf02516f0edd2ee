//! After the block: figures, shots, lines, remarks, and where pins were won and lost.

use schemars::JsonSchema;
use serde::Serialize;

use super::{LaneLine, MeanSd, ScoreView, ShotView};

/// The story of a block: what `after` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AfterAnswer {
    /// How the sheet stands.
    #[serde(flatten)]
    pub sheet: ScoreView,
    /// Name of the event.
    pub event: String,
    /// The day of its first shot by universal time, as 2026-04-11; null where that is not known.
    pub day: Option<String>,
    /// Strikes and spares, counted.
    pub figures: FiguresView,
    /// The same, game by game.
    pub by_game: Vec<FiguresView>,
    /// Every shot, in order.
    pub deliveries: Vec<ShotView>,
    /// The line at the beginning and every move.
    pub moves: Vec<MovedLine>,
    /// Remarks, oldest first.
    pub notes: Vec<NoteView>,
    /// Where pins were won and lost; null where that cannot be told.
    pub account: Option<AccountView>,
    /// Why there is no account, in words; null where there can be one.
    pub no_account: Option<String>,
    /// The latest sheets on record, the last first.
    pub blocks: Vec<BlockListed>,
    /// Sheets on record.
    pub blocks_on_record: usize,
}

/// Strikes and spares of a sheet, counted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FiguresView {
    /// Games that are over.
    pub games_over: usize,
    /// Pins a game over those; null before the first.
    pub average: Option<f64>,
    /// First balls at a full rack.
    pub first_balls: usize,
    /// Strikes among them.
    pub strikes: usize,
    /// Percentage of strikes; null before the first ball.
    pub strike_pct: Option<f64>,
    /// Second balls at what was left.
    pub spares_tried: usize,
    /// Those that took all of it.
    pub spares_made: usize,
    /// Percentage of spares made; null before the first try.
    pub spare_pct: Option<f64>,
    /// Open frames.
    pub open_frames: usize,
}

/// A line that a bowler was on from then on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MovedLine {
    /// The line.
    #[serde(flatten)]
    pub line: LaneLine,
    /// Shots that were logged before.
    pub after_shots: usize,
}

/// A remark.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NoteView {
    /// When it was written, universal time (RFC 3339).
    pub at: String,
    /// What it says.
    pub text: String,
}

/// A sheet of the record as a list has it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockListed {
    /// The block.
    pub block: String,
    /// Whose sheet it is.
    pub bowler: String,
    /// Name of its event.
    pub event: String,
    /// The day of its first shot by universal time; null where that is not known.
    pub day: Option<String>,
    /// Score of each game, so far.
    pub scores: Vec<u16>,
    /// Pins of all games.
    pub total: u32,
    /// Shots logged.
    pub shots: usize,
}

/// Where pins were won and lost.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AccountView {
    /// What it comes to, in a sentence.
    pub finding: FindingView,
    /// The whole block.
    #[serde(flatten)]
    pub whole: GameTerms,
    /// Game by game.
    pub games: Vec<GameTerms>,
    /// Spares by sort of leave, those that cost most first.
    pub spares: Vec<SpareCount>,
    /// How far throws strayed at the arrows: all first, then by lane and ball.
    pub strays: Vec<StrayView>,
    /// The bowler's spread as a multiple of the one in the file; null where too little was logged.
    pub spread: Option<MeanSd>,
    /// What to practise, the dearest first.
    pub practise: Vec<PractiseView>,
    /// Drills of earlier blocks, and whether this one moved.
    pub drills: Vec<DrillView>,
    /// What there were too few attempts of to say anything.
    pub practise_waits: Vec<PractiseWait>,
}

/// What an account comes to.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FindingView {
    /// In one sentence.
    pub headline: String,
    /// How sure that is.
    pub doubt: String,
}

/// Something that was tried too seldom for a word about it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PractiseWait {
    /// What, in words.
    pub what: String,
    /// Attempts so far.
    pub have: usize,
    /// Attempts that it takes.
    pub need: usize,
}

/// What was expected, what was bowled, and what made the difference.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GameTerms {
    /// Score to expect before the first ball.
    pub par: f64,
    /// The score; of a game that is not over, the one to expect.
    pub expected_score: f64,
    /// What made the difference: their sum is the score less par.
    pub terms: TermsView,
}

/// The terms of an account.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TermsView {
    /// What the lanes gave or took.
    pub lanes: TermView,
    /// The ball in hand against the best of the bag.
    pub ball: TermView,
    /// The line meant against the best one found.
    pub line: TermView,
    /// The throws against the usual ones.
    pub execution: TermView,
    /// The pins against what such throws leave on average.
    pub luck: TermView,
    /// Second balls against how often such leaves are made.
    pub spares: TermView,
    /// What cannot be told apart.
    pub untold: TermView,
}

/// A term of an account.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct TermView {
    /// Pins won; lost where less than nothing.
    pub pins: f64,
    /// How far it may be off, as a standard deviation, pins.
    pub doubt: f64,
    /// How far it goes by chance alone, as a standard deviation, pins.
    pub chance: f64,
}

/// Second balls at leaves of one sort.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SpareCount {
    /// The sort of leave, in words.
    pub kind: &'static str,
    /// How many were thrown at.
    pub tried: usize,
    /// How many were made.
    pub made: usize,
    /// How many this bowler makes of them on average.
    pub expected: f64,
    /// Pins won by them.
    pub pins: f64,
    /// How far that goes by chance alone, as a standard deviation, pins.
    pub chance: f64,
}

/// How far throws strayed at the arrows.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StrayView {
    /// Number of the lane; null for both.
    pub lane: Option<u32>,
    /// The ball, by its id; null for all.
    pub ball: Option<String>,
    /// Shots behind it.
    pub shots: usize,
    /// Boards inside of what was meant, on average; outside where less than nothing.
    pub off_boards: f64,
    /// Its standard error, boards.
    pub off_se_boards: f64,
    /// Standard deviation about that, boards.
    pub sd_boards: f64,
    /// Lower end of an interval that holds it 19 times in 20, boards.
    pub sd_low_boards: f64,
    /// Upper end.
    pub sd_high_boards: f64,
    /// What the bowler's file says it is, boards.
    pub sd_told_boards: f64,
}

/// Something to practise.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PractiseView {
    /// What, in words.
    pub say: String,
    /// Pins it cost in the block.
    pub pins: f64,
}

/// A drill that was written down after an earlier block, and what this one has of its measure. Less is better.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DrillView {
    /// The day, by universal time.
    pub day: String,
    /// What it was about.
    pub about: String,
    /// How often it was reached.
    pub reached: u32,
    /// Of so many tries.
    pub tries: u32,
    /// What the numbers below count: pins a game lost, or boards.
    pub unit: String,
    /// What the block before the drill had.
    pub before: f64,
    /// What this block has; null where it has too few attempts to say.
    pub now: Option<f64>,
    /// How far chance and doubt move that, as a standard deviation.
    pub now_sd: Option<f64>,
    /// Both in words.
    pub say: String,
}
