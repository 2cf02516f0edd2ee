//! The page After: the story of a block, and every block there is.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};

use super::frame::{Room, page};
use super::pictured::{link, pictured};
use super::words::explained;
use crate::answer::Refusal;
use crate::assets::url;
use crate::query::Query;
use crate::sheet_query::SheetQuery;
use crate::state::App;
use boardwise_session::Failure;
use boardwise_session::at_lanes::after::{
    CAUTION, Figures, Listed, Season, Story, breakpoint_words, lanes_of, shot_rows,
};
use boardwise_session::at_lanes::line_meant::AsRelease;
use boardwise_session::at_lanes::open::Open;
use boardwise_session::at_lanes::score_view::lane_words;

/// Blocks that are listed before the rest is folded away.
const LISTED: usize = 6;

/// The page.
///
/// # Errors
/// If the record cannot be read.
pub async fn after(State(app): State<Arc<App>>, Query(which): Query<SheetQuery>) -> Result<Response, Refusal> {
    let told = app.queues.page.work(&app, move |app| {
        // A record that nobody has begun yet is no failure.
        if app.record.symlink_metadata().is_err() {
            return Ok((StatusCode::OK, nothing()));
        }
        let page = which.story(app).and_then(|story| {
            let (open, _) = Open::page(&app.record, which.skip.unwrap_or_default(), Listed::PAGE)?;
            let other = which.other(app)?;
            let season = Season::of(&app.record, &story.listed.bowler)?;
            // Worked out already, it stands there at once; beside another block it comes by itself.
            let known = app.accounts.known(&story).filter(|_| other.is_none() && story.no_account().is_none());
            let ready = known.map(|reckoned| super::account(&story, Some(&reckoned), None));
            told(&story, other.as_ref(), &which, (&open, &season, ready))
        });
        match page {
            Ok(page) => Ok((StatusCode::OK, page)),
            Err(why) if why.is_bad_input() => Ok((StatusCode::NOT_FOUND, no_such(&why))),
            Err(why) => Err(why),
        }
    });
    let (status, inside) = told.await?;
    Ok((status, page("After", Room::After, &["after.js"], &inside)).into_response())
}

fn styled(inside: &Markup) -> Markup {
    html! { link rel="stylesheet" href=(url("after.css")); div #after { (inside) } }
}

fn nothing() -> Markup {
    styled(&html! {
        h1 { "After" }
        p { "Nothing is on record yet. " a href="/lanes" { "Begin a block at the lanes" } ", and its story stands here." }
    })
}

fn no_such(why: &Failure) -> Markup {
    styled(&html! {
        h1 { "After" }
        p { (why) }
        p { a href="/after" { "To the present block" } }
    })
}

fn told(
    story: &Story,
    other: Option<&Story>,
    which: &SheetQuery,
    (open, season, ready): (&[Open], &Season, Option<Markup>),
) -> Result<Markup, Failure> {
    let listed = &story.listed;
    let own = SheetQuery::sheet(listed);
    let lanes = lanes_of(story);
    let mut notes_on_lanes = Vec::new();
    for lane in &lanes {
        notes_on_lanes.push(breakpoint_words(story, lane)?);
    }
    let both = SheetQuery { beside: which.beside.clone(), beside_bowler: which.beside_bowler.clone(), ..own.clone() };
    Ok(styled(&html! {
        header.title {
            h1 { (listed.block) }
            p.quiet { (listed.bowler) ", " (day(listed)) ". " (listed.scores_words()) @if story.on_record > 1 { ". " a href="#blocks" { "Other blocks" } } }
        }
        section aria-labelledby="account-title" {
            h2.unseen #account-title { "Where pins were won and lost" }
            @match (story.no_account(), ready) {
                (Some(why), _) => { p.verdict { (listed.scores_words()) "." } p { "There is no account of this block: " (why) "." } },
                (None, Some(account)) => div #account { (account) },
                (None, None) => div #account data-from=(link("/after/account", &both)) { p role="status" { "Working it out needs scripts." } },
            }
        }
        @if let Some(other) = other { (compared(story, other)) }
        (by_game(story))
        (super::season::season(story, season))
        (blocks(story, other, which, open))
        @if !lanes.is_empty() {
            section aria-labelledby="shots-title" {
                h2 #shots-title { "Shots on the lane" }
                @for (k, lane) in lanes.iter().enumerate() {
                    div.wide.lane tabindex="0" role="region" aria-label={ "First balls, " (lane_words(lane)) } {
                        (pictured(&format!("{}&lane={k}", link("/after/picture", &own)), &format!("First balls on {}, as the table of shots says in words", lane_words(lane))))
                    }
                    p.quiet { (notes_on_lanes[k]) }
                }
                (shots(story))
            }
        }
        (moves(story))
        (notes(story))
        p.row.tools {
            button #print type="button" hidden { "Print this page" }
            a.button href=(link("/after/handout", &own)) { "Make a handout" }
        }
        p.caution { (CAUTION) }
    }))
}

/// The score sheets, and what each game had of strikes and spares.
fn by_game(story: &Story) -> Markup {
    let own = SheetQuery::sheet(&story.listed);
    let games = &story.sheet.games;
    html! {
        section aria-labelledby="figures-title" {
            h2 #figures-title { "Game by game" }
            div.wide tabindex="0" role="region" aria-label="Figures of each game" {
                table {
                    thead { tr { th { "game" } th.n { "score" } @for (name, _) in story.figures.rows().iter().skip(1) { th.n { (explained(name)) } } } }
                    tbody {
                        @for (k, (game, figures)) in games.iter().zip(Figures::by_game(&story.sheet)).enumerate() {
                            tr {
                                th { (k + 1) }
                                td.n { (game.score()) @if !game.is_complete() { " so far" } }
                                @for (_, words) in figures.rows().iter().skip(1) { td.n { (words) } }
                            }
                        }
                        tr.all {
                            th { "all" }
                            td.n { (story.figures.rows()[0].1) }
                            @for (_, words) in story.figures.rows().iter().skip(1) { td.n { (words) } }
                        }
                    }
                }
            }
            p.quiet { "Strikes of all first balls at a full rack; spares of everything tried, splits too." }
            @if !games.is_empty() {
                div.sheets {
                    @for (k, game) in games.iter().enumerate() {
                        div { (pictured(&format!("{}&game={}", link("/after/picture", &own), k + 1), &format!("Game {}: {game}, {} pins", k + 1, game.score()))) }
                    }
                }
            }
        }
    }
}

fn day(listed: &Listed) -> Markup {
    html! {
        @match listed.day {
            Some(day) => time datetime=(day) title="by universal time" { (day) },
            None => "no day known",
        }
    }
}

fn blocks(story: &Story, other: Option<&Story>, which: &SheetQuery, open: &[Open]) -> Markup {
    let all = &story.latest;
    let own = &SheetQuery::sheet(&story.listed);
    let skipped = which.skip.unwrap_or_default();
    let page = |skip: usize| link("/after", &SheetQuery { skip: (skip > 0).then_some(skip), ..own.clone() });
    let row = |one: &Listed| {
        let shown = one.block == story.listed.block && one.bowler == story.listed.bowler;
        let can_go_on = open.iter().any(|open| open.listed.block == one.block && open.listed.bowler == one.bowler);
        let beside = other.is_some_and(|other| one.block == other.listed.block && one.bowler == other.listed.bowler);
        html! {
            li.shown[shown] {
                a.block href=(link("/after", &SheetQuery::sheet(one))) aria-current=[shown.then_some("true")] {
                    strong { (one.block) }
                    span.quiet { (day(one)) ", " (one.bowler) @if !one.block.as_str().starts_with(&one.event) { ", " (one.event) } }
                    span.numbers { (one.scores_words()) }
                }
                @if can_go_on {
                    button.beside type="button" data-back=(one.block) hidden aria-label={ "Go on with " (one.block) " at the lanes" } { "Go on" }
                }
                @if beside {
                    a.beside href=(link("/after", own)) aria-label={ "Stop comparing with " (one.block) } { "Stop comparing" }
                } @else if !shown {
                    a.beside href=(link("/after", &own.clone().and(one))) aria-label={ "Compare with " (one.block) } { "Compare" }
                }
            }
        }
    };
    html! {
        @if story.on_record > 1 {
            details.blocks #blocks open[other.is_some() || skipped > 0] {
                summary { "Blocks on record: " (story.on_record) }
                ul { @for one in all.iter().take(LISTED) { (row(one)) } }
                @if all.len() > LISTED {
                    details {
                        summary { (all.len() - LISTED) " earlier" }
                        ul { @for one in all.iter().skip(LISTED) { (row(one)) } }
                    }
                }
                p.row {
                    @if skipped > 0 { a.button href=(page(skipped.saturating_sub(Listed::PAGE))) { "Later blocks" } }
                    @if story.on_record > skipped + all.len() { a.button href=(page(skipped + Listed::PAGE)) { "Earlier blocks" } }
                }
            }
        }
    }
}

fn compared(story: &Story, other: &Story) -> Markup {
    let scores = |story: &Story| story.listed.scores_words();
    html! {
        section aria-labelledby="beside-title" {
            h2 #beside-title { "Side by side" }
            div.wide.compare tabindex="0" role="region" aria-label="Two blocks side by side" {
                table {
                    thead { tr { th {} th.n { (story.listed.block) } th.n { (other.listed.block) } } }
                    tbody {
                        tr { th { "scores" } td.n { (scores(story)) } td.n { (scores(other)) } }
                        @for ((name, ours), (_, theirs)) in story.figures.rows().into_iter().zip(other.figures.rows()) {
                            tr { th { (name) } td.n { (ours) } td.n { (theirs) } }
                        }
                    }
                }
            }
            p.quiet { "What a few games differ by is mostly chance." }
        }
    }
}

fn shots(story: &Story) -> Markup {
    html! {
        details {
            summary { "Every shot: " (story.sheet.deliveries.len()) }
            div.wide tabindex="0" role="region" aria-label="Every shot" {
                table {
                    thead { tr { th.n { "shot" } th { "what it did" } th { (explained("hit")) } th.n { (explained("arrows")) } th.n { (explained("breakpoint")) } th { "felt" } } }
                    tbody {
                        @for row in shot_rows(story) {
                            tr { @for (k, cell) in row.iter().enumerate() { td.n[[0, 3, 4].contains(&k)] { (cell) } } }
                        }
                    }
                }
            }
            p.quiet { "Arrows and breakpoint in " (explained("boards")) " from the bowling-hand side." }
        }
    }
}

fn moves(story: &Story) -> Markup {
    html! {
        @if !story.moves.is_empty() {
            section aria-labelledby="moves-title" {
                h2 #moves-title { "Lines and moves" }
                ul.plain {
                    @for moved in &story.moves {
                        li {
                            span.quiet { @if moved.after_shots == 0 { "at first" } @else { "after shot " (moved.after_shots) } ", lane " (moved.lane) ": " }
                            (moved.line.words())
                        }
                    }
                }
            }
        }
    }
}

fn notes(story: &Story) -> Markup {
    let listed = &story.listed;
    html! {
        section aria-labelledby="notes-title" {
            h2 #notes-title { "Notes" }
            ul.plain #notes {
                @for note in &story.notes {
                    li { time.quiet datetime=(note.at) { (note.at.strftime("%Y-%m-%d")) } " " (note.text) }
                }
            }
            form #note .stack data-block=(listed.block) data-bowler=(listed.bowler) hidden {
                label for="text" { "Add a note" }
                textarea #text name="text" rows="3" maxlength="1000" required {}
                button type="submit" .main { "Keep" }
                p #kept role="status" {}
            }
        }
    }
}
