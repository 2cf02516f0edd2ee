//! A bowling ball: core, cover, surface, layout and mass.
//!
//! # From question to answer
//!
//! 1. A [`BallSpec`] says what a maker's sheet, a scale and a layout say. [`BallSpec::new`] starts from a middling ball of 15 lb.
//! 2. [`Ball::new`] checks it once and turns it into what the physics needs. A value that no ball can have is an error. A value
//!    outside the rules is a warning.
//! 3. A [`Bag`] holds several of them, each by its own id.
//! 4. An [`Entry`] says how a ball arrives at the pins. Lanes make it, and racks take it.
//!
//! ```
//! use boardwise_ball::{Ball, BallSpec, CoverKind, Surface};
//! use boardwise_ball::units::Pounds;
//!
//! let spec = BallSpec {
//!     weight: Pounds(15.0),
//!     surface: Surface::sanded(1000.0),
//!     ..BallSpec::new("dull-solid", CoverKind::Reactive)
//! };
//! let (ball, warnings) = Ball::new(spec)?;
//! assert!(warnings.is_empty());
//! assert!((ball.mass_kg - 6.804).abs() < 1e-3);
//! # Ok::<(), boardwise_ball::BallError>(())
//! ```
//!
//! # Units
//!
//! A spec is in pounds, inches and degrees, a [`Ball`] in kilograms and metres. The core's axes are ordered by radius of gyration:
//! low, intermediate, high.
//!
//! # Limits, and where it is weak
//!
//! - Legal and possible values are in `docs/limits.md`.
//! - The friction of a cover is our judgement, calibrated on common practice: no published table was found. A
//!   measured dry friction takes its place ([`BallSpec::dry_friction`]).
//! - A grit says little: one cover sanded at 500 scanned as if it were 1,651. State a measured roughness where you have one
//!   ([`Surface::measured`]).
#![cfg_attr(not(feature = "std"), no_std)]

extern crate alloc;

mod bag;
mod body;
mod cover;
mod entry;
mod layout;

pub use boardwise_units as units;
pub use glam;

pub use bag::{Bag, BagError};
pub use body::{Ball, BallError, BallSpec, BallWarning};
pub use cover::{Blend, Cover, CoverKind, Surface};
pub use entry::Entry;
pub use layout::{Layout, ReleaseFrame};
