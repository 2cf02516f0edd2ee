//! What a bowler wants done in a block, and what was done.

use boardwise_record::{Felt, Hit, Key, Measured, Surface};
use jiff::Timestamp;
use serde::Deserialize;

use super::device_time::DeviceTime;
use super::line_meant::LineMeant;
use super::newest::Newest;
use super::turn::Turn;

/// What a bowler wants done in a block. The command line reads it from arguments, a page sends it as JSON.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Log a shot.
    Log(LogShot),
    /// Put a shot right; what is not said of it stays as it was.
    Correct {
        /// The block it is in: numbers of shots mean nothing without.
        block: String,
        /// Its number on the sheet, from 1 on.
        number: usize,
        /// What it should have said.
        shot: ShotTold,
    },
    /// Take back what was logged last, or what was logged under a key, with all that belongs to it.
    Undo {
        /// The key of a shot or move.
        of: Option<Key>,
    },
    /// Throw something else from now on.
    Move(Move),
    /// Take a choice of the card: its ball, its surface and its line, on one lane.
    Take(Choice),
    /// Say that a ball's surface was worked on.
    ChangeSurface {
        /// The ball, by its id in the bag.
        ball: String,
        /// What the surface is now.
        surface: Surface,
        /// What was done, in the bowler's words.
        how: Option<String>,
    },
}

/// The key and the time of a command. A command that comes again under its key is done once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// A key that nobody else makes.
    pub key: Key,
    /// Now, by the clock of whoever runs the session.
    pub at: Timestamp,
}

/// What was seen of a shot beside the pins.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct Details {
    /// Ball of the bag: with a first ball from now on, with a second for this shot alone.
    pub ball: Option<String>,
    /// Board at the arrows.
    pub arrows: Option<f64>,
    /// Board at the breakpoint.
    pub breakpoint: Option<f64>,
    /// How it came to the pins.
    pub hit: Option<Hit>,
    /// How it felt.
    pub felt: Option<Felt>,
    /// Number of the lane, if it is not the one whose turn it is; for this shot alone.
    pub lane: Option<u32>,
    /// What a film measured of it.
    pub measured: Option<Box<Measured>>,
}

/// A shot as a bowler tells it.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct ShotTold {
    /// What stands: pins as in 3-10, `none` or X for all down, `all` if nothing fell, `foul`.
    pub pins: String,
    /// What was seen.
    #[serde(flatten)]
    pub details: Details,
    /// A remark.
    pub note: Option<String>,
}

/// A shot to be logged.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LogShot {
    /// The shot.
    pub shot: ShotTold,
    /// Where on the sheet whoever tells it thinks that it belongs.
    pub turn: Option<Turn>,
    /// What a device's own clock says of it.
    pub by_device: Option<DeviceTime>,
}

/// A change of what is thrown from now on.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct Move {
    /// Boards at the feet, positive in, away from the bowling hand.
    pub feet: Option<f64>,
    /// Boards at the target, positive in.
    pub eyes: Option<f64>,
    /// The line itself: board of laydown, and board aimed at 15 ft down.
    pub line: Option<[f64; 2]>,
    /// Speed meant from now on, mph.
    pub speed: Option<f64>,
    /// Axis rotation meant from now on, degrees.
    pub rotation: Option<f64>,
    /// Ball from now on, on both lanes, by its id in the bag.
    pub ball: Option<String>,
    /// Surface of that ball from now on; without a ball, of the one in hand.
    pub surface: Option<Surface>,
    /// Number of the lane; left out, the one whose turn it is.
    pub lane: Option<u32>,
    /// On both lanes.
    pub both: bool,
}

/// A choice of the card that a bowler takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The ball, by its id in the bag.
    pub ball: String,
    /// The surface that is put on it; none if it stays as it is.
    pub surface: Option<Surface>,
    /// The line.
    pub line: LineMeant,
    /// Number of the lane.
    pub lane: u32,
}

/// What was done.
#[derive(Clone, Debug, PartialEq)]
pub struct Done {
    /// What it was.
    pub deed: Deed,
    /// The shot it was done to, from 1 on, if it still stands.
    pub shot: Option<usize>,
    /// The lines that are others from now on, by lane of the pair.
    pub lines: Vec<(usize, LineMeant)>,
}

/// What a command did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Deed {
    /// A shot was logged.
    Logged,
    /// It had been logged before, under the same key.
    LoggedBefore,
    /// Something was taken back.
    TakenBack(Newest),
    /// It had been taken back before, under the same key.
    TakenBackBefore,
    /// A shot was put right.
    PutRight,
    /// The line or the ball is another from now on.
    Moved,
    /// A ball's surface is another from now on.
    Resurfaced,
}

impl Deed {
    /// In words.
    pub fn words(&self) -> String {
        let words = match self {
            Self::Logged => "logged",
            Self::LoggedBefore => "logged before",
            Self::TakenBack(what) => return format!("taken back: {}", what.words),
            Self::TakenBackBefore => "taken back before",
            Self::PutRight => "put right",
            Self::Moved => "moved",
            Self::Resurfaced => "surface changed",
        };
        words.to_owned()
    }
}

impl Done {
    /// Of a deed alone.
    pub fn of(deed: Deed) -> Self {
        Self { deed, shot: None, lines: Vec::new() }
    }
}
