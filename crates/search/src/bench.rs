//! What every search does: throw a release with the bowler's spread, move it to its best, describe what comes of it.

use crate::line::{Line, MissRoom, Misses};
use crate::mean::mean_and_sd;
use crate::{Bowler, Conditions, Hit, Move, Payoff, Progress, Spread, Stopped, Throw, aim, looks_off_lane_boards};
use boardwise_lane::Release;
use boardwise_units::{Board, Degrees, Feet, Mph, math};
use std::collections::BTreeMap;
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
    /// What it is worth by the payoff of the search, luck left out ([`Payoff::is_meant`]).
    pub worth: f64,
}

/// Mean worth of a line's throws.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Worth {
    /// Of all.
    pub all: f64,
    /// The part that lines are chosen by.
    pub meant: f64,
}

/// How much worse a line counts whose shot as meant lies outside the pocket: half for each half board.
const OUTSIDE_BOARDS: f64 = 0.5;

/// Degrees of launch in a step of a board.
const TURN_DEG: f64 = 0.25;

/// How a climb goes: by steps from one size down to another, boards at the feet, each half of the last.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Steps {
    pub from_boards: f64,
    pub to_boards: f64,
    /// So many of the candidates go on once steps get smaller.
    pub kept: usize,
}

impl Steps {
    /// As closely as a line is told; every candidate goes to its end.
    pub const CLOSE: Self = Self { from_boards: 1.0, to_boards: 0.25, kept: usize::MAX };
}

/// A candidate on its way to a nearby best.
struct Climb {
    best: Candidate,
    step_boards: f64,
}

impl Climb {
    /// The places a step away. Moving feet and target together keeps the breakpoint; against each
    /// other they move it twice as far; the target alone changes it.
    fn tries(&self) -> Vec<Release> {
        let (boards, turn, r) = (self.step_boards, TURN_DEG * self.step_boards, self.best.release);
        let moves = [
            (boards, boards * 0.14),
            (-boards, -boards * 0.14),
            (boards, -boards * 0.14),
            (-boards, boards * 0.14),
            (boards, 0.0),
            (-boards, 0.0),
            (0.0, turn),
            (0.0, -turn),
        ];
        let to = moves.map(|(b, l)| Release {
            laydown: Board((r.laydown.0 + b).clamp(1.0, 39.0)),
            launch: Degrees((r.launch.0 + l).clamp(-9.0, 9.0)),
            ..r
        });
        to.into_iter().filter(|tried| *tried != r).collect()
    }

    /// Goes to the best of what was tried, or tries smaller steps from where it is.
    fn step(&mut self, tried: Option<Candidate>) {
        match tried {
            Some(better) if better.worth > self.best.worth + WORTHWHILE => self.best = better,
            _ => self.step_boards /= 2.0,
        }
    }
}

/// Everything a search keeps asking for.
pub(crate) struct Bench<'a> {
    pub conditions: &'a Conditions,
    pub bowler: &'a Bowler,
    pub seed: u64,
    /// Throws behind a candidate while it is being moved to its best.
    pub close_throws: u32,
    pub throws: AtomicU64,
    /// Throws this is expected to take, for the progress.
    pub expected: f64,
    pub progress: Progress,
}

impl<'a> Bench<'a> {
    pub fn new(conditions: &'a Conditions, bowler: &'a Bowler, seed: u64, expected: f64, progress: &Progress) -> Self {
        let throws = AtomicU64::new(0);
        let progress = progress.clone();
        Self { conditions, bowler, seed, close_throws: CLOSE_THROWS, throws, expected, progress }
    }

    /// Mean worth of these lines over the worlds and the bowler's deviations, in order, with about `count` throws each.
    pub fn worths(&self, payoff: &impl Payoff, meant: &[Release], count: u32) -> Vec<Worth> {
        let of = |throw: &Throw| {
            let all = payoff.worth_in(&throw.finish, throw.pins);
            Worth { all, meant: if payoff.is_meant(&throw.finish) { all } else { 0.0 } }
        };
        let thrown = self.conditions.throw_each(self.bowler, meant, count, self.seed, of);
        self.tell(thrown.iter().map(Vec::len).sum());
        let mean = |worths: &[Worth], part: fn(&Worth) -> f64| {
            worths.iter().map(part).sum::<f64>() / worths.len().max(1) as f64
        };
        let whole =
            |worths: &Vec<Worth>| Worth { all: mean(worths, |one| one.all), meant: mean(worths, |one| one.meant) };
        thrown.iter().map(whole).collect()
    }

    /// About `count` throws of one line.
    pub fn throws(&self, meant: &Release, count: u32) -> Vec<Throw> {
        let lines = core::slice::from_ref(meant);
        let mut thrown = self.conditions.throw_each(self.bowler, lines, count, self.seed, |throw| *throw);
        let throws = thrown.pop().unwrap_or_default();
        self.tell(throws.len());
        throws
    }

    fn tell(&self, more: usize) {
        let made = self.throws.fetch_add(more as u64, Ordering::Relaxed) + more as u64;
        // Whether to go on is asked between two pieces of work.
        let _ = self.progress.report(made as f64, self.expected);
    }

    /// Worth of lines as the search counts it: less where the shot as meant is not aimed at what counts.
    pub fn counted(&self, payoff: &impl Payoff, meant: &[Release], count: u32) -> Vec<f64> {
        let aimed = self.aimed(payoff, meant);
        let worths = self.worths(payoff, meant, count);
        worths.iter().zip(aimed).map(|(worth, aimed)| worth.meant * aimed).collect()
    }

    /// 1 for lines whose shot as meant is aimed at what counts, less the further it is from that.
    pub fn aimed(&self, payoff: &impl Payoff, meant: &[Release]) -> Vec<f64> {
        let finishes = self.conditions.as_meant(meant);
        let off = finishes.iter().zip(meant).map(|(finish, meant)| {
            let off = payoff.off_aim_boards(finish);
            off.max(looks_off_lane_boards(meant))
        });
        off.map(|off| math::exp(-core::f64::consts::LN_2 * off / OUTSIDE_BOARDS)).collect()
    }

    /// Moves each candidate to a nearby best with the way of throwing it has: compass steps in feet and target, halved when
    /// none helps. What it ends on is aimed at what counts, or worth nothing. All step together: their throws fill packs.
    ///
    /// # Errors
    /// If the work is cancelled.
    pub fn climb(&self, payoff: &impl Payoff, starts: &[Candidate], by: Steps) -> Result<Vec<Candidate>, Stopped> {
        let first: Vec<Release> = starts.iter().map(|start| start.release).collect();
        let worths = self.counted(payoff, &first, self.close_throws);
        let begun = |(&release, worth)| Climb { best: Candidate { release, worth }, step_boards: by.from_boards };
        let mut climbs: Vec<Climb> = first.iter().zip(worths).map(begun).collect();
        self.climb_to(payoff, &mut climbs, by.from_boards)?;
        // In the order of the starts: of level ones the first counts.
        let mut worths: Vec<f64> = climbs.iter().map(|climb| climb.best.worth).collect();
        worths.sort_by(|a, b| b.total_cmp(a));
        if let Some(&least) = worths.get(by.kept.saturating_sub(1)) {
            climbs.retain(|climb| climb.best.worth >= least);
        }
        self.climb_to(payoff, &mut climbs, by.to_boards)?;
        let best: Vec<Release> = climbs.iter().map(|climb| climb.best.release).collect();
        let aimed = self.aimed(payoff, &best);
        let ends = climbs.iter().zip(aimed);
        let end = |(climb, aimed): (&Climb, f64)| {
            if aimed < 1.0 { Candidate { worth: 0.0, ..climb.best } } else { climb.best }
        };
        Ok(ends.map(end).collect())
    }

    /// Steps all together as long as one of them takes steps of this size.
    fn climb_to(&self, payoff: &impl Payoff, climbs: &mut [Climb], boards: f64) -> Result<(), Stopped> {
        loop {
            let moving = climbs.iter_mut().filter(|climb| climb.step_boards >= boards);
            let mut moving: Vec<(&mut Climb, Vec<Release>)> = moving
                .map(|climb| {
                    let tries = climb.tries();
                    (climb, tries)
                })
                .collect();
            if moving.is_empty() {
                return Ok(());
            }
            self.progress.go_on()?;
            let all: Vec<Release> = moving.iter().flat_map(|(_, tries)| tries.iter().copied()).collect();
            let mut worths = self.counted(payoff, &all, self.close_throws).into_iter();
            for (climb, tries) in &mut moving {
                let tried = tries.iter().zip(worths.by_ref()).map(|(&release, worth)| Candidate { release, worth });
                climb.step(tried.max_by(|a, b| a.worth.total_cmp(&b.worth)));
            }
        }
    }

    /// Throws a line often and writes down what came of it, with its miss room.
    pub fn describe(&self, payoff: &impl Payoff, release: &Release, throws: u32) -> Line {
        Line { miss_room: self.miss_room(payoff, release), ..self.describe_roughly(payoff, release, throws) }
    }

    /// The same with no miss room, which takes two thousand throws by itself.
    pub fn describe_roughly(&self, payoff: &impl Payoff, release: &Release, throws: u32) -> Line {
        let meant = self.conditions.as_meant(core::slice::from_ref(release))[0];
        let thrown = self.throws(release, throws);
        let n = thrown.len() as f64;
        let share = |hit: Hit| thrown.iter().filter(|throw| payoff.hit(&throw.finish) == hit).count() as f64 / n;
        let pocket = share(Hit::Pocket);
        let worths: Vec<f64> = thrown.iter().map(|throw| payoff.worth_in(&throw.finish, throw.pins)).collect();
        let (worth, worth_sd) = mean_and_sd(&worths);
        let touches = || thrown.iter().filter_map(|throw| throw.finish.touch);
        let (board, board_sd) = mean_and_sd(&touches().map(|t| t.board().0).collect::<Vec<_>>());
        let (angle, angle_sd) = mean_and_sd(&touches().map(|t| t.angle().0).collect::<Vec<_>>());
        Line {
            release: *release,
            arrows: aim(release),
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
            worth_over_worlds: over_worlds(&thrown, &worths),
            throws: thrown.len() as u32,
            misses: Misses {
                high: share(Hit::High),
                light: share(Hit::Light),
                other_side: share(Hit::OtherSide),
                gutter: share(Hit::Gutter),
            },
            miss_room: MissRoom::default(),
            first_ball: payoff.first_ball(&thrown),
            game: None,
            rank: 0,
        }
    }

    /// How far a shot may cross the arrows from where it was meant, from the same feet, while its worth stays above half of
    /// the best: in the mean world, with speed, revs, rotation and tilt as they stray.
    fn miss_room(&self, payoff: &impl Payoff, release: &Release) -> MissRoom {
        const STEP: f64 = 0.25;
        const FURTHEST: i32 = 32;
        const STRAYS: u32 = 32;
        let strays: Vec<[f64; 6]> = Spread::points(STRAYS, self.seed)
            .into_iter()
            .map(|[_, _, speed, rev_rate, rotation, tilt]| [0.0, 0.0, speed, rev_rate, rotation, tilt])
            .collect();
        let tries: Vec<Release> = (-FURTHEST..=FURTHEST)
            .map(|k| Move { feet_boards: 0.0, eyes_boards: STEP * f64::from(k) }.of(release))
            .flat_map(|off| strays.iter().map(move |z| (off, z)))
            .map(|(off, z)| self.bowler.spread.apply(&off, z))
            .collect();
        let finishes = self.conditions.as_meant(&tries);
        let worths: Vec<f64> = finishes
            .chunks(strays.len())
            .map(|of_place| of_place.iter().map(|finish| payoff.worth(finish)).sum::<f64>() / strays.len() as f64)
            .collect();
        let middle = FURTHEST as usize;
        // The best of what the bowler aims at, not of another window farther off.
        let half = 0.5 * worths[middle - 4..=middle + 4].iter().copied().fold(0.0, f64::max);
        if worths[middle] <= half {
            return MissRoom::default();
        }
        let run =
            |places: &mut dyn Iterator<Item = usize>| STEP * places.take_while(|&k| worths[k] > half).count() as f64;
        MissRoom { hand_boards: run(&mut (0..middle).rev()), away_boards: run(&mut (middle + 1..worths.len())) }
    }
}

/// Standard deviation of a line's worth from world to world, with the scatter of a world's own throws taken off.
fn over_worlds(thrown: &[Throw], worths: &[f64]) -> f64 {
    let mut by_world: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
    for (throw, worth) in thrown.iter().zip(worths) {
        by_world.entry(throw.world).or_default().push(*worth);
    }
    let means: Vec<(f64, f64, f64)> = by_world
        .values()
        .map(|all| {
            let (mean, sd) = mean_and_sd(all);
            (mean, sd, all.len() as f64)
        })
        .collect();
    let (_, between) = mean_and_sd(&means.iter().map(|one| one.0).collect::<Vec<_>>());
    let within = means.iter().map(|(_, sd, count)| sd * sd / count).sum::<f64>() / means.len().max(1) as f64;
    (between * between - within).max(0.0).sqrt()
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
    let across_m = Feet(40.0).to_metres() * math::tan(release.launch.to_radians());
    Board::from_metres(release.laydown.to_metres() + across_m).0
}
