//! Every test of this crate, as one program: a program for each file takes several times as long to build.

mod law_earlier;
mod law_keep;
mod law_kept;
mod law_newest;
mod law_once;
mod law_seasons;
mod law_stories;
mod law_words;
mod stories;
