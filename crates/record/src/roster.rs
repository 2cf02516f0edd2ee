//! Who bowls, with what, where and when: the people and things that facts are about.

use boardwise_score::Scoring;
use boardwise_units::{Hand, Micrometres};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::Error;
use crate::bounds::positive;
use crate::word::{BallId, BlockId, BowlerId, Counting, CoverKind, EventId, EventKind, LaneId};

/// A bowler.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
pub struct Bowler {
    /// What the record calls them.
    pub id: BowlerId,
    /// What people call them.
    pub name: String,
    /// The hand that bowls: boards count from its side.
    #[serde(with = "hand")]
    pub hand: Hand,
}

/// A ball in somebody's bag.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
pub struct Ball {
    /// What the record calls it.
    pub id: BallId,
    /// Whose bag it is in.
    pub bowler: BowlerId,
    /// What it is, in a few words.
    pub name: String,
    /// What its cover is made of, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cover: Option<CoverKind>,
    /// Its surface when it came into the record, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface: Option<Surface>,
    /// Games thrown with it before that.
    #[serde(default)]
    pub games_before: f64,
}

/// How rough a cover is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "SurfaceWords", into = "SurfaceWords")]
pub enum Surface {
    /// Measured: the arithmetic mean height Ra.
    Ra(Micrometres),
    /// Sanded last with a pad of this grit.
    Grit(f64),
    /// Polished.
    Polished,
}

/// A surface as files have it: exactly one of the three.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
pub(crate) struct SurfaceWords {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ra_um: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grit: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub polished: Option<bool>,
}

impl From<Surface> for SurfaceWords {
    fn from(surface: Surface) -> Self {
        match surface {
            Surface::Ra(ra) => Self { ra_um: Some(ra.0), ..Self::default() },
            Surface::Grit(grit) => Self { grit: Some(grit), ..Self::default() },
            Surface::Polished => Self { polished: Some(true), ..Self::default() },
        }
    }
}

impl TryFrom<SurfaceWords> for Surface {
    type Error = Error;

    fn try_from(words: SurfaceWords) -> Result<Self, Error> {
        match words {
            SurfaceWords { ra_um: Some(ra), grit: None, polished: None } => Ok(Self::Ra(Micrometres(ra))),
            SurfaceWords { ra_um: None, grit: Some(grit), polished: None } => Ok(Self::Grit(grit)),
            SurfaceWords { ra_um: None, grit: None, polished: Some(true) } => Ok(Self::Polished),
            _ => Err(Error::NoOneSurface),
        }
    }
}

impl Surface {
    pub(crate) fn check(self) -> Result<(), Error> {
        match self {
            Self::Ra(ra) => positive("ra_um", ra.0, 100.0),
            Self::Grit(grit) => positive("grit", grit, 100_000.0),
            Self::Polished => Ok(()),
        }
    }
}

/// A lane somewhere.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
pub struct Lane {
    /// What the record calls it.
    pub id: LaneId,
    /// What it is called there.
    pub name: String,
}

/// A competition or practice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
pub struct Event {
    /// What the record calls it.
    pub id: EventId,
    /// What people call it.
    pub name: String,
    /// Whether it counted.
    pub kind: EventKind,
    /// The first day of it, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub day: Option<Date>,
}

/// A block of games, or of balls that count for nothing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
pub struct Block {
    /// What the record calls it.
    pub id: BlockId,
    /// What it belongs to.
    pub event: EventId,
    /// What people call it.
    pub name: String,
    /// How its balls are counted.
    pub counting: Counting,
    /// Games each bowler has in it; without a number a new game begins whenever one is complete.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub games: Option<u16>,
}

impl Counting {
    /// The scoring of its games, `None` where nothing is counted.
    pub const fn scoring(self) -> Option<Scoring> {
        match self {
            Self::Traditional => Some(Scoring::Traditional),
            Self::CurrentFrame => Some(Scoring::CurrentFrame),
            Self::Nothing => None,
        }
    }
}

/// A hand as files have it.
pub(crate) mod hand {
    use boardwise_units::Hand;
    use serde::de::Error as _;
    use serde::{Deserialize, Deserializer, Serializer};

    use crate::word::{WordError, nearest};

    pub const WORDS: &[&str] = &["right", "left"];

    pub const fn word(hand: Hand) -> &'static str {
        match hand {
            Hand::Right => WORDS[0],
            Hand::Left => WORDS[1],
        }
    }

    pub fn parse(word: &str) -> Result<Hand, WordError> {
        [Hand::Right, Hand::Left].into_iter().find(|&hand| self::word(hand) == word).ok_or_else(|| {
            let nearest = nearest(word, WORDS.iter().copied());
            WordError::UnknownWord { what: "hand", found: word.into(), nearest, allowed: WORDS }
        })
    }

    // By reference because serde calls it so.
    #[allow(clippy::trivially_copy_pass_by_ref)]
    pub fn serialize<S: Serializer>(hand: &Hand, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(word(*hand))
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Hand, D::Error> {
        parse(&String::deserialize(from)?).map_err(D::Error::custom)
    }
}
