//! The next shot: what staying, moving, or changing something is worth by the belief, and whether the difference can be told.
//!
//! Every choice is thrown by the same guesses with the same deviations, so that differences are those of the choices; the worst are dropped
//! round by round and the rest thrown more often (sequential halving). A change has a price: the first shot after one is less sure, and so is
//! a release that is not one's own.

use crate::belief::{Belief, Guess, Told};
use crate::spread::Spread;
use crate::{Move, Payoff};
use lane::{Release, Runway};
use measure::{Degrees, Mph, math};
use pins::carry::Carry;
use rayon::prelude::*;

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
    /// Chance of a strike over the guesses.
    pub strike: Told,
    /// Strikes over staying, guess by guess.
    pub gain: Told,
    /// Share of the belief in which it strikes more often than staying.
    pub better: f64,
    /// Gain less the price of the change.
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

/// Prices, in strikes: what a change costs beyond what the belief sees (our judgement).
const MOVE_PRICE: f64 = 0.008;
const WAY_PRICE: f64 = 0.015;
const BALL_PRICE: f64 = 0.015;
/// A change that is better in less of the belief than this is too close to call.
const CLEAR: f64 = 0.6;
/// Rounds: guesses, throws a guess, and how many choices go on.
const ROUNDS: [(usize, u32, usize); 3] = [(8, 12, 14), (16, 16, 5), (32, 24, 3)];

/// Weighs the choices for the next shot.
pub fn advise(belief: &Belief, at: &Situation, carry: &Carry) -> Advice {
    let mut left = choices(belief, at);
    let mut judged = Vec::new();
    for (guesses, throws, kept) in ROUNDS {
        let guesses = belief.sample(guesses);
        judged = judge(belief, at, &left, &guesses, throws, carry);
        judged.sort_by(|a, b| b.net.total_cmp(&a.net));
        // Staying is never dropped: it is what the others are measured by.
        let stay = judged.iter().position(|one| one.change == Change::Stay).unwrap_or_default();
        let place = stay.min(kept - 1);
        let stay = judged.remove(stay);
        judged.insert(place, stay);
        judged.truncate(kept);
        left = judged.iter().map(|one| (one.change, one.ball, one.release)).collect();
    }
    judged.sort_by(|a, b| b.net.total_cmp(&a.net));
    let verdict = match judged.first() {
        Some(best) if best.change == Change::Stay => Verdict::Stay,
        Some(best) if best.better >= CLEAR => Verdict::Change,
        _ => Verdict::TooClose,
    };
    Advice { choices: judged, verdict }
}

type Open = (Change, usize, Release);

/// Everything open: staying, feet and eyes, a little faster or slower, a little more or less hand, another ball.
fn choices(belief: &Belief, at: &Situation) -> Vec<Open> {
    let range = belief.bowler().range;
    let mut all = vec![(Change::Stay, at.ball, at.release)];
    for feet in [-4.0, -3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0] {
        for eyes in [-2.0, -1.0, 0.0, 1.0, 2.0] {
            let moved = Move { feet_boards: feet, eyes_boards: eyes };
            // Feet and eyes against each other, or far apart, point the ball elsewhere altogether.
            if moved != Move::STAY && (feet - 2.0 * eyes).abs() <= 3.0 {
                all.push((Change::Move(moved), at.ball, moved.of(&at.release)));
            }
        }
    }
    for mph in [-0.5, 0.5] {
        let speed = Mph(at.release.speed.0 + mph);
        if (range.speed.0.0..=range.speed.1.0).contains(&speed.0) {
            all.push((Change::Speed(Mph(mph)), at.ball, Release { speed, ..at.release }));
        }
    }
    for degrees in [-8.0, 8.0] {
        let rotation = Degrees(at.release.rotation.0 + degrees);
        if (range.rotation.0.0..=range.rotation.1.0).contains(&rotation.0) {
            all.push((Change::Hand(Degrees(degrees)), at.ball, Release { rotation, ..at.release }));
        }
    }
    all.extend(
        at.others.iter().filter(|(ball, _)| *ball != at.ball).map(|&(ball, line)| (Change::Ball(ball), ball, line)),
    );
    all
}

fn price(change: Change) -> f64 {
    match change {
        Change::Stay => 0.0,
        Change::Move(_) => MOVE_PRICE,
        Change::Speed(_) | Change::Hand(_) | Change::Line(_) => WAY_PRICE,
        Change::Ball(_) => BALL_PRICE,
    }
}

fn judge(
    belief: &Belief,
    at: &Situation,
    open: &[Open],
    guesses: &[Guess],
    throws: u32,
    carry: &Carry,
) -> Vec<NextShot> {
    let offs = Spread::points(throws, 0);
    let mut balls: Vec<usize> = open.iter().map(|one| one.1).collect();
    balls.sort_unstable();
    balls.dedup();
    // By guess, then by choice.
    let strikes: Vec<Vec<f64>> = guesses
        .par_iter()
        .map(|guess| {
            let runways: Vec<(usize, Runway)> =
                balls.iter().map(|&ball| (ball, belief.runway(at.lane, ball, guess))).collect();
            open.iter()
                .map(|(_, ball, release)| {
                    let payoff = belief.strikes(carry, *ball);
                    let Some((_, runway)) = runways.iter().find(|(of, _)| of == ball) else { return 0.0 };
                    let finishes = runway.throw_many(&belief.releases(guess, release, &offs));
                    finishes.iter().map(|finish| payoff.worth(finish)).sum::<f64>() / f64::from(throws)
                })
                .collect()
        })
        .collect();
    let stay = open.iter().position(|one| one.0 == Change::Stay).unwrap_or_default();
    let told = |value: &dyn Fn(&Vec<f64>) -> f64| {
        let n = strikes.len().max(1) as f64;
        let mean = strikes.iter().map(value).sum::<f64>() / n;
        let square = strikes.iter().map(|one| (value(one) - mean).powi(2)).sum::<f64>();
        Told { mean, sd: math::sqrt(square / n) }
    };
    open.iter()
        .enumerate()
        .map(|(k, &(change, ball, release))| {
            let gain = told(&|one| one[k] - one[stay]);
            let better = strikes.iter().filter(|one| one[k] > one[stay]).count() as f64 / strikes.len().max(1) as f64;
            NextShot {
                change,
                ball,
                release,
                strike: told(&|one| one[k]),
                gain,
                better,
                net: gain.mean - price(change),
            }
        })
        .collect()
}
