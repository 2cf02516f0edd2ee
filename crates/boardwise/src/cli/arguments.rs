//! Commands and flags.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::kit::Kind;

/// Prepare for an oil pattern and find the line to play.
///
/// `read`, `throw` and `line` work without arguments, on a built-in demo kit. Boards count from the gutter on the bowling-hand side,
/// feet from the foul line. Exit status: 0 done, 2 bad input, 1 anything else.
#[derive(Debug, Parser)]
#[command(name = "boardwise", version, max_term_width = 100)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Read a pattern: volume, oil by board and distance, ratio, rule-of-31 exit.
    Read(Read),
    /// Throw one ball (or several, to compare): path, breakpoint, exit, entry.
    ///
    /// Angles in the answer are positive away from the bowling-hand side, as entry angles are; a launch angle is
    /// positive toward the bowling-hand gutter. With several balls, JSON holds a list `throws` in place of one throw's
    /// keys.
    Throw(Throw),
    /// Search lines for a ball and a bowler: how often each finds the pocket, and the room it leaves.
    Line(Line),
    /// Copy the demo kit into a new folder, to start from.
    Demo {
        /// The folder to make; it must not exist yet.
        #[arg(default_value = "boardwise-demo")]
        folder: PathBuf,
    },
    /// Print the JSON Schema of a kind of file, for editors.
    Schema {
        /// The kind of file.
        kind: Kind,
    },
    /// Print completions for a shell.
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// Print the manual page, in troff.
    Man {
        /// Of one command instead of the whole.
        command: Option<String>,
    },
}

/// Who plays what, where.
#[derive(Debug, Args)]
#[command(next_help_heading = "Kit")]
pub struct Kit {
    /// Lane file, or a lane of the demo kit.
    #[arg(long, value_name = "FILE|ID", default_value = "house-40-walled")]
    pub lane: String,
    /// Bag file, or the demo kit's bag.
    #[arg(long, value_name = "FILE|ID", default_value = "demo")]
    pub bag: String,
    /// Ball of the bag by id, or a bag file that holds one ball.
    ///
    /// Left out: strong-solid if the bag has it, else the bag's first ball. `throw` takes several and compares
    /// them.
    #[arg(long, value_name = "ID|FILE")]
    pub ball: Vec<String>,
    /// Bowler file, or a bowler of the demo kit.
    #[arg(long, value_name = "FILE|ID", default_value = "right-straighter")]
    pub bowler: String,
}

/// Where the answer goes.
#[derive(Debug, Args)]
#[command(next_help_heading = "Output")]
pub struct Output {
    /// Print one JSON object and nothing else.
    #[arg(long)]
    pub json: bool,
    /// Write the picture as SVG.
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Write the picture as PNG.
    #[arg(long, value_name = "FILE")]
    pub png: Option<PathBuf>,
    /// Colours of the picture.
    #[arg(long, value_enum, default_value_t = Theme::Light)]
    pub theme: Theme,
    /// Seed of everything random; the same seed gives the same answer.
    #[arg(long, default_value_t = 1, value_name = "N")]
    pub seed: u64,
}

/// Colours of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Theme {
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
}

/// Flags of `read`.
#[derive(Debug, Args)]
pub struct Read {
    /// Who plays what, where.
    #[command(flatten)]
    pub kit: Kit,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `throw`.
#[derive(Debug, Args)]
pub struct Throw {
    /// Who plays what, where; `--ball` may be repeated.
    #[command(flatten)]
    pub kit: Kit,
    /// Board under the ball at the foul line.
    #[arg(long, value_name = "BOARD", default_value_t = 17.0, allow_negative_numbers = true)]
    pub laydown: f64,
    /// Launch angle in degrees, positive toward the bowling-hand gutter.
    #[arg(long, value_name = "DEG", conflicts_with = "arrows", allow_negative_numbers = true)]
    pub launch: Option<f64>,
    /// Board to aim at 15 ft from the foul line [default: 13].
    #[arg(long, value_name = "BOARD", allow_negative_numbers = true)]
    pub arrows: Option<f64>,
    /// Speed at release instead of the bowler's.
    #[arg(long, value_name = "MPH", allow_negative_numbers = true)]
    pub speed: Option<f64>,
    /// Rev rate instead of the bowler's.
    #[arg(long, value_name = "RPM", allow_negative_numbers = true)]
    pub revs: Option<f64>,
    /// Axis rotation instead of the bowler's.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true)]
    pub rotation: Option<f64>,
    /// Axis tilt instead of the bowler's.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true)]
    pub tilt: Option<f64>,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `line`.
#[derive(Debug, Args)]
pub struct Line {
    /// Who plays what, where.
    #[command(flatten)]
    pub kit: Kit,
    /// Lightest and highest entry board that count as the pocket.
    #[arg(long, num_args = 2, value_names = ["LIGHT", "HIGH"], default_values_t = [16.5, 18.5])]
    pub pocket: Vec<f64>,
    /// Most lines to show.
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub lines: u8,
    /// Draw the map of pocket percentage over laydown and launch instead of the lane.
    #[arg(long)]
    pub map: bool,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}
