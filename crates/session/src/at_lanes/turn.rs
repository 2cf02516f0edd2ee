//! A place on a sheet.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A place on a sheet: which ball of which frame of which game, each from 1 on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Turn {
    /// Game.
    pub game: u16,
    /// Frame.
    pub frame: u8,
    /// Ball of the frame.
    pub ball: u8,
}

impl std::fmt::Display for Turn {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "game {}, frame {}, ball {}", self.game, self.frame, self.ball)
    }
}
