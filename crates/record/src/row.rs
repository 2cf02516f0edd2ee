//! A fact laid out flat, as the log's table and the JSON files have it.

use boardwise_score::{PinSet, Roll};
use boardwise_units::Board;
use jiff::Timestamp;
use rusqlite::types::ToSql;
use serde::{Deserialize, Serialize};

use crate::Error;
use crate::fact::{Fact, Logged, Seq, Shot};
use crate::roster::{Surface, SurfaceWords};
use crate::word::{BallId, BlockId, BowlerId, Felt, Hit, Key, Kind, LaneId};

/// A fact as a row. Which fields are filled follows from its kind.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    pub seq: i64,
    pub key: Key,
    pub at: Timestamp,
    pub kind: Kind,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<i64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub undoes: Option<i64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub block: Option<BlockId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bowler: Option<BowlerId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ball: Option<BallId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lane: Option<LaneId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other_lane: Option<LaneId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<i64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standing: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub down: Option<u8>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arrows_board: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breakpoint_board: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hit: Option<Hit>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub felt: Option<Felt>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ra_um: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grit: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub polished: Option<bool>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// The columns of the log's table in the order of [`Row::values`], before `root`.
pub(crate) const COLUMNS: &str = "seq, key, at, kind, corrects, undoes, block, bowler, ball, lane, other_lane, put_before, \
                                  standing, down, arrows_board, breakpoint_board, hit, felt, ra_um, grit, polished, text";

impl From<Logged> for Row {
    fn from(logged: Logged) -> Self {
        let Logged { seq, key, at, fact } = logged;
        let mut row = Self::blank(seq, key, at, fact.kind());
        row.fill(fact);
        row
    }
}

impl Row {
    fn blank(seq: Seq, key: Key, at: Timestamp, kind: Kind) -> Self {
        Self {
            seq: seq.0,
            key,
            at,
            kind,
            corrects: None,
            undoes: None,
            block: None,
            bowler: None,
            ball: None,
            lane: None,
            other_lane: None,
            before: None,
            standing: None,
            down: None,
            arrows_board: None,
            breakpoint_board: None,
            hit: None,
            felt: None,
            ra_um: None,
            grit: None,
            polished: None,
            text: None,
        }
    }

    fn fill(&mut self, fact: Fact) {
        match fact {
            Fact::Shot(shot) => self.fill_shot(shot),
            Fact::BallChange { bowler, ball } => {
                self.bowler = Some(bowler);
                self.ball = Some(ball);
            }
            Fact::SurfaceChange { ball, surface, how } => {
                self.ball = Some(ball);
                SurfaceWords { ra_um: self.ra_um, grit: self.grit, polished: self.polished } = surface.into();
                self.text = how;
            }
            Fact::LaneChange { block, bowler, lane, other } => {
                self.block = Some(block);
                self.bowler = Some(bowler);
                self.lane = Some(lane);
                self.other_lane = other;
            }
            Fact::Note { text, block, bowler } => {
                self.text = Some(text);
                self.block = block;
                self.bowler = bowler;
            }
            Fact::Correction { of, to } => {
                self.corrects = Some(of.0);
                self.fill(*to);
            }
            Fact::Undo { of } => self.undoes = Some(of.0),
        }
    }

    fn fill_shot(&mut self, shot: Shot) {
        self.block = Some(shot.block);
        self.bowler = Some(shot.bowler);
        self.ball = shot.ball;
        self.lane = shot.lane;
        self.before = shot.before.map(|seq| seq.0);
        match shot.roll {
            Roll::Standing(pins) => self.standing = Some(pins.to_string()),
            Roll::Down(down) => self.down = Some(down),
            Roll::Foul => {}
        }
        self.arrows_board = shot.arrows.map(|board| board.0);
        self.breakpoint_board = shot.breakpoint.map(|board| board.0);
        self.hit = shot.hit;
        self.felt = shot.felt;
    }

    /// The fact it holds and nothing else.
    ///
    /// # Errors
    /// As [`Row::logged`], and if a field is filled that its kind does not have.
    pub fn logged_exactly(self) -> Result<Logged, Error> {
        // What is filled in beyond the fact is found by laying the fact out again.
        let (kind, logged) = (self.kind, self.clone().logged()?);
        if Self::from(logged.clone()) == self { Ok(logged) } else { Err(Error::TooMuch { kind }) }
    }

    /// The fact it holds.
    ///
    /// # Errors
    /// If a field is missing that its kind needs.
    pub fn logged(self) -> Result<Logged, Error> {
        let (seq, key, at, kind) = (Seq(self.seq), self.key.clone(), self.at, self.kind);
        let (corrects, undoes) = (self.corrects, self.undoes);
        let fact = match (kind, undoes, corrects) {
            (Kind::Undo, Some(of), None) => Fact::Undo { of: Seq(of) },
            (Kind::Undo, ..) => return Err(Error::Lacks { kind, field: "undoes" }),
            (_, _, Some(of)) => Fact::Correction { of: Seq(of), to: Box::new(self.content()?) },
            _ => self.content()?,
        };
        Ok(Logged { seq, key, at, fact })
    }

    fn content(self) -> Result<Fact, Error> {
        let kind = self.kind;
        let lacks = |field| Error::Lacks { kind, field };
        Ok(match kind {
            Kind::Shot | Kind::Foul => Fact::Shot(self.shot()?),
            Kind::Ball => {
                Fact::BallChange { bowler: self.bowler.ok_or(lacks("bowler"))?, ball: self.ball.ok_or(lacks("ball"))? }
            }
            Kind::Surface => Fact::SurfaceChange {
                ball: self.ball.ok_or(lacks("ball"))?,
                surface: Surface::try_from(SurfaceWords {
                    ra_um: self.ra_um,
                    grit: self.grit,
                    polished: self.polished,
                })?,
                how: self.text,
            },
            Kind::Lane => Fact::LaneChange {
                block: self.block.ok_or(lacks("block"))?,
                bowler: self.bowler.ok_or(lacks("bowler"))?,
                lane: self.lane.ok_or(lacks("lane"))?,
                other: self.other_lane,
            },
            Kind::Note => Fact::Note { text: self.text.ok_or(lacks("text"))?, block: self.block, bowler: self.bowler },
            Kind::Undo => return Err(lacks("undoes")),
        })
    }

    fn shot(self) -> Result<Shot, Error> {
        let kind = self.kind;
        let lacks = |field| Error::Lacks { kind, field };
        let roll = match (kind, self.standing, self.down) {
            (Kind::Foul, ..) => Roll::Foul,
            (_, Some(pins), _) => Roll::Standing(pins.parse::<PinSet>()?),
            (_, None, Some(down)) => Roll::Down(down),
            (_, None, None) => return Err(lacks("standing")),
        };
        Ok(Shot {
            block: self.block.ok_or(lacks("block"))?,
            bowler: self.bowler.ok_or(lacks("bowler"))?,
            roll,
            ball: self.ball,
            lane: self.lane,
            before: self.before.map(Seq),
            arrows: self.arrows_board.map(Board),
            breakpoint: self.breakpoint_board.map(Board),
            hit: self.hit,
            felt: self.felt,
        })
    }

    /// Its values in the order of [`COLUMNS`], the first left to the log.
    pub fn values<'a>(&'a self, at: &'a &'a str) -> [&'a dyn ToSql; 21] {
        [
            &self.key,
            at,
            &self.kind,
            &self.corrects,
            &self.undoes,
            &self.block,
            &self.bowler,
            &self.ball,
            &self.lane,
            &self.other_lane,
            &self.before,
            &self.standing,
            &self.down,
            &self.arrows_board,
            &self.breakpoint_board,
            &self.hit,
            &self.felt,
            &self.ra_um,
            &self.grit,
            &self.polished,
            &self.text,
        ]
    }

    /// Reads a row of [`COLUMNS`].
    pub fn read(row: &rusqlite::Row<'_>) -> rusqlite::Result<Self> {
        let at: String = row.get(2)?;
        let at = at.parse().map_err(|why: jiff::Error| {
            rusqlite::Error::FromSqlConversionFailure(2, rusqlite::types::Type::Text, Box::new(why))
        })?;
        Ok(Self {
            seq: row.get(0)?,
            key: row.get(1)?,
            at,
            kind: row.get(3)?,
            corrects: row.get(4)?,
            undoes: row.get(5)?,
            block: row.get(6)?,
            bowler: row.get(7)?,
            ball: row.get(8)?,
            lane: row.get(9)?,
            other_lane: row.get(10)?,
            before: row.get(11)?,
            standing: row.get(12)?,
            down: row.get(13)?,
            arrows_board: row.get(14)?,
            breakpoint_board: row.get(15)?,
            hit: row.get(16)?,
            felt: row.get(17)?,
            ra_um: row.get(18)?,
            grit: row.get(19)?,
            polished: row.get(20)?,
            text: row.get(21)?,
        })
    }
}
