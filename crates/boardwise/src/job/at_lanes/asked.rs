//! What a person says at the lanes: on the command line as arguments and flags, from a page as JSON with the same names.

use clap::Args;
use serde::Deserialize;

/// What was seen of a shot beside the pins.
#[derive(Clone, Debug, Default, Args, Deserialize)]
#[serde(default)]
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
}

/// A shot as it is told.
#[derive(Clone, Debug, Default, Args, Deserialize)]
#[serde(default)]
pub struct Told {
    /// What stands: pins as in 3-10, `none` or X for all down, `all` if nothing fell, `foul`.
    pub pins: String,
    /// What was seen.
    #[command(flatten)]
    #[serde(flatten)]
    pub details: Details,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
    /// A key of your own: the same shot under the same key is logged once.
    #[arg(long, value_name = "KEY")]
    pub key: Option<String>,
}

/// A change of what is thrown from now on, as it is told.
#[derive(Clone, Debug, Default, Args, Deserialize)]
#[serde(default)]
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
