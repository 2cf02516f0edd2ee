//! Tables for people.

use boardwise_units::Degrees;
use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

use super::terminal;
use boardwise_session::rows::Rows;

/// Narrower than this no table can be read: it is cut at the edge instead.
const LEAST_WIDTH: u16 = 40;

/// A table with right-aligned columns, except the first `words` ones. It is no wider than the terminal.
pub fn table(head: &[&str], words: usize) -> Table {
    let mut table = Table::new();
    table.load_style(presets::UTF8_FULL_CONDENSED);
    if let Some(width) = terminal::width() {
        table.set_content_arrangement(ContentArrangement::Dynamic);
        table.set_width(width.max(LEAST_WIDTH));
    }

    table.set_header(head.to_vec());
    // A sign, a space on either side and a line between are the least that a column takes.
    let tight = terminal::width().is_some_and(|width| head.len() * 4 + 1 > usize::from(width));
    for (k, column) in table.column_iter_mut().enumerate() {
        if tight {
            column.set_padding((0, 0));
        }
        column.set_cell_alignment(if k < words { CellAlignment::Left } else { CellAlignment::Right });
    }
    table
}

/// A table of an answer.
pub fn of(rows: &Rows) -> Table {
    let head: Vec<&str> = rows.head.iter().map(String::as_str).collect();
    let mut shown = table(&head, rows.words);
    for row in &rows.cells {
        shown.add_row(row.clone());
    }
    shown
}

/// An angle to a tenth, without the sign of what would be shown as -0.0.
pub fn degrees(angle: Degrees) -> String {
    format!("{:.1}°", if angle.0.abs() < 0.05 { 0.0 } else { angle.0 })
}
