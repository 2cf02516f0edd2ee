//! The program: reads the files a bowler writes, asks the libraries, and shows what they say.
//!
//! [`kit`] turns files into checked values or into an error that points at the line; `job` asks and answers; [`cli`] is the command line and `web` the app.

pub mod cli;
mod job;
pub mod kit;
mod web;
