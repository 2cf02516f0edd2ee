//! Reading the table: whole distributions of leaves, interpolated.

use super::bytes::{Cursor, checked};
use super::plan::{AXES, Approach, Plan};
use super::shard::read_cell;
use super::table::{CONTACT_MAGIC, CarryError, MAGIC};
use crate::outcome::{Mask, mirrored};
use alloc::vec;
use alloc::vec::Vec;
use boardwise_units::{Board, Hand, court, math};

/// A carry table in memory.
#[derive(Clone, Debug)]
pub struct Carry {
    plan: Plan,
    fingerprint: u64,
    /// Whether the boards of the plan were read at first contact with the head pin.
    at_contact: bool,
    /// Where each cell's leaves begin; one more than there are cells.
    starts: Vec<u32>,
    racks: Vec<u32>,
    masks: Vec<Mask>,
    shares: Vec<f64>,
}

/// A distribution of leaves. Keep one and fill it often: nothing is allocated again.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaves {
    shares: Vec<f64>,
    masks: Vec<Mask>,
    strike_variance: f64,
    /// Whether the approach lay beyond the table's speeds, weights, rolls, angles or boards, so that its edge was used.
    pub beyond_table: bool,
}

impl Default for Leaves {
    fn default() -> Self {
        Self { shares: vec![0.0; 1024], masks: Vec::with_capacity(1024), strike_variance: 0.0, beyond_table: false }
    }
}

impl Leaves {
    /// Probability that just these pins are left.
    pub fn probability(&self, mask: Mask) -> f64 {
        self.shares.get(usize::from(mask)).copied().unwrap_or(0.0)
    }

    /// Probability of a strike.
    pub fn strike(&self) -> f64 {
        self.shares[0]
    }

    /// Standard error of the strike probability from the number of racks thrown; what the constants do not know comes
    /// on top.
    pub fn strike_standard_error(&self) -> f64 {
        math::sqrt(self.strike_variance)
    }

    /// The leaves that happen and their probabilities, in no particular order.
    pub fn iter(&self) -> impl Iterator<Item = (Mask, f64)> + '_ {
        self.masks.iter().map(|&mask| (mask, self.shares[usize::from(mask)]))
    }

    fn clear(&mut self) {
        for mask in self.masks.drain(..) {
            self.shares[usize::from(mask)] = 0.0;
        }
        self.strike_variance = 0.0;
        self.beyond_table = false;
    }

    #[inline]
    fn add(&mut self, mask: Mask, share: f64) {
        let slot = &mut self.shares[usize::from(mask)];
        if *slot == 0.0 {
            self.masks.push(mask);
        }
        *slot += share;
    }
}

/// The corners that share a lookup, and their weights.
struct Corners {
    cells: [(usize, f64); AXES + 1],
    /// Pins are those of the other side.
    flipped: bool,
    beyond: bool,
}

impl Carry {
    /// Reads a table's bytes.
    ///
    /// # Errors
    /// If they are not a table of this version, cut short or damaged.
    pub fn parse(bytes: &[u8]) -> Result<Self, CarryError> {
        let mut from = Cursor(checked(bytes)?);
        let magic = from.array::<8>()?;
        let at_contact = magic == *CONTACT_MAGIC;
        if magic != *MAGIC && !at_contact {
            return Err(CarryError::NotATable);
        }
        let fingerprint = from.u64()?;
        let plan = Plan::read(&mut from)?;
        let (mut starts, mut racks, mut masks, mut shares) = (vec![0], Vec::new(), Vec::new(), Vec::new());
        for _ in 0..plan.cells() {
            let (first, mut total) = (shares.len(), 0_u32);
            read_cell(&mut from, |mask, n| {
                masks.push(mask);
                shares.push(f64::from(n));
                total = total.saturating_add(n);
            })?;
            if total == 0 {
                return Err(CarryError::Damaged);
            }
            for share in &mut shares[first..] {
                *share /= f64::from(total);
            }
            racks.push(total);
            starts.push(shares.len() as u32);
        }
        if !from.0.is_empty() {
            return Err(CarryError::Damaged);
        }
        Ok(Self { plan, fingerprint, at_contact, starts, racks, masks, shares })
    }

    /// What it was made from.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// [`Plan::fingerprint`] of plan, constants and physics it was made with.
    pub fn fingerprint(&self) -> u64 {
        self.fingerprint
    }

    /// Fills in the leaves of an approach. Boards and angles count from the bowling hand's side; for a left-hander the
    /// pins are the mirror image.
    pub fn leaves(&self, approach: &Approach, hand: Hand, out: &mut Leaves) {
        out.clear();
        let corners = self.corners(approach);
        out.beyond_table = corners.beyond;
        let flip = corners.flipped != (hand == Hand::Left);
        for (cell, weight) in corners.cells {
            if weight == 0.0 {
                continue;
            }
            let range = self.starts[cell] as usize..self.starts[cell + 1] as usize;
            let leaves = self.masks[range.clone()].iter().zip(&self.shares[range]);
            for (&mask, &share) in leaves {
                out.add(if flip { mirrored(mask) } else { mask }, weight * share);
            }
            out.strike_variance += weight * weight * self.strike_variance(cell);
        }
    }

    /// Probability of a strike alone: faster than the leaves.
    pub fn strike(&self, approach: &Approach) -> f64 {
        self.corners(approach).cells.iter().map(|&(cell, weight)| weight * self.strike_share(cell)).sum()
    }

    fn strike_share(&self, cell: usize) -> f64 {
        // Leaves are in order, and none is left in order first.
        let first = self.starts[cell] as usize;
        if self.masks[first] == 0 { self.shares[first] } else { 0.0 }
    }

    fn strike_variance(&self, cell: usize) -> f64 {
        let (p, n) = (self.strike_share(cell), f64::from(self.racks[cell]));
        // One success and one failure more: a cell without strikes is not certain to have none.
        let p = (p * n + 1.0) / (n + 2.0);
        p * (1.0 - p) / n
    }

    /// The simplex of the grid that holds the approach: six corners with weights that sum to one and change without a
    /// jump, where a box would take thirty-two.
    fn corners(&self, approach: &Approach) -> Corners {
        let mut at = approach.coordinates();
        if self.at_contact {
            let x_m = approach.entry().0.x_m;
            at[0] = Board::from_metres(x_m).0;
        }
        let flipped = at[1] < 0.0;
        if flipped {
            // Coming from the other side is the mirror image.
            at[0] = 2.0 * court::CENTRE_BOARD - at[0];
            at[1] = -at[1];
        }
        let (mut cell, mut stride, mut beyond) = (0, 1, false);
        let mut moves = [(0.0, 0); AXES];
        for ((axis, value), slot) in self.plan.axes().into_iter().zip(at).zip(&mut moves) {
            let (first, last) = (axis[0], axis[axis.len() - 1]);
            beyond |= !(first..=last).contains(&value);
            let above = axis.partition_point(|&node| node <= value).clamp(1, (axis.len() - 1).max(1));
            cell += (above - 1) * stride;
            if axis.len() > 1 {
                let (low, high) = (axis[above - 1], axis[above]);
                *slot = (((value - low) / (high - low)).clamp(0.0, 1.0), stride);
            }
            stride *= axis.len();
        }
        // The largest fraction moves first (insertion sort: five things).
        for i in 1..AXES {
            let mut j = i;
            while j > 0 && moves[j].0 > moves[j - 1].0 {
                moves.swap(j, j - 1);
                j -= 1;
            }
        }
        let mut cells = [(cell, 1.0 - moves[0].0); AXES + 1];
        for i in 0..AXES {
            cell += moves[i].1;
            let next = if i + 1 < AXES { moves[i + 1].0 } else { 0.0 };
            cells[i + 1] = (cell, moves[i].0 - next);
        }
        Corners { cells, flipped, beyond }
    }
}
