//! Who bowls on which pair, for how long.

use crate::{Bowler, Pocket, Stopped, Unknowns};
use boardwise_ball::Ball;
use boardwise_lane::{Lane, LaneError, Release};
use thiserror::Error;

/// A bowler of a block.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    /// Who.
    pub bowler: Bowler,
    /// The balls brought for full racks, at least one. Ours may change among them; the others keep to the one they start with.
    pub balls: Vec<Ball>,
    /// The ball to start with, by its place; left out, for ours the one that strikes most on the fresh lane, for others the first.
    pub starts_with: Option<usize>,
    /// The line to start on; found on the fresh lane where not given.
    pub line: Option<Release>,
    /// The ball for spares, if one was brought.
    pub spare_ball: Option<Ball>,
}

/// A block to forecast.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockPlan {
    /// The two lanes, fresh, as a right-hander sees them.
    pub pair: [Lane; 2],
    /// Everybody on the pair in bowling order.
    pub seats: Vec<Seat>,
    /// Which of them is ours.
    pub ours: usize,
    /// Practice throws of each bowler on each lane, before the first frame.
    pub practice_shots: u32,
    /// Games that the others have bowled on the pair before we come to it.
    pub games_before: u32,
    /// Games.
    pub games: u32,
    /// Frames after which our line is looked for anew.
    pub frames_a_look: u32,
    /// How many times to run the block, each with other throws.
    pub runs: u32,
    /// Seed of all throws.
    pub seed: u64,
    /// Names the misses.
    pub pocket: Pocket,
    /// What is not known of lanes, covers and our bowler's day.
    pub unknowns: Unknowns,
}

/// Why a block cannot be forecast.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum BlockError {
    /// Nobody bowls.
    #[error("nobody is on the pair: a block needs at least one bowler")]
    Nobody,
    /// A seat without a ball.
    #[error("{0} brings no ball: give at least one")]
    NoBall(String),
    /// A number outside the possible.
    #[error("{key} = {value}: must be {low} to {high}")]
    Value {
        /// The key as it stands in an event file.
        key: &'static str,
        /// What was given.
        value: u32,
        /// Least possible.
        low: u32,
        /// Most possible.
        high: u32,
    },
    /// A throw that cannot be.
    #[error(transparent)]
    Release(#[from] LaneError),
    /// It was cancelled.
    #[error(transparent)]
    Stopped(#[from] Stopped),
}

impl BlockPlan {
    /// Checks that the block can be bowled.
    ///
    /// # Errors
    /// At the first thing that cannot be.
    pub fn check(&self) -> Result<(), BlockError> {
        if self.seats.is_empty() {
            return Err(BlockError::Nobody);
        }
        if let Some(seat) = self.seats.iter().find(|seat| seat.balls.is_empty()) {
            return Err(BlockError::NoBall(seat.bowler.name.clone()));
        }
        let most_seat = self.seats.len() as u32 - 1;
        let bounds = [
            ("ours", self.ours as u32, 0, most_seat),
            ("games_before", self.games_before, 0, 100),
            ("games", self.games, 1, 1000),
            ("practice_shots", self.practice_shots, 0, 100),
            ("frames_a_look", self.frames_a_look, 1, 1000),
            ("runs", self.runs, 1, 1000),
        ];
        let balls = self
            .seats
            .iter()
            .filter_map(|seat| Some(("ball", seat.starts_with? as u32, 0, seat.balls.len() as u32 - 1)));
        for (key, value, low, high) in bounds.into_iter().chain(balls) {
            if !(low..=high).contains(&value) {
                return Err(BlockError::Value { key, value, low, high });
            }
        }
        Ok(())
    }

    /// Our seat.
    pub fn our_seat(&self) -> &Seat {
        &self.seats[self.ours]
    }
}
