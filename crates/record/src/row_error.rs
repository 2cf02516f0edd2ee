//! What can be wrong with a file of shots as CSV, row by row.

use crate::word::meant;

/// Why a row is no shot, or not the one that follows.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum RowError {
    /// A row with cells missing or too many.
    #[error("the row has {cells} cells, the header {columns}: fill in or take out commas")]
    RowLength {
        /// Its cells.
        cells: u64,
        /// Those of the header.
        columns: u64,
    },
    /// A row that is no text.
    #[error("the row is not UTF-8: save the file as UTF-8")]
    NotUtf8,
    /// A column that must be there.
    #[error("column `{column}` is missing: needed are block, bowler, and one of standing, down and foul")]
    MissingColumn {
        /// Its name.
        column: &'static str,
    },
    /// A column that means nothing here.
    #[error("column {found:?} is unknown: {}columns are {}", meant(nearest.as_deref()), allowed.join(", "))]
    UnknownColumn {
        /// Its name in the file.
        found: String,
        /// The known column most like it.
        nearest: Option<Box<str>>,
        /// All known columns.
        allowed: &'static [&'static str],
    },
    /// A column that is there twice.
    #[error("column `{column}` is there twice: keep one")]
    ColumnTwice {
        /// Its name.
        column: &'static str,
    },
    /// A cell that cannot be read.
    #[error("{column} = {value:?}: {allowed}")]
    Cell {
        /// Its column.
        column: &'static str,
        /// What it says.
        value: String,
        /// What it may say.
        allowed: &'static str,
    },
    /// What fell is told in no way, or in several.
    #[error("tell what a shot did in exactly one of standing, down and foul")]
    NoOneRoll,
    /// A place in the game that the shots before it do not lead to.
    #[error(
        "the file says game {}, frame {}, ball {}, the shots before it lead to game {}, frame {}, ball {}: is one missing?",
        said[0], said[1], said[2], is[0], is[1], is[2]
    )]
    OtherPlace {
        /// Game, frame and ball by the file; 0 where it does not say.
        said: [u16; 3],
        /// Game, frame and ball by the shots.
        is: [u16; 3],
    },
}
