//! A table on paper: columns as wide as they need, numbers to the right, the head again on every page.

use crate::flow::{Flow, INK, QUIET};
use crate::paper::{Face, Item, Part, spaced, width, wrapped};

const CELL: Face = Face { size: 9.0, bold: false, colour: INK };
const HEAD: Face = Face { size: 9.0, bold: true, colour: INK };
const STEP: f32 = 11.5;
/// Room between columns, and above and below a row.
const BETWEEN: f32 = 14.0;
const AROUND: f32 = 2.5;
/// No column that holds words is made narrower.
const NARROWEST: f32 = 36.0;

struct Column {
    x: f32,
    width: f32,
    numbers: bool,
}

/// Lays the handout's table of this number.
pub(crate) fn lay(flow: &mut Flow<'_>, table: usize, head: &[String], rows: &[Vec<String>]) {
    let columns = columns(head, rows, flow.left(), flow.width());
    if columns.is_empty() {
        return;
    }
    let head = (!head.is_empty()).then(|| cells(head, &columns, HEAD));
    if let Some(head) = &head {
        // A head alone at the foot of a page is useless.
        flow.keep(height(head) + STEP + 2.0 * AROUND);
        row(flow, head, &columns, HEAD, Some(&Part::Cell { table, row: 0, head: true }));
    }
    for (k, words) in rows.iter().enumerate() {
        let cells = cells(words, &columns, CELL);
        if flow.keep(height(&cells))
            && let Some(head) = &head
        {
            row(flow, head, &columns, HEAD, None);
        }
        row(flow, &cells, &columns, CELL, Some(&Part::Cell { table, row: k + 1, head: false }));
    }
}

fn cells(words: &[String], columns: &[Column], face: Face) -> Vec<Vec<String>> {
    let nothing = String::new();
    let of = |(k, column): (usize, &Column)| {
        let lines = spaced(wrapped(words.get(k).unwrap_or(&nothing), face, column.width));
        // An empty cell is a cell too, for people who listen to the table.
        if lines.is_empty() { vec![String::new()] } else { lines }
    };
    columns.iter().enumerate().map(of).collect()
}

fn height(cells: &[Vec<String>]) -> f32 {
    2.0 * AROUND + STEP * cells.iter().map(Vec::len).max().unwrap_or(0).max(1) as f32
}

/// A row; its cells are this part each, or none where a head is repeated.
fn row(flow: &mut Flow<'_>, cells: &[Vec<String>], columns: &[Column], face: Face, part: Option<&Part>) {
    let thick = if face.bold { 0.9 } else { 0.3 };
    let parts: Vec<Option<usize>> = cells.iter().map(|_| part.map(|part| flow.begin(part.clone()))).collect();
    flow.down(AROUND);
    for line in 0..cells.iter().map(Vec::len).max().unwrap_or(0).max(1) {
        flow.keep(STEP + AROUND);
        let y = flow.y() + face.size;
        for ((cell, column), part) in cells.iter().zip(columns).zip(&parts) {
            let Some(words) = cell.get(line) else { continue };
            let x = if column.numbers { column.x + column.width - width(words.trim_end(), face) } else { column.x };
            flow.go_on(*part);
            flow.put(Item::Words { x, y, face, words: words.clone() });
        }
        flow.down(STEP);
    }
    flow.down(AROUND);
    let end = columns.last().map_or(0.0, |column| column.x + column.width);
    flow.put(Item::Rule { y: flow.y(), from: flow.left(), to: end, thick, colour: QUIET });
}

/// Columns as wide as their widest cell. If that is too wide, the widest columns are cut and their words wrap.
fn columns(head: &[String], rows: &[Vec<String>], left: f32, room: f32) -> Vec<Column> {
    let count = rows.iter().map(Vec::len).fold(head.len(), usize::max);
    let widest = |k: usize| {
        let cells = rows.iter().filter_map(|row| row.get(k)).map(|words| width(words, CELL));
        cells.fold(head.get(k).map_or(0.0, |words| width(words, HEAD)), f32::max) + 0.5
    };
    let mut widths: Vec<f32> = (0..count).map(widest).collect();
    let free = room - BETWEEN * count.saturating_sub(1) as f32;
    let limit = limit(&widths, free).max(NARROWEST.min(free / count.max(1) as f32));
    for width in &mut widths {
        *width = width.min(limit);
    }
    let mut x = left;
    let column = |(k, width): (usize, f32)| {
        let numbers = rows.iter().filter_map(|row| row.get(k)).any(|words| !words.is_empty())
            && rows.iter().filter_map(|row| row.get(k)).all(|words| is_number(words));
        let column = Column { x, width, numbers };
        x += width + BETWEEN;
        column
    };
    widths.into_iter().enumerate().map(column).collect()
}

/// The width at which to cut columns so that they fill the room.
fn limit(widths: &[f32], room: f32) -> f32 {
    let mut sorted = widths.to_vec();
    sorted.sort_by(f32::total_cmp);
    let mut left = room;
    for (k, width) in sorted.iter().enumerate() {
        let share = left / (sorted.len() - k) as f32;
        if *width > share {
            return share;
        }
        left -= width;
    }
    f32::INFINITY
}

/// Whether a cell lines up with numbers: it is empty, or a dash, or begins with a number and has at most three letters.
fn is_number(words: &str) -> bool {
    let start = words.trim_start_matches(['+', '-', '−', '±', '<', '>', ' ']);
    let dash = matches!(words.trim(), "" | "-" | "–");
    dash || (start.starts_with(|c: char| c.is_ascii_digit())
        && words.chars().filter(|c| c.is_alphabetic()).count() <= 3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_columns_fit_the_room_and_numbers_stand_right() {
        let long = "a strong dull solid sanded at 1500 and used for the first two games ".repeat(4);
        let rows = vec![vec!["1".to_owned(), long.clone(), "−3.5".into()], vec!["12".into(), long, "+0.2 ± 1".into()]];
        let head = ["game", "ball", "pins"].map(String::from);
        let columns = columns(&head, &rows, 45.0, 300.0);
        assert_eq!(columns.iter().map(|c| c.numbers).collect::<Vec<_>>(), [true, false, true]);
        let end = columns.last().map(|c| c.x + c.width).expect("three");
        assert!((end - 345.0).abs() < 1.0, "{end}");
        assert!(columns[0].width > 15.0);
    }
}
