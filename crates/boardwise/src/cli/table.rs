//! Tables for people.

use comfy_table::{CellAlignment, Table, presets};

/// A table with right-aligned columns, except the first `words` ones.
pub fn table(head: &[&str], words: usize) -> Table {
    let mut table = Table::new();
    table.load_style(presets::UTF8_FULL_CONDENSED);

    table.set_header(head.to_vec());
    for (k, column) in table.column_iter_mut().enumerate() {
        column.set_cell_alignment(if k < words { CellAlignment::Left } else { CellAlignment::Right });
    }
    table
}
