//! A line worth playing, and the map it was found on.

use crate::{FirstBall, GameScore};
use boardwise_lane::{Place, Release};
use boardwise_units::{Board, Degrees, Mph};

/// A line: what to do, and what comes of it with this bowler's spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The release meant.
    pub release: Release,
    /// The board aimed at, at the arrows (15 ft): what a bowler looks at. A ball that arcs crosses them a board or so inside, on
    /// a nearly dry lane five or six. A line that is found never asks to look beside the lane. Where it does cross is in what
    /// [`crate::Conditions::as_meant`] says of the release.
    pub arrows: Board,
    /// Closest to the bowling-hand gutter, of the throw as meant.
    pub breakpoint: Place,
    /// Where it crosses the end of the pattern, of the throw as meant; None where there is no pattern.
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
    /// Mean worth of its throws, 0 to 1: what the search made most of. Of strikes it differs by a hair from
    /// `first_ball.strike`, the number to show: the worth takes the pins of each world, the other their mean.
    pub worth: f64,
    /// Standard error of the worth from the number of throws.
    pub worth_error: f64,
    /// Standard deviation of the worth over what is not known of lane, covers and day.
    pub worth_over_worlds: f64,
    /// Share of throws in the pocket, 0 to 1.
    pub pocket: f64,
    /// Its standard error.
    pub pocket_error: f64,
    /// Throws behind these shares.
    pub throws: u32,
    /// What becomes of the rest.
    pub misses: Misses,
    /// How far a throw can be off and still do what was meant.
    pub miss_room: MissRoom,
    /// What its throws leave at a full rack; None where the payoff does not know the pins.
    pub first_ball: Option<FirstBall>,
    /// What a game of such first balls comes to; None until [`crate::rank_by_game`].
    pub game: Option<GameScore>,
    /// Place among the lines found, from 1. Lines whose games differ by less than their standard error share one.
    pub rank: usize,
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

/// Miss room at the arrows: boards by which a shot can be off, from the same feet, while its worth stays above half of the
/// best.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MissRoom {
    /// Toward the bowling hand.
    pub hand_boards: f64,
    /// Away from it.
    pub away_boards: f64,
}

/// Worth over laydown and launch, at the bowler's own speed and rotation.
#[derive(Clone, Debug, PartialEq)]
pub struct WorthMap {
    /// Laydown boards of the columns.
    pub laydown: Vec<f64>,
    /// Launch angles of the rows, degrees.
    pub launch_deg: Vec<f64>,
    /// Mean worth, 0 to 1, row after row.
    pub worth: Vec<f64>,
    /// What the worth is a share of, as [`crate::Payoff::counts`] says.
    pub counts: &'static str,
}
