//! A text with one field changed, or a row more or less; all else in it stays as it is written.

use serde::Deserialize;
use toml_edit::{Array, DocumentMut, InlineTable, Item, Table, TableLike, Value};

use super::columns::{Column, Kind, Part, parts};
use super::list_mut;
use crate::Shelf;

/// What somebody did in a form.
#[derive(Clone, Debug, Deserialize)]
#[serde(tag = "do", rename_all = "lowercase", deny_unknown_fields)]
pub enum Change {
    /// Filled a field in; with nothing, it is left out of the file.
    Set {
        /// Its row's path and its key, with a dot between.
        path: String,
        /// What was typed.
        value: String,
    },
    /// Asked for another row, like the last.
    Add {
        /// The list.
        list: String,
    },
    /// Took a row out, with the comment above it.
    Remove {
        /// The list.
        list: String,
        /// Its place from 0.
        row: usize,
    },
}

/// The text with these changes. One that leads nowhere changes nothing; a text that is no TOML stays as it is.
pub fn changed(shelf: Shelf, text: &str, changes: &[Change]) -> String {
    let Ok(mut file) = text.parse::<DocumentMut>() else { return text.to_owned() };
    for change in changes {
        // None: the path leads nowhere, because the row has gone or the page is an old one.
        let _: Option<()> = match change {
            Change::Set { path, value } => set(shelf, file.as_table_mut(), path, value),
            Change::Add { list } => add(shelf, file.as_table_mut(), list),
            Change::Remove { list, row } => remove(file.as_table_mut(), list, *row),
        };
    }
    file.to_string()
}

fn set(shelf: Shelf, file: &mut Table, path: &str, typed: &str) -> Option<()> {
    let (part, row, column) = parts(shelf).iter().find_map(|part| find(part, path))?;
    match row {
        Some(row) => fill(list_mut(file, part.key)?.get_mut(row)?, column, typed),
        None if part.key.is_empty() => fill(file, column, typed),
        None => {
            if typed.trim().is_empty() && !file.contains_key(part.key) {
                return None;
            }
            let table = file.entry(part.key).or_insert(Item::Table(Table::new())).as_table_like_mut()?;
            fill(table, column, typed)?;
            if table.is_empty() {
                file.remove(part.key);
            }
            Some(())
        }
    }
}

/// The part, row and field that a path leads to.
fn find(part: &'static Part, path: &str) -> Option<(&'static Part, Option<usize>, &'static Column)> {
    let mut rest = path;
    if !part.key.is_empty() {
        rest = rest.strip_prefix(part.key)?.strip_prefix('.')?;
    }
    let mut row = None;
    if part.list {
        let (place, key) = rest.split_once('.')?;
        (row, rest) = (Some(place.parse().ok()?), key);
    }
    part.columns.iter().find(|column| column.key == rest).map(|column| (part, row, column))
}

fn fill(table: &mut dyn TableLike, column: &Column, typed: &str) -> Option<()> {
    let typed = typed.trim();
    if !typed.is_empty() {
        for other in column.instead_of {
            let (first, rest) = other.split_once('.')?;
            table.get_mut(first).and_then(Item::as_table_like_mut).and_then(|inner| inner.remove(rest));
        }
    }
    let (first, rest) = column.steps();
    let Some(rest) = rest else { return put(table, first, column.kind, typed) };
    if let Ok(place) = rest.parse::<usize>() {
        return put_at(table, first, place, column.kind, typed);
    }
    if typed.is_empty() && !table.contains_key(first) {
        return None;
    }
    let inner = table.entry(first).or_insert(Item::Value(Value::InlineTable(InlineTable::new())));
    let inner = inner.as_table_like_mut()?;
    put(inner, rest, column.kind, typed)?;
    if inner.is_empty() {
        table.remove(first);
    }
    Some(())
}

fn put(table: &mut dyn TableLike, key: &str, kind: Kind, typed: &str) -> Option<()> {
    if typed.is_empty() {
        table.remove(key)?;
        return Some(());
    }
    let mut new = value(kind, typed);
    match table.get_mut(key) {
        Some(Item::Value(old)) => {
            // The comment behind it stays.
            *new.decor_mut() = old.decor().clone();
            *old = new;
        }
        Some(other) => *other = Item::Value(new),
        None => {
            table.insert(key, Item::Value(new));
        }
    }
    Some(())
}

/// A place of a list; both places are written as soon as one is filled in, and the list goes when both are empty.
fn put_at(table: &mut dyn TableLike, key: &str, place: usize, kind: Kind, typed: &str) -> Option<()> {
    if typed.is_empty() && !table.contains_key(key) {
        return None;
    }
    let new = if typed.is_empty() { Value::from("") } else { value(kind, typed) };
    let list = table.entry(key).or_insert(Item::Value(Value::Array(Array::new()))).as_array_mut()?;
    while list.len() <= place {
        list.push("");
    }
    list.replace(place, new);
    if list.iter().all(|one| one.as_str() == Some("")) {
        table.remove(key);
    }
    Some(())
}

/// As the file has it. What is no number is written as words, so that the file says where it is wrong and nothing typed is lost.
fn value(kind: Kind, typed: &str) -> Value {
    let number = |typed: &str| match typed.parse::<Value>() {
        Ok(number) if number.is_integer() || number.is_float() => number,
        _ => Value::from(typed),
    };
    match kind {
        Kind::Number => number(typed),
        Kind::Numbers => {
            let words = typed.split([' ', ',', ';', '\t', '\n']).filter(|word| !word.is_empty());
            Value::Array(words.map(number).collect())
        }
        Kind::Yes => Value::from(true),
        Kind::Words | Kind::OneOf(_) | Kind::Named(_) => Value::from(typed),
    }
}

fn add(shelf: Shelf, file: &mut Table, list: &str) -> Option<()> {
    let part = parts(shelf).iter().find(|part| part.list && part.key == list)?;
    let rows = list_mut(file, part.key)?;
    let last = rows.len().checked_sub(1).and_then(|last| rows.get(last)).cloned();
    let mut row = match last {
        Some(row) => row,
        None => part.first.parse::<DocumentMut>().ok()?.as_table().clone(),
    };
    row.decor_mut().set_prefix("\n");
    // A ball's name is its own; the others in the bag are not touched.
    if let Some(id) = row.get("id").and_then(Item::as_str).map(str::to_owned) {
        let taken = |id: &str| rows.iter().any(|one| one.get("id").and_then(Item::as_str) == Some(id));
        let others = (2..=rows.len() + 2).map(|n| format!("{id}-{n}"));
        let free = std::iter::once(id.clone()).chain(others).find(|id| !taken(id))?;
        row.insert("id", Item::Value(Value::from(free)));
    }
    rows.push(row);
    Some(())
}

fn remove(file: &mut Table, list: &str, row: usize) -> Option<()> {
    let rows = list_mut(file, list)?;
    if row < rows.len() {
        rows.remove(row);
    }
    if rows.is_empty() {
        file.remove(list);
    }
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::form;
    use proptest::prelude::*;

    fn set_one(shelf: Shelf, text: &str, path: &str, value: &str) -> String {
        changed(shelf, text, &[Change::Set { path: path.to_owned(), value: value.to_owned() }])
    }

    fn everything() -> impl Iterator<Item = (Shelf, &'static str)> {
        let kit = [
            (Shelf::Lane, &crate::LANES[..]),
            (Shelf::Bag, &crate::BAGS),
            (Shelf::Bowler, &crate::BOWLERS),
            (Shelf::Event, &crate::EVENTS),
        ];
        kit.into_iter().flat_map(|(shelf, entries)| entries.iter().map(move |entry| (shelf, entry.text)))
    }

    #[test]
    fn law_a_field_filled_in_is_what_the_form_then_shows_and_nothing_else_changes() {
        for (shelf, text) in everything() {
            let before = form(shelf, text).unwrap();
            for (p, filled) in before.parts.iter().enumerate() {
                for (r, (row, values)) in filled.rows.iter().enumerate() {
                    for (c, column) in filled.part.columns.iter().enumerate() {
                        let Some(old) = &values[c] else { continue };
                        let path = if row.is_empty() { column.key.to_owned() } else { format!("{row}.{}", column.key) };
                        assert_eq!(set_one(shelf, text, &path, old), text, "{path} as it was");
                        if !matches!(column.kind, Kind::Number) {
                            continue;
                        }
                        let after = form(shelf, &set_one(shelf, text, &path, "7.25")).unwrap();
                        let mut expected = before.parts[p].rows.clone();
                        expected[r].1[c] = Some("7.25".to_owned());
                        assert_eq!(after.parts[p].rows, expected, "{path}");
                    }
                }
            }
        }
    }

    #[test]
    fn law_comments_stay_and_rows_come_and_go() {
        let text = "# above\nname = \"x\" # behind\n[[strokes]]\nboards = [2, 38]\nfeet = [0, 32]\nmicrolitres = 1\ndirection = \"out\"\n";
        let named = set_one(Shelf::Lane, text, "name", "y");
        assert_eq!(named, text.replace("\"x\"", "\"y\""));
        let two = changed(Shelf::Lane, text, &[Change::Add { list: "strokes".to_owned() }]);
        assert!(crate::parse_lane("two", two.as_bytes()).is_ok(), "{two}");
        assert_eq!(form(Shelf::Lane, &two).unwrap().parts[1].rows.len(), 2);
        let one = changed(Shelf::Lane, &two, &[Change::Remove { list: "strokes".to_owned(), row: 1 }]);
        assert_eq!(one, text);
        let none = changed(Shelf::Lane, text, &[Change::Remove { list: "strokes".to_owned(), row: 0 }]);
        assert!(!none.contains("strokes"), "{none}");
        let again = changed(Shelf::Lane, &none, &[Change::Add { list: "readings".to_owned() }]);
        assert!(crate::parse_lane("again", again.as_bytes()).is_ok(), "{again}");
    }

    #[test]
    fn law_one_surface_takes_the_place_of_another_and_a_new_ball_has_a_name_of_its_own() {
        let bag = crate::BAGS[0].text;
        let measured = set_one(Shelf::Bag, bag, "ball.0.surface.ra_um", "0.9");
        let ball = crate::parse_bag("bag", measured.as_bytes()).unwrap().value.balls().next().unwrap();
        assert_eq!(ball.prepared, crate::Prepared::RaUm(0.9));
        let add = [Change::Add { list: "ball".to_owned() }, Change::Add { list: "ball".to_owned() }];
        let more = changed(Shelf::Bag, bag, &add);
        assert_eq!(crate::parse_bag("bag", more.as_bytes()).unwrap().value.balls().count(), 9);
    }

    #[test]
    fn law_what_is_no_number_is_kept_and_refused_where_it_stands() {
        let text = crate::LANES[0].text;
        let wrong = set_one(Shelf::Lane, text, "strokes.1.microlitres", "many");
        assert!(wrong.contains("microlitres = \"many\""));
        let fault = crate::parse_lane("lane.toml", wrong.as_bytes()).unwrap_err().to_string();
        assert!(fault.contains("line"), "{fault}");
    }

    proptest! {
        #[test]
        fn law_no_change_panics_and_every_text_stays_toml(
            which in 0_usize..4, path in "[a-z_.0-9]{0,20}|strokes\\.[0-9]\\.(feet|boards)\\.[0-9]{1,3}|name|ball\\.0\\.surface\\.grit",
            value in "\\PC{0,12}", row in 0_usize..9, list in "strokes|ball|pair|bowler|readings|name|range"
        ) {
            let shelf = Shelf::ALL[which];
            for (_, text) in everything().filter(|(kind, _)| *kind == shelf).take(2) {
                let changes = [
                    Change::Set { path: path.clone(), value: value.clone() },
                    Change::Remove { list: list.clone(), row },
                    Change::Add { list: list.clone() },
                ];
                let after = changed(shelf, text, &changes);
                prop_assert!(after.parse::<DocumentMut>().is_ok(), "{after}");
            }
        }
    }
}
