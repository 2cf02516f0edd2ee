//! Every test of this crate, as one program: a program for each file takes several times as long to build.

#[path = "shared/entries.rs"]
mod entries;
#[path = "shared/general.rs"]
mod general;
mod keep_poses;
#[path = "shared/knobs.rs"]
mod knobs;
mod law_carry;
mod law_general;
mod law_impulse;
mod law_spare;
mod law_standing;
#[path = "shared/resolved.rs"]
mod resolved;
#[path = "shared/smooth.rs"]
mod smooth;
mod truth_carry;
mod truth_rack;
