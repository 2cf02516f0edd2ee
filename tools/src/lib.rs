//! Programs that measure and build what boardwise rests on.
//!
//! `cargo run --release -p boardwise-tools --bin trust` prints what the answers come to against what is published and what
//! the trade says, row by row ([`trust`]).

pub mod trust;

#[allow(dead_code, reason = "the tests of search use the rest")]
#[path = "../../crates/search/tests/typical/mod.rs"]
mod typical;
