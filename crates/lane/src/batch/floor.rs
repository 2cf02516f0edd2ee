//! What lies on the lane under each ball of a pack.

use super::arithmetic::nearest;
use super::pack::Pack;
use super::pair::{ByPair, PAIRS, least, most};
use super::window::{Window, abreast};
use super::{Each, NODES, PARTS, ROW_M, ROWS, Runway, WIDTH};
use boardwise_units::court;

/// The lane's nodes to both sides of each ball, in this row.
pub(super) struct Floor {
    node: [u32; WIDTH],
    share: Each,
    near: Window,
    far: Window,
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

const PER_NODE: f32 = (2.0 / court::BOARD_M) as f32;

/// What lies under each ball in each part of the row, unless the lane is `BARE` there, and the slope's pull at its middle.
#[inline(always)]
pub(super) fn sample<const SLOPED: bool, const BARE: bool>(pack: &mut Pack, runway: &Runway, row: usize) {
    let floor = &pack.floor;
    let row = row.min(ROWS - 1);
    if !BARE {
        let (near, far) = (abreast(&floor.near), abreast(&floor.far));
        for i in 0..PAIRS {
            let step = -PER_NODE * ROW_M / PARTS as f32 * pack.vx.of(i) * pack.per_vy.of(i);
            for part in 0..PARTS {
                let share = floor.share.of(i) + step * (part as f32 - 0.5 * (PARTS - 1) as f32);
                let share = least(most(share, 0.0), 1.0);
                let (near, far) = (near[part].of(i), far[part].of(i));
                pack.coat[part].set(i, near + share * (far - near));
            }
        }
    }
    if SLOPED && let Ok(pull) = <&[[[f32; 2]; ROWS]; NODES]>::try_from(runway.pull.as_slice()) {
        for i in 0..WIDTH {
            let node = (floor.node[i] as usize).min(NODES - 2);
            let (near, far) = (pull[node][row], pull[node + 1][row]);
            pack.pull_x[i] = near[0] + floor.share[i] * (far[0] - near[0]);
            pack.pull_y[i] = near[1] + floor.share[i] * (far[1] - near[1]);
        }
    }
}
