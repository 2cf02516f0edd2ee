//! What a ball at a spare knocks down, looked up instead of thrown.
//!
//! For every leave, the chance that all its pins fall and the mean number that fall, by where the ball crosses the head
//! pin's row ([`Arrival`]) and at what angle. A leave and its mirror image are one; so are a leave and itself seen from
//! the other side. [`throw_shard`] throws at some leaves and depends on nothing but its arguments, [`merge`] joins
//! shards into one file with a checksum, [`Spares`] reads it.
//!
//! One ball serves for all: 15 lb, 7.3 m/s, still sliding. Speed and weight matter little to a single pin and more to
//! a split that needs a pin thrown across (docs/spares.md says how much).

mod arrival;
mod plan;
mod read;
mod shard;

pub use arrival::Arrival;
pub use plan::SparePlan;
pub use read::{Second, Spares};
pub use shard::{Shard, merge, throw_shard};
