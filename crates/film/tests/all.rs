//! The tests of film, as one program.

mod law_broken;
mod law_refused;
mod truth_planes;
mod truth_throw;
