//! Checksums of rows, and whether all that the file holds agrees with them.
//!
//! A sum is the first half of the SHA-256 of a row's values. It finds what a disk or a stray program changed. Whoever means
//! harm can make new sums, so it proves nothing about people.

use rusqlite::types::{ToSql, ToSqlOutput, Value, ValueRef};
use rusqlite::{Row as SqlRow, Statement};
use sha2::{Digest, Sha256};

use crate::Error;
use crate::fact::Seq;
use crate::roster::{Ball, Block, Bowler, Event, Lane};
use crate::row::{COLUMNS, Row};
use crate::store::Store;
use crate::tables::sealed::Table;

/// The checksum of a row.
pub(crate) type Sum = [u8; 16];

/// The checksum of values in their order. No two lists of values are written alike.
#[derive(Default)]
pub(crate) struct Summing(Sha256);

impl Summing {
    pub fn add(&mut self, value: ValueRef<'_>) {
        let (kind, bytes): (u8, &[u8]) = match value {
            ValueRef::Null => (0, &[]),
            ValueRef::Integer(number) => return self.put(1, &number.to_le_bytes()),
            ValueRef::Real(number) => return self.put(2, &number.to_bits().to_le_bytes()),
            ValueRef::Text(text) => (3, text),
            ValueRef::Blob(blob) => (4, blob),
        };
        self.put(kind, bytes);
    }

    /// A value as it will be written.
    pub fn add_new(&mut self, value: &dyn ToSql) -> rusqlite::Result<()> {
        match value.to_sql()? {
            ToSqlOutput::Borrowed(value) => self.add(value),
            ToSqlOutput::Owned(value) => self.add((&value).into()),
            // No value of ours is written in another way.
            _ => self.add((&Value::Null).into()),
        }
        Ok(())
    }

    fn put(&mut self, kind: u8, bytes: &[u8]) {
        self.0.update([kind]);
        self.0.update((bytes.len() as u64).to_le_bytes());
        self.0.update(bytes);
    }

    pub fn sum(self) -> Sum {
        let whole: [u8; 32] = self.0.finalize().into();
        std::array::from_fn(|k| whole[k])
    }
}

/// The checksum of the first `columns` values of a row.
fn sum_of(row: &SqlRow<'_>, columns: usize) -> rusqlite::Result<Sum> {
    let mut summing = Summing::default();
    for column in 0..columns {
        summing.add(row.get_ref(column)?);
    }
    Ok(summing.sum())
}

/// Says so if the last value of a row is not the checksum of those before it.
pub(crate) fn agrees(row: &SqlRow<'_>) -> rusqlite::Result<()> {
    let last = row.as_ref().column_count() - 1;
    if row.get_ref(last)?.as_blob_or_null()? == Some(sum_of(row, last)?.as_slice()) {
        return Ok(());
    }
    let first = row.get::<_, Value>(0)?;
    let name = match first {
        Value::Integer(number) => format!("fact number {number}"),
        Value::Text(id) => format!("{id:?}"),
        _ => "a row".to_owned(),
    };
    let why = format!("{name} is not as it was written");
    Err(rusqlite::Error::FromSqlConversionFailure(last, rusqlite::types::Type::Blob, why.into()))
}

/// The columns of a fact that its sum is made of, and the sum.
pub(crate) fn summed_columns() -> String {
    format!("{COLUMNS}, root, sum")
}

impl Store {
    /// Fills in the sums of a record that had none.
    pub fn sum_all(&self) -> Result<(), Error> {
        for (table, columns, id) in tables() {
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

    /// Notes in the seal what tables, indexes and triggers there are.
    pub fn seal_tables(&self) -> Result<(), Error> {
        let sum = self.sum_of_tables()?;
        self.ask(|| self.db.execute("UPDATE seal SET tables = ?1", [sum])).map(drop)
    }

    fn sum_of_tables(&self) -> Result<Sum, Error> {
        let sql = "SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY name";
        let mut summing = Summing::default();
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

    /// Whether every row is as it was written, and none is missing.
    pub fn sums_agree(&self) -> Result<(), Error> {
        let tables: Vec<u8> = self.ask(|| self.db.query_row("SELECT tables FROM seal", [], |row| row.get(0)))?;
        if tables != self.sum_of_tables()? {
            return Err(self.damaged("its tables are not those that were written".to_owned()));
        }
        for (table, columns, _) in self::tables() {
            let sql = format!("SELECT {columns}, sum FROM {table}");
            self.ask(|| every_row(&mut self.db.prepare(&sql)?))?;
        }
        let (facts, last): (i64, i64) = self.ask(|| {
            self.db
                .query_row("SELECT count(*), coalesce(max(seq), 0) FROM fact", [], |row| Ok((row.get(0)?, row.get(1)?)))
        })?;
        let Counts { facts: must, .. } = self.counts()?;
        if facts != must || last != must {
            return Err(
                self.damaged(format!("{must} facts must be there; there are {facts}, the last is number {last}"))
            );
        }
        Ok(())
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
    /// Additions and renamings of people and things.
    pub names: i64,
}

fn every_row(query: &mut Statement<'_>) -> rusqlite::Result<()> {
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        agrees(row)?;
    }
    Ok(())
}

/// Every table with the columns that its sums are made of; the first names the row.
fn tables() -> [(String, String, &'static str); 6] {
    fn of<T: Table>() -> (String, String, &'static str) {
        (T::THING.to_string(), T::COLUMNS.to_owned(), "id")
    }
    [
        of::<Bowler>(),
        of::<Ball>(),
        of::<Lane>(),
        of::<Event>(),
        of::<Block>(),
        ("fact".to_owned(), format!("{COLUMNS}, root"), "seq"),
    ]
}

impl Row {
    /// Reads a row of [`summed_columns`].
    pub fn read_summed(row: &SqlRow<'_>) -> rusqlite::Result<Self> {
        agrees(row)?;
        Self::read(row)
    }
}
