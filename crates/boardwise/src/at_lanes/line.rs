//! `boardwise move`: the line a bowler is on from now.

use std::fmt::Write;

use super::arguments;
use crate::Failure;
use crate::output;
use crate::place::{place, stamp, tell_of_app};
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::Command;
use boardwise_session::at_lanes::line_meant::{AsRelease, LineMeant};
use boardwise_session::view::{Form, LaneLine, MoveAnswer};

pub(crate) fn run(asked: &arguments::Move) -> Result<(), Failure> {
    let mut state = BlockState::open(&place(asked.desk.record.as_deref())?)?;
    let now = state.run(&Command::Move((&asked.shift).into()), &stamp(None)?)?.lines;
    tell_of_app(&state.desk.place);
    let BlockState { desk, setting, sheet, .. } = &state;
    let in_hand = sheet.ball.as_ref().map(boardwise_record::BallId::as_str);
    if asked.desk.json {
        let line = |&(lane, meant): &(usize, _)| LaneLine { lane: setting.numbers[lane], line: LineMeant::into(meant) };
        return output::print_json(&MoveAnswer {
            schema: Form,
            block: desk.begun.block.to_string(),
            bowler: desk.begun.bowler.to_string(),
            ball: in_hand.map(str::to_owned),
            lines: now.iter().map(line).collect(),
        });
    }
    let mut text = String::new();
    for (lane, meant) in &now {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "lane {}  {}", setting.numbers[*lane], meant.words());
    }
    let _ = writeln!(text, "ball     {}", in_hand.unwrap_or("not known"));
    output::print(&text)
}
