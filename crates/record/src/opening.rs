//! Lines that bowlers mean, and with what blocks begin.

use serde::{Deserialize, Serialize};

use crate::Error;
use crate::bounds::{on_lane, within};
use crate::word::{BallId, Key, LaneId};
use boardwise_units::Board;

/// What a bowler means to throw from now on. The rest of the release is the bowler's own.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
pub struct LineMeant {
    /// Board of laydown.
    pub laydown: f64,
    /// Board pointed at, 15 ft down.
    pub arrows: f64,
    /// Speed at release, mph.
    pub speed_mph: f64,
    /// Axis rotation, degrees.
    pub rotation_deg: f64,
}

impl LineMeant {
    /// Whether it can be a line at all.
    pub(crate) fn check(&self) -> Result<(), Error> {
        on_lane("laydown", Board(self.laydown))?;
        on_lane("arrows", Board(self.arrows))?;
        // As far as anybody throws at all (the lane's own check of a release has the same bounds).
        within("speed_mph", self.speed_mph, 5.0, 40.0)?;
        within("rotation_deg", self.rotation_deg, -30.0, 120.0)
    }
}

/// With what a block began: enough to say years later what its shots were thrown at, and with what.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
pub struct Opening {
    /// The last fact written down before the block began.
    pub since: Key,
    /// Which pair of the event, from 0 on.
    pub pair: usize,
    /// The event with every file it names. The record keeps this text and does not read it.
    pub files: serde_json::Value,
    /// The two lanes of the pair.
    pub lanes: [LaneId; 2],
    /// The balls of the bag, in its order.
    pub balls: Vec<BallId>,
    /// The best line of each ball for full racks on the fresh lanes, by lane.
    pub forms: [Vec<Option<LineMeant>>; 2],
    /// What everybody else on the pair is taken to throw, by place in the event and by lane.
    pub others: Vec<[Option<LineMeant>; 2]>,
}

impl Opening {
    /// Longest opening, in bytes of JSON: an event with all its files is a twentieth of it.
    pub const LONGEST: usize = 4_000_000;

    /// As the record keeps it.
    pub(crate) fn text(&self) -> Result<String, Error> {
        serde_json::to_string(self).map_err(Error::Entry)
    }

    /// Whether it can be kept.
    pub(crate) fn check(&self) -> Result<(), Error> {
        let text = self.text()?;
        if text.len() > Self::LONGEST || text.contains("\\u0000") {
            return Err(Error::BadText { long: text.len(), most: Self::LONGEST });
        }
        Ok(())
    }
}

impl rusqlite::types::ToSql for Opening {
    fn to_sql(&self) -> rusqlite::Result<rusqlite::types::ToSqlOutput<'_>> {
        let text = self.text().map_err(|why| rusqlite::Error::ToSqlConversionFailure(Box::new(why)))?;
        Ok(text.into())
    }
}

impl rusqlite::types::FromSql for Opening {
    fn column_result(value: rusqlite::types::ValueRef<'_>) -> rusqlite::types::FromSqlResult<Self> {
        serde_json::from_str(value.as_str()?).map_err(rusqlite::types::FromSqlError::other)
    }
}
