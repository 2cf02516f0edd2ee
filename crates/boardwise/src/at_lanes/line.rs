//! `boardwise move`: the line a bowler is on from now.

use std::fmt::Write;

use serde_json::{Value, json};

use super::arguments;
use crate::Failure;
use crate::output;
use crate::place::{place, stamp};
use boardwise_session::at_lanes::begin::line_json;
use boardwise_session::at_lanes::command::Command;
use boardwise_session::at_lanes::meant::AsRelease;
use boardwise_session::at_lanes::so_far::BlockSoFar;

pub(crate) fn run(asked: &arguments::Move) -> Result<(), Failure> {
    let mut so_far = BlockSoFar::open(&place(asked.desk.record.as_deref())?)?;
    let now = so_far.run(&Command::Move((&asked.shift).into()), &stamp(None)?)?.lines;
    let BlockSoFar { desk, setting, sheet, .. } = &so_far;
    let in_hand = sheet.ball.as_ref().map(boardwise_record::BallId::as_str);
    if asked.desk.json {
        let lines: Vec<Value> = now.iter().map(|(lane, meant)| line_json(setting.numbers[*lane], meant)).collect();
        return output::print_json(&json!({
            "schema": 1,
            "block": desk.begun.block.as_str(),
            "bowler": desk.begun.bowler.as_str(),
            "ball": in_hand,
            "lines": lines,
        }));
    }
    let mut text = String::new();
    for (lane, meant) in &now {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "lane {}  {}", setting.numbers[*lane], meant.words());
    }
    let _ = writeln!(text, "ball     {}", in_hand.unwrap_or("not known"));
    output::print(&text)
}
