//! What a bowler measures in, and what the rest of boardwise computes in.
//!
//! People read boards, feet, miles per hour and units of oil. Everything inside is SI. This crate alone converts between the two.
//!
//! # From question to answer
//!
//! 1. Name a quantity by its newtype: [`Board`], [`Feet`], [`Mph`], [`Rpm`], [`Degrees`], [`Pounds`], [`Microlitres`], [`OilUnits`].
//! 2. `to_...` gives the SI value, `from_...` makes the newtype from one.
//! 3. [`court`] holds the published dimensions of a lane, in metres.
//! 4. [`stream::Stream`] gives random numbers that depend on seed, purpose and index alone, never on the order of the calls.
//!
//! ```
//! use boardwise_units::{Board, Feet, stream::Stream};
//!
//! // Board 17.5 lies 2.5 boards from the centre line, on the bowling-hand side.
//! assert!((Board(17.5).to_metres() - 0.067_570_5).abs() < 1e-6);
//! assert_eq!(Feet(60.0).to_metres(), 18.288);
//!
//! let draw = |index| Stream::keyed(1, "launch", index).normal();
//! assert_eq!(draw(7), draw(7));
//! ```
//!
//! # Units
//!
//! Boards count from the gutter on the bowling-hand side, 1 to 39. A whole number is the middle of a board, so the lane spans 0.5
//! to 39.5. Feet count from the foul line.
//!
//! # Limits
//!
//! - The newtypes check nothing: `Board(-3.0)` can be written. The crates that use them check what they are given.
//! - [`math`] and [`stream`] give the same bits on every machine. Without the feature `std` square roots are the software's own:
//!   the same bits, and slower.
//! - [`math::fused_f32`] is one instruction only where the code is compiled for a processor that has it. Elsewhere it is slow.
#![cfg_attr(not(feature = "std"), no_std)]

pub mod court;
mod length;
pub mod math;
pub mod stream;
mod unit;

pub use length::{FOOT_M, INCH_M};
pub use unit::{Board, Degrees, Feet, Hand, Inches, Microinches, Microlitres, Micrometres, Mph, OilUnits, Pounds, Rpm};
