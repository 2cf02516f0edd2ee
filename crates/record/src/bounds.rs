//! Numbers within their bounds.

use boardwise_units::Board;

use crate::Error;

pub(crate) fn positive(what: &'static str, value: f64, most: f64) -> Result<(), Error> {
    if value > 0.0 && value <= most { Ok(()) } else { Err(Error::OutOfRange { what, value, most }) }
}

pub(crate) fn within(what: &'static str, value: f64, low: f64, high: f64) -> Result<(), Error> {
    if (low..=high).contains(&value) { Ok(()) } else { Err(Error::NotWithin { what, value, low, high }) }
}

pub(crate) fn on_lane(what: &'static str, board: Board) -> Result<(), Error> {
    if board.on_lane() { Ok(()) } else { Err(Error::OffLane { what, board }) }
}
