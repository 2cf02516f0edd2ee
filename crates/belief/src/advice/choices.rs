//! What is open before a shot, and the price of each change.

use super::{Change, Situation, Terms};
use crate::Belief;
use boardwise_ball::Ball;
use boardwise_lane::Release;
use boardwise_search::Move;
use boardwise_units::{Degrees, Mph};

/// Prices, in strikes: what a change costs beyond what the belief sees (our judgement).
const MOVE_PRICE: f64 = 0.008;
const WAY_PRICE: f64 = 0.015;
const BALL_PRICE: f64 = 0.015;

/// A choice: what to do, and what is thrown then.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Open {
    pub change: Change,
    /// The ball, by its place in the belief.
    pub ball: usize,
    /// The ball with the surface it would have; its place among [`Choices::grips`].
    pub grip: usize,
    pub release: Release,
}

/// All that is open.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Choices {
    pub open: Vec<Open>,
    /// Balls as they would be thrown: those of the belief in their order, then the one in hand with other surfaces.
    pub grips: Vec<Ball>,
}

impl Choices {
    /// Everything open: staying, feet and eyes, a little faster or slower, a little more or less hand, the best line, another ball on its own, and
    /// other surfaces where the terms allow them.
    pub fn of(belief: &Belief, at: &Situation, terms: &Terms) -> Self {
        let mut all = Self { open: Vec::new(), grips: belief.balls().to_vec() };
        all.push(Change::Stay, at.ball, at.release);
        all.moves(at);
        all.ways(belief, at);
        for &(ball, line) in &at.others {
            if ball != at.ball {
                all.push(Change::Ball(ball), ball, line);
            } else if line != at.release {
                all.push(Change::Line(Move::between(&at.release, &line)), ball, line);
            }
        }
        all.surfaces(at, terms);
        all
    }

    fn push(&mut self, change: Change, ball: usize, release: Release) {
        self.open.push(Open { change, ball, grip: ball, release });
    }

    fn moves(&mut self, at: &Situation) {
        for feet in [-4.0, -3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0] {
            for eyes in [-2.0, -1.0, 0.0, 1.0, 2.0] {
                let moved = Move { feet_boards: feet, eyes_boards: eyes };
                // Feet and eyes against each other, or far apart, point the ball elsewhere altogether.
                if moved != Move::STAY && (feet - 2.0 * eyes).abs() <= 3.0 {
                    self.push(Change::Move(moved), at.ball, moved.of(&at.release));
                }
            }
        }
    }

    fn ways(&mut self, belief: &Belief, at: &Situation) {
        let range = belief.bowler().range;
        for mph in [-0.5, 0.5] {
            let speed = Mph(at.release.speed.0 + mph);
            if (range.speed.0.0..=range.speed.1.0).contains(&speed.0) {
                self.push(Change::Speed(Mph(mph)), at.ball, Release { speed, ..at.release });
            }
        }
        for degrees in [-8.0, 8.0] {
            let rotation = Degrees(at.release.rotation.0 + degrees);
            if (range.rotation.0.0..=range.rotation.1.0).contains(&rotation.0) {
                self.push(Change::Hand(Degrees(degrees)), at.ball, Release { rotation, ..at.release });
            }
        }
    }

    /// The ball in hand with other surfaces, each where it is thrown now and moved to both sides: a rougher one hooks earlier.
    fn surfaces(&mut self, at: &Situation, terms: &Terms) {
        const PARALLEL: [f64; 3] = [-2.0, 0.0, 2.0];
        let Some(in_hand) = self.grips.get(at.ball).cloned() else { return };
        for &surface in &terms.surfaces {
            if surface == in_hand.surface {
                continue;
            }
            let grip = self.grips.len();
            self.grips.push(in_hand.resurfaced(surface));
            for feet in PARALLEL {
                let moved = Move { feet_boards: feet, eyes_boards: 0.5 * feet };
                let change = Change::Surface(surface, moved);
                self.open.push(Open { change, ball: at.ball, grip, release: moved.of(&at.release) });
            }
        }
    }
}

/// What a change costs, in strikes.
pub(super) fn price(change: Change) -> f64 {
    match change {
        Change::Stay => 0.0,
        Change::Move(_) => MOVE_PRICE,
        Change::Speed(_) | Change::Hand(_) | Change::Line(_) => WAY_PRICE,
        Change::Ball(_) | Change::Surface(..) => BALL_PRICE,
    }
}
