//! The state of a block, as one value.

use std::path::Path;

use boardwise_record::{BallId, Fact, Key, Logged, Record, RunningSheet, Sheet, Version};
use jiff::{SignedDuration, Timestamp};

use super::desk::{BlockBegun, Desk, Setting};
use super::lines::Lines;
use super::newest::{self, Newest};
use super::score_view::{self, Upcoming};
use super::standing::Standing;
use super::surfaces::Surfaces;
use crate::Failure;
use crate::view::LaneLine;

/// The state of a block: where it is written down, the event it is of, what has been bowled in it, and on which lines the bowler was.
///
/// Nearly every question at the lanes rests on all four. Sheet and lines are read once and stay as they were read until
/// [`BlockState::catch_up`].
pub struct BlockState {
    /// The record, and what the block began with.
    pub desk: Desk,
    /// The event.
    pub setting: Setting,
    /// What has been bowled.
    pub sheet: Sheet,
    /// What was meant.
    pub lines: Lines,
    /// How balls were worked on since the block began.
    pub surfaces: Surfaces,
    /// What an undo takes back now; none where there is nothing.
    pub newest: Option<Newest>,
    /// Where this is not the present block, the ball that it was left with: the bowler has the present one's in hand.
    pub left_with: Option<BallId>,
    /// Practice logged just before.
    pub practice: Option<Practice>,
    /// What stands of what was logged since the block began.
    pub(super) standing: Standing,
    /// The sheet, as it takes in what is logged.
    running: RunningSheet,
    /// The state of the record that all of it was read from.
    version: Version,
    /// Whether it may hold what was then not written.
    unwritten: bool,
}

impl AsMut<Record> for BlockState {
    fn as_mut(&mut self) -> &mut Record {
        &mut self.desk.record
    }
}

/// Practice that was logged on the pair before the block: what it taught holds for the block too.
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// What was thrown.
    pub sheet: Sheet,
    /// What was meant.
    pub lines: Lines,
}

/// What follows from what was logged since the block began beside sheet and lines.
fn follows(standing: &Standing, desk: &Desk, setting: &Setting, sheet: &Sheet) -> (Surfaces, Option<Newest>) {
    let newest = newest::find(standing, &desk.begun, None);
    let newest = newest.map(|found| Newest::of(&found, &desk.begun, setting, sheet));
    (Surfaces::of(standing, &desk.begun, setting), newest)
}

/// Whether lines may be others after these facts.
fn may_move(facts: &[Logged]) -> bool {
    let moves =
        |logged: &Logged| matches!(logged.fact, Fact::LineMeant { .. } | Fact::Undo { .. } | Fact::Correction { .. });
    facts.iter().any(moves)
}

/// Practice that ended longer before the block was on other oil (our judgement).
const SAME_OIL: SignedDuration = SignedDuration::from_hours(3);

impl Practice {
    /// The bowler's sheet before this one, if nothing was counted in it and it was on the same lanes, with the same balls, on the same oil.
    fn before(desk: &Desk, setting: &Setting, own: &Sheet) -> Result<Option<Self>, Failure> {
        if own.block.counting.scoring().is_none() {
            return Ok(None);
        }
        let begun = &desk.begun;
        let sheets = desk.record.sheets()?.into_iter().filter(|(_, bowler)| *bowler == begun.bowler);
        let Some((block, bowler)) = sheets.take_while(|(block, _)| *block != begun.block).last() else {
            return Ok(None);
        };
        let mut sheet = desk.record.sheet(&block, &bowler)?;
        let Some(since) = desk.record.receipt(&begun.since)? else { return Ok(None) };
        // The bowler may have gone back to it since.
        sheet.deliveries.retain(|one| one.seq < since.seq);
        let Some(ended) = sheet.deliveries.last() else { return Ok(None) };
        // What was never kept, or cannot be read any more, tells nothing.
        let Some(Ok(there)) = BlockBegun::of(&desk.record, &block, &bowler)? else { return Ok(None) };
        let alike = there.lanes == begun.lanes && there.balls == begun.balls;
        let on_this_oil = (SignedDuration::ZERO..=SAME_OIL).contains(&since.at.duration_since(ended.at));
        if sheet.block.counting.scoring().is_some() || !alike || !on_this_oil || there.setting()?.fresh != setting.fresh
        {
            return Ok(None);
        }
        let lines = Lines::within(desk, setting, &block)?;
        Ok(Some(Self { sheet, lines }))
    }
}

impl BlockState {
    /// The block begun last in a record.
    ///
    /// # Errors
    /// If there is none, or its files or the record cannot be read.
    pub fn open(record: &Path) -> Result<Self, Failure> {
        let desk = Desk::open(record)?;
        let setting = desk.begun.setting()?;
        Self::of(desk, setting)
    }

    /// Of a record that is open, and the event of its block.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn of(desk: Desk, setting: Setting) -> Result<Self, Failure> {
        let version = desk.record.version()?;
        let running = desk.record.running_sheet(&desk.begun.block, &desk.begun.bowler)?;
        let (sheet, lines) = (running.sheet().clone(), Lines::of(&desk, &setting)?);
        let standing = desk.since_begun(version)?;
        let (surfaces, newest) = follows(&standing, &desk, &setting, &sheet);
        let practice = Practice::before(&desk, &setting, &sheet)?;
        let (left_with, unwritten) = (None, false);
        Ok(Self {
            desk,
            setting,
            sheet,
            lines,
            surfaces,
            newest,
            left_with,
            practice,
            standing,
            running,
            version,
            unwritten,
        })
    }

    /// Reads again what was bowled and meant, if anybody has written into the record since that was read; returns whether it changed.
    /// Where nobody has, all of it is carried into the record's file, so that a copy of the file holds it.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn catch_up(&mut self) -> Result<bool, Failure> {
        let version = self.desk.record.version()?;
        if version == self.version && !self.unwritten {
            self.desk.record.settle()?;
            return Ok(false);
        }
        if self.unwritten {
            self.running.forget();
        }
        // What was logged onto it here was taken in already.
        self.desk.record.keep_up(&mut self.running)?;
        let mut another = *self.running.sheet() != self.sheet;
        if another {
            self.sheet.clone_from(self.running.sheet());
        }
        let only_more = !self.unwritten && version.only_adds_facts_to(self.version);
        let new = only_more.then(|| self.desk.record.facts(self.standing.last())).transpose()?;
        let moved = new.as_deref().is_none_or(may_move);
        if !new.is_some_and(|new| self.standing.extend(new)) {
            self.standing = self.desk.since_begun(version)?;
        }
        if moved {
            let lines = Lines::of(&self.desk, &self.setting)?;
            another |= lines != self.lines;
            self.lines = lines;
        }
        let (surfaces, newest) = follows(&self.standing, &self.desk, &self.setting, &self.sheet);
        another |= surfaces != self.surfaces;
        (self.surfaces, self.newest) = (surfaces, newest);
        (self.version, self.unwritten) = (version, false);
        Ok(another)
    }

    /// Writes facts about the block down, all or none, and takes them in.
    ///
    /// # Errors
    /// What the record refuses.
    pub(super) fn write(
        &mut self,
        facts: impl IntoIterator<Item = (Fact, Key)>,
        at: Timestamp,
    ) -> Result<(), boardwise_record::Error> {
        self.desk.record.log_onto(&mut self.running, facts, at).map(drop)
    }

    /// Does `work` on the block as it is now, with nobody else writing beside it, all of it or nothing.
    ///
    /// # Errors
    /// What the work fails with; if the record cannot be read or written.
    pub fn alone<T>(&mut self, work: impl FnOnce(&mut Self) -> Result<T, Failure>) -> Result<T, Failure> {
        let mut before = None;
        let done = Record::alone(self, |state| {
            state.catch_up()?;
            before = Some(state.version);
            work(state)
        });
        // What was read back of work that failed was never written.
        self.unwritten |= done.is_err() && before != Some(self.version);
        done
    }

    /// Whether the block is still the present one of its record.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn is_present(&self) -> Result<bool, Failure> {
        let BlockBegun { block, bowler, .. } = &self.desk.begun;
        Ok(self.desk.record.present()?.is_some_and(|(of, who)| of == *block && who == *bowler))
    }

    /// The state of the record that sheet and lines were read from.
    pub fn version(&self) -> Version {
        self.version
    }

    /// The next ball; none once the block is complete.
    pub fn upcoming(&self) -> Option<Upcoming> {
        score_view::upcoming(&self.sheet, Some(&self.desk.begun.lanes))
    }

    /// The line on a lane of the pair, with the lane's number.
    pub fn lane_line(&self, lane: usize) -> LaneLine {
        LaneLine { lane: self.setting.numbers[lane], line: self.lines.on(lane, None).into() }
    }

    /// The lane whose turn it is, by its place in the pair.
    pub fn lane_up(&self) -> usize {
        let next = self.upcoming().and_then(|next| next.lane);
        next.and_then(|lane| self.desk.begun.on_pair(&lane)).unwrap_or_default()
    }
}
