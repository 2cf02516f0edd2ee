//! Tables whose columns have names, a block of rows at a time: CSV and, with the feature `columns`, Parquet and Arrow files.
//!
//! ```
//! use boardwise_files::rows::{Cell, Table};
//!
//! let mut table = Table::csv("--batch", "in.csv", "laydown,id\n15,first\n".as_bytes())?;
//! assert_eq!(table.columns(), ["laydown", "id"]);
//! let block = table.next(1000)?.expect("a row");
//! assert_eq!(block.cell(0, 0).number(), Some(15.0));
//! assert_eq!(block.cell(0, 1), Cell::Words("first"));
//! assert!(table.next(1000)?.is_none());
//! # Ok::<(), boardwise_files::Fault>(())
//! ```

mod cells;
#[cfg(feature = "columns")]
mod columnar;
mod csv_text;
mod writer;

use std::borrow::Cow;
use std::fmt;
use std::fs::File;
use std::io::{BufReader, Read};
use std::path::Path;

pub use cells::{Cells, Kind};
pub use writer::{Writer, as_it_is};

use crate::Fault;

/// How a table is written down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Text, a line for each row.
    Csv,
    /// Parquet.
    #[cfg(feature = "columns")]
    Parquet,
    /// An Arrow file (IPC with a footer).
    #[cfg(feature = "columns")]
    Arrow,
}

/// A form that this program was built without.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("built without Parquet and Arrow files")]
pub struct LeftOut;

impl Form {
    /// The form that a file's name stands for: `.parquet`, `.arrow`, and CSV for every other ending.
    ///
    /// # Errors
    /// If this was built without the feature `columns`, and the name asks for it.
    pub fn of(path: &Path) -> Result<Self, LeftOut> {
        let ending = path.extension().unwrap_or_default().to_string_lossy().to_ascii_lowercase();
        match ending.as_str() {
            #[cfg(feature = "columns")]
            "parquet" => Ok(Self::Parquet),
            #[cfg(feature = "columns")]
            "arrow" => Ok(Self::Arrow),
            #[cfg(not(feature = "columns"))]
            "parquet" | "arrow" => Err(LeftOut),
            _ => Ok(Self::Csv),
        }
    }
}

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell<'a> {
    /// Nothing.
    Empty,
    /// Words, or a number as it was written.
    Words(&'a str),
    /// A number.
    Number(f64),
    /// A whole number.
    Whole(i64),
}

impl<'a> Cell<'a> {
    /// The finite number that stands here, if it is one.
    pub fn number(&self) -> Option<f64> {
        let number = match self {
            Self::Empty => None,
            Self::Words(text) => text.parse().ok(),
            Self::Number(number) => Some(*number),
            Self::Whole(number) => Some(*number as f64),
        };
        number.filter(|number| number.is_finite())
    }

    /// As words; empty where nothing stands.
    pub fn words(&self) -> Cow<'a, str> {
        match self {
            Self::Empty => Cow::Borrowed(""),
            Self::Words(text) => Cow::Borrowed(text),
            Self::Number(number) => Cow::Owned(number.to_string()),
            Self::Whole(number) => Cow::Owned(number.to_string()),
        }
    }
}

/// A table that is read.
pub struct Table {
    columns: Vec<(String, Kind)>,
    source: Box<dyn Source + Send>,
}

impl fmt::Debug for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Table").field("columns", &self.columns).finish_non_exhaustive()
    }
}

/// Where rows come from.
trait Source {
    /// At most so many rows more; none after the last.
    fn next(&mut self, most: usize) -> Result<Option<Block>, Fault>;
    /// How much was read, 0 to 1.
    fn share(&self) -> f64;
}

impl Table {
    /// Opens a file, in the form that its name stands for. Faults name the flag or input `field`.
    ///
    /// # Errors
    /// If it cannot be read, is of another form, or a column holds neither numbers nor words.
    pub fn open(field: &'static str, path: &Path, form: Form) -> Result<Self, Fault> {
        let name = path.display().to_string();
        let file = File::open(path).map_err(|source| Fault::Unreadable { name: name.clone(), source })?;
        let bytes = file.metadata().map_or(0, |about| about.len());
        match form {
            Form::Csv => csv_text::open(field, &name, BufReader::with_capacity(1 << 16, file), bytes),
            #[cfg(feature = "columns")]
            Form::Parquet => columnar::parquet(field, &name, file),
            #[cfg(feature = "columns")]
            Form::Arrow => columnar::arrow(field, &name, file),
        }
    }

    /// Reads CSV from anywhere. Faults call it by this name.
    ///
    /// # Errors
    /// If the first line is no CSV.
    pub fn csv(field: &'static str, name: &str, from: impl Read + Send + 'static) -> Result<Self, Fault> {
        csv_text::open(field, name, from, 0)
    }

    /// Names of the columns, in order.
    pub fn columns(&self) -> Vec<&str> {
        self.columns.iter().map(|(name, _)| name.as_str()).collect()
    }

    /// What a column holds; of CSV, words.
    pub fn kind(&self, column: usize) -> Kind {
        self.columns.get(column).map_or(Kind::Words, |(_, kind)| *kind)
    }

    /// At most so many rows more; none after the last.
    ///
    /// # Errors
    /// If the file cannot be read on.
    pub fn next(&mut self, most: usize) -> Result<Option<Block>, Fault> {
        self.source.next(most.max(1))
    }

    /// How much of the file was read, 0 to 1; 0 where its size is not known.
    pub fn share(&self) -> f64 {
        self.source.share()
    }
}

/// Some rows of a table.
#[derive(Debug)]
pub struct Block(Held);

#[derive(Debug)]
enum Held {
    Text(Vec<csv::StringRecord>),
    #[cfg(feature = "columns")]
    Columns(columnar::Held),
}

impl Block {
    /// How many.
    pub fn rows(&self) -> usize {
        match &self.0 {
            Held::Text(records) => records.len(),
            #[cfg(feature = "columns")]
            Held::Columns(held) => held.rows(),
        }
    }

    /// What stands in a row under a column, both counted from 0; nothing where there is no such cell.
    pub fn cell(&self, row: usize, column: usize) -> Cell<'_> {
        match &self.0 {
            Held::Text(records) => {
                records.get(row).and_then(|record| record.get(column)).map_or(Cell::Empty, Cell::Words)
            }
            #[cfg(feature = "columns")]
            Held::Columns(held) => held.cell(row, column),
        }
    }

    /// Where a row stands in the file, for messages: `line 3` of a text, else `row 2`.
    pub fn place(&self, row: usize) -> String {
        match &self.0 {
            Held::Text(records) => {
                let line = records.get(row).and_then(csv::StringRecord::position).map_or(0, csv::Position::line);
                format!("line {line}")
            }
            #[cfg(feature = "columns")]
            Held::Columns(held) => format!("row {}", held.number(row)),
        }
    }
}
