//! Part of the table: cells thrown at and counted.

use super::bytes::{Cursor, open_shard, put_count, seal};
use super::plan::Plan;
use super::table::CarryError;
use crate::rack::Rack;
use alloc::vec::Vec;
use boardwise_units::stream::Stream;
use core::ops::Range;

const MAGIC: &[u8; 8] = b"bwshard1";
/// Streams of one cell lie next to each other.
const CELL_STRIDE: u64 = 1 << 20;

/// Throws at the cells of a range and writes down their leaves. The same arguments give the same bytes anywhere.
///
/// # Errors
/// If the plan is impossible, or the range is not within its cells.
pub fn throw_shard(rack: &Rack, plan: &Plan, cells: Range<u32>) -> Result<Vec<u8>, CarryError> {
    plan.check()?;
    if cells.start > cells.end || cells.end > plan.cells() {
        return Err(CarryError::BadPlan);
    }
    let mut out = MAGIC.to_vec();
    out.extend_from_slice(&plan.fingerprint(rack.constants()).to_le_bytes());
    out.extend_from_slice(&cells.start.to_le_bytes());
    out.extend_from_slice(&cells.end.to_le_bytes());
    for cell in cells {
        let counts = throw_cell(rack, plan, cell)?;
        write_cell(&mut out, &counts);
    }
    Ok(seal(out))
}

fn throw_cell(rack: &Rack, plan: &Plan, cell: u32) -> Result<[u32; 1024], CarryError> {
    let (middle, width) = plan.cell(cell);
    let mut counts = [0; 1024];
    for k in 0..plan.racks(&middle) {
        let mut stream = Stream::keyed(plan.seed, "carry", u64::from(cell) * CELL_STRIDE + u64::from(k));
        // A cell stands for the boards around it: single lines are nearly deterministic.
        let mut approach = middle;
        approach.board = (approach.board + width * (stream.uniform() - 0.5)).clamp(0.5, 39.5);
        let (entry, ball) = approach.entry();
        let outcome = rack.throw(&entry, &ball, &mut stream).map_err(|_| CarryError::BadPlan)?;
        counts[usize::from(outcome.standing)] += 1;
    }
    Ok(counts)
}

/// Number of kinds of leaves, then each as its distance from the one before and its count.
fn write_cell(out: &mut Vec<u8>, counts: &[u32; 1024]) {
    let kinds = counts.iter().filter(|&&n| n > 0).count();
    put_count(out, kinds as u32);
    let mut last = 0;
    for (mask, &n) in counts.iter().enumerate().filter(|&(_, &n)| n > 0) {
        put_count(out, (mask - last) as u32);
        put_count(out, n);
        last = mask;
    }
}

/// Reads one cell, giving each leave and its count in order of the leave.
pub(super) fn read_cell(from: &mut Cursor, mut each: impl FnMut(u16, u32)) -> Result<(), CarryError> {
    let kinds = from.count()?;
    let mut mask = 0;
    for k in 0..kinds {
        let (step, n) = (from.count()?, from.count()?);
        mask += step;
        if mask > 1023 || n == 0 || (step == 0 && k > 0) {
            return Err(CarryError::Damaged);
        }
        each(mask as u16, n);
    }
    Ok(())
}

/// A shard that was read back and found whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Shard<'a> {
    /// Plan, constants and physics it was made with.
    pub fingerprint: u64,
    /// The cells it holds.
    pub cells: Range<u32>,
    pub(super) body: &'a [u8],
}

impl<'a> Shard<'a> {
    /// Reads a shard's bytes.
    ///
    /// # Errors
    /// If they are not a shard, cut short or damaged.
    pub fn parse(bytes: &'a [u8]) -> Result<Self, CarryError> {
        let (fingerprint, cells, mut from) = open_shard(bytes, *MAGIC)?;
        let body = from.0;
        for _ in cells.clone() {
            read_cell(&mut from, |_, _| ())?;
        }
        if from.0.is_empty() { Ok(Self { fingerprint, cells, body }) } else { Err(CarryError::Damaged) }
    }
}
