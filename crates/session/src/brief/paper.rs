//! The brief on one sheet of paper.

use boardwise_figures::{Handout, Theme};

use super::{Brief, CAUTION};
use crate::Failure;
use crate::event::heading;
use crate::rows::Rows;

/// Rows of a table on one page: the first that fits, and the rest is on the screen.
const ROWS: [usize; 4] = [6, 4, 3, 2];

/// The brief as PDF, on one A4 page.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn page(brief: &Brief) -> Result<Vec<u8>, Failure> {
    on_one_page(|rows| paper(brief, rows)).pdf().map_err(|why| Failure::Picture(Box::new(why)))
}

/// A paper with as many rows in its tables as fit one page; where none fits, the one with the fewest.
pub fn on_one_page(paper: impl Fn(usize) -> Handout) -> Handout {
    let [most @ .., fewest] = ROWS;
    let fits = most.into_iter().map(|rows| paper(rows).one_page()).find(|paper| paper.pages() == 1);
    fits.unwrap_or_else(|| paper(fewest).one_page())
}

fn paper(brief: &Brief, rows: usize) -> Handout {
    let heading = heading(&brief.event, brief.on());
    let [_, (_, who), (_, place)] = &heading;
    let mut paper = Handout::new(&format!("{}. {}.", brief.event.name, brief.verdict())).caution(CAUTION);
    paper = paper.text(&format!("{} {}\n{who}. {place}.", brief.doubt(), brief.reasons().join(" ")));
    paper = pictures(paper, brief);
    for (title, table) in brief.tables() {
        paper = titled(paper, title, &table, rows);
    }
    paper
}

/// Both lanes on their side, next to each other.
pub fn pictures(paper: Handout, brief: &Brief) -> Handout {
    let [one, other] = [0, 1].map(|lane| brief.picture(lane, true, Theme::Light));
    paper.pictures(&[&one, &other])
}

/// A table of at most so many rows under its heading; nothing where it is empty.
pub fn titled(paper: Handout, title: &str, table: &Rows, rows: usize) -> Handout {
    let head: Vec<&str> = table.head.iter().map(String::as_str).collect();
    let cells = &table.cells[..table.cells.len().min(rows)];
    if cells.is_empty() { paper } else { paper.heading(title).table(&head, cells) }
}
