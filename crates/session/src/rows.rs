//! A table of an answer, as a terminal and a page both show it.

/// Rows under headings; cells are rounded for people.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rows {
    /// Headings.
    pub head: Vec<String>,
    /// How many of the first columns hold words rather than numbers.
    pub words: usize,
    /// Row by row, a cell for each heading.
    pub cells: Vec<Vec<String>>,
}

impl Rows {
    /// Nothing yet under these headings.
    pub fn under<'a>(head: impl IntoIterator<Item = &'a str>, words: usize) -> Self {
        Self { head: head.into_iter().map(str::to_owned).collect(), words, cells: Vec::new() }
    }
}
