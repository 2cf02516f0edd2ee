//! Ten pins and what a ball leaves of them.
//!
//! [`profile`] is the pin as published; [`Rack`] lets a ball run into ten of them. Probabilities come from throwing
//! many times with pins a little off their spots, and [`carry`] keeps what many throws left.
//!
//! No published restitution or friction of pins was found: the coefficients are fitted to published shares of leaves
//! (docs/pins.md). What a rack does with one ball is chaotic; only shares over many racks mean something.
#![cfg_attr(not(feature = "std"), no_std)]

extern crate alloc;

pub mod body;
pub mod carry;
mod constants;
mod deck;
pub mod ensemble;
mod fate;
mod impulse;
mod outcome;
mod pressed;
pub mod profile;
mod rack;
mod scene;
mod shape;
pub mod spare;
mod touch;

pub use constants::Constants;
pub use impulse::{Surface, strike};
pub use outcome::{Exit, FULL_RACK, Mask, Outcome, mirrored};
pub use rack::{BallBody, Rack, ThrowError, View};
