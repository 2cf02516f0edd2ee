//! The columns of a table of questions, found by their names.

use std::borrow::Cow;
use std::ops::Range;

use boardwise_files::rows::{Block, Cell, Cells, Kind, Table};
use boardwise_files::{Fault, nearest, plausible};
use boardwise_lane::Release;

use super::FLAG;

/// What is said of an empty cell.
const EMPTY: &str = "is empty; fill it in, or leave out the column";

/// Units that names of columns end with.
const UNITS: [(&str, &str); 4] =
    [("mph", "miles an hour"), ("rpm", "revolutions a minute"), ("deg", "degrees"), ("ft", "feet")];

/// The column that was probably meant, as a question; empty if none is like it.
fn nearly(header: &str, known: &[&'static str]) -> String {
    let of_other_unit = known.iter().find_map(|name| {
        let (what, unit) = name.rsplit_once('_')?;
        let (_, words) = UNITS.iter().find(|(short, _)| *short == unit)?;
        let rest = header.strip_prefix(what)?;
        (rest.is_empty() || rest.starts_with('_')).then(|| format!("did you mean \"{name}\", in {words}? "))
    });
    let near = || nearest(header, known.iter().copied()).map(|near| format!("did you mean \"{near}\"? "));
    of_other_unit.or_else(near).unwrap_or_default()
}

/// Where each column that may be asked for stands in the table.
#[derive(Debug)]
pub struct Asked {
    file: String,
    places: Vec<(&'static str, usize)>,
    /// What the column `id` holds.
    id: Kind,
    /// Whether a speed and a rev rate were questioned already.
    questioned: [bool; 2],
}

impl Asked {
    /// Finds these columns, any of which may be left out.
    ///
    /// # Errors
    /// If the table has another column, or one of them twice.
    pub fn new(file: &str, table: &Table, known: &[&'static str]) -> Result<Self, Fault> {
        let mut asked = Self { file: file.to_owned(), places: Vec::new(), id: Kind::Words, questioned: [false; 2] };
        if table.columns().is_empty() {
            let allowed = format!("holds no columns; columns are {}", known.join(", "));
            return Err(Fault::Field { field: FLAG, value: asked.file, allowed });
        }
        for (place, header) in table.columns().into_iter().enumerate() {
            let Some(name) = known.iter().copied().find(|name| *name == header) else {
                let allowed = format!("{}columns are {}", nearly(header, known), known.join(", "));
                return Err(asked.no_column(header, allowed));
            };
            if asked.has(name) {
                return Err(asked.no_column(header, "is there twice; leave one out".to_owned()));
            }
            if name == "id" {
                asked.id = table.kind(place);
            }
            asked.places.push((name, place));
        }
        Ok(asked)
    }

    /// A column that may not be there.
    pub fn no_column(&self, column: &str, allowed: String) -> Fault {
        Fault::Field { field: FLAG, value: format!("{}, column \"{column}\"", self.file), allowed }
    }

    /// Whether the table has this column.
    pub fn has(&self, column: &str) -> bool {
        self.places.iter().any(|(name, _)| *name == column)
    }

    /// What stands in this column; none if there is no such column.
    fn cell<'b>(&self, block: &'b Block, row: usize, column: &str) -> Option<Cell<'b>> {
        let (_, place) = self.places.iter().find(|(name, _)| *name == column)?;
        Some(block.cell(row, *place))
    }

    /// A value that cannot be.
    pub fn refuse(&self, block: &Block, row: usize, column: &str, value: &str, allowed: String) -> Fault {
        let value = format!("{}, {}, {column} \"{value}\"", self.file, block.place(row));
        Fault::Field { field: FLAG, value, allowed }
    }

    /// Questions the first speed and the first rev rate that look like a mistake of units: the others are the same mistake.
    pub fn question(&mut self, block: &Block, row: usize, release: &Release, doubts: &mut Vec<String>) {
        let odd = [plausible::speed(release.speed), plausible::rev_rate(release.rev_rate)];
        for (k, (column, odd)) in ["speed_mph", "rev_rate_rpm"].into_iter().zip(odd).enumerate() {
            let Some(odd) = odd.filter(|_| !self.questioned[k] && self.has(column)) else { continue };
            self.questioned[k] = true;
            doubts.push(format!("{}, {}, {column}: {odd}", self.file, block.place(row)));
        }
    }

    /// The number in a column; none if there is no such column.
    pub fn number(&self, block: &Block, row: usize, column: &str) -> Result<Option<f64>, Fault> {
        let Some(cell) = self.cell(block, row, column) else { return Ok(None) };
        match (cell.number(), cell.words()) {
            (Some(number), _) => Ok(Some(number)),
            (None, empty) if empty.is_empty() => Err(self.refuse(block, row, column, "", EMPTY.to_owned())),
            (None, words) => Err(self.refuse(block, row, column, &words, "give a number".to_owned())),
        }
    }

    /// The words in a column; none if there is no such column.
    pub fn words<'b>(&self, block: &'b Block, row: usize, column: &str) -> Result<Option<Cow<'b, str>>, Fault> {
        let Some(cell) = self.cell(block, row, column) else { return Ok(None) };
        match cell.words() {
            empty if empty.is_empty() => Err(self.refuse(block, row, column, "", EMPTY.to_owned())),
            words => Ok(Some(words)),
        }
    }

    /// What the column `id` holds, to be handed on.
    pub fn id_kind(&self) -> Kind {
        self.id
    }

    /// What the table calls these rows, as it stands there.
    pub fn ids(&self, block: &Block) -> Cells<'static> {
        self.ids_of(block, 0..block.rows())
    }

    /// What the table calls one row.
    pub fn id(&self, block: &Block, row: usize) -> Cells<'static> {
        self.ids_of(block, row..row + 1)
    }

    fn ids_of(&self, block: &Block, rows: Range<usize>) -> Cells<'static> {
        let cells = rows.map(|row| self.cell(block, row, "id").unwrap_or(Cell::Empty));
        match self.id {
            Kind::Words => {
                let words = |cell: Cell<'_>| (cell != Cell::Empty).then(|| cell.words().into_owned().into());
                Cells::Words(cells.map(words).collect())
            }
            Kind::Numbers => Cells::Numbers(cells.map(|cell| cell.number()).collect()),
            Kind::Whole => {
                let whole = |cell| if let Cell::Whole(number) = cell { Some(number) } else { None };
                Cells::Whole(cells.map(whole).collect())
            }
        }
    }
}
