//! The record: one file, its facts, and what follows from them.

use std::path::Path;
use std::time::Duration;

use jiff::Timestamp;

use crate::Error;
use crate::bag::BallLife;
use crate::fact::{Fact, Logged, Receipt};
use crate::open::open;
use crate::opening::{LineMeant, Opening};
use crate::reading::settle;
use crate::roster::{Ball, Block, Bowler, Event, Lane};
use crate::seal::Counts;
use crate::sheet::Sheet;
use crate::store::Store;
use crate::tables::Listed;
use crate::word::{BallId, BlockId, BowlerId, Key, LaneId, Seq};
use crate::writing::Writing;

/// An open record. It reads no clock: whoever logs says when.
///
/// Several processes may have the same file open; they write one after another. What a call to log returned for is on
/// disk. What returned an error changed nothing.
#[derive(Debug)]
pub struct Record {
    pub(crate) store: Store,
}

/// A state of a record: whatever is written, by whomever, makes another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Version(Counts);

impl Version {
    /// Whether facts alone were added since another state, each after those that were there. Then what was read of those still stands;
    /// after [`Record::join`] they may have other numbers.
    pub fn only_adds_facts_to(self, earlier: Self) -> bool {
        self.0.names == earlier.0.names && self.0.facts >= earlier.0.facts
    }

    /// The number of the fact logged last.
    pub fn last(self) -> Seq {
        Seq(self.0.facts)
    }
}

/// A remark, with what it is about.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// The fact's number.
    pub seq: Seq,
    /// When, by the client's clock.
    pub at: Timestamp,
    /// The words.
    pub text: String,
    /// The block it is about.
    pub block: Option<BlockId>,
    /// The bowler it is about.
    pub bowler: Option<BowlerId>,
}

/// People and things that come into the record together with facts about them.
#[derive(Clone, Debug, Default)]
pub struct Newcomers {
    /// Bowlers.
    pub bowlers: Vec<Bowler>,
    /// Balls.
    pub balls: Vec<Ball>,
    /// Lanes.
    pub lanes: Vec<Lane>,
    /// Competitions and practices.
    pub events: Vec<Event>,
    /// Blocks.
    pub blocks: Vec<Block>,
}

/// A line that a bowler meant from some fact on.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The fact's number.
    pub seq: Seq,
    /// When, by the client's clock.
    pub at: Timestamp,
    /// On which lane.
    pub lane: LaneId,
    /// What was meant.
    pub line: LineMeant,
}

impl Record {
    /// How long [`Record::open`] lets a call wait for another process that is writing.
    pub const WAIT: Duration = Duration::from_secs(5);

    /// Opens the record in this file, or begins one where there is no file.
    ///
    /// The tables and all that is listed are checked; each fact is when it is read, and all of them by [`Record::check`]. A record of an
    /// earlier version is checked as a whole and brought to ours, after a copy was laid beside it (`FILE.v1.backup`). A file that cannot be
    /// written, or that was copied without its log, is opened to be read ([`Record::read_only`]).
    ///
    /// # Errors
    /// [`Error::Newer`], [`Error::NotARecord`], [`Error::Damaged`], [`Error::CannotOpen`], [`Error::Busy`].
    pub fn open(path: impl AsRef<Path>) -> Result<Self, Error> {
        Self::open_waiting(path, Self::WAIT)
    }

    /// The same with another patience for processes that are writing.
    ///
    /// # Errors
    /// As [`Record::open`].
    pub fn open_waiting(path: impl AsRef<Path>, wait: Duration) -> Result<Self, Error> {
        open(path.as_ref(), wait).map(|store| Self { store })
    }

    /// The state the record is in now; one row is read. Ask before reading what is to be kept for it: what somebody writes in between
    /// then counts as not yet read.
    ///
    /// ```
    /// # use boardwise_record::Shot;
    /// # let folder = tempfile::tempdir()?;
    /// # let path = folder.path().join("a.record");
    /// let (here, mut there) = (boardwise_record::Record::open(&path)?, boardwise_record::Record::open(&path)?);
    /// let before = here.version()?;
    /// assert_eq!(here.version()?, before);
    /// there.import_json(include_str!("../examples/people.json"))?;
    /// assert_ne!(here.version()?, before);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn version(&self) -> Result<Version, Error> {
        self.store.counts().map(Version)
    }

    /// Adds a bowler, ball, lane, event or block. The same one again is no error: `false` says that it was there.
    ///
    /// # Errors
    /// [`Error::Taken`] if the name stands for another, [`Error::NoSuch`] if it belongs to what is not there.
    pub fn add<T: Listed>(&mut self, new: &T) -> Result<bool, Error> {
        self.store.write(|store| Writing::new(store).list(new))
    }

    /// Lets people call one by another name. Its id stays.
    ///
    /// # Errors
    /// [`Error::NoSuch`], [`Error::BadText`].
    pub fn rename<T: Listed>(&mut self, id: &str, name: &str) -> Result<(), Error> {
        crate::fact::readable(name)?;
        self.store.write(|store| store.rename::<T>(id, name))
    }

    /// The bowler, ball, lane, event or block of this id.
    ///
    /// # Errors
    /// [`Error::NoSuch`].
    pub fn get<T: Listed>(&self, id: &str) -> Result<T, Error> {
        self.store.one(id)
    }

    /// All bowlers, balls, lanes, events or blocks, by id: `record.all::<Bowler>()`.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn all<T: Listed>(&self) -> Result<Vec<T>, Error> {
        self.store.all()
    }

    /// Writes one fact down. It is on disk when this returns. The same fact again under the same key adds nothing and
    /// gives the first receipt, whatever the time.
    ///
    /// # Errors
    /// [`Error::KeyTaken`] if the key stands for another fact; whatever else is wrong with the fact, with what it names,
    /// or with the sheet it would make; [`Error::Busy`], [`Error::DiskFull`]. Nothing is written then.
    pub fn log(&mut self, fact: impl Into<Fact>, key: &Key, at: Timestamp) -> Result<Receipt, Error> {
        self.store.write(|store| {
            let mut writing = Writing::new(store);
            let receipt = writing.add(fact.into(), key, at)?;
            writing.adds_up()?;
            Ok(receipt)
        })
    }

    /// Writes several facts down, all or none. Only the sheets they lead to in the end must add up, so that a sheet can
    /// be put right by several facts of which one alone would not fit.
    ///
    /// # Errors
    /// As [`Record::log`], for the first that is wrong.
    pub fn log_all(
        &mut self,
        facts: impl IntoIterator<Item = (Fact, Key)>,
        at: Timestamp,
    ) -> Result<Vec<Receipt>, Error> {
        self.store.write(|store| {
            let mut writing = Writing::new(store);
            let receipts: Result<_, _> = facts.into_iter().map(|(fact, key)| writing.add(fact, &key, at)).collect();
            let receipts = receipts?;
            writing.adds_up()?;
            Ok(receipts)
        })
    }

    /// Adds people and things that are new together with facts about them, all or none. Who or what is there already under the same id
    /// stays, with the name it has here.
    ///
    /// # Errors
    /// As [`Record::add`] and [`Record::log_all`].
    pub fn log_with(
        &mut self,
        new: Newcomers,
        facts: impl IntoIterator<Item = (Fact, Key)>,
        at: Timestamp,
    ) -> Result<Vec<Receipt>, Error> {
        self.store.write(|store| {
            let mut writing = Writing::new(store);
            new.bowlers.into_iter().try_for_each(|one| writing.list_by_id(one).map(drop))?;
            new.balls.into_iter().try_for_each(|one| writing.list_by_id(one).map(drop))?;
            new.lanes.into_iter().try_for_each(|one| writing.list_by_id(one).map(drop))?;
            new.events.into_iter().try_for_each(|one| writing.list_by_id(one).map(drop))?;
            new.blocks.into_iter().try_for_each(|one| writing.list_by_id(one).map(drop))?;
            let receipts: Result<_, _> = facts.into_iter().map(|(fact, key)| writing.add(fact, &key, at)).collect();
            let receipts = receipts?;
            writing.adds_up()?;
            Ok(receipts)
        })
    }

    /// Says what an earlier fact should have said. It keeps its place.
    ///
    /// # Errors
    /// As [`Record::log`]; [`Error::NoSuchFact`], [`Error::Undone`], [`Error::CorrectsNothing`].
    pub fn correct(&mut self, of: Seq, to: impl Into<Fact>, key: &Key, at: Timestamp) -> Result<Receipt, Error> {
        self.log(Fact::Correction { of, to: Box::new(to.into()) }, key, at)
    }

    /// Takes an earlier fact back, a correction or another undo too.
    ///
    /// ```
    /// # use boardwise_record::Shot;
    /// # let folder = tempfile::tempdir()?;
    /// # let mut record = boardwise_record::Record::open(folder.path().join("a.record"))?;
    /// # record.import_json(include_str!("../examples/people.json"))?;
    /// # let (block, anna, at) = ("qualifying".parse()?, "anna".parse()?, "2026-04-11T09:30:00Z".parse()?);
    /// let strike = record.log(Shot::standing(&block, &anna, "none".parse()?), &"k1".parse()?, at)?;
    /// let undo = record.undo(strike.seq, &"k2".parse()?, at)?;
    /// assert!(record.sheet(&block, &anna)?.deliveries.is_empty());
    /// record.undo(undo.seq, &"k3".parse()?, at)?;
    /// assert_eq!(record.sheet(&block, &anna)?.games[0].to_string(), "X");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// As [`Record::log`]; [`Error::NoSuchFact`], [`Error::Undone`].
    pub fn undo(&mut self, of: Seq, key: &Key, at: Timestamp) -> Result<Receipt, Error> {
        self.log(Fact::Undo { of }, key, at)
    }

    /// The receipt of the fact logged under this key, if one was.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn receipt(&self, key: &Key) -> Result<Option<Receipt>, Error> {
        let logged = self.store.by_key(key)?;
        Ok(logged.map(|Logged { seq, key, at, .. }| Receipt { seq, key, at, again: true }))
    }

    /// The fact of this number.
    ///
    /// # Errors
    /// [`Error::NoSuchFact`].
    pub fn fact(&self, seq: Seq) -> Result<Logged, Error> {
        self.store.numbered(seq)?.ok_or(Error::NoSuchFact { seq })
    }

    /// The facts after number `after`, as they were logged; from the first on after `Seq(0)`.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn facts(&self, after: Seq) -> Result<Vec<Logged>, Error> {
        let mut facts = Vec::new();
        self.store.each_row(after, |row| {
            facts.push(self.store.whole_row(row)?);
            Ok(())
        })?;
        Ok(facts)
    }

    /// The facts after number `after` that a bowler's block can feel, as they were logged: those of its sheet, its lines and its notes,
    /// changes of the bowler's ball, work on these balls, and all that undoes or corrects one of them. However much was logged in other
    /// blocks since, none of that is read.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn facts_about(
        &self,
        block: &BlockId,
        bowler: &BowlerId,
        balls: &[BallId],
        after: Seq,
    ) -> Result<Vec<Logged>, Error> {
        self.store.read(|store| store.about(block, bowler, balls, after))
    }

    /// What a bowler threw in a block, with frames and scores.
    ///
    /// # Errors
    /// [`Error::NoSuch`].
    pub fn sheet(&self, block: &BlockId, bowler: &BowlerId) -> Result<Sheet, Error> {
        self.store.read(|store| {
            store.one::<Bowler>(bowler.as_str())?;
            store.sheet(block, bowler)
        })
    }

    /// The blocks and bowlers there are sheets of, in the order in which they were begun.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn sheets(&self) -> Result<Vec<(BlockId, BowlerId)>, Error> {
        self.store.sheets(None)
    }

    /// With what a bowler's block began; none where that was never written down, as in a record of shots alone.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn opening(&self, block: &BlockId, bowler: &BowlerId) -> Result<Option<Opening>, Error> {
        let settled = settle(self.store.read(|store| store.of_beginning(block, bowler))?);
        let mut openings = settled.into_iter().filter_map(|settled| match settled.fact {
            Fact::BlockBegun { block: of, bowler: who, opening } if of == *block && who == *bowler => Some(*opening),
            _ => None,
        });
        Ok(openings.next_back())
    }

    /// The present block and whose it is: the one begun or gone back to last.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn present(&self) -> Result<Option<(BlockId, BowlerId)>, Error> {
        self.store.read(Store::present)
    }

    /// The lines a bowler meant in a block, in the order in which they were logged.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn lines(&self, block: &BlockId, bowler: &BowlerId) -> Result<Vec<Line>, Error> {
        let settled = settle(self.store.read(|store| store.of_lines(block, bowler))?);
        let line = |settled: crate::reading::Settled| match settled.fact {
            Fact::LineMeant { block: of, bowler: who, lane, line } if of == *block && who == *bowler => {
                Some(Line { seq: settled.seq, at: settled.at, lane, line })
            }
            _ => None,
        };
        Ok(settled.into_iter().filter_map(line).collect())
    }

    /// The ball a bowler has in hand: the one last changed to.
    ///
    /// # Errors
    /// [`Error::NoSuch`].
    pub fn in_hand(&self, bowler: &BowlerId) -> Result<Option<BallId>, Error> {
        self.store.read(|store| {
            store.one::<Bowler>(bowler.as_str())?;
            let mut balls = settle(store.of_hand(bowler)?).into_iter().filter_map(|settled| match settled.fact {
                Fact::BallChange { bowler: who, ball } if who == *bowler => Some(ball),
                _ => None,
            });
            Ok(balls.next_back())
        })
    }

    /// A ball with its surfaces and the games on it.
    ///
    /// # Errors
    /// [`Error::NoSuch`].
    pub fn life(&self, ball: &BallId) -> Result<BallLife, Error> {
        self.store.read(|store| BallLife::read(store, store.one(ball.as_str())?))
    }

    /// The balls of a bowler.
    ///
    /// # Errors
    /// [`Error::NoSuch`].
    pub fn bag(&self, bowler: &BowlerId) -> Result<Vec<BallLife>, Error> {
        self.store.read(|store| {
            store.one::<Bowler>(bowler.as_str())?;
            let balls = store.all::<Ball>()?.into_iter().filter(|ball| ball.bowler == *bowler);
            balls.map(|ball| BallLife::read(store, ball)).collect()
        })
    }

    /// The remarks that stand, in order.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn notes(&self) -> Result<Vec<Note>, Error> {
        let settled = settle(self.store.read(Store::of_notes)?);
        let note = |settled: crate::reading::Settled| match settled.fact {
            Fact::Note { text, block, bowler } => Some(Note { seq: settled.seq, at: settled.at, text, block, bowler }),
            _ => None,
        };
        Ok(settled.into_iter().filter_map(note).collect())
    }

    /// Checks everything: the file, its indexes and references, every fact, and that every sheet adds up.
    ///
    /// # Errors
    /// [`Error::Damaged`], or what is wrong with the first sheet that does not add up.
    pub fn check(&self) -> Result<(), Error> {
        self.store.full_check()?;
        self.store.read(|store| {
            store.each_row(Seq(0), |row| {
                let seq = row.seq;
                row.logged_exactly().map(|_| ()).map_err(|why| store.no_fact(seq, &why))
            })?;
            store.sheets(None)?.iter().try_for_each(|(block, bowler)| store.sheet(block, bowler).map(|_| ()))
        })
    }
}

#[cfg(test)]
mod tests;
