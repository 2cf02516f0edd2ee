//! The brief on one sheet of paper.

use boardwise_figures::{Handout, Theme};

use super::{Brief, CAUTION};
use crate::Failure;
use crate::event::heading;

/// Rows of a table on the sheet: the rest is on the screen.
const ROWS: usize = 4;

/// The brief as PDF, on an A4 page.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn page(brief: &Brief) -> Result<Vec<u8>, Failure> {
    let heading = heading(&brief.event, brief.on());
    let [_, (_, who), (_, place)] = &heading;
    let mut paper = Handout::new(&format!("{}. {}.", brief.event.name, brief.verdict())).caution(CAUTION);
    paper = paper.text(&format!("{} {}\n{who}. {place}.", brief.doubt(), brief.reasons().join(" ")));
    let [one, other] = [0, 1].map(|lane| brief.picture(lane, true, Theme::Light));
    paper = paper.pictures(&[&one, &other]);
    for (title, rows) in brief.tables() {
        let head: Vec<&str> = rows.head.iter().map(String::as_str).collect();
        let cells = &rows.cells[..rows.cells.len().min(ROWS)];
        if !cells.is_empty() {
            paper = paper.heading(title).table(&head, cells);
        }
    }
    paper.pdf().map_err(|why| Failure::Picture(Box::new(why)))
}
