//! Parquet and Arrow files, read and written a block of rows at a time.

use std::fs::File;
use std::io::{self, BufReader, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use arrow_array::cast::AsArray;
use arrow_array::types::{
    ArrowPrimitiveType, Float32Type, Float64Type, Int8Type, Int16Type, Int32Type, Int64Type, UInt8Type, UInt16Type,
    UInt32Type,
};
use arrow_array::{Array, ArrayRef, Float64Array, Int64Array, RecordBatch, RecordBatchReader, StringArray};
use arrow_ipc::reader::FileReader;
use arrow_ipc::writer::FileWriter;
use arrow_schema::{ArrowError, DataType, Field, Schema, SchemaRef};
use parquet::arrow::ArrowWriter;
use parquet::arrow::arrow_reader::ParquetRecordBatchReaderBuilder;
use parquet::basic::Compression;
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::schema::types::ColumnPath;

use super::cells::{Cells, Kind};
use super::{Block, Cell, Source, Table};
use crate::Fault;

/// Rows that are decoded at a time.
const DECODED: usize = 1 << 15;
/// Rows that a part of a Parquet file holds: it is put together in memory.
const A_PART: usize = 1 << 17;

/// A Parquet file that is read.
pub fn parquet(field: &'static str, name: &str, file: File) -> Result<Table, Fault> {
    let words = |why: &dyn std::fmt::Display| unreadable(field, name, "Parquet", why);
    let (reader, rows) = guarded(|| {
        let builder = ParquetRecordBatchReaderBuilder::try_new(file)?;
        let rows = u64::try_from(builder.metadata().file_metadata().num_rows()).unwrap_or_default();
        Ok::<_, ParquetError>((builder.with_batch_size(DECODED).build()?, rows))
    })
    .map_err(|why| words(&why))?
    .map_err(|why| words(&why))?;
    let schema = reader.schema();
    table(Batches { field, name: name.to_owned(), form: "Parquet", file: reader, rest: None, read: 0, rows }, &schema)
}

/// An Arrow file that is read.
pub fn arrow(field: &'static str, name: &str, file: File) -> Result<Table, Fault> {
    let words = |why: &dyn std::fmt::Display| unreadable(field, name, "an Arrow file", why);
    let reader = guarded(|| FileReader::try_new(BufReader::new(file), None))
        .map_err(|why| words(&why))?
        .map_err(|why| words(&why))?;
    let schema = reader.schema();
    let form = "an Arrow file";
    table(Batches { field, name: name.to_owned(), form, file: reader, rest: None, read: 0, rows: 0 }, &schema)
}

/// Runs the reader of a format on bytes that anybody may have made: should it panic, that is a broken file, too.
fn guarded<T>(work: impl FnOnce() -> T) -> Result<T, &'static str> {
    catch_unwind(AssertUnwindSafe(work)).map_err(|_| "its reader gave up on it")
}

fn unreadable(field: &'static str, name: &str, form: &str, why: &dyn std::fmt::Display) -> Fault {
    let why = why.to_string();
    // The formats allow more ways of packing than are built in.
    let help = if why.contains("feature") || why.contains("compress") || why.contains("codec") {
        "; write it without compression, or with snappy (Parquet) or lz4"
    } else {
        ""
    };
    Fault::Field { field, value: name.to_owned(), allowed: format!("cannot be read as {form}: {why}{help}") }
}

/// What a column of this type holds; none if it is neither numbers nor words.
fn kind(of: &DataType) -> Option<Kind> {
    use DataType::{
        Dictionary, Float32, Float64, Int8, Int16, Int32, Int64, LargeUtf8, Null, UInt8, UInt16, UInt32, Utf8, Utf8View,
    };
    match of {
        Float32 | Float64 => Some(Kind::Numbers),
        Int8 | Int16 | Int32 | Int64 | UInt8 | UInt16 | UInt32 => Some(Kind::Whole),
        Utf8 | LargeUtf8 | Utf8View | Null => Some(Kind::Words),
        Dictionary(_, values) if matches!(**values, Utf8 | LargeUtf8 | Utf8View) => Some(Kind::Words),
        _ => None,
    }
}

/// The table that these batches make.
fn table<B>(batches: Batches<B>, schema: &SchemaRef) -> Result<Table, Fault>
where
    B: Iterator<Item = Result<RecordBatch, ArrowError>> + Send + 'static,
{
    let column = |field: &Arc<Field>| {
        let kind = kind(field.data_type()).ok_or_else(|| Fault::Field {
            field: batches.field,
            value: format!("{}, column \"{}\"", batches.name, field.name()),
            allowed: format!("holds {}; give numbers or words", field.data_type()),
        })?;
        Ok((field.name().clone(), kind))
    };
    let columns = schema.fields().iter().map(column).collect::<Result<_, Fault>>()?;
    Ok(Table { columns, source: Box::new(batches) })
}

/// Batches as they stand in a file, handed on in blocks.
struct Batches<B> {
    field: &'static str,
    name: String,
    form: &'static str,
    file: B,
    /// What is left of the batch read last.
    rest: Option<RecordBatch>,
    /// Rows handed on, and all; 0 where that is not known.
    read: u64,
    rows: u64,
}

impl<B: Iterator<Item = Result<RecordBatch, ArrowError>>> Source for Batches<B> {
    fn next(&mut self, most: usize) -> Result<Option<Block>, Fault> {
        let batch = match self.rest.take() {
            Some(rest) => rest,
            None => match guarded(|| self.file.find(|batch| !matches!(batch, Ok(batch) if batch.num_rows() == 0))) {
                Ok(None) => return Ok(None),
                Ok(Some(Ok(batch))) => batch,
                Ok(Some(Err(why))) => return Err(unreadable(self.field, &self.name, self.form, &why)),
                Err(why) => return Err(unreadable(self.field, &self.name, self.form, &why)),
            },
        };
        let rows = batch.num_rows().min(most);
        if rows < batch.num_rows() {
            self.rest = Some(batch.slice(rows, batch.num_rows() - rows));
        }
        let columns = batch.columns().iter().map(|column| cells(&column.slice(0, rows))).collect();
        let held = Held { columns, rows, first: self.read + 1 };
        self.read += rows as u64;
        Ok(Some(Block(super::Held::Columns(held))))
    }

    fn share(&self) -> f64 {
        if self.rows == 0 { 0.0 } else { (self.read as f64 / self.rows as f64).min(1.0) }
    }
}

/// Some rows of a file of columns.
#[derive(Debug)]
pub struct Held {
    columns: Vec<Cells<'static>>,
    rows: usize,
    /// Number of the first of them in the file, from 1.
    first: u64,
}

impl Held {
    /// How many.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// The number of a row in the file, from 1.
    pub fn number(&self, row: usize) -> u64 {
        self.first + row as u64
    }

    /// What stands there.
    pub fn cell(&self, row: usize, column: usize) -> Cell<'_> {
        let cell = match self.columns.get(column) {
            Some(Cells::Words(cells)) => cells.get(row).and_then(Option::as_deref).map(Cell::Words),
            Some(Cells::Numbers(cells)) => cells.get(row).copied().flatten().map(Cell::Number),
            Some(Cells::Whole(cells)) => cells.get(row).copied().flatten().map(Cell::Whole),
            None => None,
        };
        cell.unwrap_or(Cell::Empty)
    }
}

/// The cells of a column. Its type is one that [`kind`] knows.
fn cells(column: &ArrayRef) -> Cells<'static> {
    match column.data_type() {
        DataType::Float32 => Cells::Numbers(plain::<Float32Type, _>(column)),
        DataType::Float64 => Cells::Numbers(plain::<Float64Type, _>(column)),
        DataType::Int8 => Cells::Whole(plain::<Int8Type, _>(column)),
        DataType::Int16 => Cells::Whole(plain::<Int16Type, _>(column)),
        DataType::Int32 => Cells::Whole(plain::<Int32Type, _>(column)),
        DataType::Int64 => Cells::Whole(plain::<Int64Type, _>(column)),
        DataType::UInt8 => Cells::Whole(plain::<UInt8Type, _>(column)),
        DataType::UInt16 => Cells::Whole(plain::<UInt16Type, _>(column)),
        DataType::UInt32 => Cells::Whole(plain::<UInt32Type, _>(column)),
        _ => Cells::Words(words(column)),
    }
}

fn plain<T: ArrowPrimitiveType, N: From<T::Native>>(column: &ArrayRef) -> Vec<Option<N>> {
    column
        .as_primitive_opt::<T>()
        .map(|column| column.iter().map(|cell| cell.map(N::from)).collect())
        .unwrap_or_default()
}

fn words(column: &ArrayRef) -> Vec<Option<std::borrow::Cow<'static, str>>> {
    let owned = |cell: Option<&str>| cell.map(|cell| cell.to_owned().into());
    if let Some(column) = column.as_string_opt::<i32>() {
        column.iter().map(owned).collect()
    } else if let Some(column) = column.as_string_opt::<i64>() {
        column.iter().map(owned).collect()
    } else if let Some(column) = column.as_string_view_opt() {
        column.iter().map(owned).collect()
    } else if let Some(column) = column.as_any_dictionary_opt() {
        let (keys, values) = (column.normalized_keys(), words(column.values()));
        let cell = |(row, key): (usize, usize)| {
            if column.is_null(row) { None } else { values.get(key).cloned().flatten() }
        };
        keys.into_iter().enumerate().map(cell).collect()
    } else {
        vec![None; column.len()]
    }
}

/// A file of columns that is written.
pub struct Writer<W: Write + Send> {
    schema: SchemaRef,
    into: Into<W>,
}

enum Into<W: Write + Send> {
    Parquet(Box<ArrowWriter<W>>),
    Arrow(Box<FileWriter<W>>),
}

impl<W: Write + Send> Writer<W> {
    /// Begins a Parquet file. Words are listed once and counted; numbers, which hardly repeat, stand as they are.
    pub fn parquet(columns: &[(&str, Kind)], out: W) -> io::Result<Self> {
        let schema = schema(columns);
        let settings = WriterProperties::builder()
            .set_created_by(concat!("boardwise ", env!("CARGO_PKG_VERSION")).to_owned())
            .set_compression(Compression::SNAPPY)
            .set_max_row_group_row_count(Some(A_PART))
            .set_dictionary_enabled(false);
        let settings = columns.iter().filter(|(_, kind)| *kind == Kind::Words).fold(settings, |settings, (name, _)| {
            settings.set_column_dictionary_enabled(ColumnPath::from(*name), true)
        });
        let writer = ArrowWriter::try_new(out, schema.clone(), Some(settings.build())).map_err(io::Error::other)?;
        Ok(Self { schema, into: Into::Parquet(Box::new(writer)) })
    }

    /// Begins an Arrow file.
    pub fn arrow(columns: &[(&str, Kind)], out: W) -> io::Result<Self> {
        let schema = schema(columns);
        let writer = FileWriter::try_new(out, &schema).map_err(failed)?;
        Ok(Self { schema, into: Into::Arrow(Box::new(writer)) })
    }

    /// Writes rows.
    pub fn write(&mut self, columns: &[Cells<'_>]) -> io::Result<()> {
        let columns = columns.iter().map(array).collect();
        let batch = RecordBatch::try_new(self.schema.clone(), columns).map_err(failed)?;
        match &mut self.into {
            Into::Parquet(writer) => writer.write(&batch).map_err(spoilt),
            Into::Arrow(writer) => writer.write(&batch).map_err(failed),
        }
    }

    /// Ends the file.
    pub fn finish(self) -> io::Result<W> {
        match self.into {
            Into::Parquet(writer) => writer.into_inner().map_err(spoilt),
            Into::Arrow(mut writer) => writer.finish().and_then(|()| writer.into_inner()).map_err(failed),
        }
    }
}

fn schema(columns: &[(&str, Kind)]) -> SchemaRef {
    let field = |(name, kind): &(&str, Kind)| {
        let of = match kind {
            Kind::Words => DataType::Utf8,
            Kind::Numbers => DataType::Float64,
            Kind::Whole => DataType::Int64,
        };
        Field::new(*name, of, true)
    };
    Arc::new(Schema::new(columns.iter().map(field).collect::<Vec<_>>()))
}

fn array(cells: &Cells<'_>) -> ArrayRef {
    match cells {
        Cells::Words(cells) => Arc::new(cells.iter().map(Option::as_deref).collect::<StringArray>()),
        Cells::Numbers(cells) => Arc::new(cells.iter().copied().collect::<Float64Array>()),
        Cells::Whole(cells) => Arc::new(cells.iter().copied().collect::<Int64Array>()),
    }
}

/// The system's own reason, where there is one.
fn failed(why: ArrowError) -> io::Error {
    match why {
        ArrowError::IoError(_, why) => why,
        why => io::Error::other(why),
    }
}

/// The same of Parquet, which hides it.
fn spoilt(why: ParquetError) -> io::Error {
    match why {
        ParquetError::External(why) => match why.downcast::<io::Error>() {
            Ok(why) => *why,
            Err(why) => io::Error::other(why),
        },
        why => io::Error::other(why),
    }
}
