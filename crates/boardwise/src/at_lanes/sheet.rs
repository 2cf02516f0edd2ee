//! `boardwise sheet`.

use std::fmt::Write;

use boardwise_record::{BallId, Sheet};
use boardwise_score::Thrown;

use super::arguments;
use crate::Failure;
use crate::output;
use crate::place::{place, warn_read_only};
use crate::table::table;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::desk;
use boardwise_session::at_lanes::outlook::{Cut, Outlook, other, sheet_view};
use boardwise_session::at_lanes::score_view::{self, shot_words};

pub(crate) fn run(asked: &arguments::Sheet) -> Result<(), Failure> {
    let place = &place(asked.desk.record.as_deref())?;
    match &asked.block {
        None => {
            let state = BlockState::open(place)?;
            warn_read_only(&state.desk.record);
            tell(asked, &state.sheet, Some(&state))
        }
        Some(block) => {
            let record = desk::open(place)?;
            warn_read_only(&record);
            tell(asked, &other(&record, block, asked.bowler.as_deref())?, None)
        }
    }
}

/// `state` is the block of the sheet, where more than the sheet is known of it.
fn tell(asked: &arguments::Sheet, sheet: &Sheet, state: Option<&BlockState>) -> Result<(), Failure> {
    if asked.desk.json {
        return output::print_json(&sheet_view(sheet, state, asked.target)?);
    }
    output::print(&words(sheet, state, Outlook::of(sheet)?.as_ref(), asked.target))
}

fn words(sheet: &Sheet, state: Option<&BlockState>, outlook: Option<&Outlook>, target: Option<u16>) -> String {
    let mut text = String::new();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "block    {}\nbowler   {}\n", sheet.block.id, sheet.bowler);
    for (k, game) in sheet.games.iter().enumerate() {
        let frames = game.frames();
        let numbers: Vec<String> = frames.iter().map(|frame| frame.number.to_string()).collect();
        let head: Vec<&str> = std::iter::once("game").chain(numbers.iter().map(String::as_str)).collect();
        let mut rows = table(&head, 1);
        let signs = frames.iter().map(|frame| frame.balls.iter().flatten().map(Thrown::sign).collect::<String>());
        rows.add_row(std::iter::once((k + 1).to_string()).chain(signs));
        let totals = frames.iter().map(|frame| frame.cumulative.map_or_else(String::new, |total| total.to_string()));
        rows.add_row(std::iter::once(String::new()).chain(totals));
        let pace = game.pace().filter(|_| !game.is_complete()).map_or_else(String::new, |pace| {
            format!("score {}, pace {pace:.0}, at most {}\n", game.score(), game.maximum())
        });
        let _ = writeln!(text, "{rows}\n{pace}");
    }
    if sheet.games.len() > 1 {
        let _ = writeln!(text, "total    {} in {} games", sheet.total(), sheet.games.len());
    }
    if let Some(cut) = state.and_then(Cut::of) {
        text.push_str(&cut.words());
    }
    if let Some(outlook) = outlook {
        text.push_str(&outlook.words(target));
    }
    if let Some(state) = state {
        text.push_str(&score_view::next_words(state.upcoming().as_ref()));
    }
    text.push_str(&shots(sheet));
    text
}

/// The shots of the game that is on, with the numbers by which `fix` knows them.
fn shots(sheet: &Sheet) -> String {
    let game = sheet.deliveries.last().map_or(0, |last| last.game);
    let mut rows = table(&["shot", "what it did", "ball", "lane", "hit", "felt"], 0);
    let dash = || "-".to_owned();
    for (k, one) in sheet.deliveries.iter().enumerate().filter(|(_, one)| one.game == game) {
        rows.add_row(vec![
            (k + 1).to_string(),
            shot_words(one),
            one.ball.as_ref().map_or_else(dash, BallId::to_string),
            one.lane.as_ref().map_or_else(dash, |lane| score_view::lane_words(lane).to_owned()),
            one.shot.hit.map_or_else(dash, |hit| hit.to_string()),
            one.shot.felt.map_or_else(dash, |felt| felt.to_string()),
        ]);
    }
    if sheet.deliveries.is_empty() { String::new() } else { format!("\n{rows}\n") }
}
