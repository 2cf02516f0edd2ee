//! The files that people write: lanes, bags, bowlers and events, read once and checked.
//!
//! # From question to answer
//!
//! 1. [`read`] takes the bytes of a file. The demo kit is built in: [`LANES`], [`BAGS`], [`BOWLERS`], [`EVENTS`].
//! 2. [`parse_lane`], [`parse_bag`], [`parse_bowler`] and [`parse_event`] check everything and give values that the engines take, with
//!    warnings for what is possible but outside the rules.
//! 3. What cannot be is a [`Fault`]: it names file, line and key, says what is allowed, and what to do.
//! 4. [`schema`] gives the JSON Schema of each kind of file, [`form`] the fields to fill in, and a [`Library`] the shelves of a user's
//!    own files.
//! 5. [`rows`] reads and writes tables of many questions and answers: CSV, Parquet and Arrow files.
//! 6. [`carry`] and [`spares`] are the tables built in: what first balls leave, and what spare balls knock down.
//!
//! ```
//! use boardwise_files::{BOWLERS, LANES, parse_bowler, parse_lane};
//!
//! let bowler = parse_bowler(BOWLERS[0].path, BOWLERS[0].text.as_bytes())?.value;
//! let lane = parse_lane(LANES[0].path, LANES[0].text.as_bytes())?.value.seen_by(bowler.hand);
//! assert!(lane.pattern_end().is_some());
//!
//! let fault = parse_lane("mine.toml", b"name = \"none\"\nlength_ft = -3\n").unwrap_err();
//! assert!(fault.to_string().contains("mine.toml"));
//! # Ok::<(), boardwise_files::Fault>(())
//! ```
//!
//! The lines of a whole bag by strikes, the best of each ball:
//!
//! ```no_run
//! use boardwise_files::search::{Conditions, Pocket, Progress, Search, Strikes, Unknowns, find_lines};
//! use boardwise_files::{BAGS, BOWLERS, LANES, carry, parse_bag, parse_bowler, parse_lane};
//!
//! let bowler = parse_bowler(BOWLERS[0].path, BOWLERS[0].text.as_bytes())?.value;
//! let bag = parse_bag(BAGS[0].path, BAGS[0].text.as_bytes())?.value;
//! let lane = LANES.iter().find(|entry| entry.id == "house-40-walled").ok_or("no such lane")?;
//! let lane = parse_lane(lane.path, lane.text.as_bytes())?.value.seen_by(bowler.hand);
//! for ball in bag.bag.balls() {
//!     let strikes = Strikes::new(carry()?, ball, bowler.hand, Pocket::default());
//!     let conditions = Conditions::fresh(&lane, ball, &Unknowns::default(), 1);
//!     let found = find_lines(&conditions, &bowler, &strikes, &Search::default(), &Progress::default())?;
//!     if let Some(line) = found.lines.first() {
//!         println!(
//!             "{}: slide on {:.0}, look at {:.1}: {:.0} ± {:.1}% strikes",
//!             ball.id,
//!             bowler.slide_board(line.release.laydown).0,
//!             line.arrows.0,
//!             100.0 * line.worth,
//!             100.0 * line.worth_error
//!         );
//!     }
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Units
//!
//! Keys of files carry their unit (`weight_lb`, `length_ft`). Boards of a lane file count from the gutter that it names;
//! [`KitLane::seen_by`] turns the lane toward a hand.
//!
//! # Limits, and where it is weak
//!
//! - A file has at most 1 MB ([`MOST_BYTES`]). Keys that are not known are faults, so that a slip of the pen is noticed.
//! - A pattern sheet states what a machine was told to lay. What lies on the lane differs, and no file can say by how much.

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
pub mod plausible;
pub mod rows;
mod schema;
mod shape;
mod sheet_rows;
mod sides;
mod source;
pub mod start;
mod tables;
pub mod text;
pub mod whole;

pub use boardwise_search as search;
pub use boardwise_units as units;

pub use bag_file::{KitBag, KitBall, Prepared, parse_bag};
pub use bowler_file::parse_bowler;
pub use demo::{BAGS, BOWLERS, EVENTS, Entry, LANES, files, lane_ids, write_to};
pub use event_file::{CutTable, Fetch, KitEvent, KitPair, KitSeat, SurfaceRule, parse_event};
pub use event_files::{EventFiles, Sources};
pub use fault::{Fault, Mistake, nearest};
pub use lane_file::{KitLane, parse_lane};
pub use library::{Library, OnShelf, Shelf, kit_beside};
pub use schema::schema;
pub use sides::Gutter;
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
