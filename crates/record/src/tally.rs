//! Whether an index leads to all that it must. Every row carries a checksum, so what is read is as it was written. What is not found has
//! none: an index that lies hides shots without a word. So the file keeps how many facts are looked up together, and the sum of their
//! numbers. Each look-up is compared with that, and opening a record need not read all of it.

use rusqlite::Params;

use crate::Error;
use crate::fact::{Fact, Logged};
use crate::store::Store;
use crate::word::{BallId, BlockId, BowlerId};

/// Facts that are looked up together.
#[derive(Clone, Copy)]
pub(crate) struct Class {
    name: &'static str,
    /// Which they are, given what they are about: `?1`, and `?2` where they are about two things.
    pub such: &'static str,
}

/// Shots and changes of lanes of a bowler in a block.
pub(crate) const OF_SHEET: Class =
    Class { name: "sheet", such: "block = ?1 AND bowler = ?2 AND kind IN ('shot', 'foul', 'lane')" };
/// Lines that a bowler meant in a block.
pub(crate) const OF_LINES: Class = Class { name: "line", such: "block = ?1 AND bowler = ?2 AND kind = 'line'" };
/// How a bowler's block began, and when it was gone back to.
pub(crate) const OF_BEGINNING: Class =
    Class { name: "beginning", such: "block = ?1 AND bowler = ?2 AND kind IN ('begun', 'resumed')" };
/// Changes of a bowler's ball.
pub(crate) const OF_HAND: Class = Class { name: "ball", such: "bowler = ?1 AND ?2 = '' AND kind = 'ball'" };
/// Work on a ball's surface.
pub(crate) const OF_SURFACE: Class = Class { name: "surface", such: "ball = ?1 AND ?2 = '' AND kind = 'surface'" };
/// Notes.
pub(crate) const OF_NOTES: Class = Class { name: "note", such: "?1 = '' AND ?2 = '' AND kind = 'note'" };

/// How many facts, and the sum of their numbers.
type Count = (i64, i64);

/// What the tally must hold, by the facts.
const COUNTED: &str = "SELECT class, one, two, count(*), sum(seq) FROM tallied GROUP BY class, one, two";

impl Class {
    /// How many are found and their sum; how many there must be and their sum.
    pub fn found_and_due(self) -> String {
        let Self { name, such } = self;
        let due = |what: &str| {
            format!("coalesce((SELECT {what} FROM tally WHERE class = '{name}' AND one = ?1 AND two = ?2), 0)")
        };
        format!("SELECT count(*), coalesce(sum(seq), 0), {}, {} FROM fact WHERE {such}", due("facts"), due("seqs"))
    }
}

impl Store {
    /// Says so if not all facts of a class are found.
    pub fn finds_all(&self, class: Class, about: [&str; 2]) -> Result<(), Error> {
        let sql = class.found_and_due();
        let (found, due) = self.ask(|| {
            self.db.prepare_cached(&sql)?.query_row(about, |row| {
                Ok::<(Count, Count), _>(((row.get(0)?, row.get(1)?), (row.get(2)?, row.get(3)?)))
            })
        })?;
        self.same(class.name, found, due)
    }

    /// Says so if not all facts with these roots, or not all that undoes and corrects them, are among those that were found.
    pub fn found_all_of(&self, roots: &str, about: impl Params, found: &[Logged]) -> Result<(), Error> {
        let sql = format!(
            "WITH roots (seq) AS ({roots})
             SELECT (SELECT count(DISTINCT seq) FROM roots), coalesce(sum(facts), 0), coalesce(sum(seqs), 0)
             FROM tally WHERE class = 'root' AND one IN roots"
        );
        let (first, due): (i64, Count) = self.ask(|| {
            self.db.prepare_cached(&sql)?.query_row(about, |row| Ok((row.get(0)?, (row.get(1)?, row.get(2)?))))
        })?;
        let (mut changes, mut others) = ((0, 0), 0);
        for one in found {
            match one.fact {
                Fact::Undo { .. } | Fact::Correction { .. } => changes = (changes.0 + 1, changes.1 + one.seq.0),
                _ => others += 1,
            }
        }
        self.same("correction", changes, due)?;
        self.same("fact", (others, 0), (first, 0))
    }

    /// Says so if the sheets found, in the order of blocks and bowlers, are not all there are.
    pub fn finds_sheets(&self, found: &[(i64, (BlockId, BowlerId))]) -> Result<(), Error> {
        let sql = "SELECT one, two FROM tally WHERE class = 'sheet' ORDER BY one, two";
        let due: Vec<(BlockId, BowlerId)> =
            self.ask(|| self.db.prepare_cached(sql)?.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect())?;
        if found.iter().map(|(_, sheet)| sheet).eq(&due) {
            return Ok(());
        }
        Err(self.damaged(format!("{} sheets must be there; {} or others are found", due.len(), found.len())))
    }

    /// Says so if not every beginning of a block is found.
    pub fn finds_beginnings(&self) -> Result<(), Error> {
        let sql = "SELECT count(*), coalesce(sum(seq), 0), (SELECT coalesce(sum(facts), 0) FROM tally WHERE class = 'beginning'),
            (SELECT coalesce(sum(seqs), 0) FROM tally WHERE class = 'beginning') FROM fact WHERE kind IN ('begun', 'resumed')";
        let (found, due) = self.ask(|| {
            self.db
                .prepare_cached(sql)?
                .query_row([], |row| Ok::<(Count, Count), _>(((row.get(0)?, row.get(1)?), (row.get(2)?, row.get(3)?))))
        })?;
        self.same("beginning", found, due)
    }

    /// The bowlers who ever had this ball in hand.
    pub fn throwers(&self, ball: &BallId) -> Result<Vec<BowlerId>, Error> {
        type Thrown = Vec<(BowlerId, i64, i64)>;
        let ask = |sql: &str| -> Result<Thrown, Error> {
            self.ask(|| {
                let mut query = self.db.prepare_cached(sql)?;
                query.query_map([ball], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?.collect()
            })
        };
        let found = ask("SELECT bowler, count(*), sum(seq) FROM fact
            WHERE ball = ?1 AND kind IN ('shot', 'foul', 'ball') GROUP BY bowler ORDER BY bowler")?;
        let due = ask("SELECT two, facts, seqs FROM tally WHERE class = 'thrown' AND one = ?1 ORDER BY two")?;
        if found != due {
            return Err(self.damaged(format!("not every throw of {ball} is found")));
        }
        Ok(found.into_iter().map(|(bowler, ..)| bowler).collect())
    }

    /// Counts all facts anew, where some were taken out.
    pub fn tally_anew(&self) -> Result<(), Error> {
        self.ask(|| self.db.execute_batch(&format!("DELETE FROM tally; INSERT INTO tally {COUNTED}")))
    }

    /// Whether the tally is what the facts say.
    pub fn tally_agrees(&self) -> Result<(), Error> {
        let kept = "SELECT class, one, two, facts, seqs FROM tally";
        let sql = format!(
            "SELECT (SELECT count(*) FROM ({COUNTED} EXCEPT {kept})) + (SELECT count(*) FROM ({kept} EXCEPT {COUNTED}))"
        );
        match self.ask(|| self.db.query_row(&sql, [], |row| row.get::<_, i64>(0)))? {
            0 => Ok(()),
            astray => Err(self.damaged(format!("{astray} counts of facts are not as they were written"))),
        }
    }

    fn same(&self, what: &str, found: Count, due: Count) -> Result<(), Error> {
        if found == due {
            return Ok(());
        }
        let which = if found.0 == due.0 { " others" } else { "" };
        Err(self.damaged(format!("{} of kind {what} must be there; there are {}{which}", due.0, found.0)))
    }
}
