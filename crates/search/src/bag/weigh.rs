//! Every ball with every surface at its best line, at every stage, in every world.

use crate::block::{BlockError, BlockPlan, Follow, Still, tell, traffic};
use crate::near::Look;
use crate::{GameScore, Line, Search, SpareGame, Strikes};
use boardwise_ball::{Ball, CoverKind, Surface};
use boardwise_lane::{Coating, Film, Lane, Release};
use boardwise_pins::carry::Carry;
use boardwise_pins::spare::{Second, Spares};
use boardwise_score::Leave;
use boardwise_units::stream::normal_quantile;
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
    /// Worlds to weigh in; the first is the lane as given.
    pub worlds: u32,
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

/// A lane as it may turn out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct World {
    /// Oil over what the pattern says.
    pub oil: f64,
    /// Dry friction of this lane over the usual.
    pub friction: f64,
    /// Which lane of the pair, 0 or 1.
    pub lane: usize,
    /// Which run of the block wears it.
    pub run: u32,
}

/// A stage of the block in a world.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Games that everybody has bowled.
    pub games: u32,
    /// The world's place.
    pub world: usize,
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
    /// The worlds.
    pub worlds: Vec<World>,
    /// The moments: stage after stage of a world, world after world.
    pub moments: Vec<Moment>,
    /// By ball, then by moment; None where the ball strikes nowhere.
    pub forms: Vec<Vec<Option<Form>>>,
}

/// Standard deviation of the logarithm of a lane's oil over what its sheet says, and of its dry friction (our judgement; no
/// published spread was found).
const OIL_LOG_SD: f64 = 0.08;
const FRICTION_LOG_SD: f64 = 0.06;
/// Throws behind a form.
const THROWS: u32 = 512;

/// Weighs every ball with every surface, followed by `follow`.
///
/// # Errors
/// If the block cannot be bowled, or it was stopped.
pub fn weigh_bag(plan: &BagPlan, carry: &Carry, spares: &Spares, follow: Follow<'_>) -> Result<Weighed, BlockError> {
    plan.block.check()?;
    let seat = plan.block.our_seat();
    let prepared = prepared(&seat.balls, &plan.surfaces);
    let worlds = worlds(plan.worlds.max(1), plan.block.seed);
    let moments = (plan.block.games + 1) as usize;
    let whole = (prepared.len() * worlds.len() * moments) as f64;
    let done = AtomicUsize::new(0);
    let still = || tell(follow, done.load(Ordering::Relaxed) as f64 / whole);
    let lanes = stages(plan, &worlds, carry, &still)?;
    let moments: Vec<Moment> =
        (0..worlds.len()).flat_map(|world| (0..=plan.block.games).map(move |games| Moment { games, world })).collect();
    let search = Search { seed: plan.block.seed, throws_a_line: THROWS, ..Search::default() };
    let seconds: Vec<BTreeMap<Leave, Second>> = match &seat.spare_ball {
        // Spares hardly change from world to world: they are taken from the first.
        Some(ball) => lanes[0]
            .iter()
            .map(|lane| glances(&SpareGame::new(spares, lane, ball, &seat.bowler, &search, &|_| ()), &still))
            .collect::<Result<_, BlockError>>()?,
        None => vec![BTreeMap::new(); lanes[0].len()],
    };
    let forms = prepared.par_iter().map(|ball| {
        let mut forms: Vec<Option<Form>> = Vec::with_capacity(moments.len());
        // The fresh lane as given is searched as a whole; from there on the line is followed.
        let mut known: Vec<Release> = Vec::new();
        for (world, lanes) in worlds.iter().zip(&lanes) {
            let mut followed = known.clone();
            for (lane, seconds) in lanes.iter().zip(&seconds) {
                still()?;
                let line = best_line(plan, carry, &ball.ball, world, lane, &followed, &search);
                if let Some(line) = &line {
                    followed = vec![line.release];
                    if known.is_empty() {
                        known.push(line.release);
                    }
                }
                forms.push(line.and_then(|line| form(line, seconds)));
                done.fetch_add(1, Ordering::Relaxed);
            }
        }
        Ok(forms)
    });
    let forms = forms.collect::<Result<_, BlockError>>()?;
    still()?;
    Ok(Weighed { prepared, worlds, moments, forms })
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

/// The worlds: the lane as given, then others spread evenly over oil and friction. They take the two lanes of the pair in turn.
fn worlds(count: u32, seed: u64) -> Vec<World> {
    let seed = seed as u32 ^ (seed >> 32) as u32;
    (0..count)
        .map(|k| {
            let normal = |dimension: u32| {
                if k == 0 {
                    0.0
                } else {
                    normal_quantile(f64::from(sobol_burley::sample(k, dimension, seed)).clamp(1e-6, 1.0 - 1e-6))
                }
            };
            World {
                oil: (OIL_LOG_SD * normal(0)).exp(),
                friction: (FRICTION_LOG_SD * normal(1)).exp(),
                lane: k as usize % 2,
                run: k,
            }
        })
        .collect()
}

/// Each world's lane from our hand's side, fresh and after each game.
fn stages(plan: &BagPlan, worlds: &[World], carry: &Carry, still: Still<'_>) -> Result<Vec<Vec<Lane>>, BlockError> {
    let hand = plan.block.our_seat().bowler.hand;
    let of_world = |world: &World| {
        let pair = plan.block.pair.each_ref().map(|lane| with_oil(lane, world.oil));
        let block = BlockPlan { pair, ..plan.block.clone() };
        let left = traffic(&block, carry, world.run, still)?;
        Ok(left.into_iter().map(|pair| pair[world.lane].seen_by(hand)).collect())
    };
    worlds.par_iter().map(of_world).collect()
}

/// The lane with more or less oil everywhere.
pub(crate) fn with_oil(lane: &Lane, factor: f64) -> Lane {
    let coating = match &lane.coating {
        Coating::Oil(film) => {
            Coating::Oil(Film { thickness_m: film.thickness_m.map(|film| film * factor), length: film.length })
        }
        given => given.clone(),
    };
    Lane { coating, ..lane.clone() }
}

/// The ball on a lane that grips more or less.
pub fn with_friction(ball: &Ball, factor: f64) -> Ball {
    let mut ball = ball.clone();
    ball.cover.dry_friction *= factor;
    ball
}

fn best_line(
    plan: &BagPlan,
    carry: &Carry,
    ball: &Ball,
    world: &World,
    lane: &Lane,
    known: &[Release],
    search: &Search,
) -> Option<Line> {
    let bowler = &plan.block.our_seat().bowler;
    let ball = with_friction(ball, world.friction);
    let strikes = Strikes::new(carry, &ball, bowler.hand, plan.block.pocket);
    let look = Look::new(lane, &ball, bowler, &strikes, search);
    if known.is_empty() { look.anywhere() } else { look.near(known) }
}

/// How often every leave is made, looked at quickly.
fn glances(game: &SpareGame<'_>, still: Still<'_>) -> Result<BTreeMap<Leave, Second>, BlockError> {
    let leaves: Vec<Leave> = Leave::all().collect();
    leaves.par_iter().map(|&leave| still().map(|()| (leave, game.glance(leave)))).collect()
}

fn form(line: Line, seconds: &BTreeMap<Leave, Second>) -> Option<Form> {
    let second = |leave: Leave| seconds.get(&leave).copied().unwrap_or_default();
    let game = GameScore::of(line.first_ball.as_ref()?, second).ok()?;
    Some(Form { line, game })
}
