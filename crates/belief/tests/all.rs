//! Every test of this crate, as one program: a program for each file takes several times as long to build.

mod filmed;
mod keep_belief;
mod law_account;
mod law_belief;
mod law_film;
#[allow(dead_code, reason = "the rules of thumb use the rest")]
#[path = "../../search/tests/typical/mod.rs"]
mod typical;
