//! `--batch`: the rows of a table in, the same rows with what came of them out.

mod asked;
mod lines;
mod throws;

use std::borrow::Cow;
use std::io::{self, BufWriter, IsTerminal, Write};
use std::path::Path;

use boardwise_files::rows::{Form, Kind, Table, Writer};
use boardwise_files::whole::{self, Staged};
use boardwise_files::{Fault, rows};
use boardwise_record::defused;
use boardwise_session::Work;

pub(super) use lines::run as lines;
pub(super) use throws::run as throws;
pub use throws::{ThrowRows, Throws};

use super::watched::watched_if;
use crate::Failure;
use crate::picture::existing;

/// The flag that names the table, for messages.
const FLAG: &str = "--batch";

/// Endings that promise what is not written: CSV under such a name would puzzle whatever opens it.
const OF_OTHERS: [&str; 5] = ["xlsx", "xls", "ods", "json", "feather"];

impl From<rows::LeftOut> for Failure {
    fn from(_: rows::LeftOut) -> Self {
        Self::LeftOut("Parquet and Arrow files (it reads and writes CSV)")
    }
}

/// A column of answers.
type Column = (&'static str, Kind);

/// A table of answers that is written.
type Answers<'a> = Writer<&'a mut (dyn Write + Send)>;

/// The table that was named.
fn open(from: &Path) -> Result<Table, Failure> {
    Ok(Table::open(FLAG, from, Form::of(from)?)?)
}

/// Refuses a place for answers that cannot be, before any work.
fn check(out: Option<&Path>, force: bool) -> Result<(), Failure> {
    let Some(out) = out else { return Ok(()) };
    Form::of(out)?;
    let ending = out.extension().unwrap_or_default().to_ascii_lowercase();
    if OF_OTHERS.iter().any(|other| ending == *other) {
        let allowed = "tables are not written so; end the name with .csv, .parquet or .arrow".to_owned();
        return Err(Fault::Field { field: "--out", value: out.display().to_string(), allowed }.into());
    }
    Ok(whole::check_new("--out", out, existing(force))?)
}

/// Does the work, whose answers go into a file, whole or not at all, or to standard output.
fn answer(
    out: Option<&Path>,
    force: bool,
    columns: &[Column],
    work: impl FnOnce(&mut Answers<'_>, Work<'_>) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let written = |form, to: &mut (dyn Write + Send), bar| {
        let mut answers = Writer::new(form, columns, to, spelt).map_err(Failure::Print)?;
        watched_if(bar, |watch| work(&mut answers, watch))?;
        answers.finish().and_then(Write::flush).map_err(Failure::Print)
    };
    let Some(path) = out else {
        let mut printed = BufWriter::new(io::stdout());
        return match written(Form::Csv, &mut printed, !io::stdout().is_terminal()) {
            // A reader that has gone away is no failure.
            Err(Failure::Print(why)) if why.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            done => done,
        };
    };
    // What is no whole answer never stands in the place of one: the file laid ready goes again.
    let unwritten = |why| match why {
        Failure::Print(source) => Fault::Write { path: path.to_owned(), source }.into(),
        other => other,
    };
    let mut staged = BufWriter::with_capacity(1 << 16, Staged::new(path)?);
    written(Form::of(path)?, &mut staged, true).map_err(unwritten)?;
    let staged = staged.into_inner().map_err(|why| unwritten(Failure::Print(why.into_error())))?;
    Ok(staged.keep(existing(force))?)
}

/// Words in a CSV cell: no spreadsheet computes them.
fn spelt(words: &str) -> Cow<'_, str> {
    match defused(words.to_owned()) {
        same if same == words => Cow::Borrowed(words),
        other => Cow::Owned(other),
    }
}
