//! Every test of this crate, as one program: a program for each file takes several times as long to build.

mod law_block;
mod law_progress;
mod law_rules_of_thumb;
mod law_spares;
mod law_strikes;
mod law_transition;
#[allow(dead_code, reason = "the tables in tools use the rest")]
mod typical;
