//! What is to be said before a shot.

use super::block_state::BlockState;
use crate::Failure;

/// What is to be said before a shot.
pub struct Question<'a> {
    /// The block so far.
    pub state: &'a BlockState,
    /// Which lane of the pair.
    pub lane: usize,
    /// Seed.
    pub seed: u64,
}

impl<'a> Question<'a> {
    /// About the lane of this number, else the one whose turn it is.
    ///
    /// # Errors
    /// If the block is complete or has no such lane.
    pub fn new(state: &'a BlockState, lane: Option<u32>, seed: u64) -> Result<Self, Failure> {
        let lane = match lane {
            Some(number) => state.setting.lane(number)?,
            None => state.lane_up(),
        };
        Ok(Self { state, lane, seed })
    }

    /// The number of the lane.
    pub fn number(&self) -> u32 {
        self.state.setting.numbers[self.lane]
    }
}
