//! What the lane is now, judged from the shots of a block: many worlds of lane and bowler, moved by what was seen.
//!
//! A world says how much oil lies where, how grippy and how level each lane of the pair is, how fast it wears, and what this
//! bowler's throw is like today. Worlds begin spread as `search::Unknowns` says, with neighbouring places alike. Every world
//! throws every shot with the bowler's spread. The worlds then move toward those that gave what was seen the best chance.
//! Boards that nobody crosses have no part in where a shot comes in and stay as uncertain as they were. Wear is thrown once
//! on the middle lane and passed on in proportion.

mod checkpoint;
mod ensemble;
mod estimate;
mod evidence;
mod film;
mod filmed;
mod foresight;
mod information;
mod lines;
mod moving;
mod shown;

pub use checkpoint::{Checkpoint, CheckpointError};
pub use ensemble::{Belief, Thrown};
pub use estimate::Estimate;
pub(crate) use estimate::good_throw;
pub(crate) use evidence::ARROWS_BOARDS;
pub use evidence::{Feel, Noticed, Seen};
pub use film::{Figure, Film};
pub(crate) use information::information_nats;
pub use lines::Forecast;
