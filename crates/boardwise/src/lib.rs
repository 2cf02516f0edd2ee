//! The program: reads the files a bowler writes, asks the libraries, and shows what they say.
//!
//! [`kit`] turns files into checked values or into an error that points at the line; [`cli`] is the command line.

pub mod cli;
pub mod kit;
