//! The next shot: what staying, moving, or changing something is worth by the belief, and whether the difference can be told.
//!
//! Every choice is thrown by the same worlds with the same deviations, so that differences are those of the choices; the worst are dropped
//! round by round and the rest thrown more often (sequential halving). What counts is pins a frame ([`NextShot::pins`]): a line that strikes as often
//! and splits less is the better one. A change has a price: the first shot after one is less sure, and so is a release that is not one's own.

mod choices;
mod frames;
mod weighing;

use crate::belief::{Belief, Told};
use boardwise_ball::Surface;
use boardwise_lane::Release;
use boardwise_pins::carry::Carry;
use boardwise_search::Move;
use boardwise_units::{Degrees, Mph};
use choices::Choices;
use std::collections::BTreeMap;
use weighing::Weighing;

pub use frames::Makes;

/// What to do with the next shot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// The same again.
    Stay,
    /// Feet and eyes.
    Move(Move),
    /// Faster, or slower where less than nothing.
    Speed(Mph),
    /// More hand, or less where less than nothing: axis rotation.
    Hand(Degrees),
    /// Another line with the same ball: feet and eyes, and perhaps the way it is thrown.
    Line(Move),
    /// Another ball, by its place, on its own line.
    Ball(usize),
    /// Another surface on the ball in hand, and a move with it. What it is shown with must carry the cautions ([`crate::Card`]).
    Surface(Surface, Move),
}

/// A choice and what it is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextShot {
    /// What to do.
    pub change: Change,
    /// The ball, by its place.
    pub ball: usize,
    /// What to mean.
    pub release: Release,
    /// Chance of a strike over the worlds.
    pub strike: Told,
    /// Chance of a split over the worlds.
    pub split: Told,
    /// The board it comes in on, mean over the bowler's shots, over the worlds.
    pub comes_in: Told,
    /// Pins a frame over the worlds if the next frames are bowled so: strikes, spares as far as they are made, and what follows counted on.
    pub pins: Told,
    /// Strikes over staying, world by world.
    pub gain: Told,
    /// Pins a frame over staying, world by world.
    pub pins_gain: Told,
    /// Share of the belief in which it is worth more pins than staying.
    pub better: f64,
    /// What the shot would teach about where this line comes in, nats.
    pub teaches_nats: f64,
    /// Gain in pins, told in strikes of what a strike is worth, less the price of the change: what the choices are ordered by.
    pub net: f64,
}

/// How clear it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Stay: nothing is worth its price.
    Stay,
    /// Change: the gain is worth it.
    Change,
    /// Something gains more than its price, but not so that it could be told from staying: stay or change, it is too close to call.
    TooClose,
}

/// The choices open now.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// What to do: the first of these.
    pub choices: Vec<NextShot>,
    /// How clear it is.
    pub verdict: Verdict,
}

/// Where a bowler stands before a shot.
#[derive(Clone, Debug, PartialEq)]
pub struct Situation {
    /// Lane of the pair, 0 or 1.
    pub lane: usize,
    /// Ball in hand, by its place.
    pub ball: usize,
    /// The line as meant so far.
    pub release: Release,
    /// Other lines that may be taken, with the ball in hand or another ([`Belief::line`]).
    pub others: Vec<(usize, Release)>,
}

impl Situation {
    /// Where a bowler stands who means `release` with a ball on a lane, with the lines worth a thought: the best of the ball in hand, and those of the
    /// two other balls that promise most near the lines known of them.
    pub fn of(
        belief: &Belief,
        (lane, ball, release): (usize, usize, Release),
        known: &[(usize, Release)],
        carry: &Carry,
    ) -> Self {
        let own = || belief.line(lane, ball, &[release], carry).map(|line| (ball, line.release));
        let promising = || belief.promising(lane, known, OTHER_BALLS, carry);
        let (own, promising) = rayon::join(own, promising);
        let others = own.into_iter().chain(promising.into_iter().map(|(other, line)| (other, line.release)));
        Self { lane, ball, release, others: others.collect() }
    }
}

/// What the advice reckons with beside the belief.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Terms {
    /// How often the bowler makes what a first ball leaves.
    pub makes: Makes,
    /// Surfaces that the ball in hand may be given now; empty where the event's rules forbid it, as most do once a block has begun.
    pub surfaces: Vec<Surface>,
}

/// Other balls that are weighed world by world. Each takes as long as the ball in hand.
const OTHER_BALLS: usize = 2;
/// A change that is better in less of the belief than this is too close to call.
const CLEAR: f64 = 0.6;
/// Rounds: worlds, throws a world, and how many choices go on.
const ROUNDS: [(usize, u32, usize); 3] = [(8, 12, 12), (16, 24, 5), (48, 32, 3)];

/// Weighs the choices for the next shot, on the usual terms: surfaces stay as they are.
pub fn advise(belief: &Belief, at: &Situation, carry: &Carry) -> Advice {
    advise_on(belief, at, &Terms::default(), carry)
}

/// Weighs the choices for the next shot.
pub fn advise_on(belief: &Belief, at: &Situation, terms: &Terms, carry: &Carry) -> Advice {
    let choices = Choices::of(belief, at, terms);
    let mut left = choices.open.clone();
    let mut judged = Vec::new();
    let mut grounds = BTreeMap::new();
    for (round, (worlds, throws, kept)) in ROUNDS.into_iter().enumerate() {
        let worlds = belief.spread_over(worlds);
        // A lane cut for a ball takes longer than the throws on it, and worlds come again.
        let again = ROUNDS.get(round + 1).map_or_else(Vec::new, |next| belief.spread_over(next.0));
        let weighing = Weighing { belief, lane: at.lane, choices: &choices, open: &left, makes: &terms.makes, carry };
        judged = weighing.weigh((&worlds, throws), &mut grounds, &again);
        let mut order: Vec<usize> = (0..judged.len()).collect();
        order.sort_by(|&a, &b| judged[b].net.total_cmp(&judged[a].net));
        // Staying is never dropped: it is what the others are measured by.
        let stay = order.iter().position(|&k| judged[k].change == Change::Stay).unwrap_or_default();
        let place = stay.min(kept - 1);
        let stay = order.remove(stay);
        order.insert(place, stay);
        order.truncate(kept);
        judged = order.iter().map(|&k| judged[k]).collect();
        left = order.iter().map(|&k| left[k].clone()).collect();
    }
    judged.sort_by(|a, b| b.net.total_cmp(&a.net));
    let verdict = match judged.first() {
        Some(best) if best.change == Change::Stay => Verdict::Stay,
        Some(best) if best.better >= CLEAR => Verdict::Change,
        _ => Verdict::TooClose,
    };
    Advice { choices: judged, verdict }
}
