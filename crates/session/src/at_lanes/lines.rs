//! The line a bowler is on, lane by lane.

use boardwise_record::{BlockId, Seq};

use super::desk::{Desk, Setting};
use super::line_meant::{AsRelease, LineMeant};
use crate::Failure;

/// The lines that a bowler is on, lane by lane, as the record has them.
#[derive(Clone, Debug, PartialEq)]
pub struct Lines {
    all: Vec<(Seq, usize, LineMeant)>,
    own: LineMeant,
}

impl Lines {
    /// Of the block.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn of(desk: &Desk, setting: &Setting) -> Result<Self, Failure> {
        Self::within(desk, setting, &desk.begun.block)
    }

    /// Of another block of the bowler's on the same pair.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn within(desk: &Desk, setting: &Setting, block: &BlockId) -> Result<Self, Failure> {
        let all = desk.record.lines(block, &desk.begun.bowler)?.into_iter();
        let all = all.filter_map(|moved| Some((moved.seq, desk.begun.on_pair(&moved.lane)?, moved.line)));
        Ok(Self { all: all.collect(), own: LineMeant::of(&setting.seat.bowler.release) })
    }

    /// The line on a lane just before a fact; None for now.
    pub fn on(&self, lane: usize, before: Option<Seq>) -> LineMeant {
        let mut known = self.all.iter().rev().filter(|(_, of, _)| *of == lane);
        known.find(|(seq, ..)| before.is_none_or(|before| *seq < before)).map_or(self.own, |(.., meant)| *meant)
    }
}
