//! A bowling ball: core, cover, surface, layout and mass.
//!
//! A [`BallSpec`] says what a maker's sheet, a scale and a layout say; [`Ball::new`] checks it once and turns it into
//! what the physics needs. Values outside the rules come back as warnings, values no ball can have as errors.
//!
//! ```
//! use boardwise_ball::{Ball, BallSpec, CoverKind};
//! use boardwise_units::Pounds;
//!
//! let spec = BallSpec { weight: Pounds(15.0), ..BallSpec::new("dull-solid", CoverKind::Reactive) };
//! let (ball, warnings) = Ball::new(spec)?;
//! assert!(warnings.is_empty());
//! assert!((ball.mass_kg - 6.804).abs() < 1e-3);
//! # Ok::<(), boardwise_ball::BallError>(())
//! ```
#![cfg_attr(not(feature = "std"), no_std)]

extern crate alloc;

mod bag;
mod body;
mod cover;
mod entry;
mod layout;

pub use bag::{Bag, BagError};
pub use body::{Ball, BallError, BallSpec, BallWarning};
pub use cover::{Blend, Cover, CoverKind, Surface};
pub use entry::Entry;
pub use layout::{Layout, ReleaseFrame};
