//! How to make what is left: for every leave the best feet and launch, how often, and what the misses do.
//!
//! Spares are thrown with the hand the bowler has for them; only feet and target are looked for.

use crate::bench::{Bench, CLOSE_THROWS, Candidate, Steps, best_apart};
use crate::carry::body_of;
use crate::grid::steps;
use crate::{Bowler, Conditions, Hit, Line, Payoff, Pocket, Progress, Search, Stopped, Throw};
use boardwise_ball::{Ball, CoverKind};
use boardwise_lane::{Finish, Release};
use boardwise_pins::spare::{Arrival, Second, Spares};
use boardwise_pins::{Rack, mirrored};
use boardwise_score::{Leave, PinSet};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Degrees, Hand};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Feet and launches of the map: a ball for spares moves a board for half a degree or so, and crosses the lane both ways.
const LAYDOWN: (f64, f64, f64) = (1.0, 39.0, 2.0);
const LAUNCH_DEG: (f64, f64, f64) = (-5.0, 5.0, 0.25);
/// Throws behind a cell of the map, and how many of them a first look takes.
const MAP_THROWS: u32 = 48;
const FIRST_LOOK: usize = 12;
/// Cells that deserve more than a first look.
const PROMISING: usize = 40;
/// Moves between the cells of the map, boards at the feet and degrees, and throws to try one.
const BETWEEN: [(f64, f64); 6] = [(1.0, 0.0), (-1.0, 0.0), (0.0, 0.12), (0.0, -0.12), (1.0, 0.12), (-1.0, -0.12)];
const TRY_THROWS: u32 = 64;
/// Distinct places from which the best is looked for.
const STARTS: usize = 5;
/// Two ways to make a leave are one if they differ by less than this.
const DISTINCT_BOARDS: f64 = 4.0;

/// The ball of a bag to throw at spares, the one that hooks least: plastic before urethane before reactive, then the smoothest, then
/// the one that flares least.
///
/// ```
/// # use boardwise_ball::{Ball, BallSpec, CoverKind};
/// let ball = |id, cover| Ball::new(BallSpec::new(id, cover)).map(|(ball, _)| ball);
/// let bag = [ball("strong", CoverKind::Reactive)?, ball("spare", CoverKind::Plastic)?];
/// assert_eq!(boardwise_search::spare_ball(&bag).map(|ball| ball.id.as_str()), Some("spare"));
/// # Ok::<(), boardwise_ball::BallError>(())
/// ```
pub fn spare_ball(bag: &[Ball]) -> Option<&Ball> {
    let hook = |ball: &Ball| {
        let flare = ball.inertia_kg_m2.z - ball.inertia_kg_m2.x;
        let kind = match ball.cover.kind {
            CoverKind::Plastic => 0,
            CoverKind::Urethane => 1,
            CoverKind::Reactive => 2,
        };
        (kind, ball.surface.ra_m, flare)
    };
    bag.iter().min_by(|a, b| {
        let (a, b) = (hook(a), hook(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
    })
}

/// What stands after a throw at a leave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Remainder {
    /// The pins that stand; none if it is made.
    pub pins: PinSet,
    /// Share of racks, 0 to 1.
    pub share: f64,
}

/// A way to make a leave.
#[derive(Clone, Debug, PartialEq)]
pub struct SpareLine {
    /// The line. Its worth is the share made, by the table; miss room is where that stays above half of the best.
    pub line: Line,
    /// Mean number of pins that fall.
    pub down: f64,
}

impl SpareLine {
    /// Pins that the throw is worth: those that fall, and those of the next ball where the leave is made.
    pub fn pins(&self) -> f64 {
        worth_pins(&Second { make: self.line.worth, down: self.down })
    }
}

/// Pins that fall, and those of the next ball where the leave is made.
fn worth_pins(second: &Second) -> f64 {
    second.down + NEXT_BALL_PINS * second.make
}

/// Pins of the ball after a spare, which count twice (our judgement: of half strikes and half nines and eights).
const NEXT_BALL_PINS: f64 = 9.2;
/// A sure line must be worth so many pins more than trying for all.
const SURE_IS_WORTH_PINS: f64 = 0.1;

/// A leave as something to make: the payoff of its line.
struct Making<'a> {
    table: &'a Spares,
    leave: u16,
    hand: Hand,
}

impl Making<'_> {
    fn second(&self, finish: &Finish) -> Second {
        arrival(finish).map_or_else(Second::default, |at| self.table.second(self.leave, &at, self.hand))
    }
}

impl Payoff for Making<'_> {
    fn hit(&self, finish: &Finish) -> Hit {
        Pocket::default().hit(finish)
    }

    fn worth(&self, finish: &Finish) -> f64 {
        self.second(finish).make
    }

    fn counts(&self) -> &'static str {
        "made"
    }
}

/// A leave as pins to count: what falls, and the next ball's pins if all do.
struct Counting<'a>(Making<'a>);

impl Payoff for Counting<'_> {
    fn hit(&self, finish: &Finish) -> Hit {
        self.0.hit(finish)
    }

    fn worth(&self, finish: &Finish) -> f64 {
        let most = Second { make: 1.0, down: f64::from(self.0.leave.count_ones()) };
        worth_pins(&self.0.second(finish)) / worth_pins(&most)
    }

    fn counts(&self) -> &'static str {
        "of the pins it can be worth"
    }
}

/// Where a finish comes to the pins; None from a gutter or where the ball passes every pin's place.
fn arrival(finish: &Finish) -> Option<Arrival> {
    finish.touch.filter(|_| finish.gutter.is_none()).map(|touch| Arrival::of(&touch.entry))
}

/// What sets two lines of one hand apart.
fn bits(release: &Release) -> [u64; 2] {
    [release.laydown.0.to_bits(), release.launch.0.to_bits()]
}

/// A bowler's second balls on a lane: the map of where a spare ball can be made to go, thrown once, and the table of what
/// that knocks down.
pub struct SpareGame<'a> {
    table: &'a Spares,
    ball: &'a Ball,
    hand: Hand,
    search: Search,
    conditions: Conditions,
    bowler: Bowler,
    releases: Vec<Release>,
    /// Arrivals of a cell's throws, cell after cell.
    map: Vec<Option<Arrival>>,
}

impl<'a> SpareGame<'a> {
    /// Throws the map, with the hand the bowler has for spares ([`Bowler::at_spares`]). Takes about 40,000 throws.
    pub fn new(table: &'a Spares, conditions: Conditions, ball: &'a Ball, bowler: &Bowler, search: &Search) -> Self {
        let bowler = bowler.at_spares();
        let own = bowler.release;
        let releases: Vec<Release> = steps(LAUNCH_DEG)
            .into_iter()
            .flat_map(|launch| {
                steps(LAYDOWN).into_iter().map(move |board| Release {
                    laydown: Board(board),
                    launch: Degrees(launch),
                    ..own
                })
            })
            .collect();
        let map = conditions.throw_each(&bowler, &releases, MAP_THROWS, search.seed, |throw| arrival(&throw.finish));
        let map = map.into_iter().flat_map(|of_cell| of_cell.into_iter().take(MAP_THROWS as usize)).collect();
        Self { table, ball, hand: bowler.hand, search: search.clone(), conditions, bowler, releases, map }
    }

    fn bench(&self) -> Bench<'_> {
        Bench::new(&self.conditions, &self.bowler, self.search.seed, 1.0, &Progress::default())
    }

    /// The ball it is about.
    pub fn ball(&self) -> &Ball {
        self.ball
    }

    /// How often this bowler makes a leave, and how many pins fall: from the best cell of the map or a place beside it,
    /// thrown again so that having been chosen does not flatter it. [`SpareGame::lines`] looks more closely
    /// (docs/spares.md says how the two differ) and takes fifty times as long.
    pub fn second(&self, leave: Leave) -> Second {
        self.seconds(&[leave], &Progress::default())
            .ok()
            .and_then(|seconds| seconds.first().copied())
            .unwrap_or_default()
    }

    /// [`SpareGame::second`] of many leaves, in order: all are thrown at together, each line once.
    ///
    /// # Errors
    /// If `progress` is cancelled before all are done.
    pub fn seconds(&self, leaves: &[Leave], progress: &Progress) -> Result<Vec<Second>, Stopped> {
        let tried: Vec<Vec<Release>> =
            leaves.par_iter().map(|leave| progress.go_on().map(|()| self.tries(*leave))).collect::<Result<_, _>>()?;
        progress.report(1.0, 3.0)?;
        let arrivals = self.arrivals(tried.iter().flatten(), TRY_THROWS);
        let best = |(leave, tried): (&Leave, &Vec<Release>)| {
            let made = tried.iter().map(|release| (*release, self.mean(*leave, &arrivals[&bits(release)]).make));
            made.fold((tried[0], -1.0), |best, tried| if tried.1 > best.1 { tried } else { best }).0
        };
        let best: Vec<Release> = leaves.par_iter().zip(&tried).map(best).collect();
        progress.report(2.0, 3.0)?;
        let arrivals = self.arrivals(best.iter(), CLOSE_THROWS);
        Ok(leaves.iter().zip(&best).map(|(leave, best)| self.mean(*leave, &arrivals[&bits(best)])).collect())
    }

    /// The best cell of the map for a leave and the places beside it. Where nothing makes it, the cell whose throws take most.
    fn tries(&self, leave: Leave) -> Vec<Release> {
        let Some(&(cell, _)) = self.promising(leave, |second| second.make).first() else {
            let down = |cell: &usize| self.cell(leave, *cell, FIRST_LOOK).down;
            let most = (0..self.releases.len()).max_by(|a, b| down(a).total_cmp(&down(b)));
            return vec![self.releases[most.unwrap_or_default()]];
        };
        let centre = self.releases[cell];
        let beside = BETWEEN.map(|(boards, degrees)| Release {
            laydown: Board(centre.laydown.0 + boards),
            launch: Degrees(centre.launch.0 + degrees),
            ..centre
        });
        core::iter::once(centre).chain(beside).collect()
    }

    /// Where throws of these lines come to the pins, each line thrown once.
    fn arrivals<'r>(
        &self,
        lines: impl Iterator<Item = &'r Release>,
        throws: u32,
    ) -> BTreeMap<[u64; 2], Vec<Option<Arrival>>> {
        let lines: BTreeMap<[u64; 2], Release> = lines.map(|line| (bits(line), *line)).collect();
        let releases: Vec<Release> = lines.values().copied().collect();
        let thrown = self
            .conditions
            .throw_widely(&self.bowler, &releases, throws, self.search.seed, |throw| arrival(&throw.finish));
        lines.into_keys().zip(thrown).collect()
    }

    /// What throws that come to the pins so do to a leave.
    fn mean(&self, leave: Leave, arrivals: &[Option<Arrival>]) -> Second {
        let mut sum = Second::default();
        for at in arrivals.iter().flatten() {
            let second = self.table.second(leave.pins().bits(), at, self.hand);
            sum.make += second.make / arrivals.len() as f64;
            sum.down += second.down / arrivals.len() as f64;
        }
        sum
    }

    /// [`SpareGame::second`] without throwing again: the best cell of the map, a thousandth of a second each. On splits
    /// it can be ten points off either way; meant for leaves too rare to matter.
    pub fn glance(&self, leave: Leave) -> Second {
        let best = self
            .promising(leave, |second| second.make)
            .first()
            .map(|&(cell, _)| self.cell(leave, cell, MAP_THROWS as usize));
        best.unwrap_or_default()
    }

    fn making(&self, leave: Leave) -> Making<'_> {
        Making { table: self.table, leave: leave.pins().bits(), hand: self.hand }
    }

    /// Mean over the first throws of a cell.
    fn cell(&self, leave: Leave, cell: usize, throws: usize) -> Second {
        let first = cell * MAP_THROWS as usize;
        self.mean(leave, &self.map[first..first + throws])
    }

    /// The cells of the map whose throws at a leave are worth most, best first, with that value; none if no throw is worth
    /// anything.
    fn promising(&self, leave: Leave, value: fn(&Second) -> f64) -> Vec<(usize, f64)> {
        let order = |cells: &mut Vec<(usize, f64)>| cells.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let mut cells: Vec<(usize, f64)> =
            (0..self.releases.len()).map(|cell| (cell, value(&self.cell(leave, cell, FIRST_LOOK)))).collect();
        cells.retain(|(_, value)| *value > 0.0);
        order(&mut cells);
        cells.truncate(PROMISING);
        for (cell, worth) in &mut cells {
            *worth = value(&self.cell(leave, *cell, MAP_THROWS as usize));
        }
        order(&mut cells);
        cells
    }

    /// The line to take instead of trying for all, where a surer one is worth more pins than `best`, the best that makes the
    /// leave; None where trying is right. Of one pin nothing is surer than the pin.
    pub fn sure(&self, leave: Leave, best: Option<&SpareLine>) -> Option<SpareLine> {
        if leave.pins().len() == 1 {
            return None;
        }
        let moved = self.moved_to_best(leave, worth_pins, &Counting(self.making(leave)), STARTS);
        let sure = self.described(leave, &moved.into_iter().max_by(|a, b| a.worth.total_cmp(&b.worth))?.release);
        let least = best.map_or(0.0, SpareLine::pins) + SURE_IS_WORTH_PINS;
        (sure.pins() > least).then_some(sure)
    }

    /// The cells that promise most, so many that lie apart, each moved to its best by a payoff.
    fn moved_to_best(
        &self,
        leave: Leave,
        value: fn(&Second) -> f64,
        payoff: &impl Payoff,
        starts: usize,
    ) -> Vec<Candidate> {
        let promising = self.promising(leave, value).into_iter().map(|(cell, value)| (self.releases[cell], value));
        let bench = self.bench();
        // Nothing cancels this.
        bench.climb(payoff, &best_apart(promising, starts, DISTINCT_BOARDS), Steps::CLOSE).unwrap_or_default()
    }

    /// A line at a leave, thrown often.
    fn described(&self, leave: Leave, release: &Release) -> SpareLine {
        let line = self.bench().describe(&self.making(leave), release, self.search.throws_a_line);
        let arrivals = self.arrivals(core::iter::once(release), CLOSE_THROWS);
        SpareLine { line, down: self.mean(leave, &arrivals[&bits(release)]).down }
    }

    /// The best ways to make a leave, at most `count`, best first; none if no throw makes it.
    pub fn lines(&self, leave: Leave, count: usize) -> Vec<SpareLine> {
        let moved = self.moved_to_best(leave, |second| second.make, &self.making(leave), STARTS.max(count));
        // One more than asked for: what a climb says of its own end flatters it, and the second may be the best.
        let best = best_apart(moved.into_iter().map(|c| (c.release, c.worth)), count + 1, DISTINCT_BOARDS);
        let mut lines: Vec<SpareLine> = best.par_iter().map(|c| self.described(leave, &c.release)).collect();
        lines.sort_by(|a, b| b.line.worth.total_cmp(&a.line.worth));
        lines.truncate(count);
        for (k, spare) in lines.iter_mut().enumerate() {
            spare.line.rank = k + 1;
        }
        lines
    }

    /// Throws at a leave along a line, `racks` times or as often as the search throws a line, whichever is less, with the
    /// ball as it is, and says what stands afterwards, commonest first. This asks the rack itself and not the table.
    pub fn after(&self, rack: &Rack, leave: Leave, release: &Release, racks: u32) -> Vec<Remainder> {
        let (left_hand, body) = (self.hand == Hand::Left, body_of(self.ball));
        let bits = leave.pins().bits();
        // The rack stands in the hand's frame: a left-hander's is the mirror image.
        let seen = |pins: u16| if left_hand { mirrored(pins) } else { pins };
        let stands: Vec<u16> = self
            .bench()
            .throws(release, racks.clamp(1, self.search.throws_a_line))
            .par_iter()
            .enumerate()
            .map(|(k, Throw { finish, .. })| {
                let Some(touch) = finish.touch.filter(|_| finish.gutter.is_none()) else { return bits };
                let mut stream = Stream::keyed(self.search.seed, "spare racks", k as u64);
                let thrown = rack.throw_at(seen(bits), &touch.entry, &body, &mut stream);
                // A ball that the rack cannot take, off the lane or hardly moving, takes no pin.
                thrown.map_or(bits, |outcome| seen(outcome.standing))
            })
            .collect();
        let mut counts = vec![0_u32; 1024];
        for &pins in &stands {
            counts[usize::from(pins)] += 1;
        }
        let mut after: Vec<Remainder> = counts
            .into_iter()
            .enumerate()
            .filter(|(_, n)| *n > 0)
            .filter_map(|(pins, n)| {
                let share = f64::from(n) / stands.len() as f64;
                Some(Remainder { pins: PinSet::from_bits(pins as u16)?, share })
            })
            .collect();
        after.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.pins.cmp(&b.pins)));
        after
    }
}
