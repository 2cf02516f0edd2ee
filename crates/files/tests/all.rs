//! Every test of this crate, as one program: a program for each file takes several times as long to build.

mod law_known;
mod law_rows;
mod law_sheets;
