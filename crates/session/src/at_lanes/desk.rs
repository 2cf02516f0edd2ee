//! The record and the present block, the one begun or gone back to last: where they lie, and what is known of them.

use std::path::{Path, PathBuf};
use std::str::FromStr;

use boardwise_lane::Lane;
use boardwise_record::{BallId, Beginning, Block, BlockId, Bowler, BowlerId, Key, LaneId, Record, Sheet};
use boardwise_search::Seat;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::meant::Meant;
use crate::{Failure, event};
use boardwise_files::{EventFiles, Fault, KitEvent, KitPair};

/// What a block began with, kept in the record, so that nothing said of it needs another file. That of the present block lies beside
/// the record too: it says which that is.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Begun {
    /// Version of this file.
    pub schema: u32,
    /// The block.
    pub block: BlockId,
    /// Whose sheet it is.
    pub bowler: BowlerId,
    /// The last fact written down at its beginning.
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
    pub forms: [Vec<Option<Meant>>; 2],
    /// What everybody else is taken to throw, by place in the event and by lane.
    pub others: Vec<[Option<Meant>; 2]>,
}

/// An open record with a block in it.
pub struct Desk {
    /// The record.
    pub record: Record,
    /// Its file.
    pub place: PathBuf,
    /// The block.
    pub begun: Begun,
}

/// The event that a block is of.
pub struct Setting {
    /// The event.
    pub event: KitEvent,
    /// Our seat.
    pub seat: Seat,
    /// Both lanes, fresh, from our hand's side.
    pub fresh: [Lane; 2],
    /// Numbers of the lanes.
    pub numbers: [u32; 2],
    /// Which pair of the event, from 0 on.
    pub pair: usize,
}

impl Begun {
    /// The event again.
    ///
    /// # Errors
    /// If its files cannot be read any more, or no longer fit the block.
    pub fn setting(&self) -> Result<Setting, Fault> {
        // Warnings were shown when the block began.
        let event = self.files.parse()?.value;
        if self.pair >= event.pairs.len() || self.balls.len() != event.seats[0].bag.bag.balls().len() {
            let allowed = "its pair or its balls are not those of its event; begin the block again".to_owned();
            let value = format!("the block {} as it is kept beside the record", self.block);
            return Err(Fault::Flag { flag: "--record".to_owned(), value, allowed });
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

    /// As a file.
    ///
    /// # Errors
    /// If it cannot be written as JSON.
    pub fn text(&self) -> Result<String, Failure> {
        serde_json::to_string(self).map_err(Failure::Json)
    }

    /// As the record keeps it.
    ///
    /// # Errors
    /// As [`Begun::text`].
    pub fn kept(&self) -> Result<Beginning, Failure> {
        Ok(Beginning { block: self.block.clone(), bowler: self.bowler.clone(), text: self.text()? })
    }

    /// From its file.
    ///
    /// # Errors
    /// Why it cannot be read, in words.
    fn read(text: &[u8]) -> Result<Self, String> {
        let begun: Self = serde_json::from_slice(text)
            .map_err(|why| format!("not the file of a block that this version wrote ({why}); begin the block again"))?;
        match (begun.schema, Self::SCHEMA) {
            (found, ours) if found == ours => Ok(begun),
            (found, ours) => Err(format!("of version {found}, this program reads {ours}; begin the block again")),
        }
    }

    /// What a sheet of the record began with; none where nothing was kept of it. Inside, why it cannot be read, in words.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn of(record: &Record, block: &BlockId, bowler: &BowlerId) -> Result<Option<Result<Self, String>>, Failure> {
        Ok(record.beginning(block, bowler)?.map(|text| Self::read(text.as_bytes())))
    }

    /// What lies beside a record, if it is of a block in it. A block begun by a version that kept it nowhere else is so kept when the next
    /// one begins.
    pub fn beside(place: &Path, record: &Record) -> Option<Self> {
        let begun = Self::read(&std::fs::read(beside(place)).ok()?).ok()?;
        let known =
            record.get::<Block>(begun.block.as_str()).is_ok() && record.get::<Bowler>(begun.bowler.as_str()).is_ok();
        known.then_some(begun)
    }

    /// The version written now.
    pub const SCHEMA: u32 = 1;
}

impl Setting {
    /// On one pair of an event.
    pub fn of(event: KitEvent, pair: usize) -> Self {
        let ours = &event.seats[0];
        let KitPair { numbers, lanes, .. } = &event.pairs[pair];
        let fresh = lanes.each_ref().map(|lane| lane.seen_by(ours.bowler.hand));
        Self { seat: event::seat(ours), fresh, numbers: *numbers, pair, event }
    }

    /// A lane of the pair by its number.
    ///
    /// # Errors
    /// If the pair has no such lane.
    pub fn lane(&self, number: u32) -> Result<usize, Fault> {
        let [first, second] = self.numbers;
        self.numbers.iter().position(|&one| one == number).ok_or_else(|| Fault::Flag {
            flag: "--lane".to_owned(),
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

/// The file beside a record that keeps the present block.
pub fn beside(place: &Path) -> PathBuf {
    let name = place.file_name().unwrap_or_default().to_string_lossy();
    place.with_file_name(format!("{name}.block.json"))
}

/// Opens a record that must be there already.
///
/// # Errors
/// If there is no record, or it cannot be read.
pub fn open(place: &Path) -> Result<Record, Failure> {
    if place.symlink_metadata().is_err() {
        return Err(absent(place, "there is no record; `boardwise start` begins one").into());
    }
    Ok(Record::open(place)?)
}

fn absent(place: &Path, allowed: &str) -> Fault {
    Fault::Flag { flag: "--record".to_owned(), value: place.display().to_string(), allowed: allowed.to_owned() }
}

impl Desk {
    /// Opens the record and the present block in it.
    ///
    /// # Errors
    /// If there is no record or no present block, or one of them cannot be read.
    pub fn open(place: &Path) -> Result<Self, Failure> {
        let record = open(place)?;
        let kept = beside(place);
        if kept.symlink_metadata().is_err() {
            return Err(absent(place, "no block has been begun here; `boardwise start` begins one").into());
        }
        let name = kept.display().to_string();
        let bytes = std::fs::read(&kept).map_err(|source| Fault::Unreadable { name: name.clone(), source })?;
        let begun = Begun::read(&bytes).map_err(|why| absent(&kept, &why))?;
        Ok(Self { record, place: place.to_owned(), begun })
    }

    /// The sheet of the block.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn sheet(&self) -> Result<Sheet, Failure> {
        Ok(self.record.sheet(&self.begun.block, &self.begun.bowler)?)
    }

    /// The lines that were logged in a block of the bowler's, in order: number of the fact, lane by its number, line.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn lines(&self, block: &BlockId) -> Result<Vec<(boardwise_record::Seq, u32, Meant)>, Failure> {
        let notes = self.record.notes()?;
        let ours = notes
            .into_iter()
            .filter(|note| note.block.as_ref() == Some(block) && note.bowler.as_ref() == Some(&self.begun.bowler));
        Ok(ours.filter_map(|note| Meant::read(&note.text).map(|(lane, meant)| (note.seq, lane, meant))).collect())
    }
}

/// A word of the record as it was typed.
///
/// # Errors
/// If it is none of the record's words.
pub fn word<T: FromStr<Err = boardwise_record::Error>>(flag: &str, typed: &str) -> Result<T, Fault> {
    typed.parse().map_err(|why: boardwise_record::Error| Fault::Flag {
        flag: flag.to_owned(),
        value: typed.to_owned(),
        allowed: why.to_string(),
    })
}

/// A key that nobody else makes.
///
/// # Errors
/// If the record takes no such key: a fault of the program.
pub fn fresh_key() -> Result<Key, Failure> {
    Ok(format!("{}-{}", Timestamp::now().as_nanosecond(), std::process::id()).parse()?)
}

/// A key of the client's own, with room for what is logged beside it.
///
/// # Errors
/// If it is none.
pub fn own_key(typed: &str) -> Result<Key, Failure> {
    const ROOM: usize = 56;
    let refuse = |allowed: String| Fault::Flag { flag: "--key".to_owned(), value: typed.to_owned(), allowed };
    let key: Key = word("--key", typed)?;
    if typed.chars().count() > ROOM || typed.contains('/') {
        return Err(
            refuse(format!("at most {ROOM} characters and no /, which is put before what belongs to a shot")).into()
        );
    }
    Ok(key)
}

/// What is logged beside a shot or a move, by the end of its key.
pub const BALL: &str = "ball";
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
    let parted = key.as_str().rsplit_once('/').filter(|(_, part)| [BALL, NOTE].contains(part) || LANES.contains(part));
    parted.map_or(key.as_str(), |(stem, _)| stem)
}
