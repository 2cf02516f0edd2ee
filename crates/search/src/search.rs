//! The search for lines: a coarse look at every laydown and launch, then a close look where it pays.

use crate::bench::{Bench, CLOSE_THROWS, Candidate, DISTINCT_BOARDS, best_apart};
use crate::line::{Line, WorthMap};
use crate::{Bowler, Payoff};
use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Lane, Release};
use boardwise_units::{Board, Degrees};
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
    pub map: WorthMap,
    /// Throws made in all.
    pub throws: u64,
}

/// Columns and rows of the coarse look.
pub(crate) const LAYDOWN: (f64, f64, f64) = (2.0, 38.0, 1.0);
pub(crate) const LAUNCH_DEG: (f64, f64, f64) = (-2.0, 6.5, 0.25);
/// A line worth less than this share of the best is no alternative.
const ALTERNATIVE: f64 = 0.6;
/// Throws behind a cell of the coarse look.
const COARSE_THROWS: u32 = 32;

pub(crate) fn steps((from, to, step): (f64, f64, f64)) -> Vec<f64> {
    let count = ((to - from) / step).round() as usize;
    (0..=count).map(|k| from + step * k as f64).collect()
}

/// Searches a lane, seen from the bowling-hand side, for lines worth playing with a ball.
///
/// First every laydown and launch at the bowler's own speed and rotation, with few throws a cell (the map); the distinct
/// peaks of that map and of three other ways to throw within the bowler's range are moved to their best; each is then
/// thrown often enough to state its worth with a standard error, best first. The same spread points serve every line, so that
/// lines are compared on the same errors. `progress` is told the share done, 0 to 1, from whichever thread gets there.
pub fn find_lines(
    lane: &Lane,
    ball: &Ball,
    bowler: &Bowler,
    payoff: &impl Payoff,
    search: &Search,
    progress: &(dyn Fn(f64) + Sync),
) -> Lines {
    let (laydowns, launches) = (steps(LAYDOWN), steps(LAUNCH_DEG));
    let cells = laydowns.len() * launches.len();
    let ways = ways_to_throw(bowler);
    let expected = (cells * COARSE_THROWS as usize * (1 + ways.len() / 4)) as f64
        + (search.lines as f64) * f64::from(search.throws_a_line)
        + 2.0 * search.lines as f64 * 50.0 * f64::from(CLOSE_THROWS);
    let bench = Bench::new(lane, ball, bowler, search, expected, progress);
    let mut map = WorthMap {
        laydown: laydowns.clone(),
        launch_deg: launches.clone(),
        worth: Vec::new(),
        counts: payoff.counts(),
    };
    let mut peaks = Vec::new();
    for (index, way) in ways.iter().enumerate() {
        // Other ways to throw are looked at on every other row and column: peaks are several boards wide.
        let stride = if index == 0 { 1 } else { 2 };
        let (columns, rows): (Vec<_>, Vec<_>) =
            (laydowns.iter().step_by(stride).collect(), launches.iter().step_by(stride).collect());
        let meant: Vec<Release> = rows
            .iter()
            .flat_map(|&&launch| {
                columns.iter().map(move |&&board| Release { laydown: Board(board), launch: Degrees(launch), ..*way })
            })
            .collect();
        let worths = bench.worths(payoff, &meant, COARSE_THROWS);
        if index == 0 {
            map.worth.clone_from(&worths);
        }
        peaks.extend(best_apart(meant.into_iter().zip(worths), 2 * search.lines, DISTINCT_BOARDS));
    }
    let moved: Vec<Candidate> = {
        peaks.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        peaks.truncate(2 * search.lines);
        peaks.par_iter().map(|peak| bench.climb(payoff, *peak)).collect()
    };
    let best = best_apart(moved.into_iter().map(|c| (c.release, c.worth)), search.lines, DISTINCT_BOARDS);
    let mut lines: Vec<Line> = best
        .par_iter()
        .map(|c| bench.describe(payoff, &c.release, search.throws_a_line))
        .filter(|l| l.worth > 0.0)
        .collect();
    lines.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    let least = ALTERNATIVE * lines.first().map_or(0.0, |line| line.worth);
    lines.retain(|line| line.worth >= least);
    for (k, line) in lines.iter_mut().enumerate() {
        line.rank = k + 1;
    }
    progress(1.0);
    Lines { lines, map, throws: bench.throws.into_inner() }
}

/// The bowler's own way first, then slower and faster, with less and more rotation, as far as the range goes.
fn ways_to_throw(bowler: &Bowler) -> Vec<Release> {
    let own = bowler.release;
    let mut ways = vec![own];
    let (speeds, rotations) = (bowler.range.speed, bowler.range.rotation);
    let others = [
        Release { speed: speeds.0, ..own },
        Release { speed: speeds.1, ..own },
        Release { rotation: rotations.0, ..own },
        Release { rotation: rotations.1, ..own },
    ];
    for other in others {
        if !ways.contains(&other) {
            ways.push(other);
        }
    }
    ways
}
