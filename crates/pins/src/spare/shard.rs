//! Part of the table of spares: leaves thrown at and counted, and the file they are joined into.

use super::SparePlan;
use crate::carry::CarryError;
use crate::carry::bytes::{Cursor, open_shard, put_count, seal};
use crate::carry::table::join;
use crate::constants::Constants;
use crate::outcome::Mask;
use crate::rack::Rack;
use alloc::vec::Vec;
use boardwise_units::stream::Stream;
use core::ops::Range;

const MAGIC: &[u8; 8] = b"bwspsh_2";
pub(super) const TABLE_MAGIC: &[u8; 8] = b"bwspare2";

/// Throws at some leaves, by their place in [`SparePlan::leaves`], with the racks of all sets of constants alike. The same
/// arguments give the same bytes anywhere.
///
/// # Errors
/// If the plan is impossible, a cell's racks cannot be shared out evenly, or the range is not within its leaves.
pub fn throw_shard(racks: &[Rack], plan: &SparePlan, leaves: Range<u32>) -> Result<Vec<u8>, CarryError> {
    plan.check()?;
    let even = !racks.is_empty() && plan.racks.is_multiple_of(racks.len() as u32);
    if leaves.start > leaves.end || leaves.end as usize > SparePlan::leaves().count() || !even {
        return Err(CarryError::BadPlan);
    }
    let mut out = MAGIC.to_vec();
    out.extend_from_slice(&plan.fingerprint(racks.iter().map(Rack::constants)).to_le_bytes());
    out.extend_from_slice(&leaves.start.to_le_bytes());
    out.extend_from_slice(&leaves.end.to_le_bytes());
    for leave in SparePlan::leaves().skip(leaves.start as usize).take(leaves.len()) {
        let counts = throw_at_leave(racks, plan, leave)?;
        for row in counts.chunks(plan.boards.into()) {
            write_row(&mut out, row);
        }
    }
    Ok(seal(out))
}

/// How often all pins fell in a cell, and how many fell when not all did.
type Count = (u32, u32);

fn throw_at_leave(racks: &[Rack], plan: &SparePlan, leave: Mask) -> Result<Vec<Count>, CarryError> {
    let (ball, step) = (plan.ball(), plan.board_step());
    let throw = |(cell, middle): (usize, super::Arrival)| {
        let (mut made, mut fell) = (0, 0);
        if !plan.reaches(leave, &middle) {
            return Ok((made, fell));
        }
        let each = plan.racks / racks.len() as u32;
        for k in 0..plan.racks {
            let (rack, nth) = (&racks[k as usize % racks.len()], k / racks.len() as u32);
            let index = u64::from(leave) << 40 | (cell as u64) << 20 | u64::from(k);
            let mut stream = Stream::keyed(plan.seed, "spare", index);
            // A cell stands for the boards around it, and each set meets all of them.
            let mut at = middle;
            let across = (f64::from(nth) + stream.uniform()) / f64::from(each);
            at.board = (at.board + step * (across - 0.5)).clamp(0.5, 39.5);
            let entry = at.entry(leave, &ball, plan.speed_m_s, (plan.roll, plan.side_roll));
            let left = rack.throw_at(leave, &entry, &ball, &mut stream).map_err(|_| CarryError::BadPlan)?.standing;
            if left == 0 {
                made += 1;
            } else {
                fell += leave.count_ones() - left.count_ones();
            }
        }
        Ok((made, fell))
    };
    plan.cells().enumerate().map(throw).collect()
}

/// A row's first cell with something to count, how many cells from there, then the counts of each.
fn write_row(out: &mut Vec<u8>, row: &[Count]) {
    let counts = |&(made, fell): &Count| made + fell > 0;
    let (first, end) = (row.iter().position(counts).unwrap_or(0), row.iter().rposition(counts).map_or(0, |k| k + 1));
    put_count(out, first as u32);
    put_count(out, (end - first) as u32);
    for &(made, fell) in &row[first..end] {
        put_count(out, made);
        put_count(out, fell);
    }
}

/// Reads one row, giving each cell that counts something by its column.
pub(super) fn read_row(
    from: &mut Cursor,
    columns: usize,
    mut each: impl FnMut(usize, Count),
) -> Result<(), CarryError> {
    let (first, length) = (from.count()? as usize, from.count()? as usize);
    if first + length > columns {
        return Err(CarryError::Damaged);
    }
    for column in first..first + length {
        each(column, (from.count()?, from.count()?));
    }
    Ok(())
}

/// A shard that was read back and found whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Shard<'a> {
    /// Plan, constants and physics it was made with.
    pub fingerprint: u64,
    /// The leaves it holds, by their place in [`SparePlan::leaves`].
    pub leaves: Range<u32>,
    body: &'a [u8],
}

impl<'a> Shard<'a> {
    /// Reads a shard's bytes. Its rows are read when shards are joined, since only the plan says how long they are.
    ///
    /// # Errors
    /// If they are not a shard, cut short or damaged.
    pub fn parse(bytes: &'a [u8]) -> Result<Self, CarryError> {
        let (fingerprint, leaves, from) = open_shard(bytes, *MAGIC)?;
        Ok(Self { fingerprint, leaves, body: from.0 })
    }
}

/// Joins shards, in any order, into one table.
///
/// # Errors
/// If a shard does not belong to the plan, or some leave is missing or there twice.
pub fn merge<'a>(
    plan: &SparePlan,
    sets: impl IntoIterator<Item = &'a Constants>,
    shards: &[Shard],
) -> Result<Vec<u8>, CarryError> {
    plan.check()?;
    let fingerprint = plan.fingerprint(sets);
    let mut head = TABLE_MAGIC.to_vec();
    head.extend_from_slice(&fingerprint.to_le_bytes());
    plan.write(&mut head);
    let count = SparePlan::leaves().count() as u32;
    join(head, fingerprint, count, shards.iter().map(|s| (s.fingerprint, s.leaves.clone(), s.body)).collect())
}
