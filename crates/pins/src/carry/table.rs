//! The file: a plan, the cells' leaves, a checksum.

use super::bytes::seal;
use super::plan::Plan;
use super::shard::Shard;
use crate::constants::Constants;
use alloc::vec::Vec;

pub(super) const MAGIC: &[u8; 8] = b"bwcarry1";

/// Why a table could not be made or read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CarryError {
    /// Other bytes, or a later version.
    #[error("these bytes are no table of this kind and version; build it again")]
    NotATable,
    /// Bytes are missing at the end.
    #[error("the table is cut short; copy or build it again")]
    CutShort,
    /// The checksum or the structure is wrong.
    #[error("the table is damaged; copy or build it again")]
    Damaged,
    /// The plan has an empty or unsorted axis, a negative angle, no racks, or the cells asked for are not in it.
    #[error(
        "the plan's axes must rise, angles be 0 or more (of spares: as many on either side), racks at least 1, and shards lie within its cells"
    )]
    BadPlan,
    /// A shard was made with another plan, other constants or other physics.
    #[error("a shard was made with another plan or other constants; throw it again")]
    OtherPlan,
    /// Some cells are in no shard, or in two.
    #[error("cell {0} is in no shard, or in two; throw the missing shards")]
    Cell(u32),
}

/// Joins shards, in any order, into one table.
///
/// # Errors
/// If a shard does not belong to the plan, or some cell is missing or there twice.
pub fn merge(plan: &Plan, constants: &Constants, shards: &[Shard]) -> Result<Vec<u8>, CarryError> {
    plan.check()?;
    let fingerprint = plan.fingerprint(constants);
    let mut order: Vec<&Shard> = shards.iter().collect();
    order.sort_by_key(|shard| (shard.cells.start, shard.cells.end));
    let mut out = MAGIC.to_vec();
    out.extend_from_slice(&fingerprint.to_le_bytes());
    plan.write(&mut out);
    let mut next = 0;
    for shard in order {
        if shard.fingerprint != fingerprint {
            return Err(CarryError::OtherPlan);
        }
        if shard.cells.start != next {
            return Err(CarryError::Cell(next.min(shard.cells.start)));
        }
        out.extend_from_slice(shard.body);
        next = shard.cells.end;
    }
    if next == plan.cells() { Ok(seal(out)) } else { Err(CarryError::Cell(next)) }
}
