//! How an account can fail.

use boardwise_lane::LaneError;
use thiserror::Error;

/// Why there is no account.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum AccountError {
    /// Balls that cannot be, or chances that are none.
    #[error(transparent)]
    Score(#[from] boardwise_score::Error),
    /// A release that cannot be.
    #[error(transparent)]
    Release(#[from] LaneError),
    /// A lane on which no line is known to set the par by.
    #[error("lane {lane} has no line: give the best one known for at least one ball")]
    NoLine {
        /// Lane of the pair.
        lane: usize,
    },
    /// A line of the par with a ball that there is not.
    #[error("a line on lane {lane} is of ball {ball}, which is not there: there are {balls}, counted from 0")]
    NoBall {
        /// Lane of the pair.
        lane: usize,
        /// The ball given.
        ball: usize,
        /// How many there are.
        balls: usize,
    },
    /// A lane or ball that there is not.
    #[error("game {game}, delivery {delivery}: {what} {place} is not there: give 0 to {last}")]
    NoSuch {
        /// Lane or ball.
        what: &'static str,
        /// Game, from 1.
        game: usize,
        /// Delivery of the game, from 1.
        delivery: usize,
        /// What was given.
        place: usize,
        /// The last there is.
        last: usize,
    },
}
