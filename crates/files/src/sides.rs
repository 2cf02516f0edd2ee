//! Words of a lane file for the sides of a lane and the ways along it.

use boardwise_lane::Direction;
use schemars::JsonSchema;
use serde::Deserialize;

/// A gutter.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Gutter {
    /// The right one.
    #[default]
    Right,
    /// The left one.
    Left,
}

/// Which way a machine travels.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Way {
    /// Away from the foul line.
    Out,
    /// Back toward it.
    Back,
}

impl From<Way> for Direction {
    fn from(way: Way) -> Self {
        match way {
            Way::Out => Self::Out,
            Way::Back => Self::Back,
        }
    }
}
