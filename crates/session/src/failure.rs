//! How a question can fail.

use thiserror::Error;

use std::path::PathBuf;

use super::at_lanes::shots::Turn;
use boardwise_files::Fault;
use boardwise_search::{BlockError, Stopped};

/// Why something was not done that was asked.
#[derive(Debug, Error)]
pub enum Failure {
    /// Bad input.
    #[error(transparent)]
    Input(#[from] Fault),
    /// A value that JSON cannot hold.
    #[error("cannot turn the answer into JSON: {0}")]
    Json(serde_json::Error),
    /// A table built into the program that it cannot read.
    #[error("a table built into this program: {0}")]
    Table(#[from] boardwise_pins::carry::CarryError),
    /// Chances from the tables that cannot be: a fault of the program.
    #[error("the score of a game: {0}")]
    Score(#[from] boardwise_score::Error),
    /// A block that cannot be bowled although its event was checked: a fault of the program.
    #[error("the block: {0}")]
    Block(BlockError),
    /// Long work that was cancelled.
    #[error(transparent)]
    Stopped(#[from] Stopped),
    /// An account that cannot be although the block was checked: a fault of the program.
    #[error("the account: {0}")]
    Account(#[from] boardwise_belief::AccountError),
    /// Something that cannot be written into the record, or a record that cannot be read.
    #[error(transparent)]
    Record(#[from] boardwise_record::Error),
    /// A shot told for one place on the sheet while the sheet is at another: somebody else logged meanwhile.
    #[error("{told} is not what comes next{}: another device logged meanwhile", next.map_or_else(String::new, |next| format!(", {next} is")))]
    NotTheirTurn {
        /// What it was told for.
        told: Turn,
        /// What comes next.
        next: Option<Turn>,
    },
    /// A shot told by its number, of another block than the one that is open.
    #[error("{meant}: the block is now {now}; go back to the other one to put its shots right")]
    OtherBlock {
        /// The block meant.
        meant: String,
        /// The block that is open.
        now: String,
    },
    /// There is no record.
    #[error("{}: there is no record yet", place.display())]
    NoRecord {
        /// Where it was looked for.
        place: PathBuf,
    },
    /// No block has been begun in the record.
    #[error("no block has been begun yet")]
    NoBlock,
    /// The block has no place for another ball.
    #[error("{}the block is complete", pins.as_ref().map_or_else(String::new, |pins| format!("{pins}: ")))]
    BlockComplete {
        /// What was to be logged, if anything was.
        pins: Option<String>,
        /// Games of the block.
        games: Option<u16>,
    },
    /// Which pins stand was not logged, only how many.
    #[error("{count} pins stand, and which ones was not logged")]
    PinsNotKnown {
        /// How many.
        count: u8,
    },
    /// There is nothing to take back.
    #[error("nothing was logged in this block that could be taken back")]
    NothingToTakeBack,
    /// A move that moves nothing.
    #[error("say what is to change: feet and eyes, the line, the speed, the rotation or the ball")]
    NothingToMove,
    /// A shot that the block does not have.
    #[error("shot {number}: {}", match shots { 0 => "no shot has been logged in this block".to_owned(), shots => format!("the block has shots 1 to {shots}") })]
    NoSuchShot {
        /// The number asked for.
        number: usize,
        /// Shots there are.
        shots: usize,
    },
    /// Several bowlers have a sheet of the block.
    #[error("block {block}: say whose sheet: {}", bowlers.join(", "))]
    WhoseSheet {
        /// The block.
        block: String,
        /// Who has one.
        bowlers: Vec<String>,
    },
    /// A throw that cannot be although it was checked: a fault of the program.
    #[error("a throw: {0}")]
    Throw(#[from] boardwise_lane::LaneError),
    /// A film that cannot be measured.
    #[cfg(feature = "film")]
    #[error(transparent)]
    Film(#[from] boardwise_film::FilmError),
    /// A picture or a page that could not be drawn.
    #[error("cannot draw the picture: {0}")]
    Picture(Box<dyn std::error::Error + Send + Sync>),
}

impl From<BlockError> for Failure {
    fn from(error: BlockError) -> Self {
        match error {
            BlockError::Stopped(stopped) => stopped.into(),
            error => Self::Block(error),
        }
    }
}

impl Failure {
    /// Whether what was asked is at fault, rather than the program or the machine.
    pub fn is_bad_input(&self) -> bool {
        match self {
            Self::Input(fault) => fault.is_bad_input(),
            Self::NotTheirTurn { .. }
            | Self::OtherBlock { .. }
            | Self::NoRecord { .. }
            | Self::NoBlock
            | Self::BlockComplete { .. }
            | Self::PinsNotKnown { .. }
            | Self::NothingToTakeBack
            | Self::NothingToMove
            | Self::NoSuchShot { .. }
            | Self::WhoseSheet { .. } => true,
            #[cfg(feature = "film")]
            Self::Film(_) => true,
            Self::Record(error) => !failed(error),
            _ => false,
        }
    }
}

/// Whether the record itself failed, or a copy of it, rather than what was to be written.
fn failed(error: &boardwise_record::Error) -> bool {
    use boardwise_record::Error::{BadCopy, NoCopy, NoWriteAhead, Write};
    error.is_of_record() || matches!(error, BadCopy { .. } | NoCopy { .. } | NoWriteAhead { .. } | Write(_))
}
