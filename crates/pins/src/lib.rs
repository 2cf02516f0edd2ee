//! Ten pins and what a ball leaves of them.
//!
//! # From question to answer
//!
//! 1. Make a [`Rack`] once: it works out the shape of a pin. [`Constants::default`] is one set of those that fit what is published;
//!    [`ensemble::racks`] are all twenty.
//! 2. Say how the ball arrives: an [`Entry`](ball::Entry) from a lane, or a [`carry::Approach`] by board, angle and speed. The ball
//!    is a [`BallBody`], made `from` a [`Ball`](ball::Ball) or [of a weight](BallBody::of_pounds).
//! 3. [`Rack::throw`] plays one rack. [`Outcome::left`] is the set of pins that stand; [`Leave`](score::Leave) says whether they are a split. [`Rack::throw_at`] plays a spare, and
//!    [`Rack::watch`] shows every step.
//! 4. One rack is chance. Throw many, each with a stream of its own, and count. No one set of constants is the right one, so a
//!    share to be believed spreads its racks over all twenty. They differ by several points of strikes on one entry.
//! 5. [`carry::Carry`] and [`spare::Spares`] read tables of such counts. `boardwise-files` has both tables built in.
//!
//! ```
//! use boardwise_pins::carry::Approach;
//! use boardwise_pins::units::stream::Stream;
//! use boardwise_pins::{Constants, Rack};
//!
//! let rack = Rack::new(Constants::default());
//! let strikes = |angle_deg| -> Result<usize, boardwise_pins::ThrowError> {
//!     let (entry, ball) =
//!         Approach { board: 17.5, angle_deg, speed_m_s: 7.5, weight_lb: 15.0, roll: 1.0 }.entry();
//!     let mut count = 0;
//!     for number in 0..200 {
//!         let outcome = rack.throw(&entry, &ball, &mut Stream::keyed(1, "guide", number))?;
//!         count += usize::from(outcome.is_strike());
//!     }
//!     Ok(count)
//! };
//! // A ball that turns into the pocket strikes more often than a straight one.
//! assert!(strikes(6.0)? > strikes(1.0)?);
//! # Ok::<(), boardwise_pins::ThrowError>(())
//! ```
//!
//! An approach is one exact entry. Bowlers stray, so their shares are lower. Here entries stray by a board and half a degree (an
//! example, not a measurement), and the racks are spread over all sets of constants. `boardwise-search` throws with a bowler's own
//! spread instead.
//!
//! ```
//! use boardwise_pins::carry::Approach;
//! use boardwise_pins::score::Leave;
//! use boardwise_pins::units::stream::Stream;
//! use boardwise_pins::ensemble;
//!
//! let racks = ensemble::racks();
//! let (mut strikes, mut splits) = (0, 0);
//! for number in 0..400 {
//!     let mut off = Stream::keyed(1, "spread", number);
//!     let board = 17.5 + off.normal();
//!     let angle_deg = 5.0 + 0.5 * off.normal();
//!     let (entry, ball) = Approach { board, angle_deg, speed_m_s: 7.5, weight_lb: 15.0, roll: 1.0 }.entry();
//!     let rack = &racks[number as usize % racks.len()];
//!     let outcome = rack.throw(&entry, &ball, &mut Stream::keyed(1, "rack", number))?;
//!     strikes += usize::from(outcome.is_strike());
//!     splits += usize::from(Leave::new(outcome.left()).is_ok_and(Leave::is_split));
//! }
//! assert!(strikes > 10 * splits);
//! # Ok::<(), boardwise_pins::ThrowError>(())
//! ```
//!
//! The crates
//! below this one are in it as [`ball`], [`score`] and [`units`], so that one dependency is enough.
//!
//! # Units and frame
//!
//! Metres, seconds and kilograms. x points toward the bowling-hand side, y from the foul line toward the pit. Entry boards are read
//! at the head pin's row, 60 ft. Everything is seen from the bowling-hand side: mirror what a left-hander leaves
//! ([`Outcome::mirrored`]).
//!
//! # Limits
//!
//! - A ball must be on the lane and come toward the pins, or [`Rack::throw`] says what is wrong.
//! - A rack takes about 0.4 ms in an optimised build, and allocates nothing. In an unoptimised one it takes five
//!   times as long.
//!
//! # Where it is weak
//!
//! - No published restitution or friction of pins was found. The coefficients are fitted to published shares of strikes and
//!   leaves; nothing here has been measured on pins.
//! - What a rack does with one ball is chaotic. Only shares over many racks mean something.
//! - 4-6-7-10 is left about twice as often as published, and 2-4-5 too rarely. `docs/pins.md` has the list.
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

pub use boardwise_ball as ball;
pub use boardwise_score as score;
pub use boardwise_units as units;

pub use body::BallBody;
pub use constants::Constants;
pub use impulse::{Surface, strike};
pub use outcome::{Exit, FULL_RACK, Mask, Outcome, mirrored};
pub use rack::{Rack, ThrowError};
pub use scene::View;
