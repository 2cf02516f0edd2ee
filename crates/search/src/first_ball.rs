//! What first balls do at a full rack.

use boardwise_score::{Leave, PinSet};
use boardwise_units::math;

/// A leave and how often it comes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeaveShare {
    /// The pins that stand, numbered as they are.
    pub leave: Leave,
    /// Share of first balls that leave it, 0 to 1.
    pub share: f64,
}

/// What a line's first balls do at a full rack.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FirstBall {
    /// Share of strikes, 0 to 1.
    pub strike: f64,
    /// Standard error of the strikes, from the number of throws and from the racks behind the table.
    pub strike_error: f64,
    /// What comes on top because the pins' constants are not known: the standard deviation over the sets that all give what
    /// is published. Lines share most of it, so it says how sure a chance is, not how two lines compare.
    pub sets_error: f64,
    /// Everything else, commonest first; with the strikes the shares sum to 1.
    pub leaves: Vec<LeaveShare>,
    /// Share of throws beyond what the table spans, answered from its edge.
    pub beyond_table: f64,
}

impl FirstBall {
    /// From chances of sets of pins, the empty set being a strike. They are scaled to sum to 1.
    pub fn new(shares: impl IntoIterator<Item = (PinSet, f64)>, strike_error: f64, beyond_table: f64) -> Self {
        let (mut strike, mut leaves) = (0.0, Vec::new());
        for (pins, share) in shares.into_iter().filter(|(_, share)| *share > 0.0) {
            match Leave::new(pins) {
                Ok(leave) => leaves.push(LeaveShare { leave, share }),
                Err(_) => strike += share,
            }
        }
        leaves.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.leave.cmp(&b.leave)));
        let whole = strike + leaves.iter().map(|l| l.share).sum::<f64>();
        if whole > 0.0 {
            strike /= whole;
            for leave in &mut leaves {
                leave.share /= whole;
            }
        }
        Self { strike, strike_error, sets_error: 0.0, leaves, beyond_table }
    }

    /// The same if so large a share of all first balls had not struck, but left what the others leave.
    #[must_use]
    pub fn without_strikes(&self, share: f64) -> Self {
        let strike = (self.strike - share).max(0.0);
        let scale = if self.strike < 1.0 { (1.0 - strike) / (1.0 - self.strike) } else { 0.0 };
        let leaves = self.leaves.iter().map(|one| LeaveShare { share: scale * one.share, ..*one }).collect();
        Self { strike, leaves, ..self.clone() }
    }

    /// What one first ball leaves, by a number drawn evenly from 0 to 1.
    pub fn drawn(&self, uniform: f64) -> PinSet {
        let mut at = uniform - self.strike;
        let mut standing = PinSet::NONE;
        for one in &self.leaves {
            if at < 0.0 {
                break;
            }
            at -= one.share;
            standing = one.leave.pins();
        }
        standing
    }

    /// Standard error of the strikes as a chance by itself: throws, racks and the pins' constants together.
    pub fn whole_error(&self) -> f64 {
        math::hypot(self.strike_error, self.sets_error)
    }

    /// Share of first balls that leave a split.
    pub fn split(&self) -> f64 {
        self.leaves.iter().filter(|l| l.leave.is_split()).fold(0.0, |sum, l| sum + l.share)
    }

    /// Mean number of pins the first ball takes.
    pub fn pins(&self) -> f64 {
        let down = |l: &LeaveShare| l.share * f64::from(10 - l.leave.pins().len());
        10.0 * self.strike + self.leaves.iter().map(down).sum::<f64>()
    }
}
