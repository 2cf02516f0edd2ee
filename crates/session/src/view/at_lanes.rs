//! At the lanes: a block begun, the card, the spare, and what the screen needs to log the next shot.

use boardwise_record::Surface;
use schemars::JsonSchema;
use serde::Serialize;

use super::{Form, LaneLine, LineMeantView, MeanSd, ScoreView, SheetAnswer, ShotView, SideWord};

/// A block that has begun: what `start` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StartAnswer {
    /// How the sheet stands.
    #[serde(flatten)]
    pub sheet: ScoreView,
    /// The record's file.
    pub record: String,
    /// The ball in hand, by its id.
    pub ball: String,
    /// The line on each lane.
    pub lines: Vec<LaneLine>,
}

/// The lines that changed: what `move` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MoveAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// The block.
    pub block: String,
    /// Whose it is.
    pub bowler: String,
    /// The ball in hand as the record calls it; null where that is not known.
    pub ball: Option<String>,
    /// The lines that are others from now on.
    pub lines: Vec<LaneLine>,
}

/// The next shot: what `next` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NextAnswer {
    /// What is said.
    #[serde(flatten)]
    pub said: NextSaid,
    /// Time it took, seconds.
    pub seconds: f64,
}

/// What is said before a ball: the card at a full rack, the spare where something stands.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum NextSaid {
    /// At a full rack.
    Card(Box<CardAnswer>),
    /// Where something stands.
    Spare(Box<SpareAnswer>),
}

/// The card: what to do with the next ball at a full rack.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CardAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// The block.
    pub block: String,
    /// Whose it is.
    pub bowler: String,
    /// Number of the lane.
    pub lane: u32,
    /// The ball in hand, by its id.
    pub ball: String,
    /// The line in use.
    pub line: LineMeantView,
    /// What to do.
    pub say: String,
    /// The same as a move from the line in use, or where that line is.
    pub detail: String,
    /// What to mind where it can hurt, or where rules decide; null where there is nothing. Show it with the rest.
    pub caution: Option<&'static str>,
    /// Why.
    pub reason: String,
    /// How sure it is.
    pub worth: String,
    /// Board on which the line in use is expected to come in.
    pub comes_in_board: MeanSd,
    /// The verdict in a word.
    pub verdict: VerdictWord,
    /// Every choice, best first.
    pub choices: Vec<ChoiceView>,
    /// First balls that this rests on.
    pub shots_read: usize,
    /// First balls that could not be read.
    pub shots_unread: usize,
}

/// The verdict of the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum VerdictWord {
    /// Do the same again.
    Stay,
    /// Change: four in five worlds gain.
    Change,
    /// Try a change: three in five do.
    Try,
    /// Nobody can tell.
    TooClose,
}

/// A choice of the card.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ChoiceView {
    /// What sort of choice.
    pub kind: ChoiceKind,
    /// Its place on the card: 1 is what the card says, 2 and 3 are the choices beside it; null where the card does not show it.
    pub on_card: Option<u8>,
    /// The choice in words.
    pub say: String,
    /// The ball, by its id.
    pub ball: String,
    /// What is done to its surface; null where it stays.
    pub surface: Option<SurfaceWork>,
    /// Roughness that the surface is brought to, Ra in micrometres; null where it stays.
    pub surface_ra_um: Option<f64>,
    /// Board under the inner edge of the slide foot.
    pub slide_board: f64,
    /// Board to look at, at the arrows.
    pub look_board: f64,
    /// Speed, mph.
    pub speed_mph: f64,
    /// Axis rotation, degrees.
    pub rotation_deg: f64,
    /// The line it comes to.
    pub line: LineMeantView,
    /// What to mind with it; null where there is nothing.
    pub caution: Option<&'static str>,
    /// Percentage of strikes.
    pub strike_pct: MeanSd,
    /// Strikes gained against staying, in a hundred.
    pub gain_pct: MeanSd,
    /// Pins a game gained against staying.
    pub gain_pins: MeanSd,
    /// Pins a game gained at least: eight in ten of what may be gain more.
    pub gain_pins_at_least: f64,
    /// Percentage of what may be in which it is better than staying.
    pub better_pct: f64,
    /// Pins a game gained, less what a change costs.
    pub net_pins: f64,
}

/// A surface that a ball is given: exactly one of the three is there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct SurfaceWork {
    /// Measured roughness Ra, micrometres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ra_um: Option<f64>,
    /// Grit of the last pad.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grit: Option<f64>,
    /// Polished: then it is true.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub polished: Option<bool>,
}

impl From<Surface> for SurfaceWork {
    fn from(surface: Surface) -> Self {
        match surface {
            Surface::Ra(ra) => Self { ra_um: Some(ra.0), ..Self::default() },
            Surface::Grit(grit) => Self { grit: Some(grit), ..Self::default() },
            Surface::Polished => Self { polished: Some(true), ..Self::default() },
        }
    }
}

/// What sort of choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ChoiceKind {
    /// The same again.
    Stay,
    /// Feet and eyes.
    Move,
    /// Back to the usual speed and rotation.
    UsualHand,
    /// Another ball.
    Ball,
    /// Another surface.
    Surface,
    /// Another speed or rotation.
    Hand,
}

/// How to make what stands.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SpareAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// The block.
    pub block: String,
    /// Whose it is.
    pub bowler: String,
    /// Number of the lane.
    pub lane: u32,
    /// The ball, by its id.
    pub ball: String,
    /// Numbers of the pins that stand.
    pub pins: Vec<u8>,
    /// What sort of leave, in words.
    pub kind: &'static str,
    /// What to do.
    pub say: String,
    /// Whether the first way takes what is sure, because that is worth more pins than trying for all.
    pub takes_sure: bool,
    /// What to throw, best first.
    pub spares: Vec<SpareWay>,
}

/// A way to make what stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SpareWay {
    /// The line.
    pub line: LineMeantView,
    /// Board under the inner edge of the slide foot.
    pub slide_board: f64,
    /// Board to look at, at the arrows.
    pub look_board: f64,
    /// Percentage made.
    pub make_pct: f64,
    /// Its standard error.
    pub make_se_pct: f64,
    /// Pins on average.
    pub mean_pins: f64,
}

/// A record, or its shots, written to a file: what `export` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ExportAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// The record's file.
    pub record: String,
    /// The file written.
    pub file: String,
    /// Its size, bytes.
    pub bytes: usize,
}

/// Facts added from a file: what `import` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ImportAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// The record's file.
    pub record: String,
    /// The file read.
    pub file: String,
    /// Facts that are new.
    pub added: usize,
    /// Facts that were there before.
    pub again: usize,
}

/// How a block stands, with all that a page needs to log the next shot.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ScreenView {
    /// Form of this answer.
    pub schema: Form,
    /// The block.
    pub block: String,
    /// Name of its event.
    pub event: String,
    /// The bowler.
    pub bowler: String,
    /// The bowling hand.
    pub hand: SideWord,
    /// How balls are counted: traditional, current-frame or nothing.
    pub counting: &'static str,
    /// Games of the block; null where nothing is counted.
    pub games: Option<u16>,
    /// The line on each lane.
    pub lanes: Vec<LaneLine>,
    /// What is thrown on each lane, in the order of the lines.
    pub throwing: Vec<ThrowingView>,
    /// How far the bowler can go on purpose.
    pub range: RangeView,
    /// What an undo takes back now; null where there is nothing.
    pub newest: Option<NewestView>,
    /// Number of the lane whose turn it is.
    pub lane: u32,
    /// The balls of the bag.
    pub balls: Vec<BallInBag>,
    /// The ball in hand, by its id; null where that is not known.
    pub in_hand: Option<String>,
    /// The ball for spares, by its id; null if the bag has none.
    pub spare_ball: Option<String>,
    /// What is certain of the last game, in words; null where nothing is.
    pub so_far: Option<String>,
    /// The sheet.
    pub sheet: SheetAnswer,
    /// The rules of a frame, so that a device can log on without the server; null where nothing is counted.
    pub rules: Option<FrameRules>,
    /// The step of the next ball in the rules of its frame.
    pub step: usize,
}

impl ScreenView {
    /// No more of the sheet than a screen at the lanes shows, however long the block grows: of the shots the last one, of games that are
    /// over the score alone, and no chance of every single score.
    #[must_use]
    pub fn short(&self) -> Self {
        let mut short = self.clone();
        let SheetAnswer { sheet, deliveries, forecast, .. } = &mut short.sheet;
        deliveries.drain(..deliveries.len().saturating_sub(1));
        let over = sheet.games.len().saturating_sub(1);
        sheet.games[..over].iter_mut().for_each(|game| game.frames.clear());
        if let Some(forecast) = forecast {
            forecast.chances_pct.clear();
        }
        short
    }
}

/// The shots of a game, each with what was meant: what a frame opens.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GameShots {
    /// Form of this answer.
    pub schema: Form,
    /// The block.
    pub block: String,
    /// The game, from 1; 0 where nothing is counted.
    pub game: u16,
    /// Games so far.
    pub games: usize,
    /// Its shots, oldest first; where nothing is counted, the last ones.
    pub shots: Vec<ShotMeant>,
}

/// A shot with what was meant.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ShotMeant {
    /// The shot.
    #[serde(flatten)]
    pub shot: ShotView,
    /// Numbers of the pins that stood before it; null where only their count is known.
    pub before: Option<Vec<u8>>,
    /// The ball, by its id in the bag; null where that is not known.
    pub ball_id: Option<String>,
    /// Whether it was a first ball at a full rack: only that has a line meant.
    pub first: bool,
    /// The line that was meant, in words; null where the lane is not known.
    pub meant: Option<String>,
}

/// What is thrown on a lane, as people say it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThrowingView {
    /// Board under the inner edge of the slide foot.
    pub slide_board: f64,
    /// Board to look at, at the arrows.
    pub look_board: f64,
    /// Whether speed and rotation are the bowler's usual ones.
    pub usual_hand: bool,
}

/// How far a bowler can go on purpose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RangeView {
    /// Slowest and fastest, mph.
    pub speed_mph: [f64; 2],
    /// Least and most axis rotation, degrees.
    pub rotation_deg: [f64; 2],
}

/// What an undo takes back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NewestView {
    /// The key that it was logged under.
    pub key: String,
    /// What it is, in words.
    pub words: String,
}

/// The rules of a frame as steps: the ball thrown first is step 0.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FrameRules {
    /// Frames 1 to 9.
    pub usual: Vec<FrameStep>,
    /// The tenth.
    pub last: Vec<FrameStep>,
}

/// A ball of a frame.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FrameStep {
    /// Which ball of the frame, from 1.
    pub ball: u8,
    /// Whether a full rack is set for it; else it is thrown at what the ball before it left.
    pub full: bool,
    /// Where it takes all that stands.
    pub down: StepEnd,
    /// Where it leaves something.
    pub left: StepEnd,
}

/// What comes of a ball.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct StepEnd {
    /// How a sheet shows it; empty where that is the count of pins.
    pub sign: String,
    /// The step that follows in the frame; null where the frame is over.
    pub then: Option<usize>,
}

/// A ball of the bag.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BallInBag {
    /// Its id.
    pub id: String,
    /// What it is, in words.
    pub words: String,
    /// What to call it on a screen.
    pub name: String,
    /// Its surface now, in words.
    pub surface: String,
    /// Whether its surface can be worked on: plastic is left as it is.
    pub workable: bool,
    /// Whether it is thrown at full racks.
    pub for_racks: bool,
}
