//! What columns hold, and a block of one.

use std::borrow::Cow;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Words,
    /// Numbers.
    Numbers,
    /// Whole numbers.
    Whole,
}

/// Cells of a column; none where nothing stands.
#[derive(Clone, Debug, PartialEq)]
pub enum Cells<'a> {
    /// Words.
    Words(Vec<Option<Cow<'a, str>>>),
    /// Numbers.
    Numbers(Vec<Option<f64>>),
    /// Whole numbers.
    Whole(Vec<Option<i64>>),
}

impl Cells<'_> {
    /// What they are.
    pub fn kind(&self) -> Kind {
        match self {
            Self::Words(_) => Kind::Words,
            Self::Numbers(_) => Kind::Numbers,
            Self::Whole(_) => Kind::Whole,
        }
    }

    /// How many.
    pub fn len(&self) -> usize {
        match self {
            Self::Words(cells) => cells.len(),
            Self::Numbers(cells) => cells.len(),
            Self::Whole(cells) => cells.len(),
        }
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}
