//! The search for lines.

use crate::{Bowler, Line, Payoff, PocketMap};
use ball::Ball;
use lane::{ContactLaw, Lane};

/// What to search for, and how hard.
#[derive(Clone, Debug, PartialEq)]
pub struct Search {
    /// Seed of the sampled spread.
    pub seed: u64,
    /// How many distinct lines to return at most.
    pub lines: usize,
    /// Throws behind each final share.
    pub throws_a_line: u32,
    /// How ball and lane touch.
    pub law: ContactLaw,
}

impl Default for Search {
    fn default() -> Self {
        Self { seed: 1, lines: 5, throws_a_line: 4096, law: ContactLaw::default() }
    }
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Lines {
    /// Distinct lines, best first.
    pub lines: Vec<Line>,
    /// The map at the bowler's own speed and rotation.
    pub map: PocketMap,
    /// Throws made in all.
    pub throws: u64,
}

/// Searches a lane, seen from the bowling-hand side, for lines worth playing with a ball.
///
/// `progress` is told the share done, 0 to 1, from whichever thread gets there.
pub fn find_lines(
    lane: &Lane,
    ball: &Ball,
    bowler: &Bowler,
    payoff: &impl Payoff,
    search: &Search,
    progress: &(dyn Fn(f64) + Sync),
) -> Lines {
    let _ = (lane, ball, bowler, payoff, search, progress);
    todo!()
}
