//! A line worth playing, and the map it was found on.

use lane::{Place, Release};
use measure::{Board, Degrees, Mph};

/// A line: what to do, and what comes of it with this bowler's spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The release meant.
    pub release: Release,
    /// Board at the arrows (15 ft) of the throw as meant.
    pub arrows: Board,
    /// Closest to the bowling-hand gutter, of the throw as meant.
    pub breakpoint: Place,
    /// Where it leaves the pattern, of the throw as meant; None where there is no pattern.
    pub exit: Option<Place>,
    /// Entry board of the throw as meant; None if it reaches no pin.
    pub entry_board: Option<Board>,
    /// Entry angle of the throw as meant.
    pub entry_angle: Option<Degrees>,
    /// Speed at the pins of the throw as meant.
    pub entry_speed: Option<Mph>,
    /// Mean and standard deviation of the entry board over the spread (of balls that reach a pin).
    pub entry_spread: (Board, f64),
    /// Mean and standard deviation of the entry angle over the spread, degrees.
    pub angle_spread: (Degrees, f64),
    /// Share of throws in the pocket, 0 to 1.
    pub pocket: f64,
    /// Its standard error.
    pub pocket_error: f64,
    /// Throws behind these shares.
    pub throws: u32,
    /// What becomes of the rest.
    pub misses: Misses,
    /// How far the laydown can be off and still find the pocket as meant.
    pub miss_room: MissRoom,
}

/// Shares of throws that miss, 0 to 1; with the pocket they sum to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Misses {
    /// Past the pocket on the head pin.
    pub high: f64,
    /// Short of the pocket.
    pub light: f64,
    /// Past the head pin's middle.
    pub other_side: f64,
    /// In a gutter.
    pub gutter: f64,
}

/// Miss room at the arrows: boards by which a throw can be off, aimed parallel, and still hit the pocket.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MissRoom {
    /// Toward the bowling hand.
    pub hand_boards: f64,
    /// Away from it.
    pub away_boards: f64,
}

/// Pocket share over laydown and launch, at the bowler's own speed and rotation.
#[derive(Clone, Debug, PartialEq)]
pub struct PocketMap {
    /// Laydown boards of the columns.
    pub laydown: Vec<f64>,
    /// Launch angles of the rows, degrees.
    pub launch_deg: Vec<f64>,
    /// Share in the pocket, 0 to 1, row after row.
    pub pocket: Vec<f64>,
}
