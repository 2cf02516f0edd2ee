//! The lane and what a ball does on it: oil, friction, shape, release and path.
//!
//! Frame: x toward the bowling-hand side, y toward the pins, z up; a left-hander's lane is seen mirrored
//! ([`Lane::mirrored`]), so that everything here is written once. [`throw`] follows one ball as exactly as the model
//! allows; the batch engine follows many at once.
#![cfg_attr(not(feature = "std"), no_std)]

extern crate alloc;

mod batch;
mod error;
mod field;
mod film;
mod friction;
mod motion;
mod path;
mod release;
mod surface;
mod throw;
mod track;
mod wear;

pub use batch::{Finish, ROWS, Runway};
pub use error::LaneError;
pub use field::{Field, NODE_FT};
pub use film::{Direction, Film, Reading, Stroke};
pub use friction::{Contact, ContactLaw};
pub use path::{Path, PathRow, PinTouch, Place, Side};
pub use release::Release;
pub use surface::{Coat, Coating, Ground, Lane, Shape};
pub use throw::{Fineness, TrackForm, throw};
pub use wear::TakenOil;
