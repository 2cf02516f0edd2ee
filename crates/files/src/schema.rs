//! JSON Schemas of the files, so that editors complete them.

use schemars::Schema;

use super::bag_file::BagFile;
use super::bowler_file::BowlerFile;
use super::event_file::EventFile;
use super::lane_file::LaneFile;
use super::library::Shelf;

/// The schema of a kind of file, generated from the type that reads it.
pub fn schema(kind: Shelf) -> Schema {
    match kind {
        Shelf::Lane => schemars::schema_for!(LaneFile),
        Shelf::Bag => schemars::schema_for!(BagFile),
        Shelf::Bowler => schemars::schema_for!(BowlerFile),
        Shelf::Event => schemars::schema_for!(EventFile),
    }
}
