//! The record of what a bowler threw: facts in one file, and all that follows from them.
//!
//! A [`Record`] is a list of [`Fact`]s that only ever grows. They are blocks begun, shots, lines meant, changes of ball, surface and lane,
//! notes, and the corrections and undos of earlier facts. Frames, scores, the ball in the hand and the surface of each ball are read
//! from the facts each time.
//!
//! # From question to answer
//!
//! 1. [`Record::open`] opens a file, or begins one. It brings a file of an earlier version up to date.
//! 2. [`Record::add`] enters bowlers, events, blocks and balls.
//! 3. [`Record::log`] adds a fact under a [`Key`] that the sender made, so that sending it twice logs it once. It is on disk when the
//!    [`Receipt`] comes back.
//! 4. [`Record::correct`] and [`Record::undo`] name the fact that was wrong. Nothing is overwritten.
//! 5. [`Record::sheet`] gives the games of a bowler in a block, and [`Record::lines`] the lines meant.
//! 6. The record travels as JSON, and its shots as CSV ([`SCHEMA`]).
//!
//! ```
//! use boardwise_record::{Block, Bowler, Counting, Event, EventKind, Record, Shot};
//!
//! # let folder = tempfile::tempdir()?;
//! # let path = folder.path().join("mine.record");
//! let mut record = Record::open(&path)?;
//! let (anna, block) = ("anna".parse()?, "qualifying".parse()?);
//! record.add(&Bowler { id: anna, name: "Anna".into(), hand: boardwise_record::units::Hand::Right })?;
//! record.add(&Event { id: "spring".parse()?, name: "Spring open".into(), kind: EventKind::Competition, day: None })?;
//! record.add(&Block {
//!     id: block,
//!     event: "spring".parse()?,
//!     name: "Qualifying".into(),
//!     counting: Counting::Traditional,
//!     games: Some(6),
//! })?;
//!
//! let (anna, block, at) = ("anna".parse()?, "qualifying".parse()?, "2026-04-11T09:30:00Z".parse()?);
//! record.log(Shot::standing(&block, &anna, "none".parse()?), &"a1".parse()?, at)?;
//! let left = record.log(Shot::standing(&block, &anna, "7-10".parse()?), &"a2".parse()?, at)?;
//! // It was the seven alone, and it was made.
//! record.correct(left.seq, Shot::standing(&block, &anna, "7".parse()?), &"a3".parse()?, at)?;
//! record.log(Shot::standing(&block, &anna, "none".parse()?), &"a4".parse()?, at)?;
//!
//! let sheet = record.sheet(&block, &anna)?;
//! assert_eq!(sheet.games[0].to_string(), "X 9/");
//! assert_eq!(sheet.games[0].cumulative()[0], Some(20));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Units
//!
//! Pins are as the rules number them. Boards count from the bowling-hand side. Instants are the sender's; the record reads no clock
//! and goes by the order of logging alone.
//!
//! # Limits, and where it is weak
//!
//! - One file, one machine. Several programs may have it open; they take turns.
//! - What nobody logged is not there: the record guesses no ball and no lane.
//! - `docs/record.md` says how shots survive a crash, and what that costs.

mod backup;
mod bag;
mod beside;
mod bounds;
mod claim;
mod earlier;
mod error;
mod fact;
mod file_mark;
mod import;
mod join;
mod log;
mod lookup;
mod measured;
mod open;
mod opening;
mod reading;
mod record;
mod roster;
mod row;
mod row_error;
mod running;
mod safe;
mod seal;
mod sheet;
mod shots;
mod store;
mod sum;
mod tables;
mod tally;
mod whole;
mod word;
mod writing;

pub use boardwise_score as score;
pub use boardwise_units as units;

pub use backup::Saved;
pub use bag::{BallLife, SurfaceWork};
pub use beside::beside;
pub use claim::Claim;
pub use error::{Error, Fault, Faults};
pub use fact::{Fact, Logged, Receipt, Shot};
pub use import::Imported;
pub use join::Joined;
pub use measured::{Figure, Measured};
pub use opening::{LineMeant, Opening};
pub use reading::taken_back;
pub use record::{Line, Newcomers, Note, Record, Version};
pub use roster::{Ball, Block, Bowler, Event, Lane, Surface};
pub use row_error::RowError;
pub use running::RunningSheet;
pub use sheet::{Delivery, Sheet};
pub use shots::defused;
pub use tables::Listed;
pub use whole::SCHEMA;
pub use word::{
    BallId, BlockId, BowlerId, Counting, CoverKind, EventId, EventKind, Felt, Hit, Key, Kind, LaneId, Seq, Thing,
    WordError,
};
