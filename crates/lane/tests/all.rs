//! Every test of this crate, as one program: a program for each file takes several times as long to build.

#[allow(dead_code, reason = "the fits in tools use the rest")]
mod covers;
mod keep_everything;
mod keep_ring_film;
mod law_batch;
mod law_covers;
mod law_wear;
mod oiled;
mod peer;
#[allow(dead_code, reason = "the fits in tools use the rest")]
mod robot;
mod truth_adaptive;
mod truth_closed_form;
mod truth_robot;
