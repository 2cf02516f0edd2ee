//! The seal: how many facts and names there must be, and whether every row agrees with its sum.

use rusqlite::types::{Value, ValueRef};

use crate::Error;
use crate::open::MEASURED;
use crate::roster::{Ball, Block, Bowler, Event, Lane};
use crate::row::COLUMNS;
use crate::store::Store;
use crate::sum::{Sum, Summing, agrees, sum_of};
use crate::tables::sealed::Table;
use crate::word::Seq;

impl Store {
    /// Makes all sums of a record anew, of the columns that a version has.
    pub fn sum_all(&self, version: usize) -> Result<(), Error> {
        for (table, columns, id) in lists().into_iter().chain([facts(version)]) {
            let select = format!("SELECT {columns} FROM {table}");
            let update = format!("UPDATE {table} SET sum = ?1 WHERE {id} = ?2");
            self.ask(|| {
                let (mut select, mut update) = (self.db.prepare(&select)?, self.db.prepare(&update)?);
                let width = select.column_count();
                let mut rows = select.query([])?;
                let mut sums: Vec<(Sum, Value)> = Vec::new();
                while let Some(row) = rows.next()? {
                    sums.push((sum_of(row, width)?, row.get(0)?));
                }
                sums.into_iter().try_for_each(|sum| update.execute(sum).map(drop))
            })?;
        }
        self.ask(|| {
            self.db.execute_batch(
                "UPDATE seal SET facts = (SELECT count(*) FROM fact);
                 CREATE TRIGGER fact_stays BEFORE UPDATE ON fact
                 BEGIN SELECT raise(ABORT, 'facts are never changed'); END;",
            )
        })
    }

    /// Notes in the seal what tables, indexes and triggers there are in a file of this version.
    pub fn seal_tables(&self, version: usize) -> Result<(), Error> {
        let sum = self.sum_of_tables(version)?;
        self.ask(|| self.db.execute("UPDATE seal SET tables = ?1", [sum])).map(drop)
    }

    fn sum_of_tables(&self, version: usize) -> Result<Sum, Error> {
        /// The first version that is part of the sum, so that a file cannot be taken for one of another version.
        const VERSIONED: usize = 5;
        let sql = "SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY name";
        let mut summing = Summing::default();
        if version >= VERSIONED {
            summing.add(ValueRef::Integer(i64::try_from(version).unwrap_or(i64::MAX)));
        }
        self.ask(|| {
            let mut query = self.db.prepare(sql)?;
            let mut rows = query.query([])?;
            while let Some(row) = rows.next()? {
                (0..4).try_for_each(|column| row.get_ref(column).map(|value| summing.add(value)))?;
            }
            Ok(())
        })?;
        Ok(summing.sum())
    }

    /// Whether the tables are those of this version, whoever and whatever is listed is as it was written, and the last fact is there. What
    /// it takes does not grow with the facts.
    pub fn seal_agrees(&self, version: usize) -> Result<(), Error> {
        let tables: Vec<u8> = self.ask(|| self.db.query_row("SELECT tables FROM seal", [], |row| row.get(0)))?;
        if tables != self.sum_of_tables(version)? {
            return Err(self.damaged("its tables are not those that were written".to_owned()));
        }
        for (table, columns, _) in lists() {
            self.checked(&format!("integrity_check('{table}')"))?;
            self.every_row(&table, &columns)?;
        }
        let last: i64 =
            self.ask(|| self.db.query_row("SELECT coalesce(max(seq), 0) FROM fact", [], |row| row.get(0)))?;
        self.as_many(last, last)
    }

    /// Whether every fact of a file of this version is as it was written, and none is missing.
    pub fn sums_agree(&self, version: usize) -> Result<(), Error> {
        let (table, columns, _) = facts(version);
        self.every_row(&table, &columns)?;
        let sql = "SELECT count(*), coalesce(max(seq), 0) FROM fact";
        let (facts, last) = self.ask(|| self.db.query_row(sql, [], |row| Ok((row.get(0)?, row.get(1)?))))?;
        self.as_many(facts, last)
    }

    fn as_many(&self, facts: i64, last: i64) -> Result<(), Error> {
        let Counts { facts: must, .. } = self.counts()?;
        if facts == must && last == must {
            return Ok(());
        }
        Err(self.damaged(format!("{must} facts must be there; there are {facts}, the last is number {last}")))
    }

    /// Whether every row of a table agrees with its sum.
    fn every_row(&self, table: &str, columns: &str) -> Result<(), Error> {
        let sql = format!("SELECT {columns}, sum FROM {table}");
        self.ask(|| {
            let mut query = self.db.prepare(&sql)?;
            let mut rows = query.query([])?;
            while let Some(row) = rows.next()? {
                agrees(row)?;
            }
            Ok(())
        })
    }

    /// What the seal counts.
    pub(crate) fn counts(&self) -> Result<Counts, Error> {
        let sql = "SELECT facts, names FROM seal";
        self.ask(|| {
            self.db.prepare_cached(sql)?.query_row([], |row| Ok(Counts { facts: row.get(0)?, names: row.get(1)? }))
        })
    }

    pub fn damaged(&self, what: String) -> Error {
        Error::Damaged { path: self.place.path.clone(), what }
    }

    /// The number of the last fact.
    pub fn last(&self) -> Result<Seq, Error> {
        self.counts().map(|counts| Seq(counts.facts))
    }
}

/// What the seal counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Counts {
    /// Facts.
    pub facts: i64,
    /// Additions and renamings of people and things, and how often facts got other numbers.
    pub names: i64,
}

/// A table, the columns that its sums are made of, and the one that names its rows.
type Summed = (String, String, &'static str);

/// Where people and things are listed.
fn lists() -> [Summed; 5] {
    fn of<T: Table>() -> Summed {
        (T::THING.to_string(), T::COLUMNS.to_owned(), "id")
    }
    [of::<Bowler>(), of::<Ball>(), of::<Lane>(), of::<Event>(), of::<Block>()]
}

/// Where facts are, with the columns that a version has.
fn facts(version: usize) -> Summed {
    let more = if version >= MEASURED { ", measured" } else { "" };
    ("fact".to_owned(), format!("{COLUMNS}, root{more}"), "seq")
}
