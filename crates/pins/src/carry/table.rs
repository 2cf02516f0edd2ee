//! The file: a plan, the cells' leaves, a checksum.

use super::bytes::seal;
use super::error::CarryError;
use super::plan::Plan;
use super::shard::Shard;
use crate::constants::Constants;
use alloc::vec::Vec;
use core::ops::Range;

pub(super) const MAGIC: &[u8; 8] = b"bwcarry2";

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
