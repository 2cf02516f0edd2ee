//! Reading the table: whole distributions of leaves, interpolated.

use super::bytes::{Cursor, checked};
use super::error::CarryError;
use super::plan::{AXES, Approach, Plan};
use super::shard::{MOST_SETS, read_cell};
use super::table::MAGIC;
use crate::outcome::{Mask, mirrored};
use alloc::vec;
use alloc::vec::Vec;
use boardwise_units::{Hand, court, math};

/// A carry table in memory.
#[derive(Clone, Debug)]
pub struct Carry {
    plan: Plan,
    fingerprint: u64,
    /// Sets of constants it was thrown with, equally often.
    sets: usize,
    /// Share of strikes of each set, cell after cell.
    strikes_of_sets: Vec<f32>,
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
    sets_variance: f64,
    /// Whether the approach lay beyond the table's speeds, weights, rolls, angles or boards, so that its edge was used.
    pub beyond_table: bool,
}

impl Default for Leaves {
    fn default() -> Self {
        Self {
            shares: vec![0.0; 1024],
            masks: Vec::with_capacity(1024),
            strike_variance: 0.0,
            sets_variance: 0.0,
            beyond_table: false,
        }
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

    /// Standard error of the strike probability: [`Leaves::count_error`] and [`Leaves::sets_error`] together.
    pub fn strike_standard_error(&self) -> f64 {
        math::sqrt(self.strike_variance + self.sets_variance)
    }

    /// The part of the standard error that comes from the number of racks thrown: more racks make it smaller.
    pub fn count_error(&self) -> f64 {
        math::sqrt(self.strike_variance)
    }

    /// The part that comes from not knowing the constants: the standard deviation over the sets that all give what is
    /// published, less what their counts alone would differ by. No number of racks removes it, and neighbouring entries
    /// share it.
    pub fn sets_error(&self) -> f64 {
        math::sqrt(self.sets_variance)
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
        self.sets_variance = 0.0;
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
        if from.array::<8>()? != *MAGIC {
            return Err(CarryError::NotATable);
        }
        let fingerprint = from.u64()?;
        let plan = Plan::read(&mut from)?;
        let sets = from.u32()?;
        if !(1..=MOST_SETS).contains(&sets) {
            return Err(CarryError::Damaged);
        }
        let mut strikes_of_sets = Vec::new();
        let (mut starts, mut racks, mut masks, mut shares) = (vec![0], Vec::new(), Vec::new(), Vec::new());
        for _ in 0..plan.cells() {
            let (first, mut total) = (shares.len(), 0_u32);
            let first_of_set = strikes_of_sets.len();
            let each = |mask, n| {
                masks.push(mask);
                shares.push(f64::from(n));
                total = total.saturating_add(n);
            };
            read_cell(&mut from, sets, each, |strikes| strikes_of_sets.push(strikes as f32))?;
            for share in &mut strikes_of_sets[first_of_set..] {
                *share /= total as f32 / sets as f32;
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
        let sets = sets as usize;
        Ok(Self { plan, fingerprint, sets, strikes_of_sets, starts, racks, masks, shares })
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
        out.sets_variance = self.sets_variance(&corners, out.strike_variance);
    }

    /// Variance over the sets, less what their counts make: each set has its share of the racks.
    fn sets_variance(&self, corners: &Corners, count_variance: f64) -> f64 {
        if self.sets < 2 {
            return 0.0;
        }
        let n = self.sets as f64;
        let (mut sum, mut squares) = (0.0, 0.0);
        for set in 0..self.sets {
            let share = self.of_set(corners, set);
            sum += share;
            squares += share * share;
        }
        ((squares - sum * sum / n) / (n - 1.0) - n * count_variance).max(0.0)
    }

    fn of_set(&self, corners: &Corners, set: usize) -> f64 {
        let share = |cell: usize| f64::from(self.strikes_of_sets[cell * self.sets + set]);
        corners.cells.iter().filter(|(_, weight)| *weight > 0.0).map(|&(cell, weight)| weight * share(cell)).sum()
    }

    /// Number of sets of constants behind the table, all thrown equally often.
    pub fn sets(&self) -> usize {
        self.sets
    }

    /// Probability of a strike by one set of constants alone, counted from 0. Its racks are few: single entries are some
    /// six points uncertain, so average it over a bowler's spread.
    ///
    /// # Panics
    /// If there is no such set.
    pub fn strike_of_set(&self, approach: &Approach, set: usize) -> f64 {
        assert!(set < self.sets, "set {set} of {}", self.sets);
        self.of_set(&self.corners(approach), set)
    }

    /// Adds `weight` times the probability of a strike by each set to `sums`, of which there are as many as sets: for means
    /// over many entries.
    pub fn add_strike_of_sets(&self, approach: &Approach, weight: f64, sums: &mut [f64]) {
        for (cell, part) in self.corners(approach).cells {
            let shares = &self.strikes_of_sets[cell * self.sets..][..self.sets];
            for (sum, &share) in sums.iter_mut().zip(shares).filter(|_| part > 0.0) {
                *sum += weight * part * f64::from(share);
            }
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
