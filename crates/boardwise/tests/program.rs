//! Every test of this crate, as one program: a program for each file takes several times as long to build.

mod answers;
mod law_after;
mod law_answers;
mod law_at_lanes;
mod law_bad_input;
mod law_batch;
mod law_before;
mod law_brief;
mod law_commands;
mod law_docs;
mod law_events;
mod law_hard;
mod law_lab;
mod law_measured;
mod law_new;
mod law_next;
mod law_no_panic;
mod law_pins;
#[path = "answers/schema.rs"]
mod schema;
