//! A line found from lines already known: far fewer throws than a search of the whole lane.

use crate::bench::{Bench, Candidate};
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
/// Steps of a climb, boards: from this to a quarter of it, half a board, which is as closely as a bowler means a line.
const FIRST_STEP: f64 = 2.0;
/// So many of the places go on once steps get smaller.
const KEPT: usize = 3;

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
        (bench.close_throws, bench.first_step) = (NEAR_THROWS, FIRST_STEP);
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
        self.climb(self.glimpse(starts).as_slice())
    }

    /// The best of these as they are and of their parallels: what promises most before anything is moved to its best.
    pub fn glimpse(&self, starts: &[Release]) -> Option<Candidate> {
        glimpse(&self.bench, self.payoff, starts)
    }

    /// The best line that these lead to, moved to a best nearby.
    pub fn climb(&self, starts: &[Candidate]) -> Option<Line> {
        self.top(starts).map(|release| self.at(&release))
    }

    /// What to mean on it.
    pub fn top(&self, starts: &[Candidate]) -> Option<Release> {
        let tops = self.tops(starts);
        if let [only] = tops.as_slice() {
            return Some(*only);
        }
        // What a climb says of its own end flatters it: the ends are compared by more throws than it took.
        let worths = self.bench.counted(self.payoff, &tops, self.throws);
        let (best, _) = tops.into_iter().zip(worths).max_by(|(_, a), (_, b)| a.total_cmp(b))?;
        Some(best)
    }

    /// Where each of these leads: what to mean on a best nearby. Those that lead to none are left out.
    pub fn tops(&self, starts: &[Candidate]) -> Vec<Release> {
        let tops = self.bench.climb(self.payoff, starts, KEPT).unwrap_or_default();
        tops.into_iter().filter(|top| top.worth > 0.0).map(|top| top.release).collect()
    }

    /// The best line anywhere, looked for with a glance at the whole lane. Misses a peak narrower than two boards.
    pub fn anywhere(&self) -> Option<Line> {
        self.climb(&self.glance())
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
