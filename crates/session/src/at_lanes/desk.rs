//! The record and the present block, the one begun or gone back to last: where they lie, and what is known of them.

use std::path::{Path, PathBuf};
use std::str::FromStr;

use super::standing::Standing;
use crate::{Failure, event};
use boardwise_files::{EventFiles, Fault, KitEvent, KitLane, KitPair};
use boardwise_lane::Lane;
use boardwise_record::{BallId, BlockId, BowlerId, Key, LaneId, LineMeant, Opening, Record, Seq, Version};
use boardwise_search::{Seat, Unknowns};

/// With what a block began, as the record has it, and the event read from it.
#[derive(Clone, Debug)]
pub struct BlockBegun {
    /// The block.
    pub block: BlockId,
    /// Whose sheet it is.
    pub bowler: BowlerId,
    /// The last fact written down before the block began.
    pub since: Key,
    /// Which pair of the event, from 0 on.
    pub pair: usize,
    /// The event.
    pub files: EventFiles,
    /// The two lanes as the record calls them.
    pub lanes: [LaneId; 2],
    /// The balls of the bag in order, as the record calls them.
    pub balls: Vec<BallId>,
    /// The best line of each of our balls for full racks on the fresh lanes, by lane.
    pub forms: [Vec<Option<LineMeant>>; 2],
    /// What everybody else is taken to throw, by place in the event and by lane.
    pub others: Vec<[Option<LineMeant>; 2]>,
}

/// An open record with a block in it.
pub struct Desk {
    /// The record.
    pub record: Record,
    /// Its file.
    pub place: PathBuf,
    /// The block.
    pub begun: BlockBegun,
}

/// The event that a block is of.
pub struct Setting {
    /// The event.
    pub event: KitEvent,
    /// Our seat.
    pub seat: Seat,
    /// Both lanes, fresh, from our hand's side.
    pub fresh: [Lane; 2],
    /// What is not known of lanes, covers and the day.
    pub unknowns: Unknowns,
    /// Numbers of the lanes.
    pub numbers: [u32; 2],
    /// Which pair of the event, from 0 on.
    pub pair: usize,
}

impl BlockBegun {
    /// The event again.
    ///
    /// # Errors
    /// If its files cannot be read any more, or no longer fit the block.
    pub fn setting(&self) -> Result<Setting, Fault> {
        // Warnings were shown when the block began.
        let event = self.files.parse()?.value;
        if self.pair >= event.pairs.len() || self.balls.len() != event.seats[0].bag.bag.balls().len() {
            let allowed = "its pair or its balls are not those of its event; begin the block again".to_owned();
            return Err(Fault::Field { field: "block", value: self.block.to_string(), allowed });
        }
        Ok(Setting::of(event, self.pair))
    }

    /// A ball of the record by its place in the bag.
    pub fn in_bag(&self, ball: &BallId) -> Option<usize> {
        self.balls.iter().position(|one| one == ball)
    }

    /// A lane of the record by its place in the pair.
    pub fn on_pair(&self, lane: &LaneId) -> Option<usize> {
        self.lanes.iter().position(|one| one == lane)
    }

    /// As the record keeps it.
    ///
    /// # Errors
    /// If its files cannot be written as JSON: a fault of the program.
    pub fn opening(&self) -> Result<Opening, Failure> {
        let Self { since, pair, files, lanes, balls, forms, others, .. } = self.clone();
        let files = serde_json::to_value(files).map_err(Failure::Json)?;
        Ok(Opening { since, pair, files, lanes, balls, forms, others })
    }

    /// With what a sheet of the record began; none where that was never written down. Inside, why it cannot be read, in words.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn of(record: &Record, block: &BlockId, bowler: &BowlerId) -> Result<Option<Result<Self, String>>, Failure> {
        let Some(opening) = record.opening(block, bowler)? else { return Ok(None) };
        let Opening { since, pair, files, lanes, balls, forms, others } = opening;
        let (block, bowler) = (block.clone(), bowler.clone());
        let files = serde_json::from_value(files).map_err(|why| format!("its event cannot be read ({why})"));
        Ok(Some(files.map(|files| Self { block, bowler, since, pair, files, lanes, balls, forms, others })))
    }

    /// The present block of a record, the one begun or gone back to last.
    ///
    /// # Errors
    /// If there is none; if it or the record cannot be read.
    pub fn present(record: &Record) -> Result<Self, Failure> {
        let (block, bowler) = record.present()?.ok_or(Failure::NoBlock)?;
        let begun = Self::of(record, &block, &bowler)?.ok_or(Failure::NoBlock)?;
        begun.map_err(|allowed| Fault::Field { field: "block", value: block.to_string(), allowed }.into())
    }
}

impl Setting {
    /// On one pair of an event.
    pub fn of(event: KitEvent, pair: usize) -> Self {
        let ours = &event.seats[0];
        let KitPair { numbers, lanes, .. } = &event.pairs[pair];
        let fresh = lanes.each_ref().map(|lane| lane.seen_by(ours.bowler.hand));
        let unknowns = KitLane::unknowns(lanes);
        Self { seat: event::seat(ours), fresh, unknowns, numbers: *numbers, pair, event }
    }

    /// A lane of the pair by its number.
    ///
    /// # Errors
    /// If the pair has no such lane.
    pub fn lane(&self, number: u32) -> Result<usize, Fault> {
        let [first, second] = self.numbers;
        self.numbers.iter().position(|&one| one == number).ok_or_else(|| Fault::Field {
            field: "lane",
            value: number.to_string(),
            allowed: format!("the pair has lanes {first} and {second}"),
        })
    }

    /// A ball of the whole bag by its id.
    ///
    /// # Errors
    /// If the bag has no such ball.
    pub fn ball(&self, id: &str) -> Result<usize, Fault> {
        let balls = self.event.seats[0].bag.bag.balls();
        balls.iter().position(|ball| ball.id == id).ok_or_else(|| Fault::Missing {
            what: "ball",
            name: id.to_owned(),
            known: balls.iter().map(|ball| ball.id.clone()).collect(),
        })
    }
}

/// Opens a record that must be there already.
///
/// # Errors
/// If there is no record, or it cannot be read.
pub fn open(place: &Path) -> Result<Record, Failure> {
    if place.symlink_metadata().is_err() {
        return Err(Failure::NoRecord { place: place.to_owned() });
    }
    Ok(Record::open(place)?)
}

impl Desk {
    /// Opens the record and the present block in it.
    ///
    /// # Errors
    /// If there is no record or no present block, or one of them cannot be read.
    pub fn open(place: &Path) -> Result<Self, Failure> {
        let record = open(place)?;
        let begun = BlockBegun::present(&record)?;
        Ok(Self { record, place: place.to_owned(), begun })
    }

    /// What stands of what was logged since the block began, as far as the block can feel it: in a state of the record, or a later one.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub(super) fn since_begun(&self, version: Version) -> Result<Standing, Failure> {
        let BlockBegun { block, bowler, balls, since, .. } = &self.begun;
        let since = self.record.receipt(since)?.map_or(Seq(0), |receipt| receipt.seq);
        let facts = self.record.facts_about(block, bowler, balls, since)?;
        let last = facts.last().map_or(version.last(), |last| last.seq.max(version.last()));
        Ok(Standing::of(facts, since, last))
    }
}

/// A word of the record as it was typed.
///
/// # Errors
/// If it is none of the record's words.
pub fn word<T: FromStr<Err = boardwise_record::WordError>>(field: &'static str, typed: &str) -> Result<T, Fault> {
    typed.parse().map_err(|why: boardwise_record::WordError| Fault::Field {
        field,
        value: typed.to_owned(),
        allowed: why.to_string(),
    })
}

/// A key of the client's own, with room for what is logged beside it.
///
/// # Errors
/// If it is none.
pub fn own_key(typed: &str) -> Result<Key, Failure> {
    const ROOM: usize = 56;
    let refuse = |allowed: String| Fault::Field { field: "key", value: typed.to_owned(), allowed };
    let key: Key = word("key", typed)?;
    if typed.chars().count() > ROOM || typed.contains('/') {
        return Err(
            refuse(format!("at most {ROOM} characters and no /, which is put before what belongs to a shot")).into()
        );
    }
    Ok(key)
}

/// What is logged beside a shot or a move, by the end of its key.
pub const BALL: &str = "ball";
/// The surface of a ball, worked on.
pub const SURFACE: &str = "surface";
/// A remark.
pub const NOTE: &str = "note";
/// A line on each lane of the pair.
pub const LANES: [&str; 2] = ["lane-1", "lane-2"];

/// The key of a fact that belongs to another.
///
/// # Errors
/// If the key is too long.
pub fn beside_key(key: &Key, part: &str) -> Result<Key, Failure> {
    Ok(format!("{key}/{part}").parse()?)
}

/// The key that facts logged together have in common.
pub fn stem(key: &Key) -> &str {
    let parted =
        key.as_str().rsplit_once('/').filter(|(_, part)| [BALL, SURFACE, NOTE].contains(part) || LANES.contains(part));
    parted.map_or(key.as_str(), |(stem, _)| stem)
}
