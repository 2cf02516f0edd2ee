//! What a bowler measures in, and what the rest of boardwise computes in.
//!
//! People read boards, feet, miles per hour and units of oil; everything inside is SI. Only this crate converts between the
//! two. It also holds the published dimensions of a lane ([`court`]), math that gives the same bits on every machine
//! ([`math`]), and random numbers that do not depend on the order of the calls ([`stream`]).
//!
//! ```
//! use boardwise_units::{Board, Feet};
//! // Board 17.5 lies 2.5 boards from the centre line, on the bowling-hand side.
//! assert!((Board(17.5).to_metres() - 0.067_570_5).abs() < 1e-6);
//! assert_eq!(Feet(60.0).to_metres(), 18.288);
//! ```
#![cfg_attr(not(feature = "std"), no_std)]

pub mod court;
pub mod math;
pub mod stream;
mod unit;

pub use unit::{Board, Degrees, Feet, Hand, Inches, Microinches, Microlitres, Micrometres, Mph, OilUnits, Pounds, Rpm};
