//! A fact laid out flat, as the log's table and the JSON files have it.

use boardwise_score::{PinSet, Roll};
use boardwise_units::Board;
use jiff::Timestamp;
use rusqlite::types::ToSql;
use serde::{Deserialize, Serialize};

use crate::Error;
use crate::fact::{Fact, Logged, Shot};
use crate::measured::Measured;
use crate::opening::{LineMeant, Opening};
use crate::roster::{Surface, SurfaceWords};
use crate::sum::agrees;
use crate::word::{BallId, BlockId, BowlerId, Felt, Hit, Key, Kind, LaneId, Seq};

/// Lays out a fact as a row, from one list of its fields: each with the name of its column.
macro_rules! row {
    ($($field:ident $column:literal: $type:ty,)+) => {
        /// A fact as a row. Which fields are filled follows from its kind.
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        #[serde(deny_unknown_fields, expecting = "an entry in { }")]
        pub struct Row {
            pub seq: i64,
            pub key: Key,
            pub at: Timestamp,
            pub kind: Kind,
            $(
                #[serde(default, skip_serializing_if = "Option::is_none")]
                pub $field: Option<$type>,
            )+
            /// Apart from the others: a record of an earlier version has no column for it.
            #[serde(default, skip_serializing_if = "Option::is_none")]
            pub measured: Option<Measured>,
        }

        /// The columns of the log's table in the order of [`Row::values`], before `root` and `measured`.
        pub(crate) const COLUMNS: &str = concat!("seq, key, at, kind", $(", ", $column,)+);

        impl Row {
            fn blank(seq: Seq, key: Key, at: Timestamp, kind: Kind) -> Self {
                Self { seq: seq.0, key, at, kind, $($field: None,)+ measured: None }
            }

            /// Its values in the order of [`COLUMNS`], the first left out.
            pub fn values<'a>(&'a self, at: &'a &'a str) -> Vec<&'a dyn ToSql> {
                vec![&self.key, at, &self.kind, $(&self.$field,)+]
            }

            /// Reads a row that begins with [`COLUMNS`]. By their places: to look for names in every row takes as long as all the rest.
            pub fn read(row: &rusqlite::Row<'_>) -> rusqlite::Result<Self> {
                let (seq, key, at): (_, _, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
                let at = at.parse().map_err(|why: jiff::Error| {
                    rusqlite::Error::FromSqlConversionFailure(2, rusqlite::types::Type::Text, Box::new(why))
                })?;
                let kind = row.get(3)?;
                let mut places = 4_usize..;
                let mut next = || places.next().unwrap_or_default();
                Ok(Self { seq, key, at, kind, $($field: row.get(next())?,)+ measured: None })
            }
        }
    };
}

row! {
    corrects "corrects": i64,
    undoes "undoes": i64,
    block "block": BlockId,
    bowler "bowler": BowlerId,
    ball "ball": BallId,
    lane "lane": LaneId,
    other_lane "other_lane": LaneId,
    before "put_before": i64,
    standing "standing": String,
    down "down": u8,
    laydown_board "laydown_board": f64,
    arrows_board "arrows_board": f64,
    breakpoint_board "breakpoint_board": f64,
    speed_mph "speed_mph": f64,
    rotation_deg "rotation_deg": f64,
    hit "hit": Hit,
    felt "felt": Felt,
    ra_um "ra_um": f64,
    grit "grit": f64,
    polished "polished": bool,
    opening "opening": Opening,
    text "text": String,
}

impl From<Logged> for Row {
    fn from(logged: Logged) -> Self {
        let Logged { seq, key, at, fact } = logged;
        let mut row = Self::blank(seq, key, at, fact.kind());
        row.fill(fact);
        row
    }
}

impl Row {
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
            Fact::LineMeant { block, bowler, lane, line } => {
                self.block = Some(block);
                self.bowler = Some(bowler);
                self.lane = Some(lane);
                self.fill_line(line);
            }
            Fact::BlockBegun { block, bowler, opening } => {
                self.block = Some(block);
                self.bowler = Some(bowler);
                self.opening = Some(*opening);
            }
            Fact::BlockResumed { block, bowler } => {
                self.block = Some(block);
                self.bowler = Some(bowler);
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

    /// Fills in a line.
    pub fn fill_line(&mut self, line: LineMeant) {
        self.laydown_board = Some(line.laydown);
        self.arrows_board = Some(line.arrows);
        self.speed_mph = Some(line.speed_mph);
        self.rotation_deg = Some(line.rotation_deg);
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
        self.measured = shot.measured.map(|measured| *measured);
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
            Kind::Line => Fact::LineMeant {
                line: LineMeant {
                    laydown: self.laydown_board.ok_or(lacks("laydown_board"))?,
                    arrows: self.arrows_board.ok_or(lacks("arrows_board"))?,
                    speed_mph: self.speed_mph.ok_or(lacks("speed_mph"))?,
                    rotation_deg: self.rotation_deg.ok_or(lacks("rotation_deg"))?,
                },
                block: self.block.ok_or(lacks("block"))?,
                bowler: self.bowler.ok_or(lacks("bowler"))?,
                lane: self.lane.ok_or(lacks("lane"))?,
            },
            Kind::Begun => Fact::BlockBegun {
                block: self.block.ok_or(lacks("block"))?,
                bowler: self.bowler.ok_or(lacks("bowler"))?,
                opening: Box::new(self.opening.ok_or(lacks("opening"))?),
            },
            Kind::Resumed => Fact::BlockResumed {
                block: self.block.ok_or(lacks("block"))?,
                bowler: self.bowler.ok_or(lacks("bowler"))?,
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
            measured: self.measured.map(Box::new),
        })
    }
}

/// The columns of a fact that its sum is made of, and the sum.
pub(crate) fn summed_columns() -> String {
    format!("{COLUMNS}, root, measured, sum")
}

impl Row {
    /// Reads a row of [`summed_columns`].
    pub fn read_summed(row: &rusqlite::Row<'_>) -> rusqlite::Result<Self> {
        agrees(row)?;
        // Before the sum, which comes last.
        let measured = row.as_ref().column_count() - 2;
        Ok(Self { measured: row.get(measured)?, ..Self::read(row)? })
    }
}
