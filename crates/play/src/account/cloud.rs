//! The throws a shot may have been: every guess of lanes and bowler throws the line meant, with the same deviations.

use crate::belief::{Belief, Guess};
use crate::spread::Spread;
use crate::{FirstBall, Hit, Payoff, Told};
use lane::{Finish, Release};
use measure::Board;
use pins::carry::Carry;
use rayon::prelude::*;

/// Guesses and throws a guess behind a shot.
pub(super) const GUESSES: usize = 12;
const THROWS: u32 = 24;
const SEED: u64 = 11;
/// Those behind the choice among lines. They are others than those it is weighed by, so that having been chosen does not flatter it.
const GLANCE_GUESSES: usize = 6;
const GLANCE_THROWS: u32 = 16;
const GLANCE_SEED: u64 = 12;

/// A throw that a shot may have been.
pub(super) struct Might {
    pub guess: usize,
    pub off: [f64; 6],
    pub hit: Hit,
    pub arrows: Board,
    pub breakpoint: Board,
    pub leaves: FirstBall,
}

/// All that a shot may have been, guess by guess.
pub(super) struct Cloud(pub Vec<Might>);

impl Cloud {
    /// Of a line meant.
    pub fn of(belief: &Belief, lane: usize, ball: usize, meant: &Release, carry: &Carry) -> Self {
        let offs = Spread::points(THROWS, SEED);
        let strikes = belief.strikes(carry, ball);
        let thrown = thrown(belief, lane, ball, meant, &belief.sample(GUESSES), &offs);
        let throws = thrown.par_iter().enumerate().flat_map_iter(|(guess, finishes)| {
            finishes.iter().zip(&offs).map(move |(finish, off)| Might {
                guess,
                off: *off,
                hit: strikes.hit(finish),
                arrows: finish.arrows,
                breakpoint: finish.breakpoint.board,
                leaves: strikes.leaves_of(&[touch(finish)]),
            })
        });
        Self(throws.collect())
    }

    /// The board at which the line passes the arrows, and how far throws of it stray there by the mean guess.
    pub fn arrows(&self) -> (Board, f64) {
        let all: Vec<f64> = self.0.iter().map(|one| one.arrows.0).collect();
        let stray = |guess: usize| {
            Told::of(&self.0.iter().filter(|one| one.guess == guess).map(|one| one.arrows.0).collect::<Vec<_>>()).sd
        };
        (Board(Told::of(&all).mean), (0..GUESSES).map(stray).sum::<f64>() / GUESSES as f64)
    }
}

/// What throws of a line leave, guess by guess.
pub(super) struct Strays(pub Vec<FirstBall>);

impl Strays {
    /// Over the guesses.
    pub fn together(&self) -> FirstBall {
        together(&self.0)
    }
}

/// What throws of a line leave, by the guesses and deviations of [`Cloud::of`].
pub(super) fn strays(belief: &Belief, lane: usize, ball: usize, line: &Release, carry: &Carry) -> Strays {
    Strays(leaves(belief, (lane, ball), line, carry, &belief.sample(GUESSES), &Spread::points(THROWS, SEED)))
}

/// What throws of a line leave at a glance, to choose by.
pub(super) fn glance(belief: &Belief, lane: usize, ball: usize, line: &Release, carry: &Carry) -> FirstBall {
    let offs = Spread::points(GLANCE_THROWS, GLANCE_SEED);
    // Other guesses than the shot's: those between them.
    let guesses: Vec<Guess> = belief.sample(2 * GUESSES).into_iter().step_by(GUESSES / GLANCE_GUESSES * 2).collect();
    together(&leaves(belief, (lane, ball), line, carry, &guesses, &offs))
}

fn leaves(
    belief: &Belief,
    (lane, ball): (usize, usize),
    line: &Release,
    carry: &Carry,
    guesses: &[Guess],
    offs: &[[f64; 6]],
) -> Vec<FirstBall> {
    let strikes = belief.strikes(carry, ball);
    let thrown = thrown(belief, lane, ball, line, guesses, offs);
    thrown.par_iter().map(|all| strikes.leaves_of(&all.iter().map(touch).collect::<Vec<_>>())).collect()
}

fn thrown(
    belief: &Belief,
    lane: usize,
    ball: usize,
    line: &Release,
    guesses: &[Guess],
    offs: &[[f64; 6]],
) -> Vec<Vec<Finish>> {
    let throw = |guess: &Guess| belief.runway(lane, ball, guess).throw_many(&belief.releases(guess, line, offs));
    guesses.par_iter().map(throw).collect()
}

fn touch(finish: &Finish) -> Option<lane::PinTouch> {
    finish.touch.filter(|_| finish.gutter.is_none())
}

fn together(all: &[FirstBall]) -> FirstBall {
    let n = all.len().max(1) as f64;
    let shares = all.iter().flat_map(|first| {
        let leaves = first.leaves.iter().map(|one| (one.leave.pins(), one.share));
        leaves.chain([(score::PinSet::NONE, first.strike)])
    });
    let mut by_pins = std::collections::BTreeMap::new();
    for (pins, share) in shares {
        *by_pins.entry(pins).or_insert(0.0) += share / n;
    }
    FirstBall::new(by_pins, 0.0, all.iter().map(|first| first.beyond_table).sum::<f64>() / n)
}
