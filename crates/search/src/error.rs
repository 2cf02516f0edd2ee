//! Why a bowler cannot be.

use boardwise_lane::LaneError;
use thiserror::Error;

/// Why a bowler cannot be.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum BowlerError {
    /// The release is not possible.
    #[error(transparent)]
    Release(#[from] LaneError),
    /// A number outside the possible.
    #[error("{key} = {value}: must be {low} to {high}")]
    Value {
        /// The key as it stands in a bowler file.
        key: &'static str,
        /// What was given.
        value: f64,
        /// Least possible.
        low: f64,
        /// Most possible.
        high: f64,
    },
    /// A range that does not hold the bowler's own value.
    #[error("range.{key} = [{low}, {high}]: must hold the bowler's own {key}, {own}")]
    RangeWithout {
        /// The key as it stands in a bowler file.
        key: &'static str,
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
        /// The bowler's own value.
        own: f64,
    },
}
