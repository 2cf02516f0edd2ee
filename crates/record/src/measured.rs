//! What a film measured of a shot.

use boardwise_units::Board;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::Error;
use crate::bounds::{positive, within};
use crate::word::Key;

/// A measured value with its error.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// Its standard error, in the unit of the value.
    pub error: f64,
}

/// Lays out what may be measured, from one list: each with the least and the most that it may be.
macro_rules! measured {
    ($($(#[$doc:meta])* $field:ident $name:literal: $low:literal, $high:literal;)+) => {
        /// What a film measured of a shot, each value with its own standard error. What the film did not show is left out. Boards count
        /// from the bowling-hand side.
        ///
        /// ```
        /// use boardwise_record::{Figure, Measured};
        /// let measured: Measured = serde_json::from_str(r#"{"entry_board":{"value":17.4,"error":0.2}}"#)?;
        /// assert_eq!(measured.entry_board, Some(Figure { value: 17.4, error: 0.2 }));
        /// assert!(serde_json::from_str::<Measured>(r#"{"entry":{"value":17.4,"error":0.2}}"#).is_err());
        /// # Ok::<(), serde_json::Error>(())
        /// ```
        #[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
        #[serde(deny_unknown_fields, expecting = "an entry in { }")]
        pub struct Measured {
            $(
                $(#[$doc])*
                #[serde(default, skip_serializing_if = "Option::is_none")]
                pub $field: Option<Figure>,
            )+
        }

        impl Measured {
            /// Whether it can be: each value where such values lie, each error above nothing.
            pub(crate) fn check(&self) -> Result<(), Error> {
                $(
                    if let Some(Figure { value, error }) = self.$field {
                        within($name, value, $low, $high)?;
                        positive(concat!("error of ", $name), error, MOST_ERROR)?;
                    }
                )+
                Ok(())
            }
        }
    };
}

/// An error beyond this says nothing in any unit used here.
const MOST_ERROR: f64 = 1000.0;

// As far as anybody throws at all, and a little beyond, since a measured value may miss the true one.
measured! {
    /// Board under the ball at the foul line.
    laydown_board "laydown_board": -5.0, 45.0;
    /// Launch angle, degrees, positive toward the bowling-hand gutter.
    launch_deg "launch_deg": -15.0, 15.0;
    /// Board at 15 ft.
    arrows_board "arrows_board": -5.0, 45.0;
    /// Board closest to the bowling-hand gutter.
    breakpoint_board "breakpoint_board": -5.0, 45.0;
    /// Distance of the breakpoint, feet.
    breakpoint_feet "breakpoint_feet": 0.0, 63.0;
    /// Board where the pattern ends.
    exit_board "exit_board": -5.0, 45.0;
    /// Board at which the line of entry crosses the head pin's row.
    entry_board "entry_board": -5.0, 45.0;
    /// Entry angle, degrees.
    entry_deg "entry_deg": -30.0, 30.0;
    /// Speed at release, mph.
    release_mph "release_mph": 3.0, 45.0;
    /// Speed at the head pin's row, mph.
    pins_mph "pins_mph": 1.0, 45.0;
    /// Rev rate at release, rpm.
    rev_rate_rpm "rev_rate_rpm": 0.0, 1000.0;
    /// Axis rotation at release, degrees.
    rotation_deg "rotation_deg": -60.0, 150.0;
    /// Axis tilt at release, degrees.
    tilt_deg "tilt_deg": -60.0, 100.0;
}

impl Measured {
    /// The key of a shot on a film: the same for the same bytes, so that a film that is logged twice is noticed.
    pub fn key_of_film(film: &[u8]) -> Key {
        let digest: [u8; 32] = Sha256::digest(film).into();
        Key::of_digest("film-", &digest[..16])
    }

    /// Board at the arrows, where it is on the lane.
    pub fn arrows(&self) -> Option<Board> {
        on_lane(self.arrows_board)
    }

    /// Board at the breakpoint, where it is on the lane.
    pub fn breakpoint(&self) -> Option<Board> {
        on_lane(self.breakpoint_board)
    }
}

/// The board of a figure as people tell it, in tenths.
fn on_lane(figure: Option<Figure>) -> Option<Board> {
    figure.map(|figure| Board((figure.value * 10.0).round() / 10.0)).filter(|board| board.on_lane())
}

impl ToSql for Measured {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        let text = serde_json::to_string(self).map_err(|why| rusqlite::Error::ToSqlConversionFailure(Box::new(why)))?;
        Ok(text.into())
    }
}

impl FromSql for Measured {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        serde_json::from_str(value.as_str()?).map_err(FromSqlError::other)
    }
}
