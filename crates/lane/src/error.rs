//! What can be wrong with a lane or a release.

use thiserror::Error;

/// A lane or release that cannot be.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum LaneError {
    /// A number outside the possible.
    #[error("{key} = {value}: must be {low} to {high}")]
    Range {
        /// The key as it stands in a file.
        key: &'static str,
        /// What was given.
        value: f64,
        /// Least possible.
        low: f64,
        /// Most possible.
        high: f64,
    },
    /// A range that ends before it starts.
    #[error("{key} = [{from}, {to}]: the first must be the smaller")]
    Backwards {
        /// The key as it stands in a file.
        key: &'static str,
        /// First value.
        from: f64,
        /// Second value.
        to: f64,
    },
    /// Distances of readings that do not increase.
    #[error("the reading at {feet} ft does not lie beyond the one before it: list them from the foul line on")]
    ReadingsOutOfOrder {
        /// Distance of the offending reading.
        feet: f64,
    },
    /// No stroke and no reading, or a reading without boards.
    #[error("the lane has no oil: give at least one stroke or reading, or the friction itself")]
    NoOil,
}

impl LaneError {
    pub(crate) const fn range(key: &'static str, value: f64, low: f64, high: f64) -> Self {
        Self::Range { key, value, low, high }
    }
}
