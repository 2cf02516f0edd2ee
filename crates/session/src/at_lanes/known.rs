//! What was done before under a key must be what is asked under it now. A device that is not sure that it was heard asks again with the same
//! words; anything else under the same key is a mistake, and nothing of it is done.

use boardwise_record::{Fact, Key, Logged, Record, Seq, Shot};
use boardwise_score::Deck;

use super::block_state::BlockState;
use super::command::ShotTold;
use super::desk::{self, stem};
use super::seen;
use crate::Failure;
use boardwise_files::Fault;

/// The fact logged under a key, if one was.
pub(super) fn fact(record: &Record, key: &Key) -> Result<Option<Logged>, Failure> {
    let Some(receipt) = record.receipt(key)? else { return Ok(None) };
    Ok(Some(record.fact(receipt.seq)?))
}

/// What a shot is logged under, by the end of its key.
pub(super) const SHOT: &[&str] = &["", desk::BALL, desk::NOTE];
/// A move.
pub(super) const MOVE: &[&str] = &[desk::BALL, desk::SURFACE, desk::LANES[0], desk::LANES[1]];
/// A correction.
pub(super) const FIX: &[&str] = &[""];
/// What is taken back, the first of it.
pub(super) const UNDO: &[&str] = &["0"];

/// That nothing but this was ever logged under a key.
pub(super) fn only(record: &Record, key: &Key, parts: &[&str]) -> Result<(), Failure> {
    for part in [SHOT, MOVE, UNDO].concat().into_iter().filter(|part| !parts.contains(part)) {
        let of_it = if part.is_empty() { key.clone() } else { desk::beside_key(key, part)? };
        if record.receipt(&of_it)?.is_some() {
            return other(key);
        }
    }
    Ok(())
}

/// That it is this shot, with this ball and this remark.
pub(super) fn is_shot(state: &BlockState, before: &Logged, told: &ShotTold, key: &Key) -> Result<(), Failure> {
    let record = &state.desk.record;
    let delivery = state.sheet.deliveries.iter().find(|delivery| delivery.seq == before.seq);
    let deck = delivery.and_then(|delivery| delivery.thrown).map_or(Deck::FULL, |thrown| thrown.before);
    let Fact::Shot(shot) = &before.fact else { return other(key) };
    let of_block = shot.block == state.desk.begun.block && shot.bowler == state.desk.begun.bowler;
    let note = fact(record, &desk::beside_key(key, desk::NOTE)?)?.and_then(|logged| match logged.fact {
        Fact::Note { text, .. } => Some(text),
        _ => None,
    });
    let changed = fact(record, &desk::beside_key(key, desk::BALL)?)?.and_then(|logged| match logged.fact {
        Fact::BallChange { ball, .. } => Some(ball),
        _ => None,
    });
    let ball = match told.details.ball(state)? {
        None => changed.is_none(),
        // It may have been in hand already.
        Some(ball) => match changed.as_ref().or(shot.ball.as_ref()) {
            Some(logged) => *logged == ball,
            None => delivery.is_none_or(|delivery| delivery.ball.as_ref() == Some(&ball)),
        },
    };
    let same = told.details.put(state, Shot { roll: shot.roll, ball: shot.ball.clone(), ..blank(shot) })?;
    if of_block && ball && note == told.note && same == *shot && pins(told, shot, deck)? { Ok(()) } else { other(key) }
}

/// That it is a correction of this shot to what is told.
pub(super) fn is_correction(
    state: &BlockState,
    before: &Logged,
    of: Option<Seq>,
    told: &ShotTold,
    key: &Key,
) -> Result<(), Failure> {
    let Fact::Correction { of: was_of, to } = &before.fact else { return other(key) };
    let Fact::Shot(shot) = &**to else { return other(key) };
    let delivery = state.sheet.deliveries.iter().find(|delivery| delivery.seq == *was_of);
    let deck = delivery.and_then(|delivery| delivery.thrown).map_or(Deck::FULL, |thrown| thrown.before);
    // What is not told stayed as it was.
    let said = told.details.put(state, shot.clone())?;
    let only_said = told.details.put(state, Shot { roll: shot.roll, ball: shot.ball.clone(), ..blank(shot) })?;
    let details = [
        (only_said.arrows.is_none() || only_said.arrows == shot.arrows),
        (only_said.breakpoint.is_none() || only_said.breakpoint == shot.breakpoint),
        (only_said.hit.is_none() || only_said.hit == shot.hit),
        (only_said.felt.is_none() || only_said.felt == shot.felt),
        (only_said.measured.is_none() || only_said.measured == shot.measured),
        (only_said.lane.is_none() || only_said.lane == said.lane && said.lane == shot.lane),
        (told.details.ball(state)?.is_none_or(|ball| shot.ball == Some(ball))),
    ];
    let same = details.iter().all(|same| *same) && of == Some(*was_of);
    if same && pins(told, shot, deck)? { Ok(()) } else { other(key) }
}

/// That it took back what was logged under this key, where one was named.
pub(super) fn is_undo(record: &Record, before: &Logged, of: Option<&Key>, key: &Key) -> Result<(), Failure> {
    let Fact::Undo { of: was_of } = before.fact else { return other(key) };
    let taken = record.fact(was_of)?;
    if of.is_none_or(|of| stem(&taken.key) == of.as_str()) { Ok(()) } else { other(key) }
}

/// Says that a key stands for something else.
pub(super) fn other<T>(key: &Key) -> Result<T, Failure> {
    let allowed = "this key stands for something else already; take a new key for each shot".to_owned();
    Err(Fault::Field { field: "key", value: key.to_string(), allowed }.into())
}

/// Whether the same pins are told. Where the deck is no longer known, only how many stood could be told.
fn pins(told: &ShotTold, shot: &Shot, deck: Deck) -> Result<bool, Failure> {
    Ok(seen::roll(&told.pins, deck)? == shot.roll)
}

/// A shot of the same sheet with nothing seen.
fn blank(shot: &Shot) -> Shot {
    Shot { before: shot.before, ..Shot::new(&shot.block, &shot.bowler, shot.roll) }
}
