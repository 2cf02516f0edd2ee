//! Questions to the database. With `open` and `tables` this is all that speaks SQL: another database would offer what this one offers to the rest of the crate.

use std::path::PathBuf;
use std::time::Duration;

use jiff::Timestamp;
use rusqlite::{Connection, ErrorCode, OptionalExtension, Params, Transaction, TransactionBehavior};

use crate::Error;
use crate::fact::{Fact, Logged, Seq};
use crate::reading::settle;
use crate::row::{COLUMNS, Row};
use crate::tables::sealed::Table;
use crate::word::{BallId, BlockId, BowlerId, Key};

/// An open file.
#[derive(Debug)]
pub struct Store {
    pub(crate) db: Connection,
    pub(crate) place: Place,
}

/// Where the file is and how long others are waited for: what messages need.
#[derive(Clone, Debug)]
pub(crate) struct Place {
    pub path: PathBuf,
    pub wait: Duration,
}

impl Place {
    /// What the database said, in our words.
    pub fn error(&self, source: rusqlite::Error) -> Error {
        let path = self.path.clone();
        match source.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Error::Busy { path, waited: self.wait },
            Some(ErrorCode::DiskFull) => Error::DiskFull { path },
            Some(ErrorCode::ReadOnly) => Error::ReadOnly { path },
            Some(ErrorCode::NotADatabase) => Error::NotARecord { path },
            Some(ErrorCode::DatabaseCorrupt) => Error::Damaged { path, what: source.to_string() },
            Some(ErrorCode::CannotOpen) => Error::CannotOpen { path },
            _ if matches!(source, rusqlite::Error::FromSqlConversionFailure(..)) => {
                Error::Damaged { path, what: source.to_string() }
            }
            _ => Error::Database { path, source },
        }
    }
}

/// The facts of a sheet by their own words, and the changes of the bowler's ball that it can feel: while it was bowled, with the last sure
/// one before (nothing undoes or corrects it), and the last sure one of all with what came after. Those of all other blocks would make
/// every sheet as long as the record.
const ROOTS_OF_SHEET: &str = "
    WITH own (seq) AS
        (SELECT coalesce(root, seq) FROM fact WHERE block = ?1 AND bowler = ?2 AND kind IN ('shot', 'foul', 'lane')),
    hand (seq) AS (SELECT coalesce(root, seq) FROM fact WHERE bowler = ?2 AND kind = 'ball'),
    sure (seq) AS (SELECT seq FROM hand WHERE NOT EXISTS (SELECT 1 FROM fact WHERE root = hand.seq))
    SELECT seq FROM own
    UNION SELECT seq FROM hand
        WHERE seq BETWEEN coalesce((SELECT max(seq) FROM sure WHERE seq < (SELECT min(seq) FROM own)), 0)
            AND (SELECT max(seq) FROM own)
        OR seq >= coalesce((SELECT max(seq) FROM sure), 0)";
const ROOTS_OF_HAND: &str = "SELECT coalesce(root, seq) FROM fact WHERE bowler = ?1 AND kind = 'ball'";
const ROOTS_OF_SURFACE: &str = "SELECT coalesce(root, seq) FROM fact WHERE ball = ?1 AND kind = 'surface'";
const ROOTS_OF_LINES: &str = "SELECT coalesce(root, seq) FROM fact WHERE block = ?1 AND bowler = ?2 AND kind = 'line'";
const ROOTS_OF_BEGINNING: &str =
    "SELECT coalesce(root, seq) FROM fact WHERE block = ?1 AND bowler = ?2 AND kind IN ('begun', 'resumed')";
const ROOTS_OF_BEGINNINGS: &str = "SELECT coalesce(root, seq) FROM fact WHERE kind IN ('begun', 'resumed')";
const ROOTS_OF_NOTES: &str = "SELECT coalesce(root, seq) FROM fact WHERE kind = 'note'";

/// The searches made at every turn, with how many things each is about.
#[cfg(test)]
pub(crate) const SEARCHES: &[(&str, usize)] =
    &[(ROOTS_OF_SHEET, 2), (ROOTS_OF_LINES, 2), (ROOTS_OF_BEGINNING, 2), (ROOTS_OF_HAND, 1), (ROOTS_OF_SURFACE, 1)];

impl Store {
    /// Does `work` wholly or not at all, with no other writer beside it. What it did is on disk when this returns.
    pub fn write<T>(&self, work: impl FnOnce(&Self) -> Result<T, Error>) -> Result<T, Error> {
        self.transact(TransactionBehavior::Immediate, work)
    }

    /// Does `work` on one state of the record, whatever others write meanwhile.
    pub fn read<T>(&self, work: impl FnOnce(&Self) -> Result<T, Error>) -> Result<T, Error> {
        self.transact(TransactionBehavior::Deferred, work)
    }

    fn transact<T>(
        &self,
        behaviour: TransactionBehavior,
        work: impl FnOnce(&Self) -> Result<T, Error>,
    ) -> Result<T, Error> {
        let transaction = Transaction::new_unchecked(&self.db, behaviour).map_err(|why| self.place.error(why))?;
        // Whoever leaves early drops the transaction, and that takes it back.
        let done = work(self)?;
        transaction.commit().map_err(|why| self.place.error(why))?;
        Ok(done)
    }

    /// Adds a fact at the end of the log. `root` is the fact that an undo or correction is about in the end.
    pub fn append(&self, fact: Fact, key: Key, at: Timestamp, root: Option<Seq>) -> Result<Seq, Error> {
        let row = Row::from(Logged { seq: Seq(0), key, at, fact });
        self.put(None, &row, root.map(|seq| seq.0))
    }

    /// Copies a row of an earlier log into the log, under its own number.
    pub fn insert_row(&self, row: &Row, root: Option<i64>) -> Result<(), Error> {
        self.put(Some(row.seq), row, root).map(|_| ())
    }

    fn put(&self, seq: Option<i64>, row: &Row, root: Option<i64>) -> Result<Seq, Error> {
        let at = row.at.to_string();
        let at = at.as_str();
        let mut values: Vec<&dyn rusqlite::ToSql> = vec![&seq];
        values.extend(row.values(&at));
        values.push(&root);
        let marks = vec!["?"; values.len()].join(", ");
        let sql = format!("INSERT INTO fact ({COLUMNS}, root) VALUES ({marks})");
        self.ask(|| self.db.prepare_cached(&sql)?.insert(values.as_slice())).map(Seq)
    }

    /// The time of the fact logged last.
    pub fn latest(&self) -> Result<Option<Timestamp>, Error> {
        let sql = format!("SELECT {COLUMNS} FROM fact ORDER BY seq DESC LIMIT 1");
        Ok(self.facts(&sql, [])?.pop().map(|logged| logged.at))
    }

    /// The fact logged under a key.
    pub fn by_key(&self, key: &Key) -> Result<Option<Logged>, Error> {
        Ok(self.facts(&format!("SELECT {COLUMNS} FROM fact WHERE key = ?1"), [key])?.pop())
    }

    /// The fact that another is about in the end: itself, if it is no undo or correction.
    pub fn root(&self, of: Seq) -> Result<Seq, Error> {
        let sql = "SELECT coalesce(root, seq) FROM fact WHERE seq = ?1";
        let root = self.ask(|| self.db.prepare_cached(sql)?.query_row([of.0], |row| row.get(0)).optional())?;
        root.map(Seq).ok_or(Error::NoSuchFact { seq: of })
    }

    /// A fact with all that undoes and corrects it.
    pub fn history(&self, root: Seq) -> Result<Vec<Logged>, Error> {
        self.whole("SELECT ?1", [root.0])
    }

    /// All that a sheet is read from.
    pub fn of_sheet(&self, block: &BlockId, bowler: &BowlerId) -> Result<Vec<Logged>, Error> {
        self.whole(ROOTS_OF_SHEET, [block.as_str(), bowler.as_str()])
    }

    /// All changes of a bowler's ball.
    pub fn of_hand(&self, bowler: &BowlerId) -> Result<Vec<Logged>, Error> {
        self.whole(ROOTS_OF_HAND, [bowler])
    }

    /// All work on a ball's surface.
    pub fn of_surface(&self, ball: &BallId) -> Result<Vec<Logged>, Error> {
        self.whole(ROOTS_OF_SURFACE, [ball])
    }

    /// All lines that a bowler meant in a block.
    pub fn of_lines(&self, block: &BlockId, bowler: &BowlerId) -> Result<Vec<Logged>, Error> {
        self.whole(ROOTS_OF_LINES, [block.as_str(), bowler.as_str()])
    }

    /// How a bowler's block began, and when it was gone back to.
    pub fn of_beginning(&self, block: &BlockId, bowler: &BowlerId) -> Result<Vec<Logged>, Error> {
        self.whole(ROOTS_OF_BEGINNING, [block.as_str(), bowler.as_str()])
    }

    /// The block and bowler begun or gone back to last.
    pub fn present(&self) -> Result<Option<(BlockId, BowlerId)>, Error> {
        let settled = settle(self.whole(ROOTS_OF_BEGINNINGS, [])?);
        let mut blocks = settled.into_iter().filter_map(|settled| match settled.fact {
            Fact::BlockBegun { block, bowler, .. } | Fact::BlockResumed { block, bowler } => Some((block, bowler)),
            _ => None,
        });
        Ok(blocks.next_back())
    }

    /// All notes.
    pub fn of_notes(&self) -> Result<Vec<Logged>, Error> {
        self.whole(ROOTS_OF_NOTES, [])
    }

    /// The facts with these roots, and all that undoes and corrects them, in order.
    fn whole(&self, roots: &str, about: impl Params) -> Result<Vec<Logged>, Error> {
        let sql = format!(
            "WITH roots (seq) AS ({roots})
             SELECT {COLUMNS} FROM fact WHERE seq IN roots
             UNION ALL SELECT {COLUMNS} FROM fact WHERE root IN roots ORDER BY seq"
        );
        self.facts(&sql, about)
    }

    fn facts(&self, sql: &str, about: impl Params) -> Result<Vec<Logged>, Error> {
        let rows: Vec<Row> = self.ask(|| self.db.prepare_cached(sql)?.query_map(about, Row::read)?.collect())?;
        rows.into_iter().map(|row| self.whole_row(row)).collect()
    }

    /// Calls `each` for every fact after `after`, in order.
    pub fn each_row(&self, after: Seq, mut each: impl FnMut(Row) -> Result<(), Error>) -> Result<(), Error> {
        let sql = format!("SELECT {COLUMNS} FROM fact WHERE seq > ?1 ORDER BY seq");
        let mut query = self.ask(|| self.db.prepare_cached(&sql))?;
        let mut rows = self.ask(|| query.query([after.0]))?;
        while let Some(row) = self.ask(|| rows.next())? {
            each(self.ask(|| Row::read(row))?)?;
        }
        Ok(())
    }

    /// A row of the log as the fact it holds. A row that holds none was not written by this program.
    pub fn whole_row(&self, row: Row) -> Result<Logged, Error> {
        let seq = row.seq;
        row.logged().map_err(|why| self.no_fact(seq, &why))
    }

    /// The damage of a row that holds no fact, or more than one.
    pub fn no_fact(&self, seq: i64, why: &Error) -> Error {
        Error::Damaged { path: self.place.path.clone(), what: format!("fact number {seq}: {why}") }
    }

    /// The sheets that anything was ever logged on, and those of one bowler if one is named.
    pub fn sheets(&self, bowler: Option<&BowlerId>) -> Result<Vec<(BlockId, BowlerId)>, Error> {
        let sql =
            "SELECT block, bowler FROM fact WHERE kind IN ('shot', 'foul', 'lane') AND (?1 IS NULL OR bowler = ?1)
                   GROUP BY block, bowler ORDER BY min(seq)";
        self.ask(|| self.db.prepare_cached(sql)?.query_map([bowler], |row| Ok((row.get(0)?, row.get(1)?)))?.collect())
    }

    /// The bowlers who ever had this ball in hand.
    pub fn throwers(&self, ball: &BallId) -> Result<Vec<BowlerId>, Error> {
        let sql = "SELECT DISTINCT bowler FROM fact WHERE ball = ?1 AND kind IN ('shot', 'foul', 'ball')";
        self.ask(|| self.db.prepare_cached(sql)?.query_map([ball], |row| row.get(0))?.collect())
    }

    /// The one of this name.
    pub fn one<T: Table>(&self, id: &str) -> Result<T, Error> {
        match self.find(id)? {
            Some(found) => Ok(found),
            None => Err(self.missing::<T>(id)?),
        }
    }

    /// The one of this name, if there is one.
    pub fn find<T: Table>(&self, id: &str) -> Result<Option<T>, Error> {
        let sql = format!("SELECT {} FROM {} WHERE id = ?1", T::COLUMNS, T::THING);
        self.ask(|| self.db.prepare_cached(&sql)?.query_row([id], T::read).optional())
    }

    /// That there is none of this name, and which is most like it.
    fn missing<T: Table>(&self, id: &str) -> Result<Error, Error> {
        let sql = format!("SELECT id FROM {}", T::THING);
        let known: Vec<String> = self.ask(|| self.db.prepare(&sql)?.query_map([], |row| row.get(0))?.collect())?;
        let nearest = crate::word::nearest(id, known.iter().map(String::as_str));
        Ok(Error::NoSuch { thing: T::THING, id: id.into(), nearest })
    }

    /// All there are, by name.
    pub fn all<T: Table>(&self) -> Result<Vec<T>, Error> {
        let sql = format!("SELECT {} FROM {} ORDER BY id", T::COLUMNS, T::THING);
        self.ask(|| self.db.prepare_cached(&sql)?.query_map([], T::read)?.collect())
    }

    /// Adds one, whose name must be free.
    pub fn insert<T: Table>(&self, new: &T) -> Result<(), Error> {
        let marks = vec!["?"; T::COLUMNS.split(',').count()].join(", ");
        let sql = format!("INSERT INTO {} ({}) VALUES ({marks})", T::THING, T::COLUMNS);
        let values = new.values();
        self.ask(|| self.db.prepare_cached(&sql)?.execute(rusqlite::params_from_iter(values))).map(|_| ())
    }

    /// Lets people call one by another name. The record goes on calling it by its id.
    pub fn rename<T: Table>(&self, id: &str, name: &str) -> Result<(), Error> {
        let sql = format!("UPDATE {} SET name = ?2 WHERE id = ?1", T::THING);
        match self.ask(|| self.db.execute(&sql, [id, name]))? {
            0 => Err(self.missing::<T>(id)?),
            _ => Ok(()),
        }
    }

    /// What changes when others write (the database's `data_version`, which knows their commits but not ours), and rows written here.
    pub fn version(&self) -> Result<(i64, u64), Error> {
        let others = self.ask(|| self.db.pragma_query_value(None, "data_version", |row| row.get(0)))?;
        Ok((others, self.db.total_changes()))
    }

    /// Asks the database, and puts what went wrong into our words.
    pub fn ask<T>(&self, question: impl FnOnce() -> rusqlite::Result<T>) -> Result<T, Error> {
        question().map_err(|why| self.place.error(why))
    }
}
