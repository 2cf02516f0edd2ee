//! The file: a plan, the cells' leaves, a checksum.

use super::bytes::seal;
use super::plan::Plan;
use super::shard::Shard;
use crate::constants::Constants;
use alloc::vec::Vec;
use core::ops::Range;

pub(super) const MAGIC: &[u8; 8] = b"bwcarry2";

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
        "the plan's axes must rise, angles be 0 or more (of spares: as many on either side), racks at least 1 and as many for each set of constants, and shards lie within its cells"
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
pub fn merge<'a>(
    plan: &Plan,
    sets: impl IntoIterator<Item = &'a Constants>,
    shards: &[Shard],
) -> Result<Vec<u8>, CarryError> {
    plan.check()?;
    let fingerprint = plan.fingerprint(sets);
    let mut head = MAGIC.to_vec();
    head.extend_from_slice(&fingerprint.to_le_bytes());
    plan.write(&mut head);
    head.extend_from_slice(&shards.first().map_or(1, |shard| shard.sets).to_le_bytes());
    join(head, fingerprint, plan.cells(), shards.iter().map(|s| (s.fingerprint, s.cells.clone(), s.body)).collect())
}

/// Puts the bodies of shards (fingerprint, what it covers, body), in order, behind a head and seals them, if they are of this
/// fingerprint and cover all of `0..count` once.
pub(crate) fn join(
    mut head: Vec<u8>,
    fingerprint: u64,
    count: u32,
    mut shards: Vec<(u64, Range<u32>, &[u8])>,
) -> Result<Vec<u8>, CarryError> {
    shards.sort_by_key(|(_, covers, _)| (covers.start, covers.end));
    let mut next = 0;
    for (made_with, covers, body) in shards {
        if made_with != fingerprint {
            return Err(CarryError::OtherPlan);
        }
        if covers.start != next {
            return Err(CarryError::Cell(next.min(covers.start)));
        }
        head.extend_from_slice(body);
        next = covers.end;
    }
    if next == count { Ok(seal(head)) } else { Err(CarryError::Cell(next)) }
}
