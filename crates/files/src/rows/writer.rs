//! Tables written, a block of rows at a time.

use std::borrow::Cow;
use std::io::{self, Write};

use super::Form;
use super::cells::{Cells, Kind};
#[cfg(feature = "columns")]
use super::columnar;

/// A table that is written. The same rows give the same bytes, in blocks of the same size.
///
/// ```
/// use boardwise_files::rows::{Cells, Form, Kind, Writer, as_it_is};
///
/// let columns = [("id", Kind::Words), ("board", Kind::Numbers)];
/// let mut table = Writer::new(Form::Csv, &columns, Vec::new(), as_it_is)?;
/// table.write(&[Cells::Words(vec![Some("a".into())]), Cells::Numbers(vec![Some(17.5)])])?;
/// assert_eq!(table.finish()?, b"id,board\na,17.5\n");
/// # Ok::<(), std::io::Error>(())
/// ```
pub struct Writer<W: Write + Send>(Written<W>);

/// Words in CSV as they are, where no spreadsheet will open them.
pub fn as_it_is(words: &str) -> Cow<'_, str> {
    Cow::Borrowed(words)
}

/// How words are written where a spreadsheet may open them.
type Spelt = fn(&str) -> Cow<'_, str>;

enum Written<W: Write + Send> {
    Csv {
        rows: Box<csv::Writer<W>>,
        spelt: Spelt,
    },
    #[cfg(feature = "columns")]
    Columns(columnar::Writer<W>),
}

impl<W: Write + Send> Writer<W> {
    /// Begins a table with these columns. `spelt` gives the words of a CSV cell; files of columns hold words as they are.
    ///
    /// # Errors
    /// If nothing can be written.
    pub fn new(form: Form, columns: &[(&str, Kind)], out: W, spelt: Spelt) -> io::Result<Self> {
        Ok(Self(match form {
            Form::Csv => {
                let mut rows = Box::new(csv::Writer::from_writer(out));
                rows.write_record(columns.iter().map(|(name, _)| name))?;
                Written::Csv { rows, spelt }
            }
            #[cfg(feature = "columns")]
            Form::Parquet => Written::Columns(columnar::Writer::parquet(columns, out)?),
            #[cfg(feature = "columns")]
            Form::Arrow => Written::Columns(columnar::Writer::arrow(columns, out)?),
        }))
    }

    /// Writes rows: a column of cells for each column of the table, all equally long.
    ///
    /// # Errors
    /// If it cannot be written, or the columns are not those of the table.
    pub fn write(&mut self, columns: &[Cells<'_>]) -> io::Result<()> {
        match &mut self.0 {
            Written::Csv { rows, spelt } => write_text(rows, columns, *spelt),
            #[cfg(feature = "columns")]
            Written::Columns(rows) => rows.write(columns),
        }
    }

    /// Ends the table, and gives back what it was written to.
    ///
    /// # Errors
    /// If the rest cannot be written.
    pub fn finish(self) -> io::Result<W> {
        match self.0 {
            Written::Csv { rows, .. } => rows.into_inner().map_err(csv::IntoInnerError::into_error),
            #[cfg(feature = "columns")]
            Written::Columns(rows) => rows.finish(),
        }
    }
}

fn write_text<W: Write>(rows: &mut csv::Writer<W>, columns: &[Cells<'_>], spelt: Spelt) -> io::Result<()> {
    let mut digits = Vec::new();
    for row in 0..columns.first().map_or(0, Cells::len) {
        for column in columns {
            digits.clear();
            match column {
                Cells::Words(cells) => {
                    let words = cells.get(row).and_then(Option::as_deref).unwrap_or_default();
                    rows.write_field(spelt(words).as_bytes())?;
                    continue;
                }
                Cells::Numbers(cells) => cells.get(row).copied().flatten().map_or(Ok(()), |n| write!(digits, "{n}")),
                Cells::Whole(cells) => cells.get(row).copied().flatten().map_or(Ok(()), |n| write!(digits, "{n}")),
            }?;
            rows.write_field(&digits)?;
        }
        rows.write_record(None::<&[u8]>)?;
    }
    Ok(())
}
