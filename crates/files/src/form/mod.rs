//! A file of the kit as fields to fill in: what stands in the text, and the text with one of them changed.
//!
//! The text is the file; a form only shows part of it and writes into it. What no field is for (a shape, friction by board) stays as it stands,
//! and so do comments, but for those above a row that is taken out. A form checks nothing: [`crate::Library::check`] does.

mod columns;
mod edit;

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

use crate::Shelf;
pub use columns::{Column, Kind, Part};
pub use edit::{Change, changed};

/// What stands in the fields.
#[derive(Clone, Debug)]
pub struct Form {
    /// Its parts, those that are there or may be.
    pub parts: Vec<Filled>,
}

/// A part with what stands in it.
#[derive(Clone, Debug)]
pub struct Filled {
    /// What it is.
    pub part: &'static Part,
    /// Each row's path, and what stands in its fields; a part that is no list has one row.
    pub rows: Vec<(String, Vec<Option<String>>)>,
}

/// The form of a text; None where the text is no TOML, so that there is nothing to fill in.
pub fn form(shelf: Shelf, text: &str) -> Option<Form> {
    let file = text.parse::<DocumentMut>().ok()?;
    let parts = columns::parts(shelf).iter().map(|part| Filled { part, rows: rows(part, file.as_table()) });
    Some(Form { parts: parts.collect() })
}

fn rows(part: &'static Part, file: &Table) -> Vec<(String, Vec<Option<String>>)> {
    let read = |table: Option<&dyn TableLike>| part.columns.iter().map(|column| value(table?, column)).collect();
    if !part.list {
        let table = if part.key.is_empty() { Some(file as &dyn TableLike) } else { table_of(file.get(part.key)) };
        return vec![(part.key.to_owned(), read(table))];
    }
    let path = |k: usize| format!("{}.{k}", part.key);
    match file.get(part.key) {
        Some(Item::ArrayOfTables(tables)) => {
            tables.iter().enumerate().map(|(k, table)| (path(k), read(Some(table)))).collect()
        }
        Some(Item::Value(Value::Array(tables))) => {
            let tables = tables.iter().map(|one| one.as_inline_table().map(|table| table as &dyn TableLike));
            tables.enumerate().map(|(k, table)| (path(k), read(table))).collect()
        }
        _ => Vec::new(),
    }
}

fn table_of(item: Option<&Item>) -> Option<&dyn TableLike> {
    item.and_then(Item::as_table_like)
}

fn value(table: &dyn TableLike, column: &Column) -> Option<String> {
    let (first, rest) = column.steps();
    let item = table.get(first)?;
    let Some(rest) = rest else { return item.as_value().map(shown) };
    match (item.as_array(), rest.parse::<usize>()) {
        (Some(array), Ok(place)) => array.get(place).map(shown),
        _ => table_of(Some(item))?.get(rest)?.as_value().map(shown),
    }
}

/// A value as a field shows it.
fn shown(value: &Value) -> String {
    match value {
        Value::String(text) => text.value().clone(),
        Value::Array(all) => all.iter().map(shown).collect::<Vec<_>>().join(" "),
        other => other.clone().decorated("", "").to_string(),
    }
}

impl Form {
    /// Whether a part would be refused beside what is there: a lane has one kind of oil.
    pub fn shuts_out(&self, part: &Part) -> bool {
        let mut others = self.parts.iter().filter(|other| other.part.alone && other.part.key != part.key);
        part.alone && others.any(|other| other.rows.iter().any(|(_, values)| values.iter().any(Option::is_some)))
    }
}

/// The rows of a list, as tables of their own.
fn list_mut<'a>(file: &'a mut Table, key: &str) -> Option<&'a mut ArrayOfTables> {
    let item = file.entry(key).or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
    if let Item::Value(_) = item {
        // Rows written in one line become tables; what is no list of tables stays as it is.
        let tables = std::mem::take(item).into_array_of_tables();
        *item = tables.map_or_else(|other| other, Item::ArrayOfTables);
    }
    item.as_array_of_tables_mut()
}
