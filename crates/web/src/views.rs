//! What the app's scripts receive beside the session's own views: those with a page, a picture or a device in them.

use boardwise_session::at_lanes::shots::Turn;
use boardwise_session::view::{
    BagAnswer, BlockAnswer, BriefAnswer, BriefShot, Form, LookRails, NoteView, PracticeAnswer, ScreenView,
};
use schemars::JsonSchema;
use serde::Serialize;

/// How the present block stands.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct LanesState {
    /// How far it is.
    #[serde(flatten)]
    pub screen: ScreenView,
    /// The number under which pages hear of it; null for a block that is not the present one.
    pub changes: Option<u64>,
}

/// What was done to a block, and how it stands then.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Did {
    /// How far it is.
    #[serde(flatten)]
    pub state: LanesState,
    /// What was done, in words.
    pub did: String,
}

/// A refused request.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Refused {
    /// Form of this answer.
    pub schema: Form,
    /// What was wrong, in words.
    pub error: String,
    /// What comes next on the sheet, where a shot was told for another place; null once the block is complete.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[allow(clippy::option_option, reason = "left out, null and a turn are three answers")]
    pub next: Option<Option<Turn>>,
}

/// Remarks on a block.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Notes {
    /// Form of this answer.
    pub schema: Form,
    /// Oldest first.
    pub notes: Vec<NoteView>,
}

/// A page to go to.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Begun {
    /// Form of this answer.
    pub schema: Form,
    /// Its address.
    pub page: String,
}

/// Work was stopped.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Stopped {
    /// Form of this answer.
    pub schema: Form,
}

/// How far a long question is.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct LongState {
    /// Form of this answer.
    pub schema: Form,
    /// How far it is.
    #[serde(flatten)]
    pub state: LongRunState,
}

/// How far a long question is, in a word.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(tag = "state", rename_all = "lowercase")]
pub enum LongRunState {
    /// It was not asked.
    None,
    /// Another is worked on.
    Waiting,
    /// It is worked on.
    Running {
        /// Share that is done, 0 to 1; 0 where the work does not say.
        done: f64,
        /// Seconds since it began.
        seconds: f64,
    },
    /// Somebody wanted it no more.
    Stopped,
    /// It cannot be answered.
    Failed {
        /// Why, in words.
        error: String,
    },
    /// Answered.
    Done {
        /// The answer.
        answer: Box<LongAnswer>,
    },
}

/// The answer to a long question.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum LongAnswer {
    /// Which balls to take.
    Bag(BagAnswer),
    /// How the lanes will change.
    Block(BlockAnswer),
    /// What to throw in practice.
    Practice(PracticeAnswer),
    /// All of it on one page.
    Brief(Box<BriefAnswer>),
}

/// The practice of the present block's pair.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PracticeAtLanes {
    /// Form of this answer.
    pub schema: Form,
    /// The block.
    pub block: String,
    /// The throws, in order.
    pub shots: Vec<BriefShot>,
}

/// A file looked at: its fields, and what it is or what is wrong with it.
#[derive(Clone, Debug, Default, Serialize, JsonSchema)]
pub struct Looked {
    /// Form of this answer.
    pub schema: Form,
    /// The text with the changes made.
    pub text: String,
    /// Its fields, HTML; null where the text cannot be read as a form.
    pub fields: Option<String>,
    /// What is wrong with it; left out where it is whole, and then the rest is there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fault: Option<FaultView>,
    /// What is possible but outside the rules, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub warnings: Option<Vec<String>>,
    /// Its numbers, HTML.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub look: Option<String>,
    /// The picture of a lane, SVG.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub picture: Option<String>,
    /// Where a hand takes hold of that picture; left out unless it is seen from above.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rails: Option<LookRails>,
}

/// What is wrong with a text.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FaultView {
    /// In words.
    pub words: String,
    /// What to do about it; null where nothing is known.
    pub help: Option<String>,
    /// Its line in the text, from 1; null where it stands in no line of it.
    pub line: Option<usize>,
    /// What that line says.
    pub says: Option<String>,
}

/// A sheet that is being typed: what it comes to, or what is wrong with it.
#[derive(Clone, Debug, Default, Serialize, JsonSchema)]
pub struct SheetLooked {
    /// Form of this answer.
    pub schema: Form,
    /// What is wrong with it, and in which row; null where it is whole, and then the rest is there.
    pub wrong: Option<String>,
    /// What is possible and most likely a slip.
    pub doubts: Vec<String>,
    /// Its oil by board, SVG.
    pub picture: Option<String>,
    /// Its oil in all, millilitres.
    pub volume_ml: Option<f64>,
    /// Its length, feet.
    pub length_ft: Option<f64>,
}

/// A file was kept.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Kept {
    /// Form of this answer.
    pub schema: Form,
    /// Address of its page.
    pub page: String,
    /// What is possible but outside the rules, in words.
    pub warnings: Vec<String>,
}

/// A device was let in.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub struct Paired {
    /// Form of this answer.
    pub schema: Form,
    /// Always true; who is not let in is refused.
    pub paired: bool,
}

/// A device is let in no more.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub struct Forgotten {
    /// Form of this answer.
    pub schema: Form,
    /// Whether there was such a device.
    pub forgotten: bool,
}
