//! Small values that many answers share.

use std::borrow::Cow;

use boardwise_lane::Place;
use boardwise_record::LineMeant;
use boardwise_score::PinSet;
use boardwise_search::{LeaveShare, MissRoom};
use boardwise_units::Hand;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};

/// The number of an answer's form. It is 1, and changes only where a key changes its meaning or goes away.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Form;

impl Serialize for Form {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u8(1)
    }
}

impl JsonSchema for Form {
    fn schema_name() -> Cow<'static, str> {
        "Form".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "integer", "const": 1 })
    }
}

/// A side: the gutter that boards count from, or a hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum SideWord {
    /// Right.
    Right,
    /// Left.
    Left,
}

impl From<Hand> for SideWord {
    fn from(hand: Hand) -> Self {
        match hand {
            Hand::Right => Self::Right,
            Hand::Left => Self::Left,
        }
    }
}

/// A place on the lane.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlaceView {
    /// Board, from the gutter on the bowling-hand side.
    pub board: f64,
    /// Feet from the foul line.
    pub feet: f64,
}

impl From<&Place> for PlaceView {
    fn from(place: &Place) -> Self {
        Self { board: place.board.0, feet: place.feet.0 }
    }
}

/// How far a shot can be off at the arrows and still be worth half of the best.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MissRoomView {
    /// Boards toward the bowling hand.
    pub hand_boards: f64,
    /// Boards away from it.
    pub away_boards: f64,
}

impl From<MissRoom> for MissRoomView {
    fn from(room: MissRoom) -> Self {
        Self { hand_boards: room.hand_boards, away_boards: room.away_boards }
    }
}

/// A mean with its standard deviation, both in the unit of the key.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MeanSd {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

impl MeanSd {
    /// Of a mean and a deviation.
    pub fn of((mean, sd): (f64, f64)) -> Self {
        Self { mean, sd }
    }

    /// Of shares, 0 to 1, as percentages.
    pub fn pct((mean, sd): (f64, f64)) -> Self {
        Self { mean: 100.0 * mean, sd: 100.0 * sd }
    }
}

/// A line that a bowler means.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LineMeantView {
    /// Board of laydown.
    pub laydown: f64,
    /// Board aimed at, 15 ft down.
    pub arrows: f64,
    /// Speed at release, mph.
    pub speed_mph: f64,
    /// Axis rotation, degrees.
    pub rotation_deg: f64,
}

impl From<LineMeant> for LineMeantView {
    fn from(meant: LineMeant) -> Self {
        let LineMeant { laydown, arrows, speed_mph, rotation_deg } = meant;
        Self { laydown, arrows, speed_mph, rotation_deg }
    }
}

/// The line on a lane.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LaneLine {
    /// Number of the lane; 0 where its name has none.
    pub lane: u32,
    /// The line.
    #[serde(flatten)]
    pub line: LineMeantView,
}

/// A leave and how often it comes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeaveView {
    /// Numbers of the pins that stand.
    pub pins: Vec<u8>,
    /// Percentage of first balls that leave it.
    pub pct: f64,
    /// Whether it is a split.
    pub split: bool,
    /// How often the bowler makes it; left out where that was not asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub make_pct: Option<f64>,
}

impl LeaveView {
    /// Of a leave; `make` is the share made, 0 to 1, where it is known.
    pub fn of(one: &LeaveShare, make: Option<f64>) -> Self {
        Self {
            pins: pin_numbers(one.leave.pins()),
            pct: 100.0 * one.share,
            split: one.leave.is_split(),
            make_pct: make.map(|make| 100.0 * make),
        }
    }
}

/// Pins that stand after a ball, and how often.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PinsShare {
    /// Numbers of the pins that stand; none where all fell.
    pub pins: Vec<u8>,
    /// Percentage of balls.
    pub pct: f64,
}

impl PinsShare {
    /// Of a share, 0 to 1.
    pub fn of(pins: PinSet, share: f64) -> Self {
        Self { pins: pin_numbers(pins), pct: 100.0 * share }
    }
}

/// Pins as a list of their numbers.
pub fn pin_numbers(pins: PinSet) -> Vec<u8> {
    pins.iter().map(boardwise_score::Pin::number).collect()
}
