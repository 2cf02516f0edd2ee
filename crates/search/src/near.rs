//! A line found from lines already known: far fewer throws than a search of the whole lane.

use crate::bench::{Bench, Candidate, best_apart};
use crate::grid::{COARSE_AIM, LAUNCH_DEG, LAYDOWN, steps};
use crate::line::Line;
use crate::{Bowler, Conditions, Move, Payoff, Progress, Search};
use boardwise_lane::Release;
use boardwise_units::{Board, Degrees, math};
use rayon::prelude::*;

/// Throws behind a candidate here: enough to tell lines five points of strikes apart.
const NEAR_THROWS: u32 = 96;
/// Throws behind a cell of the glance over the whole lane, which looks at every other laydown and launch.
const GLANCE_THROWS: u32 = 16;
/// How far the fan reaches to both sides of a known line, boards of feet; eyes go half as far.
const FAN_BOARDS: [f64; 6] = [-6.0, -4.0, -2.0, 2.0, 4.0, 6.0];

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
        let climbed: Vec<Candidate> = starts.par_iter().map(|start| self.bench.climb(self.payoff, *start)).collect();
        let best = climbed.into_iter().max_by(|a, b| a.worth.total_cmp(&b.worth))?;
        (best.worth > 0.0).then(|| self.at(&best.release))
    }

    /// The best line anywhere, looked for with a glance at the whole lane. Misses a peak narrower than two boards.
    pub fn anywhere(&self) -> Option<Line> {
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
        self.climb(&best_of(&self.bench, self.payoff, &tries, GLANCE_THROWS, 3))
    }
}

/// The best of these and of their parallels, none of them moved yet.
pub(crate) fn glimpse(bench: &Bench<'_>, payoff: &impl Payoff, starts: &[Release]) -> Option<Candidate> {
    let fan = |start: &Release| {
        let start = *start;
        FAN_BOARDS.map(|feet| Move { feet_boards: feet, eyes_boards: 0.5 * feet }.of(&start))
    };
    let tries: Vec<Release> = starts.iter().copied().chain(starts.iter().flat_map(fan)).collect();
    best_of(bench, payoff, &tries, NEAR_THROWS, 1).pop()
}

/// The best of these tries that lie apart, so many at most.
fn best_of(bench: &Bench<'_>, payoff: &impl Payoff, tries: &[Release], throws: u32, most: usize) -> Vec<Candidate> {
    const APART_BOARDS: f64 = 1.5;
    let worths = bench.worths(payoff, tries, throws);
    let aimed = bench.aimed(payoff, tries);
    let counted = worths.iter().zip(aimed).map(|(worth, aimed)| worth.meant * math::pow(aimed, COARSE_AIM));
    best_apart(tries.iter().copied().zip(counted), most, APART_BOARDS)
}
