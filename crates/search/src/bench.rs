//! What every search does: throw a release with the bowler's spread, move it to its best, describe what comes of it.

use crate::line::{Line, MissRoom, Misses};
use crate::spread::Spread;
use crate::{Bowler, Hit, Payoff, Search};
use boardwise_ball::Ball;
use boardwise_lane::{Finish, Lane, Release, Runway};
use boardwise_units::{Board, Degrees, Mph};
use rayon::prelude::*;
use std::sync::atomic::{AtomicU64, Ordering};

/// Throws behind a candidate while it is being moved to its best.
pub(crate) const CLOSE_THROWS: u32 = 192;
/// A move that gains less is not worth its throws: far below what the throws can tell apart.
const WORTHWHILE: f64 = 0.001;
/// Two lines are one if they differ by less than this at the foul line and at the breakpoint.
pub(crate) const DISTINCT_BOARDS: f64 = 2.5;

/// A line under consideration: where to aim and how to throw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Where to aim and how to throw.
    pub release: Release,
    /// What it is worth by the payoff of the search.
    pub worth: f64,
}

/// Everything a search keeps asking for.
pub(crate) struct Bench<'a> {
    pub runway: Runway,
    pub bowler: Bowler,
    pub points: Vec<[f64; 6]>,
    /// Throws behind a candidate while it is being moved to its best.
    pub close_throws: u32,
    pub throws: AtomicU64,
    /// Throws this is expected to take, for the progress.
    pub expected: f64,
    pub progress: &'a (dyn Fn(f64) + Sync),
}

impl<'a> Bench<'a> {
    pub fn new(
        lane: &Lane,
        ball: &Ball,
        bowler: &Bowler,
        search: &Search,
        expected: f64,
        progress: &'a (dyn Fn(f64) + Sync),
    ) -> Self {
        Self {
            runway: Runway::new(lane, ball, &search.law),
            bowler: bowler.clone(),
            points: Spread::points(search.throws_a_line.max(CLOSE_THROWS), search.seed),
            close_throws: CLOSE_THROWS,
            throws: AtomicU64::new(0),
            expected,
            progress,
        }
    }

    /// Finishes of the first `count` spread points around a release.
    pub fn finishes(&self, meant: &Release, count: u32) -> Vec<Finish> {
        let releases: Vec<_> =
            self.points[..count as usize].iter().map(|z| self.bowler.spread.apply(meant, z)).collect();
        let finishes = self.runway.throw_many(&releases);
        let made = self.throws.fetch_add(count.into(), Ordering::Relaxed) + u64::from(count);
        (self.progress)((made as f64 / self.expected).min(1.0));
        finishes
    }

    /// Mean worth around a release.
    fn worth(&self, payoff: &impl Payoff, meant: &Release, count: u32) -> f64 {
        let finishes = self.finishes(meant, count);
        finishes.iter().map(|f| payoff.worth(f)).sum::<f64>() / f64::from(count)
    }

    /// Worth of many releases, in order.
    pub fn worths(&self, payoff: &impl Payoff, meant: &[Release], count: u32) -> Vec<f64> {
        meant.par_iter().map(|release| self.worth(payoff, release, count)).collect()
    }

    /// Moves a candidate to a nearby best: compass steps in feet, target and way of throwing, halved when none helps.
    pub fn climb(&self, payoff: &impl Payoff, start: Candidate) -> Candidate {
        let range = self.bowler.range;
        let mut best = Candidate { worth: self.worth(payoff, &start.release, self.close_throws), ..start };
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
                    launch: Degrees((r.launch.0 + l).clamp(-9.0, 9.0)),
                    speed: Mph((r.speed.0 + s).clamp(range.speed.0.0, range.speed.1.0)),
                    rotation: Degrees((r.rotation.0 + d).clamp(range.rotation.0.0, range.rotation.1.0)),
                    ..r
                });
                // Side by side: where few candidates are moved at a time they take turns with nobody else.
                let tries: Vec<Candidate> = tries
                    .into_par_iter()
                    .filter(|t| *t != r)
                    .map(|release| Candidate { release, worth: self.worth(payoff, &release, self.close_throws) })
                    .collect();
                match tries.into_iter().max_by(|a, b| a.worth.total_cmp(&b.worth)) {
                    Some(c) if c.worth > best.worth + WORTHWHILE => best = c,
                    _ => break,
                }
            }
            (boards, turn, mph, degrees) = (boards / 2.0, turn / 2.0, mph / 2.0, degrees / 2.0);
        }
        best
    }

    /// Throws a line often and writes down what came of it.
    pub fn describe(&self, payoff: &impl Payoff, release: &Release, throws: u32) -> Line {
        let meant = self.runway.throw_many(core::slice::from_ref(release))[0];
        let finishes = self.finishes(release, throws);
        let n = f64::from(throws);
        let share = |hit: Hit| finishes.iter().filter(|f| payoff.hit(f) == hit).count() as f64 / n;
        let pocket = share(Hit::Pocket);
        let worths: Vec<f64> = finishes.iter().map(|f| payoff.worth(f)).collect();
        let (worth, worth_sd) = mean_and_sd(&worths);
        let touches = || finishes.iter().filter_map(|f| f.touch);
        let (board, board_sd) = mean_and_sd(&touches().map(|t| t.board().0).collect::<Vec<_>>());
        let (angle, angle_sd) = mean_and_sd(&touches().map(|t| t.angle().0).collect::<Vec<_>>());
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
            worth,
            // As if the points were random: for evenly spread ones an upper bound in practice.
            worth_error: worth_sd / n.sqrt(),
            pocket,
            pocket_error: (pocket * (1.0 - pocket) / n).sqrt(),
            throws,
            misses: Misses {
                high: share(Hit::High),
                light: share(Hit::Light),
                other_side: share(Hit::OtherSide),
                gutter: share(Hit::Gutter),
            },
            miss_room: self.miss_room(payoff, release),
            first_ball: payoff.first_ball(&finishes),
            game: None,
            rank: 0,
        }
    }

    /// How far a throw aimed at another board at the arrows, from the same feet, still does what was meant.
    fn miss_room(&self, payoff: &impl Payoff, release: &Release) -> MissRoom {
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
        let good: Vec<bool> = self.runway.throw_many(&tries).iter().map(|f| payoff.as_meant(f)).collect();
        let middle = FURTHEST as usize;
        let run = |mut places: Box<dyn Iterator<Item = usize>>| -> f64 {
            if !good[middle] {
                return 0.0;
            }
            STEP * places.by_ref().take_while(|&k| good[k]).count() as f64
        };
        MissRoom { hand_boards: run(Box::new((0..middle).rev())), away_boards: run(Box::new(middle + 1..good.len())) }
    }
}

/// Mean and standard deviation; zeros of nothing.
pub fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let count = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / count;
    let square = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>();
    (mean, (square / (count - 1.0).max(1.0)).sqrt())
}

/// The best of these that lie apart from each other, best first. Lines with the same feet, target and speed are one.
pub(crate) fn best_apart(all: impl Iterator<Item = (Release, f64)>, count: usize, apart: f64) -> Vec<Candidate> {
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
