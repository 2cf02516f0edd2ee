//! `boardwise log`, `undo` and `fix`: what is written down, taken back, and put right.

use std::path::Path;

use boardwise_record::{Key, Measured};

use super::arguments;
use super::kept;
use crate::Failure;
use crate::input::text;
use crate::output;
use crate::place::{place, stamp, tell_of_app};
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Command, LogShot, Stamp};
use boardwise_session::at_lanes::desk;
use boardwise_session::at_lanes::from_film;
use boardwise_session::at_lanes::score_view;
use boardwise_session::at_lanes::shots;
use boardwise_session::view::{DoneAnswer, NarrowedView};

/// Largest answer of `watch --json` that is read, bytes.
const MOST_MEASURED: u64 = 1 << 20;

pub(crate) fn log(asked: &arguments::Log) -> Result<(), Failure> {
    let mut state = BlockState::open(&place(asked.desk.record.as_deref())?)?;
    let mut shot = asked.told.shot()?;
    let mut key = asked.told.key.as_deref().map(desk::own_key).transpose()?;
    if let Some((measured, of_film)) = measured(&state, asked.told.details.measured.as_deref())? {
        shot.details.measured = Some(Box::new(measured));
        // So the same film is logged once.
        key = key.or(Some(of_film));
    }
    let command = Command::Log(LogShot { shot, ..LogShot::default() });
    run_in(&mut state, &command, &stamp(key)?, &asked.desk)
}

pub(crate) fn undo(asked: &arguments::Undo) -> Result<(), Failure> {
    run(&Command::Undo { of: None }, &stamp(None)?, &asked.desk)
}

pub(crate) fn fix(asked: &arguments::Fix) -> Result<(), Failure> {
    let mut state = BlockState::open(&place(asked.desk.record.as_deref())?)?;
    // Numbers are those of the sheet that was looked at: of the block named, else of the one that is present now.
    let block = asked.block.clone().unwrap_or_else(|| state.desk.begun.block.to_string());
    let mut shot = asked.shot()?;
    shot.details.measured =
        measured(&state, asked.details.measured.as_deref())?.map(|(measured, _)| Box::new(measured));
    let command = Command::Correct { block, number: asked.number, shot };
    run_in(&mut state, &command, &stamp(None)?, &asked.desk)
}

/// What a film measured of a shot, and the key of the film, from the file of an answer of `watch --json`.
fn measured(state: &BlockState, file: Option<&Path>) -> Result<Option<(Measured, Key)>, Failure> {
    let Some(path) = file else { return Ok(None) };
    let text = text(path, MOST_MEASURED)?;
    Ok(Some(from_film::read(&path.display().to_string(), &text, state.setting.seat.bowler.hand)?))
}

fn is_measured(command: &Command) -> bool {
    matches!(command, Command::Log(asked) if asked.shot.details.measured.is_some())
}

/// What the shots so far have taught of the line thrown.
fn narrowed(state: &BlockState) -> Result<Option<NarrowedView>, Failure> {
    /// As `next` has it when it is told no other.
    const SEED: u64 = 1;
    Ok(kept::replay(state, boardwise_files::carry()?, SEED)?.narrowed(state, SEED))
}

/// Does it, and prints what was done with how the block stands now.
fn run(command: &Command, stamp: &Stamp, asked: &arguments::Desk) -> Result<(), Failure> {
    run_in(&mut BlockState::open(&place(asked.record.as_deref())?)?, command, stamp, asked)
}

fn run_in(state: &mut BlockState, command: &Command, stamp: &Stamp, asked: &arguments::Desk) -> Result<(), Failure> {
    let done = state.run(command, stamp)?;
    tell_of_app(&state.desk.place);
    let forecast = if is_measured(command) { narrowed(state)? } else { None };
    if asked.json {
        return output::print_json(&DoneAnswer { forecast, ..shots::done(state, &done) });
    }
    let BlockState { desk, sheet, .. } = &*state;
    let shot = done.shot.and_then(|number| Some((number, sheet.deliveries.get(number - 1)?)));
    let mut text = match shot {
        Some((number, shot)) => format!("shot {number}, {}: {}\n", score_view::shot_words(shot), done.deed.words()),
        None => format!("{}\n", done.deed.words()),
    };
    text.push_str(&score_view::words(sheet, &desk.begun));
    text.extend(forecast.map(|forecast| forecast.words()));
    output::print(&text)
}
