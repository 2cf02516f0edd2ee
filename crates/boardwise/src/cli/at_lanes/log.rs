//! `boardwise log`, `undo` and `fix`: what is written down, taken back, and put right.

use super::arguments;
use crate::cli::output;
use crate::job::Failure;
use crate::job::at_lanes::asked::Told;
use crate::job::at_lanes::desk::{self, Desk};
use crate::job::at_lanes::shots::{self, Done, done_json};
use crate::job::at_lanes::standing;

pub(in crate::cli) fn log(asked: &arguments::Log) -> Result<(), Failure> {
    let mut desk = Desk::open(asked.desk.record.as_deref())?;
    let key = match &asked.told.key {
        None => desk::fresh_key()?,
        Some(typed) => desk::own_key(typed)?,
    };
    let setting = desk.begun.setting()?;
    let done = shots::log(&mut desk, &setting, &asked.told, &key, None)?;
    tell(&desk, &done, asked.desk.json)
}

fn tell(desk: &Desk, done: &Done, as_json: bool) -> Result<(), Failure> {
    let sheet = desk.sheet()?;
    if as_json {
        return output::print_json(&done_json(desk, &sheet, done));
    }
    let shot = done.shot.and_then(|number| Some((number, sheet.deliveries.get(number - 1)?)));
    let mut text = match shot {
        Some((number, shot)) => format!("shot {number}, {}: {}\n", standing::shot_words(shot), done.words),
        None => format!("{}\n", done.words),
    };
    text.push_str(&standing::words(&sheet, &desk.begun));
    output::print(&text)
}

pub(in crate::cli) fn undo(asked: &arguments::Undo) -> Result<(), Failure> {
    let mut desk = Desk::open(asked.desk.record.as_deref())?;
    let done = shots::undo(&mut desk, None, &desk::fresh_key()?)?;
    tell(&desk, &done, asked.desk.json)
}

pub(in crate::cli) fn fix(asked: &arguments::Fix) -> Result<(), Failure> {
    let mut desk = Desk::open(asked.desk.record.as_deref())?;
    let setting = desk.begun.setting()?;
    let told = Told { pins: asked.pins.clone(), details: asked.details.clone(), ..Told::default() };
    let done = shots::fix(&mut desk, &setting, asked.number, &told, &desk::fresh_key()?)?;
    tell(&desk, &done, asked.desk.json)
}
