//! How a question can fail.

use thiserror::Error;

use super::at_lanes::shots::Turn;
use boardwise_files::Fault;

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
    Block(#[from] boardwise_search::BlockError),
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
    /// A throw that cannot be although it was checked: a fault of the program.
    #[error("a throw: {0}")]
    Throw(#[from] boardwise_lane::LaneError),
    /// A picture or a page that could not be drawn.
    #[error("cannot draw the picture: {0}")]
    Picture(Box<dyn std::error::Error + Send + Sync>),
}

impl Failure {
    /// Whether what was asked is at fault, rather than the program or the machine.
    pub fn is_bad_input(&self) -> bool {
        match self {
            Self::Input(fault) => fault.is_bad_input(),
            Self::NotTheirTurn { .. } => true,
            Self::Record(error) => !failed(error),
            _ => false,
        }
    }
}

/// Whether the record itself failed, rather than what was to be written into it.
fn failed(error: &boardwise_record::Error) -> bool {
    use boardwise_record::Error::{
        Busy, CannotOpen, Damaged, Database, DiskFull, NoCopy, NoWriteAhead, ReadOnly, Write,
    };
    matches!(
        error,
        Busy { .. }
            | CannotOpen { .. }
            | Damaged { .. }
            | Database { .. }
            | DiskFull { .. }
            | NoCopy { .. }
            | NoWriteAhead { .. }
            | ReadOnly { .. }
            | Write(_)
    )
}
