//! Before the block: the kit, and what can be asked of an event.

mod answer;
mod brief;
mod kit;

use std::sync::Arc;

use axum::extract::State;
use maud::{Markup, html};

use super::frame::{Room, page};
use crate::before::What;
use crate::runs::RunState;
use crate::state::App;
pub use answer::answer;
use boardwise_files::Shelf;
pub use kit::{From, fields, file, look};

/// What a shelf is called.
fn shelf_title(shelf: Shelf) -> &'static str {
    match shelf {
        Shelf::Lane => "Lanes",
        Shelf::Bag => "Bags",
        Shelf::Bowler => "Bowlers",
        Shelf::Event => "Events",
    }
}

/// What each question is good for.
fn promise(what: What) -> &'static str {
    match what {
        What::Bag => "Which balls to bring, with which surfaces, and what each adds.",
        What::Block => "How the lanes change over the games, and the moves that asks for.",
        What::Practice => "The throws that teach most, in order, and what each outcome means.",
        What::Brief => {
            "The evening before: where to start, what a miss does, balls, moves, practice and spares on one page."
        }
    }
}

/// The first page: what can be asked, what was, and everything in the kit.
pub async fn before(State(app): State<Arc<App>>) -> Markup {
    let shelves = app.queues.page.work(&app, |app| Ok(Shelf::ALL.map(|shelf| (shelf, app.library.all(shelf))))).await;
    let runs = app.runs.all();
    let inside = html! {
        h1 { "Before" }
        div.doors {
            a href="/first" { b { "New lanes, in three questions" } span { "Who bowls, what is on the lane, which lanes: then the first card." } }
            @for what in What::ALL {
                a href=(what.path()) { b { (what.title()) } span { (promise(what)) } }
            }
        }
        @if !runs.is_empty() {
            h2 { "Asked since boardwise was started" }
            ul.plain {
                @for one in &runs {
                    li { a href=(one.page) { (one.title) } " " span.quiet { (in_short(&one.state)) } }
                }
            }
        }
        h2 { "Kit" }
        p.quiet { "What the answers are worked out from. Those marked demo are invented and stay as they are: open one, change it, and save it under your own name." }
        div.shelves {
            @match &shelves {
                Ok(shelves) => @for (shelf, all) in shelves {
                    section aria-label=(shelf_title(*shelf)) {
                        h3 { (shelf_title(*shelf)) }
                        ul {
                            @for kept in all.iter().rev().filter(|kept| !kept.demo).rev().chain(all.iter().filter(|kept| kept.demo)) {
                                li {
                                    a href={ "/before/kit/" (shelf.word()) "/" (kept.id) } { (kept.id) }
                                    @if kept.demo { " " span.quiet { "demo" } }
                                }
                            }
                        }
                        a.new href={ "/before/kit/" (shelf.word()) } { "New " (shelf.word()) ", or open a file" }
                    }
                },
                Err(_) => p { "The kit cannot be read just now." }
            }
        }
    };
    page("Before", Room::Before, &[], &inside)
}

fn in_short(state: &RunState) -> String {
    match state {
        RunState::Waiting => "waits".to_owned(),
        RunState::Running(progress) => format!("is worked on, {:.0}% done", 100.0 * progress.share()),
        RunState::Done(_) => "answered".to_owned(),
        RunState::Failed(_) => "not answered".to_owned(),
        RunState::Stopped => "stopped".to_owned(),
    }
}
