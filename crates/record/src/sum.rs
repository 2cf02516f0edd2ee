//! Checksums of rows, and whether a row agrees with its own.
//!
//! A sum is the first half of the SHA-256 of a row's values. It finds what a disk or a stray program changed. Whoever means
//! harm can make new sums, so it proves nothing about people.

use rusqlite::Row;
use rusqlite::types::{ToSql, ToSqlOutput, Value, ValueRef};
use sha2::{Digest, Sha256};

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
pub(crate) fn sum_of(row: &Row<'_>, columns: usize) -> rusqlite::Result<Sum> {
    let mut summing = Summing::default();
    for column in 0..columns {
        summing.add(row.get_ref(column)?);
    }
    Ok(summing.sum())
}

/// Says so if the last value of a row is not the checksum of those before it.
pub(crate) fn agrees(row: &Row<'_>) -> rusqlite::Result<()> {
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
