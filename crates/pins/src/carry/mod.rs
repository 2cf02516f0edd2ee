//! What an entry leaves, looked up instead of thrown.
//!
//! A [`Plan`] spans entry board, entry angle, speed, ball weight and roll with a grid; each cell is thrown at many times
//! and its leaves are counted. [`throw_shard`] does some of the cells and depends on nothing but its arguments, so shards
//! can be made anywhere in any order; [`merge`] joins them into one file with a checksum; [`Carry`] reads it and
//! interpolates whole distributions.
//!
//! Counts are kept rather than probabilities, so every cell knows its own standard error.

pub(crate) mod bytes;
mod error;
pub(crate) mod plan;
mod read;
mod shard;
pub(crate) mod table;

pub use error::CarryError;
pub use plan::{Approach, Plan};
pub use read::{Carry, Leaves};
pub use shard::{Shard, throw_shard};
pub use table::merge;
