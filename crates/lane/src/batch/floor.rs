//! The lane's nodes beside each ball of a pack.

use super::arithmetic::nearest;
use super::pair::{ByPair, PAIRS, least, most};
use super::window::Window;
use super::{Each, NODES, PARTS, ROWS, WIDTH};
use boardwise_units::court;

/// The lane's nodes to both sides of each ball, in this row.
pub(super) struct Floor {
    pub node: [u32; WIDTH],
    pub share: Each,
    pub near: Window,
    pub far: Window,
}

impl Floor {
    pub const fn new() -> Self {
        const UNSEEN: Window = [[0.0; 4]; WIDTH];
        Self { node: [0; WIDTH], share: [0.0; WIDTH], near: UNSEEN, far: UNSEEN }
    }

    /// Chooses the nodes between which the centres lie.
    #[inline(always)]
    pub fn choose(&mut self, place: &Each) {
        for i in 0..PAIRS {
            let across = least(most(39.0 - place.of(i) * PER_NODE, 0.0), 77.999);
            let (below, bits) = nearest(across - 0.5);
            self.node.set(i, bits);
            self.share.set(i, across - below);
        }
    }

    /// Reads them, for one throw.
    #[inline(always)]
    pub fn look(&mut self, i: usize, coat: &[[[f32; PARTS]; ROWS]; NODES], row: usize) {
        let node = (self.node[i] as usize).min(NODES - 2);
        self.near[i] = coat[node][row];
        self.far[i] = coat[node + 1][row];
    }
}

/// Nodes in a metre across the lane.
pub(super) const PER_NODE: f32 = (2.0 / court::BOARD_M) as f32;
