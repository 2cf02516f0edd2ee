//! Shots written down, taken back, and put right.

use boardwise_record::{Fact, Key, Shot, Surface};
use jiff::Timestamp;

use super::block_state::BlockState;
use super::command::{Deed, Done, LogShot, ShotTold, Stamp};
use super::desk;
use super::newest::{self, Newest};
use super::turn::Turn;
use super::{known, score_view, seen};
use crate::Failure;
use crate::view::DoneAnswer;
use boardwise_files::Fault;

/// Writes a shot down. Under a key known already it must be the same shot, and nothing is added.
///
/// # Errors
/// [`Failure::NotTheirTurn`] if the sheet is elsewhere; what the shot says cannot be, or cannot be written.
pub(super) fn log(state: &mut BlockState, asked: &LogShot, stamp: &Stamp) -> Result<Done, Failure> {
    let Stamp { key, at: now } = stamp;
    let told = &asked.shot;
    known::only(&state.desk.record, key, known::SHOT)?;
    let before = known::fact(&state.desk.record, key)?;
    let again = before.is_some();
    if let Some(before) = before {
        known::is_shot(state, &before, told, key)?;
    } else {
        if let Some(turn) = asked.turn {
            in_turn(state, turn)?;
        }
        let facts = facts(state, told, key)?;
        let at = match asked.by_device {
            Some(by_device) => by_device.by_ours(*now, earliest(state)?),
            None => *now,
        };
        state.write(facts, at).map_err(|why| misfit(&told.pins, why))?;
        state.catch_up()?;
    }
    let place = state.sheet.deliveries.iter().position(|one| one.key == *key);
    let deed = if again { Deed::LoggedBefore } else { Deed::Logged };
    Ok(Done { shot: place.map(|place| place + 1), ..Done::of(deed) })
}

/// Before this the next shot cannot have been made: the block had not begun, or the shot before it was not yet made.
fn earliest(state: &BlockState) -> Result<Timestamp, Failure> {
    let BlockState { desk, sheet, .. } = state;
    let begun = desk.record.receipt(&desk.begun.since)?.map(|receipt| receipt.at);
    let last = sheet.deliveries.last().map(|last| last.at);
    Ok(begun.max(last).unwrap_or(Timestamp::MIN))
}

/// Whether the sheet's next ball is this one.
fn in_turn(state: &BlockState, told: Turn) -> Result<(), Failure> {
    let next = state.upcoming().map(|next| Turn { game: next.game, frame: next.frame, ball: next.ball });
    if next.is_none_or(|next| next == told) { Ok(()) } else { Err(Failure::NotTheirTurn { told, next }) }
}

/// Takes back what was logged last in the block, or what was logged under a key, with all that belongs to it.
///
/// # Errors
/// If there is nothing to take back, or the sheet would not add up.
pub(super) fn undo(state: &mut BlockState, of: Option<&Key>, stamp: &Stamp) -> Result<Done, Failure> {
    let key = &stamp.key;
    let desk = &state.desk;
    known::only(&desk.record, key, known::UNDO)?;
    if let Some(before) = known::fact(&desk.record, &desk::beside_key(key, "0")?)? {
        known::is_undo(&desk.record, &before, of, key)?;
        return Ok(Done::of(Deed::TakenBackBefore));
    }
    let Some(found) = newest::find(&state.standing, &desk.begun, of) else {
        return Err(Failure::NothingToTakeBack);
    };
    let newest = Newest::of(&found, &desk.begun, &state.setting, &state.sheet);
    // What was logged together goes together, the last first.
    let undos = found.iter().enumerate();
    let undos = undos.map(|(k, logged)| Ok((Fact::Undo { of: logged.seq }, desk::beside_key(key, &k.to_string())?)));
    let undos = undos.collect::<Result<Vec<_>, Failure>>()?;
    let deed = Deed::TakenBack(newest);
    state.write(undos, stamp.at)?;
    state.catch_up()?;
    Ok(Done::of(deed))
}

/// Puts the shot of this number of a block right; what is not told of it stays as it was.
///
/// # Errors
/// [`Failure::OtherBlock`] if another block is meant; if there is no such shot, or the sheet would not add up.
pub(super) fn correct(
    state: &mut BlockState,
    (block, number): (&str, usize),
    told: &ShotTold,
    stamp: &Stamp,
) -> Result<Done, Failure> {
    let key = &stamp.key;
    if state.desk.begun.block.as_str() != block {
        return Err(Failure::OtherBlock { meant: block.to_owned(), now: state.desk.begun.block.to_string() });
    }
    known::only(&state.desk.record, key, known::FIX)?;
    let done = Done { shot: Some(number), ..Done::of(Deed::PutRight) };
    if let Some(before) = known::fact(&state.desk.record, key)? {
        let of = state.sheet.deliveries.get(number.wrapping_sub(1)).map(|shot| shot.seq);
        known::is_correction(state, &before, of, told, key)?;
        return Ok(done);
    }
    let shots = state.sheet.deliveries.len();
    let wrong = number.checked_sub(1).and_then(|place| state.sheet.deliveries.get(place));
    let wrong = wrong.ok_or(Failure::NoSuchShot { number, shots })?;
    let before = wrong.thrown.map_or(boardwise_score::Deck::FULL, |thrown| thrown.before);
    let roll = seen::roll(&told.pins, before)?;
    let ball = told.details.ball(state)?.or_else(|| wrong.shot.ball.clone());
    let shot = told.details.put(state, Shot { roll, ball, ..wrong.shot.clone() })?;
    let correction = Fact::Correction { of: wrong.seq, to: Box::new(shot.into()) };
    state.write([(correction, key.clone())], stamp.at).map_err(|why| misfit(&told.pins, why))?;
    state.catch_up()?;
    Ok(done)
}

/// Says that a ball's surface was worked on. The record and the belief go by it from now on.
///
/// # Errors
/// If the bag has no such ball, or the surface cannot be.
pub(super) fn change_surface(
    state: &mut BlockState,
    ball: &str,
    surface: Surface,
    how: Option<&str>,
    stamp: &Stamp,
) -> Result<Done, Failure> {
    let place = state.setting.ball(ball)?;
    let ball = state.desk.begun.balls[place].clone();
    let fact = Fact::SurfaceChange { ball, surface, how: how.map(str::to_owned) };
    state.desk.record.log(fact, &stamp.key, stamp.at)?;
    state.catch_up()?;
    Ok(Done::of(Deed::Resurfaced))
}

/// What was done, with how the block stands now.
pub fn done(state: &BlockState, done: &Done) -> DoneAnswer {
    let BlockState { desk, sheet, .. } = state;
    let shot = done.shot.and_then(|number| Some((number, sheet.deliveries.get(number - 1)?)));
    DoneAnswer {
        sheet: score_view::view(sheet, Some(&desk.begun)),
        did: done.deed.words(),
        shot: shot.map(|(number, shot)| score_view::shot_view(number, shot)),
        forecast: None,
    }
}

/// The shot, with the change of ball before it and the remark on it.
fn facts(state: &BlockState, told: &ShotTold, key: &Key) -> Result<Vec<(Fact, Key)>, Failure> {
    let BlockState { desk, sheet, .. } = state;
    let next = state.upcoming();
    let deck = next.as_ref().map_or(boardwise_score::Deck::FULL, |next| next.deck);
    let (block, bowler) = (desk.begun.block.clone(), desk.begun.bowler.clone());
    let roll = seen::roll(&told.pins, deck)?;
    let mut shot = told.details.put(state, Shot::new(&block, &bowler, roll))?;
    let mut facts = Vec::new();
    match told.details.ball(state)?.filter(|ball| sheet.ball.as_ref() != Some(ball)) {
        Some(ball) if next.is_none_or(|next| next.is_first(sheet)) => {
            facts.push((Fact::BallChange { bowler: bowler.clone(), ball }, desk::beside_key(key, desk::BALL)?));
        }
        ball => shot.ball = ball,
    }
    if facts.is_empty() && shot.ball.is_none() {
        shot.ball.clone_from(&state.left_with);
    }
    facts.push((Fact::Shot(shot), key.clone()));
    if let Some(text) = &told.note {
        let note = Fact::Note { text: text.clone(), block: Some(block), bowler: Some(bowler) };
        facts.push((note, desk::beside_key(key, desk::NOTE)?));
    }
    Ok(facts)
}

/// A shot that the sheet has no place for, told by what was typed.
fn misfit(typed: &str, why: boardwise_record::Error) -> Failure {
    let value = typed.to_owned();
    match why {
        boardwise_record::Error::DoesNotFit { source, game, .. } => {
            Fault::Field { field: "pins", value, allowed: format!("game {game}, {source}") }.into()
        }
        boardwise_record::Error::BlockComplete { games, .. } => {
            Failure::BlockComplete { pins: Some(value), games: Some(games) }
        }
        why => why.into(),
    }
}
