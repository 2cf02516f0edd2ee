//! A first ball thrown by every world before anybody knows what comes of it.
//!
//! What a shot teaches rests on throws that depend on the line meant alone, not on what then stood. They are the greater part of learning from it, and
//! there is time for them while the bowler walks up.

use super::ensemble::{Belief, THROWS};
use boardwise_lane::{Finish, LaneError, Release};
use boardwise_search::Spread;
use rayon::prelude::*;
use std::sync::Arc;

/// A first ball thrown by every world, in the state of the belief it is kept with.
#[derive(Clone, Debug)]
pub(super) struct Foreseen {
    lane: usize,
    ball: usize,
    meant: Release,
    finishes: Arc<[Vec<Finish>]>,
}

impl Foreseen {
    /// Whether a lane's film is among what it rests on.
    pub fn is_on(&self, lane: usize) -> bool {
        self.lane == lane
    }

    /// Whether it was thrown with this ball.
    pub fn is_with(&self, ball: usize) -> bool {
        self.ball == ball
    }
}

impl Belief {
    /// Throws by every world what may be seen next: [`Belief::saw`] then takes less than a tenth of its time if it is told of just this. What is
    /// believed is the same with and without.
    ///
    /// # Errors
    /// If the release meant is not possible.
    pub fn foresee(&mut self, lane: usize, ball: usize, meant: &Release) -> Result<(), LaneError> {
        meant.check()?;
        let finishes = self.finishes_of(lane, ball, meant);
        self.foreseen = Some(Foreseen { lane, ball, meant: *meant, finishes });
        Ok(())
    }

    /// The throws of every world behind what the next shot teaches, made already or now.
    pub(super) fn finishes_of(&self, lane: usize, ball: usize, meant: &Release) -> Arc<[Vec<Finish>]> {
        let known =
            self.foreseen.as_ref().filter(|known| (known.lane, known.ball, known.meant) == (lane, ball, *meant));
        known.map_or_else(|| self.thrown_by_each(lane, ball, meant), |known| Arc::clone(&known.finishes))
    }

    fn thrown_by_each(&self, lane: usize, ball: usize, meant: &Release) -> Arc<[Vec<Finish>]> {
        let offs = self.deviations();
        let throw = |world| self.runway(lane, ball, world).throw_many(&self.releases(world, meant, &offs));
        self.worlds.par_iter().map(throw).collect()
    }

    /// Deviations of the throws behind what the next shot teaches.
    pub(super) fn deviations(&self) -> Vec<[f64; 6]> {
        Spread::points(THROWS, self.seed.wrapping_add(self.shots))
    }
}
