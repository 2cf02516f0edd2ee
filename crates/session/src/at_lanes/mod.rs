//! At the lanes: a block is begun, shots are written down, taken back and put right, and the next one is talked over.
//!
//! Everything is in the record, also which block is the present one.

pub mod after;
pub mod begin;
pub mod belief_replay;
pub mod block_state;
pub mod command;
pub mod desk;
pub mod device_time;
mod frame_rules;
pub mod from_film;
pub mod game_shots;
mod known;
pub mod line_meant;
pub mod lines;
mod moves;
pub mod names;
pub mod newest;
pub mod next;
pub mod open;
pub mod outlook;
pub mod question;
mod run;
pub mod score_view;
pub mod screen;
pub mod seen;
pub mod shots;
pub mod spare;
mod standing;
pub mod surfaces;
pub mod turn;
