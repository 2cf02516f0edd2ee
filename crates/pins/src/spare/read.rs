//! Reading the table of spares.

use super::shard::{TABLE_MAGIC, read_row};
use super::{Arrival, SparePlan};
use crate::carry::CarryError;
use crate::carry::bytes::{Cursor, checked};
use crate::outcome::{FULL_RACK, Mask, mirrored};
use alloc::vec;
use alloc::vec::Vec;
use boardwise_units::{Board, Degrees, Hand, INCH_M, court, math};

/// What a ball does to a leave, on average.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Second {
    /// Chance that all its pins fall.
    pub make: f64,
    /// Mean number of its pins that fall.
    pub down: f64,
}

/// A table of spares in memory.
#[derive(Clone, Debug)]
pub struct Spares {
    plan: SparePlan,
    fingerprint: u64,
    /// Where each leave's cells begin, by its bits.
    starts: Vec<u32>,
    cells: Vec<[f32; 2]>,
}

impl Spares {
    /// Reads a table's bytes.
    ///
    /// # Errors
    /// If they are not a table of this version, cut short or damaged.
    pub fn parse(bytes: &[u8]) -> Result<Self, CarryError> {
        let mut from = Cursor(checked(bytes)?);
        if from.array::<8>()? != *TABLE_MAGIC {
            return Err(CarryError::NotATable);
        }
        let fingerprint = from.u64()?;
        let plan = SparePlan::read(&mut from)?;
        let columns = usize::from(plan.boards);
        let a_leave = columns * usize::from(plan.angles);
        let (mut starts, mut cells) = (vec![0; usize::from(FULL_RACK) + 1], Vec::new());
        for leave in SparePlan::leaves() {
            let start = cells.len();
            starts[usize::from(leave)] = start as u32;
            cells.resize(start + a_leave, [0.0; 2]);
            for row in cells[start..].chunks_mut(columns) {
                let mut possible = true;
                read_row(&mut from, columns, |column, (made, fell)| {
                    // Each miss leaves one pin or more.
                    let most = u64::from(plan.racks.saturating_sub(made)) * u64::from(leave.count_ones() - 1);
                    possible &= made <= plan.racks && u64::from(fell) <= most;
                    let racks = f64::from(plan.racks);
                    let down = f64::from(made) * f64::from(leave.count_ones()) + f64::from(fell);
                    row[column] = [(f64::from(made) / racks) as f32, (down / racks) as f32];
                })?;
                if !possible {
                    return Err(CarryError::Damaged);
                }
            }
        }
        if from.0.is_empty() { Ok(Self { plan, fingerprint, starts, cells }) } else { Err(CarryError::Damaged) }
    }

    /// What it was made from.
    pub fn plan(&self) -> &SparePlan {
        &self.plan
    }

    /// [`SparePlan::fingerprint`] of plan, constants and physics it was made with.
    pub fn fingerprint(&self) -> u64 {
        self.fingerprint
    }

    /// What a ball does to a leave. Boards and angles count from the bowling hand's side, pins are numbered as they are.
    /// Without pins everything is down already; steeper angles count as the table's steepest.
    pub fn second(&self, leave: Mask, at: &Arrival, hand: Hand) -> Second {
        let seen = if hand == Hand::Left { mirrored(leave & FULL_RACK) } else { leave & FULL_RACK };
        if seen == 0 {
            return Second { make: 1.0, down: 0.0 };
        }
        let widest = self.plan.widest_deg;
        let row = (at.angle_deg.clamp(-widest, widest) + widest) / self.plan.angle_step();
        let low = (row as usize).min(usize::from(self.plan.angles) - 2);
        let part = row - low as f64;
        // Between two rows, what matters is where the ball comes to the leave's first pin: at another angle it does so
        // from another board of the head pin's row.
        let first = (0..10).filter(|i| seen >> i & 1 == 1).map(|i| court::PIN_SPOTS_IN[i].1 * INCH_M);
        let depth_m = first.fold(f64::INFINITY, f64::min);
        let x_m = Board(at.board).to_metres() + depth_m * at.lean();
        let mut sum = Second::default();
        for (row, weight) in [(low, 1.0 - part), (low + 1, part)] {
            let angle = Degrees(self.plan.angle_step() * row as f64 - widest).to_radians();
            let board = Board::from_metres(x_m + depth_m * math::sin(angle) / math::cos(angle)).0;
            let [make, down] = self.along_row(seen, row, board);
            sum.make += weight * make;
            sum.down += weight * down;
        }
        sum
    }

    fn along_row(&self, leave: Mask, row: usize, board: f64) -> [f64; 2] {
        let columns = usize::from(self.plan.boards);
        let start = self.starts[usize::from(leave)] as usize + row * columns;
        let cells = &self.cells[start..start + columns];
        let column = ((board - 0.5) / self.plan.board_step()).clamp(0.0, (columns - 1) as f64);
        let low = (column as usize).min(columns - 2);
        let part = column - low as f64;
        [0, 1].map(|k| f64::from(cells[low][k]) * (1.0 - part) + f64::from(cells[low + 1][k]) * part)
    }
}
