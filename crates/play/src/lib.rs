//! The decisions: which line to play, with how much room for error.
//!
//! A [`Bowler`] throws with a [`Spread`]; [`find_lines`] searches a lane for lines worth playing with a ball and says how
//! often each finds the pocket, with its standard error, and what becomes of the misses.

mod bowler;
mod line;
mod pocket;
mod search;
mod spread;

pub use bowler::{Bowler, BowlerError, Range};
pub use line::{Line, MissRoom, Misses, PocketMap};
pub use pocket::{Hit, Payoff, Pocket};
pub use search::{Lines, Search, find_lines};
pub use spread::Spread;
