//! What the lane is now, judged from the shots of a block: many guesses of lane and bowler, moved by what was seen.
//!
//! A [`Guess`] says how much oil lies where, how grippy and how level each lane of the pair is, how fast it wears, and what this bowler's
//! throw is like today. Guesses begin spread as the [`Prior`] says, with neighbouring places alike. Every shot is thrown by every guess with the
//! bowler's spread; the guesses are moved toward those that gave the leave, the hit and the boards seen the best chance ([`move_by`]). Boards nobody
//! crosses have no part in where a shot comes in and stay as uncertain as they were. Wear is thrown once on the middle lane and passed on in proportion.

mod checkpoint;
mod ensemble;
mod evidence;
mod foresight;
mod gain;
mod guess;
mod moving;

pub use checkpoint::{Checkpoint, CheckpointError};
pub(crate) use ensemble::came_in;
pub use ensemble::{Belief, Thrown, Told};
pub use evidence::{Feel, Seen};
pub use gain::{information_nats, kalman_update};
pub use guess::{Guess, Prior};
pub use moving::move_by;
