//! Shots written down, taken back, and put right.

use std::collections::BTreeSet;

use boardwise_record::{Fact, Key, Logged, Seq, Shot};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::asked::Told;
use super::desk::{self, Begun};
use super::made::DeviceTime;
use super::so_far::BlockSoFar;
use super::{seen, standing};
use crate::Failure;
use boardwise_files::Fault;

/// What was done to the sheet.
pub struct Done {
    /// The shot it was done to, from 1 on, if it still stands.
    pub shot: Option<usize>,
    /// What was done, in words.
    pub words: String,
}

/// A place on a sheet: which ball of which frame of which game, each from 1 on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Turn {
    /// Game.
    pub game: u16,
    /// Frame.
    pub frame: u8,
    /// Ball of the frame.
    pub ball: u8,
}

impl std::fmt::Display for Turn {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "game {}, frame {}, ball {}", self.game, self.frame, self.ball)
    }
}

/// Writes a shot down. Under a key known already it must be the same shot, and nothing is added. `turn` is where whoever
/// tells it thinks that it belongs; `by_device` is what their clock says of it, where they have one of their own.
///
/// # Errors
/// [`Failure::NotTheirTurn`] if the sheet is elsewhere; what the shot says cannot be, or cannot be written.
pub fn log(
    so_far: &mut BlockSoFar,
    told: &Told,
    key: &Key,
    turn: Option<Turn>,
    by_device: Option<DeviceTime>,
) -> Result<Done, Failure> {
    let again = so_far.desk.record.receipt(key)?.is_some();
    if again {
        check_same(so_far, told, key)?;
    } else {
        if let Some(turn) = turn {
            in_turn(so_far, turn)?;
        }
        let facts = facts(so_far, told, key)?;
        let now = Timestamp::now();
        let at = match by_device {
            Some(by_device) => by_device.by_ours(now, earliest(so_far)?),
            None => now,
        };
        so_far.desk.record.log_all(facts, at).map_err(|why| misfit(&told.pins, why))?;
        so_far.catch_up()?;
    }
    let place = so_far.sheet.deliveries.iter().position(|one| one.key == *key);
    let words = if again { "logged before" } else { "logged" };
    Ok(Done { shot: place.map(|place| place + 1), words: words.to_owned() })
}

/// Before this the next shot cannot have been made: the block had not begun, or the shot before it was not yet made.
fn earliest(so_far: &BlockSoFar) -> Result<Timestamp, Failure> {
    let BlockSoFar { desk, sheet, .. } = so_far;
    let begun = desk.record.receipt(&desk.begun.since)?.map(|receipt| receipt.at);
    let last = sheet.deliveries.last().map(|last| last.at);
    Ok(begun.max(last).unwrap_or(Timestamp::MIN))
}

/// Whether the sheet's next ball is this one.
fn in_turn(so_far: &BlockSoFar, told: Turn) -> Result<(), Failure> {
    let next = so_far.upcoming().map(|next| Turn { game: next.game, frame: next.frame, ball: next.ball });
    if next.is_none_or(|next| next == told) { Ok(()) } else { Err(Failure::NotTheirTurn { told, next }) }
}

/// Takes back what was logged last in the block, or what was logged under a key, with all that belongs to it.
///
/// # Errors
/// If there is nothing to take back, or the sheet would not add up.
pub fn undo(so_far: &mut BlockSoFar, of: Option<&Key>, key: &Key) -> Result<Done, Failure> {
    let desk = &mut so_far.desk;
    if desk.record.receipt(&desk::beside_key(key, "0")?)?.is_some() {
        return Ok(Done { shot: None, words: "taken back before".to_owned() });
    }
    let since = desk.record.receipt(&desk.begun.since)?.map_or(Seq(0), |receipt| receipt.seq);
    let facts = desk.record.facts(since)?;
    let back = taken_back(&facts);
    // A change of ball is of the block whose shot or line was logged with it: the bowler may have bowled in another block since.
    let with_ours = |key: &Key| {
        facts.iter().any(|other| desk::stem(&other.key) == desk::stem(key) && belongs(&other.fact, &desk.begun))
    };
    let ours = |logged: &&Logged| {
        !back.contains(&logged.seq)
            && match &logged.fact {
                Fact::BallChange { .. } => with_ours(&logged.key),
                fact => belongs(fact, &desk.begun),
            }
            && of.is_none_or(|of| desk::stem(&logged.key) == of.as_str())
    };
    let Some(last) = facts.iter().rev().find(ours) else {
        let allowed = "nothing was logged in this block that could be taken back".to_owned();
        return Err(Fault::Flag { flag: "undo".to_owned(), value: String::new(), allowed }.into());
    };
    // What was logged together goes together.
    let together = desk::stem(&last.key);
    let mut undos = Vec::new();
    for logged in facts.iter().rev().filter(|logged| desk::stem(&logged.key) == together && !back.contains(&logged.seq))
    {
        undos.push((Fact::Undo { of: logged.seq }, desk::beside_key(key, &undos.len().to_string())?));
    }
    let words = format!("taken back: {}", what(&last.fact));
    desk.record.log_all(undos, Timestamp::now())?;
    so_far.catch_up()?;
    Ok(Done { shot: None, words })
}

/// Puts the shot of this number right; what is not told of it stays as it was.
///
/// # Errors
/// If there is no such shot, or the sheet would not add up.
pub fn fix(so_far: &mut BlockSoFar, number: usize, told: &Told, key: &Key) -> Result<Done, Failure> {
    let done = Done { shot: Some(number), words: "put right".to_owned() };
    if so_far.desk.record.receipt(key)?.is_some() {
        return Ok(done);
    }
    let shots = so_far.sheet.deliveries.len();
    let wrong =
        number.checked_sub(1).and_then(|place| so_far.sheet.deliveries.get(place)).ok_or_else(|| Fault::Flag {
            flag: "N".to_owned(),
            value: number.to_string(),
            allowed: match shots {
                0 => "no shot has been logged in this block".to_owned(),
                _ => format!("the block has shots 1 to {shots}; `boardwise sheet` lists them"),
            },
        })?;
    let before = wrong.thrown.map_or(boardwise_score::Deck::FULL, |thrown| thrown.before);
    let roll = seen::roll(&told.pins, before)?;
    let ball = told.details.ball(so_far)?.or_else(|| wrong.shot.ball.clone());
    let shot = told.details.put(so_far, Shot { roll, ball, ..wrong.shot.clone() })?;
    let seq = wrong.seq;
    so_far.desk.record.correct(seq, shot, key, Timestamp::now()).map_err(|why| misfit(&told.pins, why))?;
    so_far.catch_up()?;
    Ok(done)
}

/// What was done, with how the block stands now.
pub fn done_json(so_far: &BlockSoFar, done: &Done) -> Value {
    let BlockSoFar { desk, sheet, .. } = so_far;
    let shot = done.shot.and_then(|number| Some((number, sheet.deliveries.get(number - 1)?)));
    let mut answer = standing::json(sheet, Some(&desk.begun));
    answer["did"] = json!(done.words);
    answer["shot"] = json!(shot.map(|(number, shot)| standing::shot_json(number, shot)));
    answer
}

/// The shot, with the change of ball before it and the remark on it.
fn facts(so_far: &BlockSoFar, told: &Told, key: &Key) -> Result<Vec<(Fact, Key)>, Failure> {
    let BlockSoFar { desk, sheet, .. } = so_far;
    let next = so_far.upcoming();
    let deck = next.as_ref().map_or(boardwise_score::Deck::FULL, |next| next.deck);
    let (block, bowler) = (desk.begun.block.clone(), desk.begun.bowler.clone());
    let roll = seen::roll(&told.pins, deck)?;
    let mut shot = told.details.put(so_far, Shot::new(&block, &bowler, roll))?;
    let mut facts = Vec::new();
    match told.details.ball(so_far)?.filter(|ball| sheet.ball.as_ref() != Some(ball)) {
        Some(ball) if next.is_none_or(|next| next.is_first(sheet)) => {
            facts.push((Fact::BallChange { bowler: bowler.clone(), ball }, desk::beside_key(key, desk::BALL)?));
        }
        ball => shot.ball = ball,
    }
    if facts.is_empty() && shot.ball.is_none() {
        shot.ball.clone_from(&so_far.left_with);
    }
    facts.push((Fact::Shot(shot), key.clone()));
    if let Some(text) = &told.note {
        let note = Fact::Note { text: text.clone(), block: Some(block), bowler: Some(bowler) };
        facts.push((note, desk::beside_key(key, desk::NOTE)?));
    }
    Ok(facts)
}

/// What was logged before under this key must be this shot.
fn check_same(so_far: &BlockSoFar, told: &Told, key: &Key) -> Result<(), Failure> {
    let record = &so_far.desk.record;
    let receipt = record.receipt(key)?;
    let before = record.facts(Seq(receipt.map_or(0, |receipt| receipt.seq.0 - 1)))?;
    let same = before.first().is_some_and(|logged| match &logged.fact {
        Fact::Shot(shot) => {
            // Of what stood only the pins are known here, not whether all of them did.
            let roll = seen::roll(&told.pins, boardwise_score::Deck::FULL);
            told.pins.eq_ignore_ascii_case("all") || roll.is_ok_and(|roll| roll == shot.roll)
        }
        _ => false,
    });
    if same {
        return Ok(());
    }
    let allowed = "this key stands for something else already; take a new key for each shot".to_owned();
    Err(Fault::Flag { flag: "--key".to_owned(), value: key.to_string(), allowed }.into())
}

/// A shot that the sheet has no place for, told by what was typed.
fn misfit(typed: &str, why: boardwise_record::Error) -> Failure {
    let allowed = match &why {
        boardwise_record::Error::DoesNotFit { source, game, .. } => format!("game {game}, {source}"),
        boardwise_record::Error::BlockComplete { games, .. } => format!(
            "game {games} of {games} is complete and there is no eleventh frame; `boardwise start` begins another block"
        ),
        _ => return why.into(),
    };
    Fault::Flag { flag: "PINS".to_owned(), value: typed.to_owned(), allowed }.into()
}

/// The facts that are taken back, by undos that are not themselves taken back.
pub(super) fn taken_back(facts: &[Logged]) -> BTreeSet<Seq> {
    let mut back = BTreeSet::new();
    for logged in facts.iter().rev() {
        if let Fact::Undo { of } = logged.fact
            && !back.contains(&logged.seq)
        {
            back.insert(of);
        }
    }
    back
}

/// Whether a fact is of this block.
pub(super) fn belongs(fact: &Fact, begun: &Begun) -> bool {
    let (ours, us) = (&begun.block, &begun.bowler);
    match fact {
        Fact::Shot(Shot { block, bowler, .. }) | Fact::LaneChange { block, bowler, .. } => {
            block == ours && bowler == us
        }
        Fact::Note { block, .. } => block.as_ref() == Some(ours),
        Fact::Correction { to, .. } => belongs(to, begun),
        Fact::BallChange { .. } | Fact::SurfaceChange { .. } | Fact::Undo { .. } => false,
    }
}

fn what(fact: &Fact) -> String {
    match fact {
        Fact::Shot(_) => "a shot".to_owned(),
        Fact::BallChange { ball, .. } => format!("the change to {ball}"),
        Fact::Note { text, .. } => format!("\"{text}\""),
        Fact::Correction { .. } => "a correction".to_owned(),
        Fact::LaneChange { .. } | Fact::SurfaceChange { .. } | Fact::Undo { .. } => "a change".to_owned(),
    }
}
