//! How a table can fail to be one.

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
