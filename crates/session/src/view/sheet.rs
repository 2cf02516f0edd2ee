//! The score sheet: frames, what comes next, what the game may come to.

use schemars::JsonSchema;
use serde::Serialize;

use super::Form;

/// How a sheet stands. Nearly every answer at the lanes holds it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ScoreView {
    /// Form of this answer.
    pub schema: Form,
    /// The block.
    pub block: String,
    /// Whose sheet it is.
    pub bowler: String,
    /// Shots logged.
    pub shots: usize,
    /// Games so far, the last of them perhaps not over.
    pub games: Vec<GameView>,
    /// Pins of all games.
    pub total: u32,
    /// Score of the last game after its last certain frame; null before any game.
    pub score: Option<u16>,
    /// The most that the last game can still come to.
    pub maximum: Option<u16>,
    /// The least.
    pub minimum: Option<u16>,
    /// Ten times the mean of the certain frames of the last game; null before the first of them.
    pub pace: Option<f64>,
    /// The next ball; null once the block is complete.
    pub next: Option<NextBall>,
}

/// A game.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GameView {
    /// Its ten frames.
    pub frames: Vec<FrameView>,
    /// Score after its last certain frame.
    pub score: u16,
    /// Whether it is over.
    pub complete: bool,
}

/// A frame.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FrameView {
    /// Its number, 1 to 10.
    pub frame: u8,
    /// Its balls as a sheet shows them.
    pub signs: String,
    /// How it ended; null while it is not over.
    pub mark: Option<MarkWord>,
    /// What it counts, once that is certain.
    pub points: Option<u16>,
    /// The score up to and with it, once that is certain.
    pub cumulative: Option<u16>,
}

/// How a frame ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum MarkWord {
    /// All ten with the first ball.
    Strike,
    /// The rest with the second.
    Spare,
    /// Neither.
    Open,
}

impl From<boardwise_score::Mark> for MarkWord {
    fn from(mark: boardwise_score::Mark) -> Self {
        match mark {
            boardwise_score::Mark::Strike => Self::Strike,
            boardwise_score::Mark::Spare => Self::Spare,
            boardwise_score::Mark::Open => Self::Open,
        }
    }
}

/// The next ball.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NextBall {
    /// Game, from 1; 0 where nothing is counted.
    pub game: u16,
    /// Frame, from 1; 0 where nothing is counted.
    pub frame: u8,
    /// Ball of the frame, from 1; 0 where nothing is counted.
    pub ball_of_frame: u8,
    /// The lane as the record calls it; null where that is not known.
    pub lane: Option<String>,
    /// Numbers of the pins that stand; null where only their count is known.
    pub pins: Option<Vec<u8>>,
}

/// A shot that was logged.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ShotView {
    /// Its number on the sheet, from 1.
    pub shot: usize,
    /// Its key in the record.
    pub key: String,
    /// When it was made, universal time (RFC 3339).
    pub at: String,
    /// Its game, from 1; 0 where nothing is counted.
    pub game: u16,
    /// Its frame; null where nothing is counted.
    pub frame: Option<u8>,
    /// Ball of the frame; null where nothing is counted.
    pub ball_of_frame: Option<u8>,
    /// Numbers of the pins left standing; null after a foul, or where pins were only counted.
    pub pins: Option<Vec<u8>>,
    /// Pins that fell; null where nothing is counted.
    pub down: Option<u8>,
    /// Whether it was a foul.
    pub foul: bool,
    /// The ball as the record calls it; null where that is not known.
    pub ball: Option<String>,
    /// The lane as the record calls it; null where that is not known.
    pub lane: Option<String>,
    /// Board at the arrows that was seen.
    pub arrows_board: Option<f64>,
    /// Board at the breakpoint that was seen.
    pub breakpoint_board: Option<f64>,
    /// How it came to the pins: pocket, high, light, nose, other-side.
    pub hit: Option<&'static str>,
    /// How it felt: good, fast, slow, in, out, hand-late.
    pub felt: Option<&'static str>,
}

/// What a command did, and how the block stands after it: what `log`, `undo` and `fix` say.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DoneAnswer {
    /// How the sheet stands.
    #[serde(flatten)]
    pub sheet: ScoreView,
    /// What was done, in words.
    pub did: String,
    /// The shot it was done to; null where there is none, or it was taken back.
    pub shot: Option<ShotView>,
    /// How sure the belief has become of where the line thrown comes in; null but for a shot logged from film.
    pub forecast: Option<NarrowedView>,
}

/// How sure the belief has become of where the line of the last first ball comes in: 80% of true boards lie so far to either side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NarrowedView {
    /// Before the first shot, boards.
    pub before_boards: f64,
    /// After all shots, boards.
    pub now_boards: f64,
    /// First balls that the belief learned from.
    pub shots: usize,
    /// Those of them that a film measured.
    pub measured: usize,
}

impl NarrowedView {
    /// In words.
    pub fn words(&self) -> String {
        let Self { before_boards, now_boards, shots, measured } = self;
        format!(
            "forecast the line comes in within {now_boards:.1} boards of what is believed, 8 times in 10; {before_boards:.1} before the first shot ({measured} of {shots} first balls measured)\n"
        )
    }
}

/// The whole sheet: what `sheet` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SheetAnswer {
    /// How it stands.
    #[serde(flatten)]
    pub sheet: ScoreView,
    /// Every shot, in order.
    pub deliveries: Vec<ShotView>,
    /// What the last game may come to; null where nothing is counted.
    pub forecast: Option<OutlookView>,
    /// The cut of the event; null where there is none.
    pub cut: Option<CutView>,
}

/// What a game may come to for a bowler who strikes and makes spares as on this sheet.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OutlookView {
    /// Mean score.
    pub mean: f64,
    /// Standard deviation of the score.
    pub sd: f64,
    /// One game in ten comes to less.
    pub low: u32,
    /// Half of the games come to less.
    pub median: u32,
    /// One game in ten comes to more.
    pub high: u32,
    /// Percentage of strikes taken for it: this sheet, and a guess where it is short.
    pub strike_pct: f64,
    /// Percentage of spares made taken for it.
    pub spare_pct: f64,
    /// Percentage of games that come to each score, from 0 on.
    pub chances_pct: Vec<f64>,
    /// What a target needs; null where none was asked for.
    pub target: Option<TargetView>,
}

/// What a target needs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TargetView {
    /// The target, a score of the game.
    pub score: u16,
    /// Percentage of games that reach it.
    pub chance_pct: f64,
    /// What it needs if nothing but nine-spares follows.
    pub strikes_then_spares: NeedView,
    /// What it needs if nothing but nines follows.
    pub strikes_then_opens: NeedView,
}

/// What a target needs: so many strikes in a row from here, or a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum NeedView {
    /// Strikes in a row; 0 if none is needed.
    Strikes(u8),
    /// A word.
    Word(NeedWord),
}

/// A target that is reached already, or cannot be reached any more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum NeedWord {
    /// Whatever follows.
    Reached,
    /// Not even by striking out.
    OutOfReach,
}

impl From<boardwise_score::Need> for NeedView {
    fn from(need: boardwise_score::Need) -> Self {
        match need {
            boardwise_score::Need::Reached => Self::Word(NeedWord::Reached),
            boardwise_score::Need::Strikes(strikes) => Self::Strikes(strikes),
            boardwise_score::Need::OutOfReach => Self::Word(NeedWord::OutOfReach),
        }
    }
}

/// The cut of an event.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CutView {
    /// Games after which it is made.
    pub after_games: u32,
    /// Pins expected to make it.
    pub expected_pins: u32,
    /// Pins that each game still to come must average; null once those games are over.
    pub average_needed: Option<f64>,
}
