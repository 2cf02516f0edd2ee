//! How the trade's rules of thumb come out once the best lines are searched: the last table of docs/calibration.md. Nothing is fitted to it.
//!
//! Every figure is a mean over seeds, for near the best of a flat pattern lines differ by less than a search can tell.

#[allow(dead_code, reason = "the rules of thumb use the rest")]
#[path = "../../../../crates/search/tests/typical/mod.rs"]
mod typical;

mod outcome;

use outcome::Outcome;
use typical::rules::SEEDS;

fn main() {
    println!("{}", Outcome::of(SEEDS));
}
