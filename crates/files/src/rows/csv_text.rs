//! CSV, read a block of rows at a time.

use std::io::Read;

use csv::{Reader, ReaderBuilder, StringRecord, Trim};

use super::{Block, Held, Kind, Source, Table};
use crate::Fault;

/// A CSV file that is read; `bytes` is its size, 0 where that is not known.
pub fn open(field: &'static str, name: &str, from: impl Read + Send + 'static, bytes: u64) -> Result<Table, Fault> {
    let mut rows = ReaderBuilder::new().trim(Trim::All).from_reader(from);
    let headers = rows.headers().map_err(|why| unreadable(field, name, &why))?;
    let columns = headers.iter().map(|column| (column.to_owned(), Kind::Words)).collect();
    Ok(Table { columns, source: Box::new(Text { field, name: name.to_owned(), bytes, rows }) })
}

struct Text<R> {
    field: &'static str,
    name: String,
    bytes: u64,
    rows: Reader<R>,
}

impl<R: Read> Source for Text<R> {
    fn next(&mut self, most: usize) -> Result<Option<Block>, Fault> {
        let mut records = Vec::new();
        while records.len() < most {
            let mut record = StringRecord::new();
            if !self.rows.read_record(&mut record).map_err(|why| unreadable(self.field, &self.name, &why))? {
                break;
            }
            records.push(record);
        }
        Ok((!records.is_empty()).then_some(Block(Held::Text(records))))
    }

    fn share(&self) -> f64 {
        if self.bytes == 0 { 0.0 } else { (self.rows.position().byte() as f64 / self.bytes as f64).min(1.0) }
    }
}

fn unreadable(field: &'static str, name: &str, why: &csv::Error) -> Fault {
    Fault::Field { field, value: name.to_owned(), allowed: format!("cannot be read as CSV: {why}") }
}
