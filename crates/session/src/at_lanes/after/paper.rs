//! The handout.

use boardwise_belief::Account;
use boardwise_figures::{Drawing, Handout, Theme};

use super::super::line_meant::AsRelease;
use super::finding::Finding;
use super::pictures::{account_picture, lanes_of, sheet_picture, shots_picture};
use super::practise::{Wait, WhatToPractise};
use super::words::{CAUTION, about, breakpoint_words, shot_rows, signed, spread_words, stray_words, terms, verdict};
use super::{Drill, Figures, Followed, Moved, Reckoned, Story};
use crate::Failure;
use crate::leaves::kind_word;

/// What a bowler or coach takes home of a block, as PDF.
///
/// # Errors
/// If a picture cannot be drawn or the record cannot be read.
pub fn handout(story: &Story, reckoned: Option<&Reckoned>) -> Result<Vec<u8>, Failure> {
    let listed = &story.listed;
    let day = listed.day.map_or_else(String::new, |day| format!(", {day}"));
    let mut paper = Handout::new(&format!("{}{day}", listed.block)).caution(CAUTION);
    paper = paper.text(&format!("{}: {}", listed.bowler, listed.scores_words()));
    let rows: Vec<Vec<String>> = story.figures.rows().map(|(name, words)| vec![name.to_owned(), words]).to_vec();
    paper = paper.table(&["figure", ""], &rows).heading("Score sheets");
    let sheets: Vec<Drawing> =
        (1..=story.sheet.games.len()).filter_map(|game| sheet_picture(story, game, Theme::Light)).collect();
    // Two of them stand side by side on a page.
    for pair in sheets.chunks(2) {
        paper = paper.pictures(&pair.iter().collect::<Vec<_>>());
    }
    paper = won_and_lost(paper, story, reckoned);
    paper = paper.heading("Shots on the lane");
    for lane in lanes_of(story) {
        paper = paper.picture(&shots_picture(story, Some(&lane), Theme::Light)?);
        paper = paper.text(&breakpoint_words(story, &lane)?);
    }
    paper = paper
        .heading("Shots")
        .table(&["shot", "what it did", "hit", "arrows", "breakpoint", "felt"], &shot_rows(story));
    paper = notes(lines(paper, story), story);
    paper.pdf().map_err(|why| Failure::Picture(Box::new(why)))
}

fn won_and_lost(mut paper: Handout, story: &Story, reckoned: Option<&Reckoned>) -> Handout {
    paper = paper.heading("Where pins were won and lost");
    let Some(Reckoned { account, balls }) = reckoned else {
        let why = story.no_account().unwrap_or_default();
        return paper.text(&format!("There is no account of this block: {why}."));
    };
    let finding = Finding::of(&account.whole, !story.is_complete());
    paper = paper.text(&format!("{}.\n{}", finding.headline, finding.doubt));
    paper = paper.picture(&account_picture(account, Theme::Light)).text(&format!("{}.", verdict(&account.whole)));
    for term in terms(&account.whole) {
        paper =
            paper.text(&format!("{}, {} pins. {} {}", term.name, term.number(), term.meaning(), term.doubt_words()));
    }
    let names: Vec<&str> = std::iter::once("game")
        .chain(["par", "score"])
        .chain(terms(&account.whole).iter().map(|term| term.name))
        .collect();
    let rows = account.games.iter().enumerate().map(|(k, game)| {
        let own = [(k + 1).to_string(), format!("{:.1}", game.par), format!("{:.1}", game.score)];
        own.into_iter().chain(terms(game).iter().map(|term| signed(term.pins))).collect::<Vec<_>>()
    });
    paper = paper.table(&names, &rows.collect::<Vec<_>>());
    if !account.spares.is_empty() {
        let rows = account.spares.iter().map(|one| {
            let made = format!("{} of {}", one.made, one.tried);
            let usual = format!("{:.1}", one.expected);
            vec![kind_word(one.kind).to_owned(), made, usual, signed(one.pins), format!("{:.1}", one.chance)]
        });
        paper = paper.table(&["leaves", "made", "usual", "pins", "chance"], &rows.collect::<Vec<_>>());
    }
    paper = practise(paper, story, account);
    for stray in &account.strays {
        paper = paper.text(&format!("{}.", stray_words(stray, &about(story, balls, stray))));
    }
    if let Some(words) = spread_words(account) {
        paper = paper.text(&format!("{words}."));
    }
    paper
}

/// What to practise, and what it takes to say more.
pub(crate) fn practise(mut paper: Handout, story: &Story, account: &Account) -> Handout {
    let WhatToPractise { advice, waits } = WhatToPractise::of(story, account);
    paper = paper.heading("What to practise");
    if advice.is_empty() && waits.is_empty() {
        paper = paper.text("Nothing stands out from what doubt and chance make.");
    }
    for one in advice {
        let drill = Drill::of(&one, account);
        paper = paper.text(&format!("{}.\n{} Target: {}", one.words(), drill.how, drill.target));
    }
    for followed in Followed::of(story, account) {
        paper = paper.text(&followed.words());
    }
    if !waits.is_empty() {
        let waits: Vec<String> = waits.iter().map(Wait::words).collect();
        paper = paper.text(&format!("Too few attempts to say more. {}.", waits.join(". ")));
    }
    paper
}

/// A block on part of a page: the finding, its picture beside the last score sheet, the games, and what to practise.
pub(crate) fn in_short(mut paper: Handout, story: &Story, reckoned: Option<&Reckoned>) -> Handout {
    let last = sheet_picture(story, story.sheet.games.len(), Theme::Light);
    if let Some(Reckoned { account, .. }) = reckoned {
        let finding = Finding::of(&account.whole, !story.is_complete());
        paper = paper.heading(&format!("{}.", finding.headline)).text(&finding.doubt);
        let picture = account_picture(account, Theme::Light);
        let beside: Vec<&Drawing> = std::iter::once(&picture).chain(last.as_ref()).collect();
        paper = paper.pictures(&beside);
    } else {
        let why = story.no_account().unwrap_or_default();
        paper = paper.heading("The block").text(&format!("There is no account of this block: {why}."));
        paper = last.iter().fold(paper, Handout::picture);
    }
    let rows = story.sheet.games.iter().zip(Figures::by_game(&story.sheet)).enumerate().map(|(k, (game, figures))| {
        let counted = figures.rows().map(|(_, words)| words);
        [(k + 1).to_string(), game.score().to_string()].into_iter().chain(counted.into_iter().skip(1)).collect()
    });
    paper = paper.table(&["game", "score", "strikes", "spares", "open frames"], &rows.collect::<Vec<Vec<String>>>());
    match reckoned {
        Some(Reckoned { account, .. }) => practise(paper, story, account),
        None => paper,
    }
}

/// The remarks on a block.
pub(crate) fn notes(mut paper: Handout, story: &Story) -> Handout {
    if !story.notes.is_empty() {
        paper = paper.heading("Notes");
    }
    for note in &story.notes {
        paper = paper.text(&note.text);
    }
    paper
}

/// The lines and moves of a block.
pub(crate) fn lines(paper: Handout, story: &Story) -> Handout {
    if story.moves.is_empty() {
        return paper;
    }
    let row = |moved: &Moved| vec![moved.after_shots.to_string(), moved.lane.to_string(), moved.line.words()];
    let rows: Vec<_> = story.moves.iter().map(row).collect();
    paper.heading("Lines and moves of the block").table(&["after shot", "lane", "line"], &rows)
}
