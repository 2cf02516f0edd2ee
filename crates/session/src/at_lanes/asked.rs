//! What a person says at the lanes: on the command line as arguments and flags, from a page as JSON with the same names.

use serde::Deserialize;

/// What was seen of a shot beside the pins.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Details {
    /// Ball of the bag: with a first ball from now on, with a second for this shot alone.
    pub ball: Option<String>,
    /// Board at the arrows.
    pub arrows: Option<f64>,
    /// Board at the breakpoint.
    pub breakpoint: Option<f64>,
    /// How it came to the pins: pocket, high, light, nose, other-side.
    pub hit: Option<String>,
    /// How it felt: good, fast, slow, in, out, hand-late.
    pub felt: Option<String>,
    /// Number of the lane, if it is not the one whose turn it is; for this shot alone.
    pub lane: Option<u32>,
}

/// A shot as it is told.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    /// What stands: pins as in 3-10, `none` or X for all down, `all` if nothing fell, `foul`.
    pub pins: String,
    /// What was seen.
    #[serde(flatten)]
    pub details: Details,
    /// A remark.
    pub note: Option<String>,
    /// A key of your own: the same shot under the same key is logged once.
    pub key: Option<String>,
}

/// A change of what is thrown from now on, as it is told.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Shift {
    /// Boards at the feet, positive in, away from the bowling hand.
    pub feet: Option<f64>,
    /// Boards at the target, positive in.
    pub eyes: Option<f64>,
    /// The line itself: board of laydown, and board aimed at 15 ft down.
    pub line: Option<Vec<f64>>,
    /// Speed meant from now on.
    pub speed: Option<f64>,
    /// Axis rotation meant from now on.
    pub rotation: Option<f64>,
    /// Ball from now on, on both lanes.
    pub ball: Option<String>,
    /// Number of the lane; left out, the one whose turn it is.
    pub lane: Option<u32>,
    /// On both lanes.
    pub both: bool,
}
