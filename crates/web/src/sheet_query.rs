//! Which sheet a page is about.

use boardwise_session::Failure;
use boardwise_session::at_lanes::after::{self, Story};
use serde::{Deserialize, Serialize};

use super::state::App;

/// Which sheet of the record, beside which other.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct SheetQuery {
    /// The block; left out, the one begun last.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub block: Option<String>,
    /// Whose sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bowler: Option<String>,
    /// The block to compare with.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beside: Option<String>,
    /// Whose sheet of that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beside_bowler: Option<String>,
    /// Blocks to leave out of the list of the latest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub skip: Option<usize>,
}

impl SheetQuery {
    /// One sheet.
    pub fn sheet(listed: &after::Listed) -> Self {
        let (block, bowler) = (Some(listed.block.to_string()), Some(listed.bowler.to_string()));
        Self { block, bowler, ..Self::default() }
    }

    /// Beside another.
    pub fn and(self, other: &after::Listed) -> Self {
        let (beside, beside_bowler) = (Some(other.block.to_string()), Some(other.bowler.to_string()));
        Self { beside, beside_bowler, ..self }
    }

    /// Its story.
    ///
    /// # Errors
    /// If there is no such sheet.
    pub fn story(&self, app: &App) -> Result<Story, Failure> {
        let which = after::SheetChoice {
            block: self.block.as_deref(),
            bowler: self.bowler.as_deref(),
            skip: self.skip.unwrap_or_default(),
        };
        Story::of(&app.record, &which)
    }

    /// The story beside it, if one was asked for.
    ///
    /// # Errors
    /// If there is no such sheet.
    pub fn other(&self, app: &App) -> Result<Option<Story>, Failure> {
        let which =
            after::SheetChoice { block: self.beside.as_deref(), bowler: self.beside_bowler.as_deref(), skip: 0 };
        which.block.is_some().then(|| Story::of(&app.record, &which)).transpose()
    }
}
