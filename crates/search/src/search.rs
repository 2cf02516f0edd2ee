//! The search for lines: a coarse look at every laydown and launch, then a close look where it pays.

use crate::bench::{Bench, CLOSE_THROWS, Candidate, DISTINCT_BOARDS, Steps, best_apart};
use crate::glimpse::glimpse;
use crate::grid::{COARSE_AIM, LAUNCH_DEG, LAYDOWN, steps};
use crate::line::{Line, WorthMap};
use crate::{Bowler, Conditions, Payoff, Progress, Stopped};
use boardwise_lane::Release;
use boardwise_units::{Board, Degrees, math};
use rayon::prelude::*;

/// What to search for, and how hard.
#[derive(Clone, Debug, PartialEq)]
pub struct Search {
    /// Seed of the sampled spread.
    pub seed: u64,
    /// How many distinct lines to return at most.
    pub lines: usize,
    /// Throws behind each final share.
    pub throws_a_line: u32,
}

impl Default for Search {
    /// Seed 1, five lines, 3072 throws a line.
    fn default() -> Self {
        Self { seed: 1, lines: 5, throws_a_line: 3072 }
    }
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Lines {
    /// Distinct lines with the bowler's own speed and rotation, best first.
    pub lines: Vec<Line>,
    /// Lines with another speed or rotation that strike clearly more often than the best of those, best first, with the
    /// consistency lost ([`Bowler::looseness`]) taken off. Each is a change of hand: a choice of its own, with a caution.
    pub other_hands: Vec<Line>,
    /// The map at the bowler's own speed and rotation.
    pub map: WorthMap,
    /// Throws made in all.
    pub throws: u64,
}

/// A line worth less than this share of the best is no alternative.
const ALTERNATIVE: f64 = 0.6;
/// Throws behind a cell of the coarse look.
const COARSE_THROWS: u32 = 48;
/// Rows of the coarse look thrown at once: after so many the search asks whether to go on.
const ROWS_AT_ONCE: usize = 5;
/// Another hand must be worth this much more: two in a hundred (our judgement).
const WORTH_ANOTHER_HAND: f64 = 0.02;

/// Searches a ball's conditions for lines worth playing.
///
/// First every laydown and launch at the bowler's own speed and rotation, with few throws a cell (the map); the distinct
/// peaks of that map are moved to their best; each is then thrown often enough to state its worth with a standard error,
/// best first by that alone. A line may strike often and still lose balls in the gutter or leave splits: [`crate::rank_by_game`]
/// puts the lines in order of the score they come to. A line's worth is its mean over the worlds, so that a line which holds in all of them wins over one that a
/// single world loves. The shot as meant is always aimed at what the payoff allows: for strikes, the pocket. The same worlds
/// and deviations serve every line, so that lines are compared on the same errors.
///
/// Another speed or rotation within the bowler's range is a choice of its own ([`Lines::other_hands`]).
///
/// # Errors
/// If `progress` is cancelled: it stops after a few rows of the map, or after the line that is looked at closely.
pub fn find_lines(
    conditions: &Conditions,
    bowler: &Bowler,
    payoff: &impl Payoff,
    search: &Search,
    progress: &Progress,
) -> Result<Lines, Stopped> {
    let (laydowns, launches) = (steps(LAYDOWN), steps(LAUNCH_DEG));
    let meant: Vec<Release> = launches
        .iter()
        .flat_map(|&launch| laydowns.iter().map(move |&board| (board, launch)))
        .map(|(board, launch)| Release { laydown: Board(board), launch: Degrees(launch), ..bowler.release })
        .collect();
    let starts = 2 * search.lines;
    let other_hands = other_hands(bowler);
    let expected = (meant.len() * COARSE_THROWS as usize) as f64
        + (search.lines + other_hands.len()) as f64 * f64::from(search.throws_a_line)
        + (starts + other_hands.len()) as f64 * 60.0 * f64::from(CLOSE_THROWS);
    let bench = Bench::new(conditions, bowler, search.seed, expected, progress);
    let mut worth = Vec::with_capacity(meant.len());
    for rows in meant.chunks(ROWS_AT_ONCE * laydowns.len()) {
        progress.go_on()?;
        worth.extend(bench.worths(payoff, rows, COARSE_THROWS));
    }
    // Cells lie farther apart than the pocket is wide, so that one beside it counts for its neighbours in it.
    let aimed = bench.aimed(payoff, &meant);
    let counted: Vec<f64> =
        worth.iter().zip(aimed).map(|(worth, aimed)| worth.meant * math::pow(aimed, COARSE_AIM)).collect();
    let peaks = best_apart(meant.into_iter().zip(counted), starts, DISTINCT_BOARDS);
    let moved = bench.climb(payoff, &peaks, Steps::CLOSE)?;
    let best = best_apart(moved.into_iter().map(|c| (c.release, c.worth)), search.lines, DISTINCT_BOARDS);
    let described = |found: &[Candidate]| -> Result<Vec<Line>, Stopped> {
        let of = |c: &Candidate| progress.go_on().map(|()| bench.describe(payoff, &c.release, search.throws_a_line));
        let mut lines: Vec<Line> = found.par_iter().map(of).collect::<Result<_, _>>()?;
        lines.retain(|line| line.worth > 0.0);
        lines.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        Ok(lines)
    };
    let mut lines = described(&best)?;
    let least = ALTERNATIVE * lines.first().map_or(0.0, |line| line.worth);
    lines.retain(|line| line.worth >= least);
    for (k, line) in lines.iter_mut().enumerate() {
        line.rank = k + 1;
    }
    let with_hand = |hand: &Release| {
        let start = best.iter().map(|c| Release { speed: hand.speed, rotation: hand.rotation, ..c.release });
        glimpse(&bench, payoff, &start.collect::<Vec<_>>())
    };
    let least_meant = ALTERNATIVE * best.iter().map(|own| own.worth).fold(0.0, f64::max);
    let others: Vec<Candidate> = other_hands.par_iter().filter_map(with_hand).collect();
    let mut others = bench.climb(payoff, &others, Steps::CLOSE)?;
    others.retain(|climbed| climbed.worth > least_meant);
    let own = lines.first().map_or(0.0, |line| line.worth);
    let mut other_hands = described(&others)?;
    other_hands.retain(|line| line.worth >= own + WORTH_ANOTHER_HAND);
    progress.report(1.0, 1.0)?;
    let worth = worth.iter().map(|one| one.all).collect();
    let map = WorthMap { laydown: laydowns, launch_deg: launches, worth, counts: payoff.counts() };
    Ok(Lines { lines, other_hands, map, throws: bench.throws.into_inner() })
}

/// Slower, faster, with less and more rotation, as far as the bowler's range goes.
fn other_hands(bowler: &Bowler) -> Vec<Release> {
    let own = bowler.release;
    let (speeds, rotations) = (bowler.range.speed, bowler.range.rotation);
    let others = [
        Release { speed: speeds.0, ..own },
        Release { speed: speeds.1, ..own },
        Release { rotation: rotations.0, ..own },
        Release { rotation: rotations.1, ..own },
    ];
    others.into_iter().filter(|other| *other != own).collect()
}
