//! What the next frames come to, in pins: a strike, a spare that will be made and a split are not worth the same.

use boardwise_score::{Leave, LeaveKind, PinSet};
use boardwise_search::FirstBall;

/// How often a bowler makes what stands, and what an open frame comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Makes {
    /// By the bits of what stands.
    leaves: Vec<Made>,
}

/// Of one set of pins standing after the first ball.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Made {
    /// Pins that fell with the first ball.
    first: f64,
    /// Chance that the second takes the rest.
    make: f64,
    /// Pins of the frame if it does not.
    open: f64,
}

impl Makes {
    /// From the chance that a leave is made; of one missed half of what could still fall does.
    pub fn new(make: impl Fn(Leave) -> f64) -> Self {
        let mut leaves = vec![Made::default(); usize::from(PinSet::ALL.bits()) + 1];
        for leave in Leave::all() {
            let standing = f64::from(leave.pins().len());
            leaves[usize::from(leave.pins().bits())] = Made {
                first: 10.0 - standing,
                make: make(leave).clamp(0.0, 1.0),
                open: 10.0 - standing + 0.5 * (standing - 1.0),
            };
        }
        Self { leaves }
    }
}

impl Default for Makes {
    /// A good league bowler (our judgement, no source): nine of ten single pins, two of three of several together, few splits.
    fn default() -> Self {
        Self::new(|leave| match leave.kind() {
            LeaveKind::Single => 0.9,
            LeaveKind::DoubleWood => 0.7,
            LeaveKind::Together => 0.65,
            LeaveKind::Washout => 0.3,
            LeaveKind::Split => 0.15,
            LeaveKind::FullRack => 0.4,
        })
    }
}

/// First balls meant alike, as shares.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Frames {
    strike: f64,
    /// Pins of first balls that do not strike.
    first: f64,
    spare: f64,
    /// Pins of open frames.
    open: f64,
}

impl Frames {
    /// Of such first balls.
    pub fn of(balls: &FirstBall, makes: &Makes) -> Self {
        let mut frames = Self { strike: balls.strike, ..Self::default() };
        for one in &balls.leaves {
            let made = makes.leaves[usize::from(one.leave.pins().bits())];
            frames.first += one.share * made.first;
            frames.spare += one.share * made.make;
            frames.open += one.share * (1.0 - made.make) * made.open;
        }
        frames
    }

    /// Pins a frame if all the next frames are bowled alike: what falls in it, and what falls with the ball after a spare and the two
    /// after a strike.
    pub fn pins(&self) -> f64 {
        let next = 10.0 * self.strike + self.first;
        let next_two = self.strike * (10.0 + next) + 10.0 * self.spare + self.open;
        self.strike * (10.0 + next_two) + self.spare * (10.0 + next) + self.open
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_pins::spare::Second;
    use boardwise_search::GameScore;

    fn balls(strike: f64, shares: &[(&str, f64)]) -> FirstBall {
        let others: f64 = shares.iter().map(|(_, share)| share).sum();
        let leaves = shares.iter().map(|(pins, share)| (pins.parse().unwrap(), share * (1.0 - strike) / others));
        FirstBall::new(core::iter::once((PinSet::NONE, strike)).chain(leaves), 0.0, 0.0)
    }

    #[test]
    fn law_pins_a_frame_are_a_tenth_of_a_game_of_such_frames() {
        // Against the exact distribution of a game by dynamic programming. Its last frame is counted otherwise: at most three balls.
        let makes = Makes::default();
        for strike in [0.1, 0.4, 0.7] {
            let first = balls(strike, &[("10", 0.5), ("4", 0.2), ("3-10", 0.15), ("2-4-5", 0.15)]);
            let second = |leave: Leave| {
                let (made, standing) = (makes.leaves[usize::from(leave.pins().bits())], f64::from(leave.pins().len()));
                Second { make: made.make, down: made.make * standing + (1.0 - made.make) * 0.5 * (standing - 1.0) }
            };
            let game = GameScore::of(&first, second).unwrap().mean;
            let pins = 10.0 * Frames::of(&first, &makes).pins();
            assert!((pins - game).abs() < 1.0, "{strike}: {pins} {game}");
        }
    }

    #[test]
    fn law_a_strike_is_worth_ten_pins_and_a_split_costs() {
        let makes = Makes::new(|leave| if leave.is_split() { 0.1 } else { 0.8 });
        let pins =
            |strike: f64, split: f64| Frames::of(&balls(strike, &[("10", 1.0 - split), ("4-6", split)]), &makes).pins();
        let slope = (pins(0.41, 0.0) - pins(0.39, 0.0)) / 0.02;
        assert!((slope - 10.4).abs() < 0.5, "{slope}");
        assert!(pins(0.4, 0.1) < pins(0.4, 0.0) - 0.3);
    }
}
