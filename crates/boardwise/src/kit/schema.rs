//! JSON Schemas of the files, so that editors complete them.

use schemars::Schema;

use super::bag_file::BagFile;
use super::bowler_file::BowlerFile;
use super::event_file::EventFile;
use super::lane_file::LaneFile;

/// A kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Kind {
    /// A lane file.
    Lane,
    /// A bag file.
    Bag,
    /// A bowler file.
    Bowler,
    /// An event file.
    Event,
}

/// The schema of a kind of file, generated from the type that reads it.
pub fn schema(kind: Kind) -> Schema {
    match kind {
        Kind::Lane => schemars::schema_for!(LaneFile),
        Kind::Bag => schemars::schema_for!(BagFile),
        Kind::Bowler => schemars::schema_for!(BowlerFile),
        Kind::Event => schemars::schema_for!(EventFile),
    }
}
