//! `boardwise start`.

use std::fmt::Write;

use super::arguments::Start;
use crate::Failure;
use crate::place::{new_place, stamp};
use crate::{event, output};
use boardwise_session::at_lanes::begin::begin;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::desk::Desk;
use boardwise_session::at_lanes::line_meant::AsRelease;
use boardwise_session::at_lanes::score_view;

pub(crate) fn run(asked: &Start) -> Result<(), Failure> {
    let files = event::files(&asked.kit)?;
    let place = new_place(asked.desk.record.as_deref())?;
    let fresh = begin(&place, files, &(&asked.beginning).into(), &stamp(None)?)?;
    output::warn(&fresh.warnings);
    if asked.desk.json {
        return output::print_json(&fresh.view());
    }
    let BlockState { desk: Desk { begun, .. }, setting, sheet, .. } = &fresh.state;
    let mut text = event::heading(&setting.event, &setting.event.pairs[begun.pair]);
    // Writing to a string cannot fail.
    let _ = writeln!(text, "record   {}\nblock    {}", place.display(), begun.block);
    let _ = writeln!(text, "ball     {}", fresh.ball);
    for lane in 0..2 {
        let _ = writeln!(text, "lane {}  {}", setting.numbers[lane], fresh.lines[lane].words());
    }
    text.push_str(&score_view::words(sheet, begun));
    output::print(&text)
}
