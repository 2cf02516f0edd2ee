//! A line found from lines already known: far fewer throws than a search of the whole lane.

use crate::bench::{Bench, Candidate, Steps};
use crate::glimpse::{NEAR_THROWS, best_of, glimpse};
use crate::grid::{LAUNCH_DEG, LAYDOWN, steps};
use crate::line::Line;
use crate::{Bowler, Conditions, Payoff, Progress, Search};
use boardwise_lane::Release;
use boardwise_units::{Board, Degrees};

/// Throws behind a cell of the glance over the whole lane, which looks at every other laydown and launch.
const GLANCE_THROWS: u32 = 16;
/// So many cells are looked at a second time, with more throws: the first look leaves ten points of strikes to luck.
const SECOND_LOOK: usize = 48;
/// Places to climb from, and how far apart they lie.
const PLACES: usize = 6;
const PLACES_APART_BOARDS: f64 = 4.0;
/// Steps from a place of the whole lane: down to half a board, which is as closely as a bowler means a line.
const FAR: Steps = Steps { from_boards: 2.0, to_boards: 0.5, kept: 3 };
/// Steps from a line that is known, or from a parallel of it.
const NEAR: Steps = Steps { from_boards: 1.0, ..FAR };

/// One ball in one pair of hands in its conditions, to look for lines with.
pub struct Look<'a, P> {
    bench: Bench<'a>,
    payoff: &'a P,
    throws: u32,
}

impl<'a, P: Payoff> Look<'a, P> {
    /// With the bowler's own speed and rotation, in these conditions.
    pub fn new(conditions: &'a Conditions, bowler: &'a Bowler, payoff: &'a P, search: &Search) -> Self {
        let mut bench = Bench::new(conditions, bowler, search.seed, 1.0, &Progress::default());
        bench.close_throws = NEAR_THROWS;
        Self { bench, payoff, throws: search.throws_a_line }
    }

    /// What a line comes to.
    pub fn at(&self, release: &Release) -> Line {
        self.bench.describe(self.payoff, release, self.throws)
    }

    /// What a line is worth: of [`Look::at`] that alone, for a fraction of the throws.
    pub fn worth(&self, release: &Release) -> f64 {
        self.bench.describe_roughly(self.payoff, release, self.throws).worth
    }

    /// The best line near these, and near what parallel moves make of them.
    pub fn near(&self, starts: &[Release]) -> Option<Line> {
        self.near_end(self.glimpse(starts)?).map(|release| self.at(&release))
    }

    /// The best of these as they are and of their parallels: what promises most before anything is moved to its best.
    pub fn glimpse(&self, starts: &[Release]) -> Option<Candidate> {
        glimpse(&self.bench, self.payoff, starts)
    }

    /// What to mean on the best line near one that is known.
    pub fn near_end(&self, start: Candidate) -> Option<Release> {
        self.ends(&[start], NEAR).pop()
    }

    /// Where places of the whole lane lead: what to mean on a best nearby. Those that are behind, and those that lead to none, are
    /// left out.
    pub fn far_ends(&self, starts: &[Candidate]) -> Vec<Release> {
        self.ends(starts, FAR)
    }

    fn ends(&self, starts: &[Candidate], by: Steps) -> Vec<Release> {
        let ends = self.bench.climb(self.payoff, starts, by).unwrap_or_default();
        ends.into_iter().filter(|end| end.worth > 0.0).map(|end| end.release).collect()
    }

    /// The best of these. What a climb says of its own end flatters it: the ends are compared by more throws than it took.
    pub fn best_of(&self, ends: &[Release]) -> Option<Release> {
        if let [only] = ends {
            return Some(*only);
        }
        let worths = self.bench.counted(self.payoff, ends, self.throws);
        ends.iter().copied().zip(worths).max_by(|(_, a), (_, b)| a.total_cmp(b)).map(|(best, _)| best)
    }

    /// The best line anywhere, looked for with a glance at the whole lane. Misses a peak narrower than two boards.
    pub fn anywhere(&self) -> Option<Line> {
        self.best_of(&self.far_ends(&self.glance())).map(|release| self.at(&release))
    }

    /// The most promising places of the whole lane, to climb from.
    pub fn glance(&self) -> Vec<Candidate> {
        let own = self.bench.bowler.release;
        let launches = steps(LAUNCH_DEG).into_iter().step_by(2);
        let tries: Vec<Release> = launches
            .flat_map(|launch| {
                steps(LAYDOWN).into_iter().step_by(2).map(move |board| Release {
                    laydown: Board(board),
                    launch: Degrees(launch),
                    ..own
                })
            })
            .collect();
        let cells = best_of(&self.bench, self.payoff, &tries, GLANCE_THROWS, SECOND_LOOK, 0.0);
        let tries: Vec<Release> = cells.iter().map(|cell| cell.release).collect();
        best_of(&self.bench, self.payoff, &tries, NEAR_THROWS, PLACES, PLACES_APART_BOARDS)
    }
}
