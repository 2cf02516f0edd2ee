//! After a block: what was bowled, where pins were won and lost, what to practise, and the remarks.

mod drill;
mod figures;
mod finding;
mod follow;
mod interval;
#[cfg(feature = "pdf")]
pub(crate) mod paper;
mod pictures;
mod practise;
mod reckon;
mod season;
mod turning;
mod words;

use std::path::Path;

use boardwise_record::{BlockId, BowlerId, LaneId, Note, Sheet};
use boardwise_score::Scoring;
use boardwise_units::Hand;

use super::block_state::BlockState;
use super::command::Stamp;
use super::desk::{self, BlockBegun, Desk};
use super::line_meant::LineMeant;
use super::outlook::other;
use super::score_view;
use crate::Failure;
use crate::view::{AfterAnswer, LaneLine, MovedLine, NoteView};

pub use drill::Drill;
pub use figures::{Figures, Listed};
pub use finding::{Finding, Parted};
pub use follow::{DrillDone, Followed};
pub use interval::Interval;
#[cfg(feature = "pdf")]
pub use paper::handout;
pub use pictures::{account_picture, lanes_of, sheet_picture, shots_picture};
pub use practise::{Wait, WhatToPractise};
pub use reckon::{Reckoned, Replayed};
pub use season::{Measure, Season, SeasonBlock};
pub use words::{CAUTION, Term, about, breakpoint_words, shot_rows, signed, spread_words, stray_words, terms, verdict};

/// Which block, and whose sheet of it.
#[derive(Clone, Debug, Default)]
pub struct SheetChoice<'a> {
    /// The block; left out, the one begun last.
    pub block: Option<&'a str>,
    /// The bowler; left out, the only one there is.
    pub bowler: Option<&'a str>,
    /// Sheets to leave out of the list of the latest.
    pub skip: usize,
}

/// What can be told of a block without reckoning.
pub struct Story {
    /// The sheet.
    pub sheet: Sheet,
    /// Its event, day and scores.
    pub listed: Listed,
    /// Strikes and spares.
    pub figures: Figures,
    /// The hand: boards count from its side.
    pub hand: Hand,
    /// Remarks, oldest first.
    pub notes: Vec<Note>,
    /// Drills that were written down after earlier blocks, the newest of each, with their day.
    pub drills: Vec<(jiff::civil::Date, DrillDone)>,
    /// The line at the beginning and every move, by lane.
    pub moves: Vec<Moved>,
    /// The latest sheets on record, the last first.
    pub latest: Vec<Listed>,
    /// Sheets on record.
    pub on_record: usize,
    /// The block with its event, or why nothing is known of that.
    pub event: Result<BlockState, NoEvent>,
}

/// Why nobody can say where pins were won and lost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoEvent {
    /// It was not kept: an early version began the block, or it came as shots alone.
    NotKept,
    /// The event cannot be read any more.
    Unreadable(String),
}

/// A line that a bowler was on from then on.
pub struct Moved {
    /// Shots that were logged before.
    pub after_shots: usize,
    /// Number of the lane; 0 where its name tells none.
    pub lane: u32,
    /// The line.
    pub line: LineMeant,
}

impl Story {
    /// Of a block on record.
    ///
    /// # Errors
    /// If there is no record or no such sheet in it.
    pub fn of(place: &Path, which: &SheetChoice<'_>) -> Result<Self, Failure> {
        let record = desk::open(place)?;
        let present = record.present()?;
        let (latest, on_record) = Listed::page(&record, which.skip)?;
        let sheet = match (which.block, &present, latest.first()) {
            (Some(block), ..) => other(&record, block, which.bowler)?,
            (None, Some((block, bowler)), _) => record.sheet(block, bowler)?,
            (None, None, Some(latest)) => record.sheet(&latest.block, &latest.bowler)?,
            (None, None, None) => return Err(Failure::NoBlock),
        };
        let (block, bowler) = (&sheet.block.id, &sheet.bowler);
        let ours = |note: &Note| {
            note.block.as_ref() == Some(block) && note.bowler.as_ref().is_none_or(|about| about == bowler)
        };
        let all_notes = record.notes()?;
        let first = sheet.deliveries.first().map_or(record.version()?.last(), |first| first.place);
        let drills = follow::done_before(&all_notes, bowler, block, first);
        let notes = all_notes.into_iter().filter(ours).collect();
        let moves = record.lines(block, bowler)?.into_iter().map(|moved| {
            let after_shots = sheet.deliveries.iter().filter(|one| one.place < moved.seq).count();
            Moved { after_shots, lane: number_of(&moved.lane), line: moved.line }
        });
        let moves = moves.collect();
        let hand = record.get::<boardwise_record::Bowler>(bowler.as_str())?.hand;
        let listed = Listed::of(&record, &sheet)?;
        let begun = BlockBegun::of(&record, block, bowler)?;
        let known = begun.map(|begun| {
            let begun = begun?;
            let setting = begun.setting().map_err(|why| why.to_string())?;
            Ok((begun, setting))
        });
        let event = match known {
            None => Err(NoEvent::NotKept),
            Some(Err(why)) => Err(NoEvent::Unreadable(why)),
            Some(Ok((begun, setting))) => {
                let place = place.to_owned();
                Ok(BlockState::of(Desk { record, place, begun }, setting)?)
            }
        };
        Ok(Self { figures: Figures::of(&sheet), sheet, listed, hand, notes, drills, moves, latest, on_record, event })
    }

    /// How its games count; None where nothing is counted.
    pub fn scoring(&self) -> Option<Scoring> {
        self.sheet.block.counting.scoring()
    }

    /// Why there is no account of this block, in words; None where there can be one.
    pub fn no_account(&self) -> Option<String> {
        let why = match &self.event {
            _ if self.scoring().is_none() => "in practice nothing is counted, so no pins are won or lost".to_owned(),
            _ if self.sheet.deliveries.is_empty() => "no shot has been logged in this block".to_owned(),
            Err(NoEvent::NotKept) => {
                "it needs the event with its patterns and the bag, and these were not kept: the block was begun by an earlier version, or \
                 came as shots alone"
                    .to_owned()
            }
            Err(NoEvent::Unreadable(why)) => format!("it needs the event, which cannot be read any more: {why}"),
            Ok(_) => return None,
        };
        Some(why)
    }

    /// Where pins were won and lost: some seconds of work. None where that cannot be told.
    ///
    /// # Errors
    /// If a table built in cannot be read.
    pub fn reckon(&self) -> Result<Option<Reckoned>, Failure> {
        match (&self.event, self.no_account()) {
            (Ok(state), None) => Ok(Some(Reckoned::of(state)?)),
            _ => Ok(None),
        }
    }

    /// From what the account follows, to know whether it is still the same.
    pub fn replayed(&self) -> Option<Replayed> {
        self.event.as_ref().ok().map(Replayed::of)
    }

    /// Whether the last ball was thrown: nothing more comes but what is put right.
    pub fn is_complete(&self) -> bool {
        self.event.as_ref().is_ok_and(|state| state.upcoming().is_none())
    }

    /// The answer as a view.
    pub fn view(&self, reckoned: Option<&Reckoned>) -> AfterAnswer {
        let begun = self.event.as_ref().ok().map(|state| &state.desk.begun);
        AfterAnswer {
            sheet: score_view::view(&self.sheet, begun),
            event: self.listed.event.clone(),
            day: self.listed.day.map(|day| day.to_string()),
            figures: self.figures.view(),
            by_game: Figures::by_game(&self.sheet).iter().map(Figures::view).collect(),
            deliveries: score_view::shot_views(&self.sheet),
            moves: self.moves.iter().map(MovedLine::from).collect(),
            notes: note_views(&self.notes),
            account: reckoned.map(|reckoned| reckoned.view(self)),
            no_account: self.no_account(),
            blocks: self.latest.iter().map(Listed::view).collect(),
            blocks_on_record: self.on_record,
        }
    }

    /// A lane of the sheet as the pair has it.
    fn lane_of_pair(&self, lane: &LaneId) -> Option<usize> {
        self.event.as_ref().ok()?.desk.begun.on_pair(lane)
    }
}

impl From<&Moved> for MovedLine {
    fn from(moved: &Moved) -> Self {
        let line = LaneLine { lane: moved.lane, line: moved.line.into() };
        Self { line, after_shots: moved.after_shots }
    }
}

/// Remarks as views.
pub fn note_views(notes: &[Note]) -> Vec<NoteView> {
    notes.iter().map(|note| NoteView { at: note.at.to_string(), text: note.text.clone() }).collect()
}

/// Writes a remark on a block down. Under a key known already it must be the same remark, and nothing is added.
///
/// # Errors
/// If there is no such sheet, or the remark cannot be written.
pub fn note(place: &Path, block: &str, bowler: &str, text: &str, stamp: &Stamp) -> Result<(), Failure> {
    let key = &stamp.key;
    let mut record = desk::open(place)?;
    let sheet = other(&record, block, Some(bowler))?;
    let (block, bowler): (Option<BlockId>, Option<BowlerId>) = (Some(sheet.block.id), Some(sheet.bowler));
    record.log(boardwise_record::Fact::Note { text: text.trim().to_owned(), block, bowler }, key, stamp.at)?;
    Ok(())
}

/// The number of a lane, from the name that a block's beginning gives it.
fn number_of(lane: &LaneId) -> u32 {
    lane.as_str().rsplit(' ').next().and_then(|number| number.parse().ok()).unwrap_or_default()
}
