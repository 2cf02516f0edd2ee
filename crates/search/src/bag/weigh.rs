//! Every ball with every surface at its best line, at every stage, however the lane turns out.

use crate::block::{BlockError, BlockPlan, traffic};
use crate::near::Look;
use crate::unknowns::spread_over;
use crate::{Bowler, Conditions, GameScore, Line, Progress, Search, Site, SpareGame, Stopped, Strikes, World, came_in};
use boardwise_ball::{Ball, CoverKind, Surface};
use boardwise_lane::{ContactLaw, Lane, Release};
use boardwise_pins::carry::Carry;
use boardwise_pins::spare::{Second, Spares};
use boardwise_score::Leave;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What to weigh a bag for.
#[derive(Clone, Debug, PartialEq)]
pub struct BagPlan {
    /// The block: its pair, who else bowls, for how long. Ours is the bowler, with the balls to weigh.
    pub block: BlockPlan,
    /// Surfaces to try on every ball but plastic ones, beside the one it has.
    pub surfaces: Vec<Surface>,
    /// Ways in which the lane may turn out; the first is all that it may be.
    pub turnouts: u32,
}

/// A ball with a surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Prepared {
    /// The ball's place in the bag.
    pub place: usize,
    /// The surface put on it, by its place among those tried; None for the one it has.
    pub surface: Option<usize>,
    /// The ball so prepared.
    pub ball: Ball,
}

/// A way in which a lane may turn out: all that it may be, or a part of that which practice could tell from the rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Turnout {
    /// The worlds in which it turns out so.
    pub worlds: Vec<World>,
    /// Which lane of the pair, 0 or 1.
    pub lane: usize,
    /// Which run of the block wears it.
    pub run: u32,
}

impl Turnout {
    /// Oil over what the pattern says, in the middle of what it may be.
    pub fn oil(&self) -> f64 {
        World::mean(&self.worlds).oil(self.lane, MIDDLE_BOARD, MIDDLE_FT)
    }

    /// Dry friction of the lane over the usual, in the middle of what it may be.
    pub fn friction(&self) -> f64 {
        World::mean(&self.worlds).friction(self.lane)
    }
}

/// Where the oil of a turnout is told.
const MIDDLE_BOARD: f64 = 12.0;
const MIDDLE_FT: f64 = 22.0;

/// A stage of the block in a world.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Games that everybody has bowled.
    pub games: u32,
    /// The turnout's place.
    pub turnout: usize,
}

/// What a ball can do at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// Its best line.
    pub line: Line,
    /// What a game of it comes to.
    pub game: GameScore,
}

/// A bag weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// Every ball with every surface, in the bag's order, its own surface first.
    pub prepared: Vec<Prepared>,
    /// The ways in which the lane may turn out.
    pub turnouts: Vec<Turnout>,
    /// The moments: stage after stage of a turnout, turnout after turnout.
    pub moments: Vec<Moment>,
    /// By ball, then by moment; None where the ball strikes nowhere.
    pub forms: Vec<Vec<Option<Form>>>,
}

/// Throws behind a form, and the worlds they are spread over where the lane may be anything.
const THROWS: u32 = 512;
const WORLDS: usize = 16;

/// Weighs every ball with every surface.
///
/// # Errors
/// If the block cannot be bowled, or `progress` is cancelled.
pub fn weigh_bag(plan: &BagPlan, carry: &Carry, spares: &Spares, progress: &Progress) -> Result<Weighed, BlockError> {
    plan.block.check()?;
    let seat = plan.block.our_seat();
    let prepared = prepared(&seat.balls, &plan.surfaces);
    let games = plan.block.games;
    let search = Search { seed: plan.block.seed, throws_a_line: THROWS, ..Search::default() };
    let weighing = Weighing { plan, carry, search: &search };
    let turnouts = weighing.turnouts(&prepared, progress)?;
    let whole = (prepared.len() * turnouts.len() * (games + 1) as usize) as f64;
    let done = AtomicUsize::new(0);
    let lanes = weighing.stages(&turnouts, progress)?;
    let moments: Vec<Moment> =
        (0..turnouts.len()).flat_map(|turnout| (0..=games).map(move |games| Moment { games, turnout })).collect();
    let seconds: Vec<BTreeMap<Leave, Second>> = match &seat.spare_ball {
        // Spares hardly change with the turnout: they are taken from the first.
        Some(ball) => lanes[0]
            .iter()
            .map(|lane| {
                let conditions = weighing.conditions(ball, prepared.len(), &turnouts[0], lane);
                glances(&SpareGame::new(spares, conditions, ball, &seat.bowler, &search), progress)
            })
            .collect::<Result<_, Stopped>>()?,
        None => vec![BTreeMap::new(); lanes[0].len()],
    };
    let forms = prepared.par_iter().map(|ball| {
        let mut forms: Vec<Option<Form>> = Vec::with_capacity(moments.len());
        // The fresh lane as given is searched as a whole; from there on the line is followed.
        let mut known: Vec<Release> = Vec::new();
        for (turnout, lanes) in turnouts.iter().zip(&lanes) {
            let mut followed = known.clone();
            for (lane, seconds) in lanes.iter().zip(&seconds) {
                progress.go_on()?;
                let line = weighing.best_line(ball, turnout, lane, &followed);
                if let Some(line) = &line {
                    followed = vec![line.release];
                    if known.is_empty() {
                        known.push(line.release);
                    }
                }
                forms.push(line.and_then(|line| form(line, seconds)));
                progress.report((done.fetch_add(1, Ordering::Relaxed) + 1) as f64, whole)?;
            }
        }
        Ok(forms)
    });
    let forms = forms.collect::<Result<_, BlockError>>()?;
    Ok(Weighed { prepared, turnouts, moments, forms })
}

/// Every ball with every surface it may carry; plastic stays as it is.
fn prepared(balls: &[Ball], surfaces: &[Surface]) -> Vec<Prepared> {
    let every = balls.iter().enumerate();
    every
        .flat_map(|(place, ball)| {
            let own = Prepared { place, surface: None, ball: ball.clone() };
            let tried = surfaces.iter().enumerate().filter(|_| ball.cover.kind != CoverKind::Plastic);
            let others =
                tried.map(move |(k, surface)| Prepared { place, surface: Some(k), ball: ball.resurfaced(*surface) });
            core::iter::once(own).chain(others)
        })
        .collect()
}

/// What a bag is weighed with.
struct Weighing<'a> {
    plan: &'a BagPlan,
    carry: &'a Carry,
    search: &'a Search,
}

impl Weighing<'_> {
    fn bowler(&self) -> &Bowler {
        &self.plan.block.our_seat().bowler
    }

    /// First all that the lane may be. Then parts of it, by how far a usual shot hooks: what a few practice shots could tell
    /// apart. They take the two lanes of the pair in turn.
    fn turnouts(&self, prepared: &[Prepared], progress: &Progress) -> Result<Vec<Turnout>, BlockError> {
        let block = &self.plan.block;
        let all = block.unknowns.worlds(block.seed);
        let some = spread_over(WORLDS.min(all.len()), all.len()).map(|place| all[place]).collect();
        let mut turnouts = vec![Turnout { worlds: some, lane: 0, run: 0 }];
        let parts = (self.plan.turnouts.max(1) as usize - 1).min(all.len());
        if parts == 0 {
            return Ok(turnouts);
        }
        let by_hook = |lane| progress.go_on().map(|()| self.by_hook(&all, lane, &prepared[0], &turnouts[0]));
        let orders = [by_hook(0)?, by_hook(1)?];
        for (nth, run) in (0..parts).zip(1..) {
            let lane = run as usize % 2;
            let order = &orders[lane];
            let (from, to) = (nth * order.len() / parts, (nth + 1) * order.len() / parts);
            let part = &order[from..to];
            let worlds = spread_over(WORLDS.min(part.len()), part.len()).map(|place| all[part[place]]).collect();
            turnouts.push(Turnout { worlds, lane, run });
        }
        Ok(turnouts)
    }

    /// Places of the worlds, those in which a usual shot comes in lightest first.
    fn by_hook(&self, all: &[World], lane: usize, usual: &Prepared, whole: &Turnout) -> Vec<usize> {
        let fresh = self.plan.block.pair[lane].seen_by(self.bowler().hand);
        let line = self.best_line(usual, &Turnout { lane, ..whole.clone() }, &fresh, &[]);
        let meant = line.map_or(self.bowler().release, |line| line.release);
        let site = Site { lane, fresh: &fresh, now: &fresh, ball: &usual.ball, place: usual.place };
        let boards: Vec<f64> = all
            .par_iter()
            .map(|world| came_in(&site.runway(world, &ContactLaw::default()).throw_many(&[world.today(&meant)])[0]))
            .collect();
        let mut order: Vec<usize> = (0..all.len()).collect();
        order.sort_by(|&a, &b| boards[a].total_cmp(&boards[b]));
        order
    }

    /// Each turnout's lane from our hand's side, fresh and after each game.
    fn stages(&self, turnouts: &[Turnout], progress: &Progress) -> Result<Vec<Vec<Lane>>, BlockError> {
        let of_turnout = |turnout: &Turnout| {
            let left = traffic(&self.plan.block, self.carry, turnout.run, progress)?;
            Ok(left.into_iter().map(|pair| pair[turnout.lane].seen_by(self.bowler().hand)).collect())
        };
        turnouts.par_iter().map(of_turnout).collect()
    }

    /// A ball on a turnout's lane as it is now.
    fn conditions(&self, ball: &Ball, place: usize, turnout: &Turnout, now: &Lane) -> Conditions {
        let fresh = self.plan.block.pair[turnout.lane].seen_by(self.bowler().hand);
        let site = Site { lane: turnout.lane, fresh: &fresh, now, ball, place };
        Conditions::new(&site, &turnout.worlds, &ContactLaw::default())
    }

    fn best_line(&self, ball: &Prepared, turnout: &Turnout, lane: &Lane, known: &[Release]) -> Option<Line> {
        let conditions = self.conditions(&ball.ball, ball.place, turnout, lane);
        let strikes = Strikes::new(self.carry, &ball.ball, self.bowler().hand, self.plan.block.pocket);
        let look = Look::new(&conditions, self.bowler(), &strikes, self.search);
        if known.is_empty() { look.anywhere() } else { look.near(known) }
    }
}

/// How often every leave is made, looked at quickly.
fn glances(game: &SpareGame<'_>, progress: &Progress) -> Result<BTreeMap<Leave, Second>, Stopped> {
    let leaves: Vec<Leave> = Leave::all().collect();
    leaves.par_iter().map(|&leave| progress.go_on().map(|()| (leave, game.glance(leave)))).collect()
}

fn form(line: Line, seconds: &BTreeMap<Leave, Second>) -> Option<Form> {
    let second = |leave: Leave| seconds.get(&leave).copied().unwrap_or_default();
    let game = GameScore::of(line.first_ball.as_ref()?, second).ok()?;
    Some(Form { line, game })
}
