//! The bowler: the release they have, how it varies, and what they can do on purpose.

use crate::Spread;
use boardwise_lane::{LaneError, Release};
use boardwise_units::{Degrees, Hand, Mph};
use thiserror::Error;

/// A bowler, as the search needs them.
#[derive(Clone, Debug, PartialEq)]
pub struct Bowler {
    /// What to call them.
    pub name: String,
    /// The hand that bowls.
    pub hand: Hand,
    /// The usual release; its laydown and launch are only a starting point.
    pub release: Release,
    /// How shots meant alike differ.
    pub spread: Spread,
    /// What they can do on purpose.
    pub range: Range,
}

/// What a bowler can change on purpose, lowest to highest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Release speeds.
    pub speed: (Mph, Mph),
    /// Axis rotations.
    pub rotation: (Degrees, Degrees),
}

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

impl Bowler {
    /// Checks the release, the spread and that the ranges hold the bowler's own values.
    ///
    /// # Errors
    /// At the first value that cannot be; the error names it and what is allowed.
    pub fn check(&self) -> Result<(), BowlerError> {
        self.release.check()?;
        self.spread.check()?;
        let ranges = [
            ("speed_mph", self.range.speed.0.0, self.range.speed.1.0, self.release.speed.0, 5.0, 40.0),
            ("rotation_deg", self.range.rotation.0.0, self.range.rotation.1.0, self.release.rotation.0, -30.0, 120.0),
        ];
        for (key, low, high, own, least, most) in ranges {
            for value in [low, high] {
                if !(least..=most).contains(&value) {
                    return Err(BowlerError::Value { key, value, low: least, high: most });
                }
            }
            if !(low..=high).contains(&own) {
                return Err(BowlerError::RangeWithout { key, low, high, own });
            }
        }
        Ok(())
    }
}
