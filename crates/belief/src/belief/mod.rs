//! What the lane is now, judged from the shots of a block: many worlds of lane and bowler, moved by what was seen.
//!
//! A [`World`] says how much oil lies where, how grippy and how level each lane of the pair is, how fast it wears, and what this bowler's
//! throw is like today. Worlds begin spread as the [`Unknowns`] says, with neighbouring places alike. Every shot is thrown by every world with the
//! bowler's spread; the worlds are moved toward those that gave the leave, the hit and the boards seen the best chance ([`move_by`]). Boards nobody
//! crosses have no part in where a shot comes in and stay as uncertain as they were. Wear is thrown once on the middle lane and passed on in proportion.

mod checkpoint;
mod ensemble;
mod evidence;
mod foresight;
mod gain;
mod moving;

pub use checkpoint::{Checkpoint, CheckpointError};
pub use ensemble::{Belief, Thrown, Told};
pub use evidence::{Feel, Seen};
pub use gain::{information_nats, kalman_update};
pub use moving::move_by;
