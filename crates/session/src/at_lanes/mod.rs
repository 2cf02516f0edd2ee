//! At the lanes: a block is begun, shots are written down, taken back and put right, and the next one is talked over.
//!
//! Everything is in the record; one small file beside it says which block is the present one.

pub mod after;
pub mod asked;
pub mod begin;
pub mod believed;
pub mod desk;
pub mod kept;
pub mod lines;
pub mod made;
pub mod meant;
pub mod next;
pub mod open;
pub mod outlook;
pub mod screen;
pub mod seen;
pub mod shots;
pub mod so_far;
pub mod spare;
pub mod standing;
