//! Blocks that are open: which there are, and going back to one that is not the present one.

use std::collections::BTreeSet;
use std::path::Path;

use boardwise_record::{BallId, Fact, Key, Record, Seq, taken_back};

use super::after::Listed;
use super::block_state::BlockState;
use super::command::Stamp;
use super::desk::{self, BlockBegun, Desk};
use super::newest::belongs;
use super::outlook::other;
use super::score_view;
use crate::Failure;
use boardwise_files::Fault;

/// A block that can still be logged into.
#[derive(Clone, Debug, PartialEq)]
pub struct Open {
    /// As a list has it.
    pub listed: Listed,
    /// Where it stands, in a bowler's words.
    pub stands: String,
}

impl Open {
    /// The open blocks among so many of a record, the one begun last first, after so many that are skipped; and whether there are earlier
    /// blocks. Those of which the event was not kept, or cannot be read any more, cannot be gone back to and are left out.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn page(place: &Path, skip: usize, most: usize) -> Result<(Vec<Self>, bool), Failure> {
        if place.symlink_metadata().is_err() {
            return Ok((Vec::new(), false));
        }
        let record = Record::open(place)?;
        let sheets = record.sheets()?;
        let mut open = Vec::new();
        for (block, bowler) in sheets.iter().rev().skip(skip).take(most) {
            let (block, bowler) = (block.clone(), bowler.clone());
            let sheet = record.sheet(&block, &bowler)?;
            let Some(next) = score_view::upcoming(&sheet, None) else { continue };
            let begun = BlockBegun::of(&record, &block, &bowler)?;
            if !begun.is_some_and(|begun| begun.is_ok_and(|begun| begun.setting().is_ok())) {
                continue;
            }
            let listed = Listed::of(&record, &sheet)?;
            let stands = match (listed.shots, next.game) {
                (0, _) => "nothing bowled yet".to_owned(),
                (1, 0) => "practice, 1 shot".to_owned(),
                (shots, 0) => format!("practice, {shots} shots"),
                (_, game) => format!("game {game}, frame {} next; {}", next.frame, listed.scores_words()),
            };
            open.push(Self { listed, stands });
        }
        Ok((open, sheets.len() > skip + most))
    }
}

/// A block of the record, whether it is the present one or not.
///
/// # Errors
/// If there is none of this name, or its event was not kept.
pub fn of_block(place: &Path, block: &str) -> Result<BlockState, Failure> {
    let record = desk::open(place)?;
    let sheet = other(&record, block, None)?;
    let refuse = |why: String| Fault::Field { field: "block", value: block.to_owned(), allowed: why };
    let begun = BlockBegun::of(&record, &sheet.block.id, &sheet.bowler)?.ok_or_else(|| {
        let why = "its event was not kept, since an earlier version began it or it came as shots alone";
        refuse(why.to_owned())
    })?;
    let begun = begun.map_err(refuse)?;
    let setting = begun.setting()?;
    BlockState::of(Desk { record, place: place.to_owned(), begun }, setting)
}

/// Goes back to a block: from now on it is the present one, and its bowler has the ball in hand that was in hand when it was left.
///
/// # Errors
/// As [`of_block`]; if the block is complete.
pub fn go_back(place: &Path, block: &str, stamp: &Stamp) -> Result<(), Failure> {
    of_block(place, block)?.alone(|state| back_to(state, stamp))
}

fn back_to(state: &mut BlockState, stamp: &Stamp) -> Result<(), Failure> {
    let block = state.desk.begun.block.as_str();
    if state.upcoming().is_none() {
        let allowed = "it is complete; begin another block".to_owned();
        return Err(Fault::Field { field: "block", value: block.to_owned(), allowed }.into());
    }
    if state.is_present()? {
        return Ok(());
    }
    let (block, bowler) = (state.desk.begun.block.clone(), state.desk.begun.bowler.clone());
    let in_hand = left_with(&state.desk)?.filter(|ball| state.sheet.ball.as_ref() != Some(ball));
    let mut facts = Vec::new();
    if let Some(ball) = in_hand {
        facts.push((Fact::BallChange { bowler: bowler.clone(), ball }, desk::beside_key(&stamp.key, "in-hand")?));
    }
    facts.push((Fact::BlockResumed { block, bowler }, stamp.key.clone()));
    state.desk.record.log_all(facts, stamp.at)?;
    Ok(())
}

/// The ball that was in hand in a block last: of its beginning, or changed to with one of its shots or lines. What the bowler took in hand for
/// other blocks is none of it.
fn left_with(desk: &Desk) -> Result<Option<BallId>, Failure> {
    let BlockBegun { block, bowler, .. } = &desk.begun;
    let facts = desk.record.facts_about(block, bowler, &[], Seq(0))?;
    let back = taken_back(&facts);
    let standing = || facts.iter().filter(|logged| !back.contains(&logged.seq));
    let opening = |key: &Key| key.as_str().rsplit_once('/').map(|(stem, _)| stem.to_owned());
    let begun = opening(&desk.begun.since);
    let ours: BTreeSet<&str> =
        standing().filter(|logged| belongs(&logged.fact, &desk.begun)).map(|logged| desk::stem(&logged.key)).collect();
    let of_it = |key: &Key| ours.contains(desk::stem(key)) || begun.is_some() && opening(key) == begun;
    let mut taken = standing().filter(|logged| of_it(&logged.key)).filter_map(|logged| match &logged.fact {
        Fact::BallChange { bowler: whose, ball } if whose == bowler => Some(ball.clone()),
        _ => None,
    });
    Ok(taken.next_back())
}

/// Does something in a block that is not the present one, with the ball in hand that it was left with; what the bowler has in hand for the
/// present one stays.
///
/// # Errors
/// As [`of_block`]; what it fails with.
pub fn elsewhere<T>(
    place: &Path,
    block: &str,
    stamp: &Stamp,
    doing: impl FnOnce(&mut BlockState) -> Result<T, Failure>,
) -> Result<(T, BlockState), Failure> {
    let mut state = of_block(place, block)?;
    let done = state.alone(|state| {
        let here = state.sheet.ball.clone();
        state.left_with = left_with(&state.desk)?;
        let done = doing(state)?;
        if let Some(ball) = here.filter(|here| state.sheet.ball.as_ref() != Some(here)) {
            let bowler = state.desk.begun.bowler.clone();
            let key = desk::beside_key(&stamp.key, "in-hand")?;
            state.desk.record.log(Fact::BallChange { bowler, ball }, &key, stamp.at)?;
        }
        Ok(done)
    })?;
    Ok((done, state))
}
