//! How a question can fail, and how that is shown.

use std::path::PathBuf;
use std::process::ExitCode;

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme};
use thiserror::Error;

use super::at_lanes::shots::Turn;
use crate::kit::Fault;

/// Why something was not done that was asked.
#[derive(Debug, Error)]
pub enum Failure {
    /// Bad input.
    #[error(transparent)]
    Input(#[from] Fault),
    /// A file that could not be written.
    #[error("{path}: cannot be written: {source}", path = path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        source: std::io::Error,
    },
    /// Standard output that could not be written.
    #[error("cannot print: {0}")]
    Print(std::io::Error),
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
    /// The app that could not be served.
    #[error("cannot serve on port {at}: {source}; --port takes another")]
    Serve {
        /// The port.
        at: u16,
        /// The system's reason.
        source: std::io::Error,
    },
    /// A picture that could not be turned into pixels.
    #[error("cannot draw the picture: {0}")]
    Picture(Box<dyn std::error::Error + Send + Sync>),
}

impl Failure {
    /// 2 for bad input, 1 for anything else.
    pub fn status(&self) -> ExitCode {
        ExitCode::from(if self.is_bad_input() { 2 } else { 1 })
    }

    /// Whether what was asked is at fault, rather than the program or the machine.
    pub fn is_bad_input(&self) -> bool {
        match self {
            Self::Input(_) | Self::NotTheirTurn { .. } => true,
            Self::Record(error) => !failed(error),
            _ => false,
        }
    }

    /// The message for people, pointing into the file where there is one.
    pub fn shown(&self, terminal: bool) -> String {
        let Self::Input(fault) = self else {
            return format!("error: {self}\n");
        };
        let theme = if terminal { GraphicalTheme::unicode() } else { GraphicalTheme::none() };
        let handler = GraphicalReportHandler::new_themed(theme).with_wrap_lines(false).with_width(200);
        let mut text = String::from("error:\n");
        let report: &dyn Diagnostic = fault;
        if handler.render_report(&mut text, report).is_err() {
            return format!("error: {fault}\n");
        }
        text
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
