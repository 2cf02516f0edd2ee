//! Files in: a lane, a bag, a bowler, read once and checked, or an error that names file, line, key and what is
//! allowed.
//!
//! ```
//! let bytes = br#"
//! name = "one even stroke"
//! [[strokes]]
//! boards = [2, 38]
//! feet = [0, 32]
//! microlitres = 20000
//! direction = "out"
//! "#;
//! let lane = boardwise_files::parse_lane("lane.toml", bytes)?.value;
//! assert_eq!(lane.name, "one even stroke");
//! # Ok::<(), boardwise_files::Fault>(())
//! ```

mod bag_file;
mod bowler_file;
mod demo;
mod event_file;
mod event_files;
mod fault;
pub mod form;
mod lane_file;
mod library;
mod locate;
mod parse;
mod schema;
mod shape;
mod source;
mod tables;
pub mod whole;

pub use bag_file::{KitBag, KitBall, Prepared, parse_bag};
pub use bowler_file::parse_bowler;
pub use demo::{BAGS, BOWLERS, EVENTS, Entry, LANES, files, lane_ids, write_to};
pub use event_file::{CutTable, Fetch, KitEvent, KitPair, KitSeat, SurfaceRule, parse_event};
pub use event_files::{EventFiles, Sources};
pub use fault::{Fault, Mistake};
pub use lane_file::{Gutter, KitLane, parse_lane};
pub use library::{Kept, Library, Shelf};
pub use schema::schema;
pub use source::{MOST_BYTES, read};
pub use tables::{carry, spares};

/// A value from a file, with what the file says that is possible but outside the rules.
#[derive(Clone, Debug)]
pub struct Loaded<T> {
    /// The checked value.
    pub value: T,
    /// One sentence each, with file and line.
    pub warnings: Vec<String>,
}
