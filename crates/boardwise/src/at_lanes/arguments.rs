//! Flags of the commands at the lanes.

use std::path::PathBuf;

use clap::Args;

use crate::flags::EventKit;
use boardwise_files::Fault;
use boardwise_session::at_lanes::begin;
use boardwise_session::at_lanes::command::{self, ShotTold};
use boardwise_session::at_lanes::desk::word;

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

/// What a block begins with, as it is told.
#[derive(Clone, Debug, Args)]
pub struct Beginning {
    /// Ball of the bag to start with; left out, the event's, else the one that strikes most on the fresh lanes.
    #[arg(long, value_name = "ID")]
    pub ball: Option<String>,
    /// Which pair of the event, from 1 on.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..))]
    pub pair: u32,
    /// How balls are counted: traditional, current-frame, or nothing for practice and drills.
    #[arg(long, value_name = "WORD", default_value = "traditional")]
    pub counting: String,
}

/// What was seen of a shot beside the pins.
#[derive(Clone, Debug, Args)]
#[command(next_help_heading = "What was seen")]
pub struct Details {
    /// Ball of the bag: with a first ball from now on, with a second for this shot alone.
    #[arg(long, value_name = "ID")]
    pub ball: Option<String>,
    /// Board at the arrows.
    #[arg(long, value_name = "BOARD", allow_negative_numbers = true)]
    pub arrows: Option<f64>,
    /// Board at the breakpoint.
    #[arg(long, value_name = "BOARD", allow_negative_numbers = true)]
    pub breakpoint: Option<f64>,
    /// How it came to the pins: pocket, high, light, nose, other-side.
    #[arg(long, value_name = "WORD")]
    pub hit: Option<String>,
    /// How it felt: good, fast, slow, in, out, hand-late.
    #[arg(long, value_name = "WORD")]
    pub felt: Option<String>,
    /// Number of the lane, if it is not the one whose turn it is; for this shot alone.
    #[arg(long, value_name = "NUMBER")]
    pub lane: Option<u32>,
    /// What a film measured of it: what `watch --json` printed.
    #[arg(long, value_name = "FILE")]
    pub measured: Option<PathBuf>,
}

/// A shot as it is told.
#[derive(Clone, Debug, Args)]
pub struct ShotArguments {
    /// What stands: pins as in 3-10, `none` or X for all down, `all` if nothing fell, `foul`.
    pub pins: String,
    /// What was seen.
    #[command(flatten)]
    pub details: Details,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
    /// A key of your own: the same shot under the same key is logged once.
    #[arg(long, value_name = "KEY")]
    pub key: Option<String>,
}

/// A change of what is thrown from now on, as it is told.
#[derive(Clone, Debug, Args)]
pub struct Shift {
    /// Boards at the feet, positive in, away from the bowling hand.
    #[arg(value_name = "FEET", requires = "eyes", allow_negative_numbers = true)]
    pub feet: Option<f64>,
    /// Boards at the target, positive in.
    #[arg(value_name = "EYES", allow_negative_numbers = true)]
    pub eyes: Option<f64>,
    /// The line itself: board of laydown, and board aimed at 15 ft down.
    #[arg(
        long,
        num_args = 2,
        value_names = ["LAYDOWN", "ARROWS"],
        conflicts_with = "feet",
        allow_negative_numbers = true
    )]
    pub line: Option<Vec<f64>>,
    /// Speed meant from now on.
    #[arg(long, value_name = "MPH", allow_negative_numbers = true)]
    pub speed: Option<f64>,
    /// Axis rotation meant from now on.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true)]
    pub rotation: Option<f64>,
    /// Ball from now on, on both lanes.
    #[arg(long, value_name = "ID")]
    pub ball: Option<String>,
    /// Number of the lane; left out, the one whose turn it is.
    #[arg(long, value_name = "NUMBER", conflicts_with = "both")]
    pub lane: Option<u32>,
    /// On both lanes.
    #[arg(long)]
    pub both: bool,
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
    /// The block that the number is of; left out, the one begun or gone back to last. Another one is refused.
    #[arg(long, value_name = "ID")]
    pub block: Option<String>,
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
    /// Let the handout take the place of a file of that name. Links and devices are never replaced.
    #[arg(long)]
    pub force: bool,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `export`.
#[derive(Debug, Args)]
pub struct Export {
    /// The file to write: shots where its name ends in .csv, else everything.
    pub file: PathBuf,
    /// The shots alone, as CSV, instead of the whole record as JSON.
    #[arg(long)]
    pub shots: bool,
    /// Let it take the place of a file of that name. Links and devices are never replaced.
    #[arg(long)]
    pub force: bool,
    /// Where it is written down.
    #[command(flatten)]
    pub desk: Desk,
}

/// Flags of `import`.
#[derive(Debug, Args)]
pub struct Import {
    /// The file to read: shots where its name ends in .csv, else a whole record as JSON.
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
    pub told: ShotArguments,
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

impl From<&Beginning> for begin::Beginning {
    fn from(told: &Beginning) -> Self {
        Self { ball: told.ball.clone(), pair: told.pair, counting: told.counting.clone() }
    }
}

impl Details {
    /// As the session takes them.
    ///
    /// # Errors
    /// If a word is none of those for it.
    fn told(&self) -> Result<command::Details, Fault> {
        Ok(command::Details {
            ball: self.ball.clone(),
            arrows: self.arrows,
            breakpoint: self.breakpoint,
            hit: self.hit.as_deref().map(|typed| word("--hit", typed)).transpose()?,
            felt: self.felt.as_deref().map(|typed| word("--felt", typed)).transpose()?,
            lane: self.lane,
            measured: None,
        })
    }
}

impl ShotArguments {
    /// As the session takes it.
    ///
    /// # Errors
    /// If a word is none of those for it.
    pub fn shot(&self) -> Result<ShotTold, Fault> {
        Ok(ShotTold { pins: self.pins.clone(), details: self.details.told()?, note: self.note.clone() })
    }
}

impl Fix {
    /// As the session takes it.
    ///
    /// # Errors
    /// If a word is none of those for it.
    pub fn shot(&self) -> Result<ShotTold, Fault> {
        Ok(ShotTold { pins: self.pins.clone(), details: self.details.told()?, note: None })
    }
}

impl From<&Shift> for command::Move {
    fn from(told: &Shift) -> Self {
        Self {
            surface: None,
            feet: told.feet,
            eyes: told.eyes,
            line: told.line.as_deref().and_then(|line| line.try_into().ok()),
            speed: told.speed,
            rotation: told.rotation,
            ball: told.ball.clone(),
            lane: told.lane,
            both: told.both,
        }
    }
}
