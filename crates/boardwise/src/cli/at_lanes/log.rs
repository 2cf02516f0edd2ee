//! `boardwise log`, `undo` and `fix`: what is written down, taken back, and put right.

use std::collections::BTreeSet;
use std::fmt::Write;

use book::{Fact, Key, Logged, Seq, Sheet, Shot};
use jiff::Timestamp;
use serde_json::json;

use super::arguments::{self, Details};
use super::desk::{self, Desk, Setting};
use super::{seen, standing};
use crate::cli::{Failure, output};
use crate::kit::Fault;

pub(in crate::cli) fn log(asked: &arguments::Log) -> Result<(), Failure> {
    let mut desk = Desk::open(asked.desk.record.as_deref())?;
    let key = match &asked.key {
        None => desk::fresh_key()?,
        Some(typed) => own_key(typed)?,
    };
    let again = asked.key.is_some() && desk.record.receipt(&key)?.is_some();
    if again {
        check_same(&desk, asked, &key)?;
    } else {
        let setting = desk.begun.setting()?;
        let facts = facts(&desk, &setting, asked, &key)?;
        desk.record.log_all(facts, Timestamp::now()).map_err(|why| misfit(&asked.pins, why))?;
    }
    let sheet = desk.sheet()?;
    let number = sheet.deliveries.iter().position(|one| one.key == key).map_or(0, |place| place + 1);
    let told = if again { "logged before" } else { "logged" };
    tell(&desk, &sheet, number, told, asked.desk.json)
}

/// The shot, with the change of ball before it and the remark on it.
fn facts(desk: &Desk, setting: &Setting, asked: &arguments::Log, key: &Key) -> Result<Vec<(Fact, Key)>, Failure> {
    let sheet = desk.sheet()?;
    let next = standing::upcoming(&sheet, Some(&desk.begun.lanes));
    let deck = next.as_ref().map_or(score::Deck::FULL, |next| next.deck);
    let (block, bowler) = (desk.begun.block.clone(), desk.begun.bowler.clone());
    let roll = seen::roll(&asked.pins, deck)?;
    let mut shot = asked.details.put(desk, setting, Shot::new(&block, &bowler, roll))?;
    let mut facts = Vec::new();
    match asked.details.ball(desk, setting)?.filter(|ball| sheet.ball.as_ref() != Some(ball)) {
        Some(ball) if next.is_none_or(|next| next.is_first(&sheet)) => {
            facts.push((Fact::BallChange { bowler: bowler.clone(), ball }, desk::beside_key(key, desk::BALL)?));
        }
        ball => shot.ball = ball,
    }
    facts.push((Fact::Shot(shot), key.clone()));
    if let Some(text) = &asked.note {
        let note = Fact::Note { text: text.clone(), block: Some(block), bowler: Some(bowler) };
        facts.push((note, desk::beside_key(key, desk::NOTE)?));
    }
    Ok(facts)
}

fn own_key(typed: &str) -> Result<Key, Failure> {
    const ROOM: usize = 56;
    let refuse = |allowed: String| Fault::Flag { flag: "--key".to_owned(), value: typed.to_owned(), allowed };
    let key: Key = desk::word("--key", typed)?;
    if typed.chars().count() > ROOM || typed.contains('/') {
        return Err(
            refuse(format!("at most {ROOM} characters and no /, which is put before what belongs to a shot")).into()
        );
    }
    Ok(key)
}

/// What was logged before under this key must be this shot.
fn check_same(desk: &Desk, asked: &arguments::Log, key: &Key) -> Result<(), Failure> {
    let receipt = desk.record.receipt(key)?;
    let before = desk.record.facts(Seq(receipt.map_or(0, |receipt| receipt.seq.0 - 1)))?;
    let same = before.first().is_some_and(|logged| match &logged.fact {
        Fact::Shot(shot) => {
            // Of what stood only the pins are known here, not whether all of them did.
            let roll = seen::roll(&asked.pins, score::Deck::FULL);
            asked.pins.eq_ignore_ascii_case("all") || roll.is_ok_and(|roll| roll == shot.roll)
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
fn misfit(typed: &str, why: book::Error) -> Failure {
    let allowed = match &why {
        book::Error::DoesNotFit { source, game, .. } => format!("game {game}, {source}"),
        book::Error::BlockComplete { games, .. } => format!(
            "game {games} of {games} is complete and there is no eleventh frame; `boardwise start` begins another block"
        ),
        _ => return why.into(),
    };
    Fault::Flag { flag: "PINS".to_owned(), value: typed.to_owned(), allowed }.into()
}

fn tell(desk: &Desk, sheet: &Sheet, number: usize, told: &str, as_json: bool) -> Result<(), Failure> {
    let shot = number.checked_sub(1).and_then(|place| sheet.deliveries.get(place));
    if as_json {
        let mut answer = standing::json(sheet, Some(&desk.begun));
        answer["did"] = json!(told);
        answer["shot"] = json!(shot.map(|shot| standing::shot_json(number, shot)));
        return output::print_json(&answer);
    }
    let mut text = String::new();
    if let Some(shot) = shot {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "shot {number}, {}: {told}", standing::shot_words(shot));
    } else {
        let _ = writeln!(text, "{told}");
    }
    text.push_str(&standing::words(sheet, &desk.begun));
    output::print(&text)
}

pub(in crate::cli) fn undo(asked: &arguments::Undo) -> Result<(), Failure> {
    let mut desk = Desk::open(asked.desk.record.as_deref())?;
    let since = desk.record.receipt(&desk.begun.since)?.map_or(Seq(0), |receipt| receipt.seq);
    let facts = desk.record.facts(since)?;
    let back = taken_back(&facts);
    let ours = |logged: &&Logged| {
        !back.contains(&logged.seq) && !matches!(logged.fact, Fact::Undo { .. }) && is_ours(&logged.fact, &desk)
    };
    let Some(last) = facts.iter().rev().find(ours) else {
        let allowed = "nothing was logged in this block that could be taken back".to_owned();
        return Err(Fault::Flag { flag: "undo".to_owned(), value: String::new(), allowed }.into());
    };
    // What was logged together goes together.
    let together = desk::stem(&last.key);
    let key = desk::fresh_key()?;
    let mut undos = Vec::new();
    for logged in facts.iter().rev().filter(|logged| desk::stem(&logged.key) == together && !back.contains(&logged.seq))
    {
        undos.push((Fact::Undo { of: logged.seq }, desk::beside_key(&key, &undos.len().to_string())?));
    }
    let told = format!("taken back: {}", what(&last.fact));
    desk.record.log_all(undos, Timestamp::now())?;
    let sheet = desk.sheet()?;
    tell(&desk, &sheet, 0, &told, asked.desk.json)
}

/// The facts that are taken back, by undos that are not themselves taken back.
fn taken_back(facts: &[Logged]) -> BTreeSet<Seq> {
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

/// Whether a fact is of this block, or of what our bowler has in hand during it.
fn is_ours(fact: &Fact, desk: &Desk) -> bool {
    let (ours, us) = (&desk.begun.block, &desk.begun.bowler);
    match fact {
        Fact::Shot(Shot { block, bowler, .. }) | Fact::LaneChange { block, bowler, .. } => {
            block == ours && bowler == us
        }
        Fact::Note { block, .. } => block.as_ref() == Some(ours),
        Fact::BallChange { bowler, .. } => bowler == us,
        Fact::Correction { to, .. } => is_ours(to, desk),
        Fact::SurfaceChange { .. } | Fact::Undo { .. } => false,
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

pub(in crate::cli) fn fix(asked: &arguments::Fix) -> Result<(), Failure> {
    let mut desk = Desk::open(asked.desk.record.as_deref())?;
    let setting = desk.begun.setting()?;
    let sheet = desk.sheet()?;
    let shots = sheet.deliveries.len();
    let wrong =
        asked.number.checked_sub(1).and_then(|place| sheet.deliveries.get(place)).ok_or_else(|| Fault::Flag {
            flag: "N".to_owned(),
            value: asked.number.to_string(),
            allowed: match shots {
                0 => "no shot has been logged in this block".to_owned(),
                _ => format!("the block has shots 1 to {shots}; `boardwise sheet` lists them"),
            },
        })?;
    let before = wrong.thrown.map_or(score::Deck::FULL, |thrown| thrown.before);
    let roll = seen::roll(&asked.pins, before)?;
    let details: &Details = &asked.details;
    let ball = details.ball(&desk, &setting)?.or_else(|| wrong.shot.ball.clone());
    let shot = details.put(&desk, &setting, Shot { roll, ball, ..wrong.shot.clone() })?;
    let (seq, key) = (wrong.seq, desk::fresh_key()?);
    desk.record.correct(seq, shot, &key, Timestamp::now()).map_err(|why| misfit(&asked.pins, why))?;
    let sheet = desk.sheet()?;
    tell(&desk, &sheet, asked.number, "put right", asked.desk.json)
}
