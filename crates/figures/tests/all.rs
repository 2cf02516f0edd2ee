//! Every test of this crate, as one program: a program for each file takes several times as long to build.

mod accounts;
mod bands;
mod changes;
mod decks;
mod handouts;
mod pictures;
mod sample;
mod sheets;
mod shots;
mod upright;
