//! Every test of this crate, as one program: a program for each file takes several times as long to build.

mod law_bag;
mod law_copies;
mod law_earlier;
mod law_files;
mod law_join;
mod law_kill;
mod law_log;
mod law_measured;
mod law_replay;
mod law_running;
mod law_trouble;
mod scene;
