//! Flags of the commands at the lanes.

use std::path::PathBuf;

use clap::Args;

use crate::cli::arguments::EventKit;
use crate::job::at_lanes::asked::{Details, Shift, Told};
use crate::job::at_lanes::begin::Beginning;

/// Where things are written down, and how the answer is told.
#[derive(Debug, Args)]
#[command(next_help_heading = "Record")]
pub struct Desk {
    /// The record; left out, `boardwise.record` in the folder where programs of this user keep their data.
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// Print one JSON object and nothing else.
    #[arg(long)]
    pub json: bool,
}

/// Flags of `start`.
#[derive(Debug, Args)]
pub struct Start {
    /// Which event.
    #[command(flatten)]
    pub kit: EventKit,
    /// What it begins with.
    #[command(flatten)]
    pub beginning: Beginning,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `undo`.
#[derive(Debug, Args)]
pub struct Undo {
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `fix`.
#[derive(Debug, Args)]
pub struct Fix {
    /// Number of the shot, as `sheet` lists them.
    pub number: usize,
    /// What stood: pins as in 3-10, `none` or X for all down, `all` if nothing fell, `foul`.
    pub pins: String,
    /// What was seen; what is not said here stays as it was.
    #[command(flatten)]
    pub details: Details,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `sheet`.
#[derive(Debug, Args)]
pub struct Sheet {
    /// A score for this game: what the next frames need for it, and the chance of it.
    #[arg(long, value_name = "SCORE", value_parser = clap::value_parser!(u16).range(0..=300))]
    pub target: Option<u16>,
    /// Another block of the record, by id, instead of the one begun last.
    #[arg(long, value_name = "ID")]
    pub block: Option<String>,
    /// Whose sheet of that block; left out, the only one there is.
    #[arg(long, value_name = "ID", requires = "block")]
    pub bowler: Option<String>,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `after`.
#[derive(Debug, Args)]
pub struct After {
    /// Another block of the record, by id, instead of the one begun last.
    #[arg(long, value_name = "ID")]
    pub block: Option<String>,
    /// Whose sheet of that block; left out, the only one there is.
    #[arg(long, value_name = "ID", requires = "block")]
    pub bowler: Option<String>,
    /// Write a handout to this file, too.
    #[arg(long, value_name = "FILE")]
    pub pdf: Option<PathBuf>,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `export`.
#[derive(Debug, Args)]
pub struct Export {
    /// The file to write; it must not exist yet.
    pub file: PathBuf,
    /// The shots alone, as CSV, instead of the whole record as JSON.
    #[arg(long)]
    pub shots: bool,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `import`.
#[derive(Debug, Args)]
pub struct Import {
    /// The file to read: a whole record as JSON.
    pub file: PathBuf,
    /// The file holds shots as CSV.
    #[arg(long)]
    pub shots: bool,
    /// Name for shots without keys, so that a file sent twice is imported once [default: the file's name].
    #[arg(long, value_name = "NAME", requires = "shots")]
    pub batch: Option<String>,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `next`.
#[derive(Debug, Args)]
pub struct Next {
    /// Number of the lane; left out, the one whose turn it is.
    #[arg(long, value_name = "NUMBER")]
    pub lane: Option<u32>,
    /// Seed of everything random; the same seed gives the same answer.
    #[arg(long, default_value_t = 1, value_name = "N")]
    pub seed: u64,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `log`.
#[derive(Debug, Args)]
pub struct Log {
    /// The shot.
    #[command(flatten)]
    pub told: Told,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `move`.
#[derive(Debug, Args)]
pub struct Move {
    /// What is another.
    #[command(flatten)]
    pub shift: Shift,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}
