//! What a coach reads from the last misses, and what they try for it.
//!
//! Two misses say more to a coach than the worlds can hear: how late a ball turns, and that oil was carried down the lane. So
//! where the misses speak, the usual answer is tried unless the numbers speak against it (common practice, no source).

use super::choices::Change;
use super::patience::owned_up;
use super::{NextShot, Situation};
use crate::belief::{Belief, Seen};
use boardwise_ball::{Ball, CoverKind};
use boardwise_score::PinSet;
use boardwise_search::{Hit, Move};
use boardwise_units::Degrees;

/// What the last misses on a line say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Diagnosis {
    /// They came in high.
    High,
    /// They came in light.
    Light,
    /// The ball goes too far down lane before it turns, and comes in steep: it rings tens, or leaves fives.
    TurnsLate,
    /// They came in light with urethane, which has carried oil past the pattern's end.
    Carried,
}

/// Misses that must agree, and how many of the last are looked at.
const AGREE: usize = 2;
const LOOKED_AT: usize = 3;
/// A ball that comes in flatter than this leaves its ten pin because it deflects (low angles deflect \[S\]; best are 4 to 6 degrees \[P\]; the limit
/// between is our judgement).
const STEEP: Degrees = Degrees(3.5);
/// Oil carried past the pattern's end that a bowler notices, metres (our judgement).
const CARRIED_M: f64 = 0.1e-6;

impl Situation {
    /// What a coach reads from the misses on this line since its last strike; None if they do not agree. Throws that the bowler owned up to as bad
    /// say nothing.
    pub fn diagnosis(&self, belief: &Belief) -> Option<Diagnosis> {
        let since_strike =
            self.on_this_line().filter(|shot| !owned_up(shot)).take_while(|shot| !shot.standing.is_empty());
        let misses: Vec<&Seen> = since_strike.take(LOOKED_AT).collect();
        if misses.len() < AGREE {
            return None;
        }
        let all = |of: &[Hit]| misses[..AGREE].iter().all(|shot| shot.noticed.hit.is_some_and(|hit| of.contains(&hit)));
        let hand = belief.bowler().hand;
        let late = |shot: &&&Seen| leaves_late(shot.standing.for_hand(hand), shot.noticed.hit);
        let not_high = misses.iter().all(|shot| matches!(shot.noticed.hit, Some(Hit::Pocket | Hit::Light)));
        let steep = || belief.entry_angle(self.lane, self.ball, &self.release).is_some_and(|angle| angle.0 >= STEEP.0);
        if all(&[Hit::High, Hit::OtherSide]) {
            Some(Diagnosis::High)
        } else if not_high && misses.iter().any(|shot| late(&shot)) && steep() {
            Some(Diagnosis::TurnsLate)
        } else if all(&[Hit::Light]) {
            let urethane = belief.balls()[self.ball].cover.kind == CoverKind::Urethane;
            let carried = urethane && belief.carried_m(self.lane, self.ball, &self.release) > CARRIED_M;
            Some(if carried { Diagnosis::Carried } else { Diagnosis::Light })
        } else {
            None
        }
    }
}

/// Whether a ball leaves this, as a right-hander sees it, when it turns too late: a ten pin from the pocket, or the five where all before it fell.
fn leaves_late(standing: PinSet, hit: Option<Hit>) -> bool {
    let is = |pins: &[u8]| PinSet::of(pins) == Ok(standing);
    hit == Some(Hit::Pocket) && is(&[10]) || is(&[5]) || is(&[5, 7]) || is(&[5, 10]) || is(&[5, 7, 10])
}

impl Diagnosis {
    /// Whether a choice is what a coach tries for this, from this ball.
    pub(super) fn asks_for(self, one: &NextShot, balls: &[Ball], in_hand: usize) -> bool {
        let (from, to) = (&balls[in_hand], &balls[one.choice.ball]);
        match (self, one.change) {
            (Self::High, Change::Move(moved)) => is_in(moved),
            (Self::Light, Change::Move(moved)) => is_out(moved),
            (Self::Light, Change::Hand(speed, _)) => speed.0 < 0.0,
            (Self::Light | Self::TurnsLate, Change::Surface(surface)) => surface.ra_m > from.surface.ra_m,
            (Self::TurnsLate, Change::Hand(_, rotation)) => rotation.0 < 0.0,
            (Self::TurnsLate, Change::Ball) => to.reads_earlier_than(from),
            (Self::Carried, Change::Ball) => to.cover.kind == CoverKind::Reactive && one.moved.feet_boards > 0.0,
            _ => false,
        }
    }

    /// Whether a choice goes against it.
    pub(super) fn speaks_against(self, one: &NextShot) -> bool {
        let Change::Move(moved) = one.change else { return false };
        match self {
            Self::High => moved.feet_boards < 0.0,
            Self::Light | Self::TurnsLate => moved.feet_boards > 0.0,
            Self::Carried => false,
        }
    }
}

fn is_in(moved: Move) -> bool {
    moved.feet_boards > 0.0 && moved.eyes_boards >= 0.0
}

fn is_out(moved: Move) -> bool {
    moved.feet_boards < 0.0 && moved.eyes_boards <= 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_only_a_ball_that_turns_late_rings_tens_and_leaves_fives() {
        let late = |pins: &str, hit| leaves_late(pins.parse().expect("pins"), Some(hit));
        assert!(late("10", Hit::Pocket) && late("5", Hit::Light) && late("5-7", Hit::Pocket));
        // A light ball leaves its ten, and the bucket, without having turned late.
        assert!(!late("10", Hit::Light) && !late("2-4-5", Hit::Light) && !late("2-8", Hit::Light));
        assert!(!late("4", Hit::High) && !late("none", Hit::Pocket) && !late("7-10", Hit::Pocket));
    }
}
