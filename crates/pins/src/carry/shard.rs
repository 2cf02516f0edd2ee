//! Part of the table: cells thrown at and counted.

use super::bytes::{Cursor, open_shard, put_count, seal};
use super::error::CarryError;
use super::plan::Plan;
use crate::rack::Rack;
use alloc::vec;
use alloc::vec::Vec;
use boardwise_units::stream::Stream;
use core::ops::Range;

const MAGIC: &[u8; 8] = b"bwshard2";
/// Streams of one cell lie next to each other.
const CELL_STRIDE: u64 = 1 << 20;
/// More sets of constants than anyone will fit.
pub(super) const MOST_SETS: u32 = 256;

/// Throws at the cells of a range with the racks of all sets of constants alike, and writes down their leaves. The same
/// arguments give the same bytes anywhere.
///
/// # Errors
/// If the plan is impossible, a cell's racks cannot be shared out evenly, or the range is not within its cells.
pub fn throw_shard(racks: &[Rack], plan: &Plan, cells: Range<u32>) -> Result<Vec<u8>, CarryError> {
    plan.check()?;
    let sets = racks.len() as u32;
    let even = (1..=MOST_SETS).contains(&sets)
        && plan.racks_at_home.is_multiple_of(sets)
        && plan.racks_elsewhere.is_multiple_of(sets);
    if cells.start > cells.end || cells.end > plan.cells() || !even {
        return Err(CarryError::BadPlan);
    }
    let mut out = MAGIC.to_vec();
    out.extend_from_slice(&plan.fingerprint(racks.iter().map(Rack::constants)).to_le_bytes());
    out.extend_from_slice(&cells.start.to_le_bytes());
    out.extend_from_slice(&cells.end.to_le_bytes());
    out.extend_from_slice(&sets.to_le_bytes());
    for cell in cells {
        throw_cell(racks, plan, cell)?.write(&mut out);
    }
    Ok(seal(out))
}

fn throw_cell(racks: &[Rack], plan: &Plan, number: u32) -> Result<Cell, CarryError> {
    let (middle, width) = plan.cell(number);
    let mut cell = Cell { counts: [0; 1024], strikes: vec![0; racks.len()] };
    let total = plan.racks(&middle);
    let each = total / racks.len() as u32;
    for k in 0..total {
        let (set, nth) = (k as usize % racks.len(), k / racks.len() as u32);
        let mut stream = Stream::keyed(plan.seed, "carry", u64::from(number) * CELL_STRIDE + u64::from(k));
        // A cell stands for the boards around it, and each set meets all of them.
        let mut approach = middle;
        let across = (f64::from(nth) + stream.uniform()) / f64::from(each);
        approach.board = (approach.board + width * (across - 0.5)).clamp(0.5, 39.5);
        let (entry, ball) = approach.entry();
        let outcome = racks[set].throw(&entry, &ball, &mut stream).map_err(|_| CarryError::BadPlan)?;
        cell.counts[usize::from(outcome.standing)] += 1;
        cell.strikes[set] += u32::from(outcome.is_strike());
    }
    Ok(cell)
}

/// What was counted in one cell.
struct Cell {
    counts: [u32; 1024],
    /// Strikes of each set.
    strikes: Vec<u32>,
}

impl Cell {
    /// Number of kinds of leaves, then each as its distance from the one before and its count; the strikes of each set, if
    /// there are strikes and misses.
    fn write(&self, out: &mut Vec<u8>) {
        let kinds = self.counts.iter().filter(|&&n| n > 0).count();
        put_count(out, kinds as u32);
        let mut last = 0;
        for (mask, &n) in self.counts.iter().enumerate().filter(|&(_, &n)| n > 0) {
            put_count(out, (mask - last) as u32);
            put_count(out, n);
            last = mask;
        }
        if self.counts[0] > 0 && kinds > 1 {
            for &strikes in &self.strikes {
                put_count(out, strikes);
            }
        }
    }
}

/// Reads one cell, giving each leave and its count in order of the leave, then the strikes of each set.
pub(super) fn read_cell(
    from: &mut Cursor,
    sets: u32,
    mut each: impl FnMut(u16, u32),
    mut of_set: impl FnMut(u32),
) -> Result<(), CarryError> {
    let kinds = from.count()?;
    let (mut mask, mut total, mut strikes) = (0, 0_u64, 0);
    for k in 0..kinds {
        let (step, n) = (from.count()?, from.count()?);
        mask += step;
        if mask > 1023 || n == 0 || (step == 0 && k > 0) {
            return Err(CarryError::Damaged);
        }
        if mask == 0 {
            strikes = n;
        }
        total += u64::from(n);
        each(mask as u16, n);
    }
    if total == 0 || !total.is_multiple_of(u64::from(sets)) {
        return Err(CarryError::Damaged);
    }
    let mut left = u64::from(strikes);
    for _ in 0..sets {
        let own = if strikes > 0 && kinds > 1 { from.count()? } else { strikes / sets };
        if u64::from(own) > (total / u64::from(sets)).min(left) {
            return Err(CarryError::Damaged);
        }
        left -= u64::from(own);
        of_set(own);
    }
    if left == 0 { Ok(()) } else { Err(CarryError::Damaged) }
}

/// A shard that was read back and found whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Shard<'a> {
    /// Plan, constants and physics it was made with.
    pub fingerprint: u64,
    /// The cells it holds.
    pub cells: Range<u32>,
    /// Sets of constants it was thrown with.
    pub(super) sets: u32,
    pub(super) body: &'a [u8],
}

impl<'a> Shard<'a> {
    /// Reads a shard's bytes.
    ///
    /// # Errors
    /// If they are not a shard, cut short or damaged.
    pub fn parse(bytes: &'a [u8]) -> Result<Self, CarryError> {
        let (fingerprint, cells, mut from) = open_shard(bytes, *MAGIC)?;
        let sets = from.u32()?;
        if !(1..=MOST_SETS).contains(&sets) {
            return Err(CarryError::Damaged);
        }
        let body = from.0;
        for _ in cells.clone() {
            read_cell(&mut from, sets, |_, _| (), |_| ())?;
        }
        if from.0.is_empty() { Ok(Self { fingerprint, cells, sets, body }) } else { Err(CarryError::Damaged) }
    }
}
