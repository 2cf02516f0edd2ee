//! A first ball thrown by every world before anybody knows what comes of it.
//!
//! What a shot teaches rests on throws that depend on the line meant alone, not on what then stood. They are the greater part of learning from it, and
//! there is time for them while the bowler walks up.

use boardwise_lane::{Finish, Release};
use std::sync::Arc;

/// A first ball thrown by every world, in the state of the belief it is kept with.
#[derive(Clone, Debug)]
pub(super) struct Foreseen {
    pub lane: usize,
    pub ball: usize,
    pub meant: Release,
    pub finishes: Arc<[Vec<Finish>]>,
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
