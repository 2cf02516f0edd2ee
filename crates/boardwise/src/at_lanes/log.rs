//! `boardwise log`, `undo` and `fix`: what is written down, taken back, and put right.

use super::arguments;
use crate::Failure;
use crate::output;
use crate::place::{place, stamp, tell_of_app};
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Command, LogShot, Stamp};
use boardwise_session::at_lanes::desk;
use boardwise_session::at_lanes::score_view;
use boardwise_session::at_lanes::shots;

pub(crate) fn log(asked: &arguments::Log) -> Result<(), Failure> {
    let key = asked.told.key.as_deref().map(desk::own_key).transpose()?;
    let shot = LogShot { shot: asked.told.shot()?, ..LogShot::default() };
    run(&Command::Log(shot), &stamp(key)?, &asked.desk)
}

pub(crate) fn undo(asked: &arguments::Undo) -> Result<(), Failure> {
    run(&Command::Undo { of: None }, &stamp(None)?, &asked.desk)
}

pub(crate) fn fix(asked: &arguments::Fix) -> Result<(), Failure> {
    let mut state = BlockState::open(&place(asked.desk.record.as_deref())?)?;
    // Numbers are those of the sheet that was looked at: of the block named, else of the one that is present now.
    let block = asked.block.clone().unwrap_or_else(|| state.desk.begun.block.to_string());
    let command = Command::Correct { block, number: asked.number, shot: asked.shot()? };
    run_in(&mut state, &command, &stamp(None)?, &asked.desk)
}

/// Does it, and prints what was done with how the block stands now.
fn run(command: &Command, stamp: &Stamp, asked: &arguments::Desk) -> Result<(), Failure> {
    run_in(&mut BlockState::open(&place(asked.record.as_deref())?)?, command, stamp, asked)
}

fn run_in(state: &mut BlockState, command: &Command, stamp: &Stamp, asked: &arguments::Desk) -> Result<(), Failure> {
    let done = state.run(command, stamp)?;
    tell_of_app(&state.desk.place);
    if asked.json {
        return output::print_json(&shots::done(state, &done));
    }
    let BlockState { desk, sheet, .. } = &*state;
    let shot = done.shot.and_then(|number| Some((number, sheet.deliveries.get(number - 1)?)));
    let mut text = match shot {
        Some((number, shot)) => format!("shot {number}, {}: {}\n", score_view::shot_words(shot), done.deed.words()),
        None => format!("{}\n", done.deed.words()),
    };
    text.push_str(&score_view::words(sheet, &desk.begun));
    output::print(&text)
}
