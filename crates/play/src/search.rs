//! The search for lines: a coarse look at every laydown and launch, then a close look where it pays.

use crate::line::{Line, MissRoom, Misses, PocketMap};
use crate::spread::Spread;
use crate::{Bowler, Hit, Payoff};
use ball::Ball;
use lane::{ContactLaw, Finish, Lane, Release, Runway};
use measure::{Board, Degrees, Mph};
use rayon::prelude::*;
use std::sync::atomic::{AtomicU64, Ordering};

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

/// Columns and rows of the coarse look.
const LAYDOWN: (f64, f64, f64) = (2.0, 38.0, 1.0);
const LAUNCH_DEG: (f64, f64, f64) = (-2.0, 6.5, 0.25);
/// Throws behind a cell of the coarse look.
const COARSE_THROWS: u32 = 32;
/// Throws behind a candidate while it is being moved to its best.
const CLOSE_THROWS: u32 = 256;
/// Two lines are one if they differ by less than this at the foul line and at the breakpoint.
const DISTINCT_BOARDS: f64 = 2.5;

fn steps((from, to, step): (f64, f64, f64)) -> Vec<f64> {
    let count = ((to - from) / step).round() as usize;
    (0..=count).map(|k| from + step * k as f64).collect()
}

/// A line under consideration: where to aim and how to throw, as steps from the bowler's own release.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Candidate {
    release: Release,
    worth: f64,
}

/// Everything a search keeps asking for.
struct Bench<'a, P> {
    runway: Runway,
    bowler: &'a Bowler,
    payoff: &'a P,
    points: Vec<[f64; 6]>,
    throws: AtomicU64,
    expected: f64,
    progress: &'a (dyn Fn(f64) + Sync),
}

impl<P: Payoff> Bench<'_, P> {
    /// Finishes of the first `count` spread points around a release.
    fn finishes(&self, meant: &Release, count: u32) -> Vec<Finish> {
        let releases: Vec<_> =
            self.points[..count as usize].iter().map(|z| self.bowler.spread.apply(meant, z)).collect();
        let finishes = self.runway.throw_many(&releases);
        let made = self.throws.fetch_add(count.into(), Ordering::Relaxed) + u64::from(count);
        (self.progress)((made as f64 / self.expected).min(1.0));
        finishes
    }

    /// Mean worth around a release.
    fn worth(&self, meant: &Release, count: u32) -> f64 {
        let finishes = self.finishes(meant, count);
        finishes.iter().map(|f| self.payoff.worth(f)).sum::<f64>() / f64::from(count)
    }

    /// Worth of many releases, in order.
    fn worths(&self, meant: &[Release], count: u32) -> Vec<f64> {
        meant.par_iter().map(|release| self.worth(release, count)).collect()
    }
}

/// Searches a lane, seen from the bowling-hand side, for lines worth playing with a ball.
///
/// First every laydown and launch at the bowler's own speed and rotation, with few throws a cell (the map); the distinct
/// peaks of that map and of three other ways to throw within the bowler's range are moved to their best; each is then
/// thrown often enough to state its share with a standard error. The same spread points serve every line, so that
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
    let bench = Bench {
        runway: Runway::new(lane, ball, &search.law),
        bowler,
        payoff,
        points: Spread::points(search.throws_a_line.max(CLOSE_THROWS), search.seed as u32 ^ (search.seed >> 32) as u32),
        throws: AtomicU64::new(0),
        expected: (cells * COARSE_THROWS as usize * (1 + ways.len() / 4)) as f64
            + (search.lines as f64) * f64::from(search.throws_a_line)
            + 3.0 * search.lines as f64 * 48.0 * f64::from(CLOSE_THROWS),
        progress,
    };
    let mut map = PocketMap { laydown: laydowns.clone(), launch_deg: launches.clone(), pocket: Vec::new() };
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
        let worths = bench.worths(&meant, COARSE_THROWS);
        if index == 0 {
            map.pocket.clone_from(&worths);
        }
        peaks.extend(best_apart(meant.into_iter().zip(worths), 2 * search.lines, DISTINCT_BOARDS));
    }
    let moved: Vec<Candidate> = {
        peaks.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        peaks.truncate(3 * search.lines);
        peaks.par_iter().map(|peak| climb(&bench, *peak)).collect()
    };
    let best = best_apart(moved.into_iter().map(|c| (c.release, c.worth)), search.lines, DISTINCT_BOARDS);
    let mut lines: Vec<Line> = best
        .par_iter()
        .map(|c| describe(&bench, &c.release, search.throws_a_line))
        .filter(|l| l.pocket > 0.0)
        .collect();
    lines.sort_by(|a, b| b.pocket.total_cmp(&a.pocket));
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

/// The best of these that lie apart from each other, best first. Lines with the same feet, target and speed are one.
fn best_apart(all: impl Iterator<Item = (Release, f64)>, count: usize, apart: f64) -> Vec<Candidate> {
    let mut sorted: Vec<Candidate> =
        all.filter(|(_, w)| *w > 0.0).map(|(release, worth)| Candidate { release, worth }).collect();
    sorted.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    let mut kept: Vec<Candidate> = Vec::new();
    for c in sorted {
        let near = |k: &Candidate| {
            let feet = (k.release.laydown.0 - c.release.laydown.0).abs();
            let target = (straight_at_40(&k.release) - straight_at_40(&c.release)).abs();
            let pace = (k.release.speed.0 - c.release.speed.0).abs() / 1.0
                + (k.release.rotation.0 - c.release.rotation.0).abs() / 15.0;
            feet.max(target) < apart && pace < 1.0
        };
        if kept.len() < count && !kept.iter().any(near) {
            kept.push(c);
        }
    }
    kept
}

/// Board a release points at 40 ft down the lane.
fn straight_at_40(release: &Release) -> f64 {
    let across_m = 40.0 * 0.3048 * release.launch.to_radians().tan();
    Board::from_metres(release.laydown.to_metres() + across_m).0
}

/// Moves a candidate to a nearby best: compass steps in feet, target and way of throwing, halved when none helps.
fn climb<P: Payoff>(bench: &Bench<'_, P>, start: Candidate) -> Candidate {
    let range = bench.bowler.range;
    let mut best = Candidate { worth: bench.worth(&start.release, CLOSE_THROWS), ..start };
    let (mut boards, mut turn, mut mph, mut degrees) = (1.0, 0.25, 0.4, 4.0);
    for _ in 0..3 {
        loop {
            let r = best.release;
            // Moving feet and target together keeps the breakpoint; the target alone changes it.
            let tries = [
                (boards, boards * 0.14, 0.0, 0.0),
                (-boards, -boards * 0.14, 0.0, 0.0),
                (boards, 0.0, 0.0, 0.0),
                (-boards, 0.0, 0.0, 0.0),
                (0.0, turn, 0.0, 0.0),
                (0.0, -turn, 0.0, 0.0),
                (0.0, 0.0, mph, 0.0),
                (0.0, 0.0, -mph, 0.0),
                (0.0, 0.0, 0.0, degrees),
                (0.0, 0.0, 0.0, -degrees),
            ]
            .map(|(b, l, s, d)| Release {
                laydown: Board((r.laydown.0 + b).clamp(1.0, 39.0)),
                launch: Degrees((r.launch.0 + l).clamp(-4.0, 9.0)),
                speed: Mph((r.speed.0 + s).clamp(range.speed.0.0, range.speed.1.0)),
                rotation: Degrees((r.rotation.0 + d).clamp(range.rotation.0.0, range.rotation.1.0)),
                ..r
            });
            let better = tries
                .into_iter()
                .filter(|t| *t != r)
                .map(|release| Candidate { release, worth: bench.worth(&release, CLOSE_THROWS) })
                .max_by(|a, b| a.worth.total_cmp(&b.worth));
            match better {
                Some(c) if c.worth > best.worth => best = c,
                _ => break,
            }
        }
        (boards, turn, mph, degrees) = (boards / 2.0, turn / 2.0, mph / 2.0, degrees / 2.0);
    }
    best
}

/// Throws a line often and writes down what came of it.
fn describe<P: Payoff>(bench: &Bench<'_, P>, release: &Release, throws: u32) -> Line {
    let meant = bench.runway.throw_many(core::slice::from_ref(release))[0];
    let finishes = bench.finishes(release, throws);
    let n = f64::from(throws);
    let share = |hit: Hit| finishes.iter().filter(|f| bench.payoff.hit(f) == hit).count() as f64 / n;
    let pocket = share(Hit::Pocket);
    let entries: Vec<(f64, f64)> =
        finishes.iter().filter_map(|f| f.touch).map(|t| (t.board().0, t.angle().0)).collect();
    let spread = |value: fn(&(f64, f64)) -> f64| {
        let count = entries.len().max(1) as f64;
        let mean = entries.iter().map(value).sum::<f64>() / count;
        let square = entries.iter().map(|e| (value(e) - mean).powi(2)).sum::<f64>();
        (mean, (square / (count - 1.0).max(1.0)).sqrt())
    };
    let ((board, board_sd), (angle, angle_sd)) = (spread(|e| e.0), spread(|e| e.1));
    Line {
        release: *release,
        arrows: meant.arrows,
        breakpoint: meant.breakpoint,
        exit: meant.exit,
        entry_board: meant.touch.map(|t| t.board()),
        entry_angle: meant.touch.map(|t| t.angle()),
        entry_speed: meant.touch.map(|t| Mph::from_metres_per_second(t.entry.velocity_m_s.length())),
        entry_spread: (Board(board), board_sd),
        angle_spread: (Degrees(angle), angle_sd),
        pocket,
        // Binomial: for evenly spread points an upper bound in practice.
        pocket_error: (pocket * (1.0 - pocket) / n).sqrt(),
        throws,
        misses: Misses {
            high: share(Hit::High),
            light: share(Hit::Light),
            other_side: share(Hit::OtherSide),
            gutter: share(Hit::Gutter),
        },
        miss_room: miss_room(bench, release),
    }
}

/// How far a throw aimed at another board at the arrows, from the same feet, still finds the pocket.
fn miss_room<P: Payoff>(bench: &Bench<'_, P>, release: &Release) -> MissRoom {
    const STEP: f64 = 0.125;
    const FURTHEST: i32 = 48;
    let arrows_m = 15.0 * 0.3048;
    let tries: Vec<Release> = (-FURTHEST..=FURTHEST)
        .map(|k| {
            let toward_hand_m = -(Board(20.0 + STEP * f64::from(k)).to_metres());
            let launch = release.launch.to_radians() - toward_hand_m.atan2(arrows_m);
            Release { launch: Degrees::from_radians(launch), ..*release }
        })
        .collect();
    let good: Vec<bool> = bench.runway.throw_many(&tries).iter().map(|f| bench.payoff.hit(f) == Hit::Pocket).collect();
    let middle = FURTHEST as usize;
    let run = |mut places: Box<dyn Iterator<Item = usize>>| -> f64 {
        if !good[middle] {
            return 0.0;
        }
        STEP * places.by_ref().take_while(|&k| good[k]).count() as f64
    };
    MissRoom { hand_boards: run(Box::new((0..middle).rev())), away_boards: run(Box::new(middle + 1..good.len())) }
}
