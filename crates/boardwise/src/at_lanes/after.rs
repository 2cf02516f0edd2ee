//! `boardwise after`.

use std::fmt::Write;

use super::arguments;
use crate::Failure;
use crate::output;
use crate::picture::existing;
use crate::place::{place, warn_read_only};
use crate::table::table;
use boardwise_files::text::visible_line;
use boardwise_files::whole;
use boardwise_session::at_lanes::after::{
    CAUTION, Drill, Finding, Followed, Listed, Reckoned, SheetChoice, Story, WhatToPractise, about, shot_rows, signed,
    spread_words, stray_words, terms, verdict,
};
use boardwise_session::at_lanes::line_meant::AsRelease;

#[cfg(feature = "pdf")]
use boardwise_session::at_lanes::after::handout;

const NO_PDF: Failure = Failure::LeftOut("handouts as PDF");

#[cfg(not(feature = "pdf"))]
fn handout(_: &Story, _: Option<&Reckoned>) -> Result<Vec<u8>, Failure> {
    Err(NO_PDF)
}

pub(crate) fn run(asked: &arguments::After) -> Result<(), Failure> {
    if asked.pdf.is_some() && cfg!(not(feature = "pdf")) {
        return Err(NO_PDF);
    }
    if let Some(pdf) = &asked.pdf {
        whole::check_new("--pdf", pdf, existing(asked.force))?;
    }
    let which = SheetChoice { block: asked.block.as_deref(), bowler: asked.bowler.as_deref(), skip: 0 };
    let story = Story::of(&place(asked.desk.record.as_deref())?, &which)?;
    if let Ok(state) = &story.event {
        warn_read_only(&state.desk.record);
    }
    let reckoned = story.reckon()?;
    if let Some(pdf) = &asked.pdf {
        whole::save(pdf, &handout(&story, reckoned.as_ref())?, existing(asked.force))?;
    }
    if asked.desk.json {
        return output::print_json(&story.view(reckoned.as_ref()));
    }
    output::print(&words(&story, reckoned.as_ref()))
}

fn words(story: &Story, reckoned: Option<&Reckoned>) -> String {
    let listed = &story.listed;
    let mut text = format!("block    {}\nbowler   {}\n", listed.block, listed.bowler);
    // Writing to a string cannot fail.
    let day = listed.day.map_or_else(|| "not known".to_owned(), |day| day.to_string());
    let _ = writeln!(text, "day      {day} by universal time\nscores   {}", listed.scores_words());
    for (name, words) in story.figures.rows() {
        let _ = writeln!(text, "{name:<11} {words}");
    }
    for (k, game) in story.sheet.games.iter().enumerate() {
        let _ = writeln!(text, "game {}   {game}", k + 1);
    }
    match (reckoned, story.no_account()) {
        (Some(reckoned), _) => text.push_str(&account(story, reckoned)),
        (None, Some(why)) => {
            let _ = writeln!(text, "\nThere is no account of this block: {why}.");
        }
        (None, None) => {}
    }
    let mut shots = table(&["shot", "what it did", "hit", "arrows", "breakpoint", "felt"], 2);
    shots.add_rows(shot_rows(story));
    let _ = writeln!(text, "\n{shots}");
    if !story.moves.is_empty() {
        let mut moves = table(&["after shot", "lane", "line"], 3);
        for moved in &story.moves {
            moves.add_row([moved.after_shots.to_string(), moved.lane.to_string(), moved.line.words()]);
        }
        let _ = writeln!(text, "\n{moves}");
    }
    for note in &story.notes {
        let _ = writeln!(text, "note     {}", visible_line(&note.text));
    }
    if story.on_record > 1 {
        let _ = writeln!(text, "\n{}", blocks(&story.latest));
    }
    if story.on_record > story.latest.len() {
        let _ = writeln!(text, "{} earlier; `--block` tells of one of them", story.on_record - story.latest.len());
    }
    let _ = writeln!(text, "\n{CAUTION}");
    text
}

fn account(story: &Story, Reckoned { account, balls }: &Reckoned) -> String {
    let whole = terms(&account.whole);
    let finding = Finding::of(&account.whole, !story.is_complete());
    let mut text = format!("\n{}.\n{}\n", finding.headline, finding.doubt);
    // Writing to a string cannot fail.
    let _ = writeln!(text, "\nWhere pins were won and lost: {}.", verdict(&account.whole));
    let mut rows = table(&["term", "pins", "doubt", "chance", ""], 1);
    for term in &whole {
        let note = if term.stands_out() { "stands out" } else { "" };
        let (doubt, chance) = (format!("{:.1}", term.doubt), format!("{:.1}", term.chance));
        rows.add_row([term.name.to_owned(), signed(term.pins), doubt, chance, note.to_owned()]);
    }
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "{rows}\nDoubt: how far it may be off. Chance: how far it goes where nothing is wrong. Both one standard deviation, in pins."
    );
    for term in &whole {
        let _ = writeln!(text, "{:<10} {}", term.name, term.meaning());
    }
    let head: Vec<&str> = ["game", "par", "score"].into_iter().chain(whole.iter().map(|term| term.name)).collect();
    let mut games = table(&head, 0);
    for (k, game) in account.games.iter().enumerate() {
        let own = [(k + 1).to_string(), format!("{:.1}", game.par), format!("{:.1}", game.score)];
        games.add_row(own.into_iter().chain(terms(game).iter().map(|term| signed(term.pins))));
    }
    let _ = writeln!(text, "\n{games}\n\nWhat to practise");
    let WhatToPractise { advice, waits } = WhatToPractise::of(story, account);
    if advice.is_empty() && waits.is_empty() {
        text.push_str("Nothing stands out from what doubt and chance make.\n");
    }
    for one in advice {
        let drill = Drill::of(&one, account);
        let _ = writeln!(text, "- {}\n  {} Target: {}", one.words(), drill.how, drill.target);
    }
    for followed in Followed::of(story, account) {
        let _ = writeln!(text, "- {}", followed.words());
    }
    if !waits.is_empty() {
        text.push_str("Too few attempts to say anything of these:\n");
    }
    for wait in waits {
        let _ = writeln!(text, "- {}", wait.words());
    }
    if !account.strays.is_empty() {
        text.push_str("\nHow throws strayed at the arrows\n");
    }
    for stray in &account.strays {
        let _ = writeln!(text, "{}", stray_words(stray, &about(story, balls, stray)));
    }
    if let Some(words) = spread_words(account) {
        let _ = writeln!(text, "{words}");
    }
    text
}

fn blocks(all: &[Listed]) -> String {
    let mut rows = table(&["block", "bowler", "day", "scores"], 4);
    for one in all {
        let day = one.day.map_or_else(|| "-".to_owned(), |day| day.to_string());
        rows.add_row([one.block.to_string(), one.bowler.to_string(), day, one.scores_words()]);
    }
    rows.to_string()
}
