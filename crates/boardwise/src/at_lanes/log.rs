//! `boardwise log`, `undo` and `fix`: what is written down, taken back, and put right.

use super::arguments;
use crate::Failure;
use crate::output;
use crate::place::place;
use boardwise_session::at_lanes::asked::Told;
use boardwise_session::at_lanes::desk;
use boardwise_session::at_lanes::shots::{self, Done, done_json};
use boardwise_session::at_lanes::so_far::BlockSoFar;
use boardwise_session::at_lanes::standing;

pub(crate) fn log(asked: &arguments::Log) -> Result<(), Failure> {
    let mut so_far = BlockSoFar::open(&place(asked.desk.record.as_deref())?)?;
    let key = match &asked.told.key {
        None => desk::fresh_key()?,
        Some(typed) => desk::own_key(typed)?,
    };
    let done = shots::log(&mut so_far, &(&asked.told).into(), &key, None, None)?;
    tell(&so_far, &done, asked.desk.json)
}

fn tell(so_far: &BlockSoFar, done: &Done, as_json: bool) -> Result<(), Failure> {
    if as_json {
        return output::print_json(&done_json(so_far, done));
    }
    let BlockSoFar { desk, sheet, .. } = so_far;
    let shot = done.shot.and_then(|number| Some((number, sheet.deliveries.get(number - 1)?)));
    let mut text = match shot {
        Some((number, shot)) => format!("shot {number}, {}: {}\n", standing::shot_words(shot), done.words),
        None => format!("{}\n", done.words),
    };
    text.push_str(&standing::words(sheet, &desk.begun));
    output::print(&text)
}

pub(crate) fn undo(asked: &arguments::Undo) -> Result<(), Failure> {
    let mut so_far = BlockSoFar::open(&place(asked.desk.record.as_deref())?)?;
    let done = shots::undo(&mut so_far, None, &desk::fresh_key()?)?;
    tell(&so_far, &done, asked.desk.json)
}

pub(crate) fn fix(asked: &arguments::Fix) -> Result<(), Failure> {
    let mut so_far = BlockSoFar::open(&place(asked.desk.record.as_deref())?)?;
    let told = Told { pins: asked.pins.clone(), details: (&asked.details).into(), ..Told::default() };
    let done = shots::fix(&mut so_far, asked.number, &told, &desk::fresh_key()?)?;
    tell(&so_far, &done, asked.desk.json)
}
