//! Questions to the database. With `open`, `lookup`, `seal`, `tally` and `tables` this is all that speaks SQL: another database would offer
//! what this one offers to the rest of the crate.

use std::path::PathBuf;
use std::time::Duration;

use jiff::Timestamp;
use rusqlite::{Connection, ErrorCode, OptionalExtension, Params, Transaction, TransactionBehavior};

use crate::Error;
use crate::fact::{Fact, Logged};
use crate::file_mark::{FileMark, ReadOnly};
use crate::row::{Row, summed_columns};
use crate::sum::{Summing, agrees};
use crate::tables::sealed::Table;
use crate::word::{Key, Seq};

/// An open file.
#[derive(Debug)]
pub struct Store {
    pub(crate) db: Connection,
    pub(crate) place: Place,
    /// Which file was opened, to notice another one in its place.
    pub(crate) file: Option<FileMark>,
    /// Why nothing may be written, where that is so.
    pub(crate) read_only: Option<ReadOnly>,
}

/// Where the file is and how long others are waited for: what messages need.
#[derive(Clone, Debug)]
pub(crate) struct Place {
    pub path: PathBuf,
    pub wait: Duration,
    /// Whether there was anything in the log beside the file before it was opened.
    pub had_log: bool,
}

impl Place {
    /// What the database said, in our words.
    pub fn error(&self, source: rusqlite::Error) -> Error {
        let path = self.path.clone();
        // Where not even the index of the log finds room, it is no word of a full disk that comes back.
        if source.sqlite_error().is_some_and(|error| error.extended_code == rusqlite::ffi::SQLITE_IOERR_SHMSIZE) {
            return Error::DiskFull { path };
        }
        match source.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Error::Busy { path, waited: self.wait },
            Some(ErrorCode::DiskFull) => Error::DiskFull { path },
            Some(ErrorCode::ReadOnly) => Error::ReadOnly { path },
            Some(ErrorCode::NotADatabase) => Error::NotARecord { path },
            Some(ErrorCode::DatabaseCorrupt) => Error::Damaged { path, what: source.to_string() },
            Some(ErrorCode::CannotOpen) => Error::CannotOpen { path },
            _ => match source {
                rusqlite::Error::FromSqlConversionFailure(_, _, why) => Error::Damaged { path, what: why.to_string() },
                // A row or value that is always there, and always of this form, as far as this program wrote it.
                rusqlite::Error::QueryReturnedNoRows => {
                    Error::Damaged { path, what: "a row that every record has is missing".to_owned() }
                }
                rusqlite::Error::InvalidColumnType(..)
                | rusqlite::Error::IntegralValueOutOfRange(..)
                | rusqlite::Error::Utf8Error(..) => Error::Damaged { path, what: source.to_string() },
                source => Error::Database { path, source },
            },
        }
    }
}

impl Store {
    /// Does `work` wholly or not at all, with no other writer beside it. What it did is on disk when this returns, unless it is part
    /// of other such work: then when that does.
    pub fn write<T, E: From<Error>>(&self, work: impl FnOnce(&Self) -> Result<T, E>) -> Result<T, E> {
        if self.is_writing() {
            return self.part(work);
        }
        let transaction = self.begin_writing()?;
        // Whoever leaves early drops the transaction, and that takes it back.
        let done = work(self)?;
        transaction.commit().map_err(|why| self.place.error(why))?;
        self.is_in_place()?;
        Ok(done)
    }

    /// Does `work` on one state of the record, whatever others write meanwhile.
    pub fn read<T>(&self, work: impl FnOnce(&Self) -> Result<T, Error>) -> Result<T, Error> {
        if self.is_writing() {
            return work(self);
        }
        let transaction = self.transaction(TransactionBehavior::Deferred)?;
        let done = work(self)?;
        transaction.commit().map_err(|why| self.place.error(why))?;
        Ok(done)
    }

    /// Whether `work` of [`Store::write`] or [`Store::read`] is going on.
    pub fn is_writing(&self) -> bool {
        !self.db.is_autocommit()
    }

    pub(crate) fn transaction(&self, behaviour: TransactionBehavior) -> Result<Transaction<'_>, Error> {
        Transaction::new_unchecked(&self.db, behaviour).map_err(|why| self.place.error(why))
    }

    /// A part of other work: wholly or not at all, too.
    fn part<T, E: From<Error>>(&self, work: impl FnOnce(&Self) -> Result<T, E>) -> Result<T, E> {
        self.ask(|| self.db.execute_batch("SAVEPOINT part"))?;
        let done = work(self);
        let end = if done.is_ok() { "RELEASE part" } else { "ROLLBACK TO part; RELEASE part" };
        self.ask(|| self.db.execute_batch(end))?;
        done
    }

    /// Adds a fact at the end of the log. `root` is the fact that an undo or correction is about in the end.
    pub fn append(&self, fact: Fact, key: Key, at: Timestamp, root: Option<Seq>) -> Result<Seq, Error> {
        let seq = Seq(self.last()?.0 + 1);
        let row = Row::from(Logged { seq, key, at, fact });
        let (at, root) = (row.at.to_string(), root.map(|seq| seq.0));
        let at = at.as_str();
        let mut values: Vec<&dyn rusqlite::ToSql> = vec![&seq.0];
        values.extend(row.values(&at));
        values.push(&root);
        values.push(&row.measured);
        let sum = self.ask(|| {
            let mut summing = Summing::default();
            values.iter().try_for_each(|value| summing.add_new(*value))?;
            Ok(summing.sum())
        })?;
        values.push(&sum);
        let marks = vec!["?"; values.len()].join(", ");
        let sql = format!("INSERT INTO fact ({}) VALUES ({marks})", summed_columns());
        self.ask(|| {
            self.db.prepare_cached(&sql)?.execute(values.as_slice())?;
            self.db.prepare_cached("UPDATE seal SET facts = ?1")?.execute([seq.0])
        })?;
        Ok(seq)
    }

    /// The time of the fact logged last.
    pub fn latest(&self) -> Result<Option<Timestamp>, Error> {
        let sql = format!("SELECT {} FROM fact ORDER BY seq DESC LIMIT 1", summed_columns());
        Ok(self.facts(&sql, [])?.pop().map(|logged| logged.at))
    }

    /// The fact logged under a key.
    pub fn by_key(&self, key: &Key) -> Result<Option<Logged>, Error> {
        let found = self.facts(&format!("SELECT {} FROM fact WHERE key = ?1", summed_columns()), [key])?.pop();
        if found.as_ref().is_some_and(|found| found.key != *key) {
            return Err(self.damaged(format!("its index of keys leads astray at {:?}", key.as_str())));
        }
        Ok(found)
    }

    /// The fact of a number.
    pub fn numbered(&self, seq: Seq) -> Result<Option<Logged>, Error> {
        let found = self.facts(&format!("SELECT {} FROM fact WHERE seq = ?1", summed_columns()), [seq.0])?.pop();
        if found.is_none() && self.is_number(seq)? {
            return Err(self.damaged(format!("fact number {seq} is not found")));
        }
        Ok(found)
    }

    /// The fact that another is about in the end: itself, if it is no undo or correction.
    pub fn root(&self, of: Seq) -> Result<Seq, Error> {
        let sql = "SELECT coalesce(root, seq) FROM fact WHERE seq = ?1";
        let root = self.ask(|| self.db.prepare_cached(sql)?.query_row([of.0], |row| row.get(0)).optional())?;
        root.map(Seq).ok_or(Error::NoSuchFact { seq: of })
    }

    /// Whether there must be a fact of this number.
    pub(crate) fn is_number(&self, seq: Seq) -> Result<bool, Error> {
        Ok(seq.0 > 0 && seq <= self.last()?)
    }

    pub(crate) fn facts(&self, sql: &str, about: impl Params) -> Result<Vec<Logged>, Error> {
        let rows: Vec<Row> = self.ask(|| self.db.prepare_cached(sql)?.query_map(about, Row::read_summed)?.collect())?;
        rows.into_iter().map(|row| self.whole_row(row)).collect()
    }

    /// Calls `each` for every fact after `after`, in order.
    pub fn each_row(&self, after: Seq, mut each: impl FnMut(Row) -> Result<(), Error>) -> Result<(), Error> {
        let sql = format!("SELECT {} FROM fact WHERE seq > ?1 ORDER BY seq", summed_columns());
        let mut query = self.ask(|| self.db.prepare_cached(&sql))?;
        let mut rows = self.ask(|| query.query([after.0]))?;
        let mut before = after.0;
        while let Some(row) = self.ask(|| rows.next())? {
            let row = self.ask(|| Row::read_summed(row))?;
            if row.seq != before + 1 {
                break;
            }
            before = row.seq;
            each(row)?;
        }
        if before < self.last()?.0 {
            return Err(self.damaged(format!("fact number {} is not found", before + 1)));
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
        self.damaged(format!("fact number {seq}: {why}"))
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
        let sql = format!("SELECT {}, sum FROM {} WHERE id = ?1", T::COLUMNS, T::THING);
        self.ask(|| self.db.prepare_cached(&sql)?.query_row([id], summed::<T>).optional())
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
        let sql = format!("SELECT {}, sum FROM {} ORDER BY id", T::COLUMNS, T::THING);
        self.ask(|| self.db.prepare_cached(&sql)?.query_map([], summed::<T>)?.collect())
    }

    /// Adds one, whose name must be free.
    pub fn insert<T: Table>(&self, new: &T) -> Result<(), Error> {
        let sql =
            format!("INSERT INTO {} ({}, sum) VALUES ({})", T::THING, T::COLUMNS, "?, ".repeat(width::<T>()) + "?");
        self.put(new, &sql)
    }

    /// Lets people call one by another name. The record goes on calling it by its id.
    pub fn rename<T: Table>(&self, id: &str, name: &str) -> Result<(), Error> {
        let mut one = self.one::<T>(id)?;
        name.clone_into(one.name());
        let set = T::COLUMNS.split(", ").chain(["sum"]).zip(1..).map(|(column, k)| format!("{column} = ?{k}"));
        let sql = format!("UPDATE {} SET {} WHERE id = ?1", T::THING, set.collect::<Vec<_>>().join(", "));
        self.put(&one, &sql)
    }

    fn put<T: Table>(&self, one: &T, sql: &str) -> Result<(), Error> {
        self.ask(|| {
            let mut summing = Summing::default();
            let mut values = one.values();
            values.iter().try_for_each(|value| summing.add_new(value))?;
            values.push(summing.sum().to_vec().into());
            self.db.prepare_cached(sql)?.execute(rusqlite::params_from_iter(values))?;
            self.db.prepare_cached("UPDATE seal SET names = names + 1")?.execute([]).map(drop)
        })
    }

    /// Asks the database, and puts what went wrong into our words.
    pub fn ask<T>(&self, question: impl FnOnce() -> rusqlite::Result<T>) -> Result<T, Error> {
        question().map_err(|why| self.place.error(why))
    }
}

fn width<T: Table>() -> usize {
    T::COLUMNS.split(", ").count()
}

/// Reads one whose sum agrees.
fn summed<T: Table>(row: &rusqlite::Row<'_>) -> rusqlite::Result<T> {
    agrees(row)?;
    T::read(row)
}
