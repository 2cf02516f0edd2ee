//! The guesses with their weights, and what they come to.

use super::evidence::{Seen, with_surprise};
use super::guess::{Guess, Prior, SIZE};
use crate::bag::with_friction;
use crate::near::Look;
use crate::spread::Spread;
use crate::{Bowler, Line, Payoff, Pocket, Search, Strikes};
use ball::Ball;
use lane::{ContactLaw, Lane, LaneError, Release, Runway};
use measure::math;
use measure::stream::Stream;
use pins::carry::Carry;
use rayon::prelude::*;

/// How many guesses.
const GUESSES: usize = 96;
/// Throws of a guess behind the likelihood of a shot.
const THROWS: u32 = 32;
/// Below this share of guesses that still count the ensemble is drawn anew.
const TOO_FEW: f64 = 0.5;
/// Throws behind a line found.
const LINE_THROWS: u32 = 256;
/// How much of the spread is put back around guesses drawn twice (kernel of Liu & West 2001, which keeps mean and variance).
const KERNEL: f64 = 0.2;

/// A mean with its spread over the guesses.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Told {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

/// The belief about a pair of lanes and a bowler.
#[derive(Clone, Debug)]
pub struct Belief {
    bowler: Bowler,
    balls: Vec<Ball>,
    pocket: Pocket,
    law: ContactLaw,
    /// Both lanes from the hand's side, fresh and as worn if everything is as told.
    fresh: [Lane; 2],
    now: [Lane; 2],
    guesses: Vec<Guess>,
    /// Weights; they sum to 1.
    weights: Vec<f64>,
    seed: u64,
    shots: u64,
}

impl Belief {
    /// Before any shot. The lanes are seen from the bowling-hand side.
    pub fn new(fresh: [Lane; 2], bowler: Bowler, balls: Vec<Ball>, prior: &Prior, seed: u64) -> Self {
        let guess = |k: usize| Guess::drawn(prior, &mut Stream::keyed(seed, "guesses", k as u64));
        Self {
            bowler,
            balls,
            pocket: Pocket::default(),
            law: ContactLaw::default(),
            now: fresh.clone(),
            fresh,
            guesses: (0..GUESSES).map(guess).collect(),
            weights: vec![1.0 / GUESSES as f64; GUESSES],
            seed,
            shots: 0,
        }
    }

    /// A belief without doubt: these lanes as they are and a bowler who throws as told. For the best that could be done with everything known.
    pub fn certain(now: [Lane; 2], bowler: Bowler, balls: Vec<Ball>, law: ContactLaw, seed: u64) -> Self {
        Self {
            bowler,
            balls,
            pocket: Pocket::default(),
            law,
            fresh: now.clone(),
            now,
            guesses: vec![Guess::AS_TOLD],
            weights: vec![1.0],
            seed,
            shots: 0,
        }
    }

    /// The guesses with their weights, which sum to 1.
    pub fn guesses(&self) -> impl Iterator<Item = (&Guess, f64)> {
        self.guesses.iter().zip(self.weights.iter().copied())
    }

    /// The bowler it is about.
    pub fn bowler(&self) -> &Bowler {
        &self.bowler
    }

    /// The balls, by their place.
    pub fn balls(&self) -> &[Ball] {
        &self.balls
    }

    /// The mean of a quantity over the guesses, with its spread.
    pub fn told(&self, value: impl Fn(&Guess) -> f64) -> Told {
        let mean = self.guesses().map(|(guess, weight)| weight * value(guess)).sum::<f64>();
        let square = self.guesses().map(|(guess, weight)| weight * (value(guess) - mean).powi(2)).sum::<f64>();
        Told { mean, sd: math::sqrt(square) }
    }

    /// The mean guess.
    pub fn mean_guess(&self) -> Guess {
        let mut numbers = [0.0; SIZE];
        for (guess, weight) in self.guesses() {
            for (sum, number) in numbers.iter_mut().zip(guess.numbers) {
                *sum += weight * number;
            }
        }
        Guess { numbers }
    }

    /// A lane as a guess has it now.
    pub fn lane(&self, lane: usize, guess: &Guess) -> Lane {
        guess.lane(lane, &self.fresh[lane], &self.now[lane])
    }

    /// A ball as it grips a lane by a guess.
    pub fn ball(&self, ball: usize, lane: usize, guess: &Guess) -> Ball {
        with_friction(&self.balls[ball], guess.friction(lane))
    }

    /// The lane by a guess, cut for a ball.
    pub fn runway(&self, lane: usize, ball: usize, guess: &Guess) -> Runway {
        Runway::new(&self.lane(lane, guess), &self.ball(ball, lane, guess), &self.law)
    }

    /// Releases a bowler makes today when meaning this, by a guess, at these deviations.
    pub(crate) fn releases(&self, guess: &Guess, meant: &Release, offs: &[[f64; 6]]) -> Vec<Release> {
        let (today, spread) = (guess.today(meant), guess.spread());
        offs.iter().map(|off| self.bowler.spread.apply(&today, &off.map(|z| z * spread))).collect()
    }

    /// Strikes of one of the balls.
    pub(crate) fn strikes<'a>(&self, carry: &'a Carry, ball: usize) -> Strikes<'a> {
        Strikes::new(carry, &self.balls[ball], self.bowler.hand, self.pocket)
    }

    /// Learns from a first ball, and wears the lane by it.
    ///
    /// # Errors
    /// If the release meant is not possible; the belief is then as it was.
    pub fn saw(&mut self, seen: &Seen, carry: &Carry) -> Result<(), LaneError> {
        seen.meant.check()?;
        let offs = Spread::points(THROWS, self.seed.wrapping_add(self.shots));
        let strikes = self.strikes(carry, seen.ball);
        let likelihoods: Vec<f64> = self
            .guesses
            .par_iter()
            .map(|guess| {
                let releases = self.releases(guess, &seen.meant, &offs);
                let finishes = self.runway(seen.lane, seen.ball, guess).throw_many(&releases);
                let each: Vec<f64> =
                    finishes.iter().zip(&offs).map(|(finish, off)| seen.likelihood(&strikes, finish, off)).collect();
                each.iter().sum::<f64>() / each.len() as f64
            })
            .collect();
        let typical = likelihoods.iter().zip(&self.weights).map(|(l, w)| l * w).sum::<f64>();
        for (weight, likelihood) in self.weights.iter_mut().zip(&likelihoods) {
            *weight *= with_surprise(*likelihood, typical);
        }
        let whole: f64 = self.weights.iter().sum();
        if whole > 0.0 {
            self.weights.iter_mut().for_each(|weight| *weight /= whole);
        } else {
            self.weights.fill(1.0 / self.guesses.len() as f64);
        }
        let count = 1.0 / self.weights.iter().map(|weight| weight * weight).sum::<f64>();
        if count < TOO_FEW * self.guesses.len() as f64 {
            self.draw_anew();
        }
        self.shots += 1;
        self.thrown(seen.lane, &self.balls[seen.ball].clone(), &self.mean_guess().today(&seen.meant))
    }

    /// Wears a lane by a throw of anybody, as seen from our hand.
    ///
    /// # Errors
    /// If the release is not possible.
    pub fn thrown(&mut self, lane: usize, ball: &Ball, release: &Release) -> Result<(), LaneError> {
        self.now[lane].wear(ball, release, &self.law).map(|_| ())
    }

    /// Draws as many guesses by their weights, each moved a little, so that mean and spread stay.
    fn draw_anew(&mut self) {
        let mean = self.mean_guess();
        let mut sd = [0.0; SIZE];
        for (guess, weight) in self.guesses() {
            for (sum, (number, mean)) in sd.iter_mut().zip(guess.numbers.iter().zip(mean.numbers)) {
                *sum += weight * (number - mean).powi(2);
            }
        }
        let kept = math::sqrt(1.0 - KERNEL * KERNEL);
        let mut stream = Stream::keyed(self.seed, "guesses anew", self.shots);
        let start = stream.uniform();
        let (mut at, mut reached) = (0, self.weights[0]);
        let drawn = (0..GUESSES).map(|k| {
            let share = (k as f64 + start) / GUESSES as f64;
            while reached < share && at + 1 < GUESSES {
                at += 1;
                reached += self.weights[at];
            }
            let numbers = core::array::from_fn(|n| {
                let centre = mean.numbers[n] + kept * (self.guesses[at].numbers[n] - mean.numbers[n]);
                centre + KERNEL * math::sqrt(sd[n]) * stream.normal()
            });
            Guess { numbers }
        });
        let drawn = drawn.collect();
        self.guesses = drawn;
        self.weights.fill(1.0 / self.guesses.len() as f64);
    }

    /// So many guesses drawn evenly by weight: the same ones for the same belief.
    pub fn sample(&self, count: usize) -> Vec<Guess> {
        let (mut at, mut reached) = (0, self.weights[0]);
        (0..count)
            .map(|k| {
                let share = (k as f64 + 0.5) / count as f64;
                while reached < share && at + 1 < self.weights.len() {
                    at += 1;
                    reached += self.weights[at];
                }
                self.guesses[at]
            })
            .collect()
    }

    /// The best line for a ball on a lane as the mean guess has it, near lines known, or anywhere if none is.
    pub fn line(&self, lane: usize, ball: usize, known: &[Release], carry: &Carry) -> Option<Line> {
        let guess = self.mean_guess();
        let (ground, gripping) = (self.lane(lane, &guess), self.ball(ball, lane, &guess));
        let today = guess.today(&self.bowler.release);
        let bowler = Bowler { release: today, spread: self.bowler.spread, ..self.bowler.clone() };
        let strikes = self.strikes(carry, ball);
        let search = Search { seed: self.seed, throws_a_line: LINE_THROWS, law: self.law, ..Search::default() };
        let look = Look::new(&ground, &gripping, &bowler, &strikes, &search);
        if known.is_empty() { look.anywhere() } else { look.near(known) }
    }

    /// The chance of a strike for a line now, over the guesses.
    pub fn strike(&self, lane: usize, ball: usize, meant: &Release, carry: &Carry) -> Told {
        let offs = Spread::points(THROWS, self.seed);
        let strikes = self.strikes(carry, ball);
        let each: Vec<f64> = self
            .guesses
            .par_iter()
            .map(|guess| {
                let finishes = self.runway(lane, ball, guess).throw_many(&self.releases(guess, meant, &offs));
                finishes.iter().map(|finish| strikes.worth(finish)).sum::<f64>() / f64::from(THROWS)
            })
            .collect();
        let mean = each.iter().zip(&self.weights).map(|(s, w)| s * w).sum::<f64>();
        let square = each.iter().zip(&self.weights).map(|(s, w)| w * (s - mean).powi(2)).sum::<f64>();
        Told { mean, sd: math::sqrt(square) }
    }
}
