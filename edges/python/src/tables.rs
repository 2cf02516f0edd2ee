//! Tables in files: Parquet and Arrow, as the program's batches have them.

use std::borrow::Cow;
use std::path::Path;

use boardwise_files::rows::{Cell, Cells, Form, Kind, Table, Writer, as_it_is};
use boardwise_files::whole::{self, Existing, Staged};
use numpy::{IntoPyArray, PyReadonlyArray1};
use pyo3::exceptions::PyOSError;
use pyo3::prelude::*;
use pyo3::types::PyDict;

use crate::refused;

/// Rows that are read at a time.
const HELD: usize = 1 << 16;

/// A column as Python hands it over.
#[derive(FromPyObject)]
pub enum Column<'py> {
    /// Numbers; NaN where nothing stands.
    Numbers(PyReadonlyArray1<'py, f64>),
    /// Whole numbers.
    Whole(PyReadonlyArray1<'py, i64>),
    /// Words.
    Words(Vec<String>),
}

impl Column<'_> {
    fn cells(&self) -> Cells<'_> {
        match self {
            Self::Numbers(cells) => {
                Cells::Numbers(cells.as_array().iter().map(|cell| Some(*cell).filter(|cell| !cell.is_nan())).collect())
            }
            Self::Whole(cells) => Cells::Whole(cells.as_array().iter().map(|cell| Some(*cell)).collect()),
            Self::Words(cells) => Cells::Words(cells.iter().map(|cell| Some(Cow::Borrowed(cell.as_str()))).collect()),
        }
    }
}

fn form(path: &str) -> PyResult<Form> {
    match Form::of(Path::new(path)).map_err(refused)? {
        Form::Csv => Err(refused(format!("{path}: the name must end with .parquet or .arrow"))),
        form => Ok(form),
    }
}

/// Writes a table in the form that the file's name ends with. It is there whole or not at all. With `replace`, a file of that
/// name goes; without, it stays, and writing is refused.
#[pyfunction]
#[pyo3(signature = (path, columns, replace))]
pub fn write_table(py: Python<'_>, path: &str, columns: Vec<(String, Column<'_>)>, replace: bool) -> PyResult<()> {
    let cells: Vec<Cells<'_>> = columns.iter().map(|(_, column)| column.cells()).collect();
    if cells.iter().any(|column| column.len() != cells[0].len()) {
        return Err(refused("all columns must have the same length"));
    }
    let named: Vec<(&str, Kind)> =
        columns.iter().zip(&cells).map(|((name, _), cells)| (name.as_str(), cells.kind())).collect();
    let form = form(path)?;
    let existing = if replace { Existing::Goes } else { Existing::Stays };
    whole::check_new("path", Path::new(path), existing).map_err(refused)?;
    let failed = |why: &dyn std::fmt::Display| PyOSError::new_err(format!("{path}: cannot be written: {why}"));
    py.detach(|| {
        let staged = Staged::new(Path::new(path)).map_err(|why| failed(&why))?;
        let mut table = Writer::new(form, &named, staged, as_it_is).map_err(|why| failed(&why))?;
        table.write(&cells).map_err(|why| failed(&why))?;
        table.finish().map_err(|why| failed(&why))?.keep(existing).map_err(|why| failed(&why))
    })
}

/// Reads a table, in the form that the file's name ends with: numbers as arrays, words as lists.
#[pyfunction]
#[pyo3(signature = (path))]
pub fn read_table<'py>(py: Python<'py>, path: &str) -> PyResult<Bound<'py, PyDict>> {
    let form = form(path)?;
    let (names, columns) = py
        .detach(|| {
            let mut table = Table::open("path", Path::new(path), form)?;
            let names: Vec<String> = table.columns().into_iter().map(str::to_owned).collect();
            let mut columns: Vec<Cells<'static>> = (0..names.len()).map(|column| empty(table.kind(column))).collect();
            while let Some(block) = table.next(HELD)? {
                for (place, column) in columns.iter_mut().enumerate() {
                    (0..block.rows()).for_each(|row| push(column, &block.cell(row, place)));
                }
            }
            Ok::<_, boardwise_files::Fault>((names, columns))
        })
        .map_err(refused)?;
    let answer = PyDict::new(py);
    for (name, column) in names.into_iter().zip(columns) {
        match column {
            Cells::Words(cells) => {
                let words: Vec<Cow<'static, str>> = cells.into_iter().map(Option::unwrap_or_default).collect();
                answer.set_item(name, words)?;
            }
            Cells::Numbers(cells) => answer.set_item(name, numbers(cells.into_iter()).into_pyarray(py))?,
            // Where nothing stands there is no whole number: the column becomes one of numbers.
            Cells::Whole(cells) => match cells.iter().copied().collect::<Option<Vec<i64>>>() {
                Some(whole) => answer.set_item(name, whole.into_pyarray(py))?,
                None => {
                    let cells = cells.into_iter().map(|cell| cell.map(|cell| cell as f64));
                    answer.set_item(name, numbers(cells).into_pyarray(py))?;
                }
            },
        }
    }
    Ok(answer)
}

fn numbers(cells: impl Iterator<Item = Option<f64>>) -> Vec<f64> {
    cells.map(|cell| cell.unwrap_or(f64::NAN)).collect()
}

fn empty(kind: Kind) -> Cells<'static> {
    match kind {
        Kind::Words => Cells::Words(Vec::new()),
        Kind::Numbers => Cells::Numbers(Vec::new()),
        Kind::Whole => Cells::Whole(Vec::new()),
    }
}

/// A cell more; its kind is that of the column.
fn push(column: &mut Cells<'static>, cell: &Cell<'_>) {
    match column {
        Cells::Words(cells) => cells.push(Some(Cow::Owned(cell.words().into_owned())).filter(|_| *cell != Cell::Empty)),
        Cells::Numbers(cells) => cells.push(if let Cell::Number(number) = cell { Some(*number) } else { None }),
        Cells::Whole(cells) => cells.push(if let Cell::Whole(number) = cell { Some(*number) } else { None }),
    }
}
