//! A question about an event, and its answer.

use std::fmt::Display;

use maud::{Markup, html};

use super::kit::caution;
use super::parts::{Narrow, picture, table, whose};
use super::{Room, page, promise};
use crate::before::{Ready, Request, What};
use crate::runs::{RunAnswer, RunState};
use boardwise_files::OnShelf;
use boardwise_session::event::surface_cautions;
use boardwise_session::{Failure, bag, block, practice};

/// The page of a question. `query` is what its address says after the question mark.
pub fn answer(
    what: What,
    request: &Request,
    events: &[OnShelf],
    ready: &Result<Ready, Failure>,
    run: Option<&RunState>,
    query: &str,
) -> Markup {
    let word = match run {
        None => "none",
        Some(RunState::Waiting) => "waiting",
        Some(RunState::Running(_)) => "running",
        Some(RunState::Done(_)) => "done",
        Some(RunState::Failed(_)) => "failed",
        Some(RunState::Stopped) => "stopped",
    };
    let question = html! {
        form #question data-path=(what.path()) {
            label { span { "Event" }
                select #event name="event" {
                    @for event in events {
                        option value=(event.id) selected[event.id == request.event] { (event.id) @if event.demo { " (demo)" } }
                    }
                }
            }
            (wishes(what, request, ready.as_ref().ok()))
            button type="submit" .main { "Work it out" }
        }
    };
    let inside = html! {
        p.trail { a href="/before" { "Before" } }
        h1 { (what.title()) }
        @if what != What::Brief {
            p.quiet { (promise(what)) }
            (question)
        }
        p #trouble role="alert" {
            @if let Err(why) = ready { (why.to_string().trim_start_matches("--")) }
        }
        @if let Ok(ready) = ready {
            @for warning in &ready.warnings { p.quiet { (warning) } }
        }
        section #answer aria-label="The answer" aria-live="polite" data-state=(word) {
            @match run {
                None => p.quiet { "Not worked out yet. It takes from seconds to some minutes; you can leave meanwhile." },
                Some(RunState::Waiting) => (work("Another question is worked on; this one waits for it.", None)),
                Some(RunState::Running(progress)) => (work("Working it out.", Some(progress.share()))),
                Some(RunState::Stopped) => p { b { "Stopped. " } "Nothing of it is kept; “Work it out” begins anew." },
                Some(RunState::Failed(why)) => p { b { "Not answered. " } (why.trim_start_matches("--")) },
                Some(RunState::Done(found)) => @match found {
                    RunAnswer::Bag(weighing) => (balls(weighing, query)),
                    RunAnswer::Block(forecast) => (ahead(forecast, query)),
                    RunAnswer::Practice(plan) => (throws(plan)),
                    RunAnswer::Brief(brief) => (super::brief::brief(brief, &request.event, query)),
                },
            }
        }
        @if what == What::Brief {
            details .another { summary { "Another event" } (question) }
        }
    };
    page(what.title(), Room::Before, &["before.js"], &inside)
}

fn work(words: &str, share: Option<f64>) -> Markup {
    html! {
        p { (words) " You can leave this page: the work goes on, and the answer is kept here until boardwise ends." }
        div.work {
            progress #progress aria-label="Done" max="1" value=[share.map(|share| format!("{share:.3}"))] {}
            button #stop type="button" { "Stop" }
        }
        p #spent .quiet {}
    }
}

fn wishes(what: What, request: &Request, ready: Option<&Ready>) -> Markup {
    let number = |name: &str, label: &str, value: &dyn Display, least: &dyn Display, most: &dyn Display| {
        html! {
            label { span { (label) }
                input type="number" name=(name) value=(value) min=(least) max=(most) required inputmode="numeric";
            }
        }
    };
    let event = ready.map(|ready| &ready.event);
    match what {
        What::Bag => {
            let most = event.map_or(20, |event| event.seats[0].bag.balls().count());
            html! {
                (number("take", "Balls to take, beside the spare ball", &request.take, &1, &most))
                label { span { "Other surfaces to try: grits, polished, or none" } input name="surfaces" value=(request.surfaces) autocapitalize="none" required; }
                (number("worlds", "Worlds to weigh in (more: surer, slower)", &request.worlds, bag::WORLDS.start(), bag::WORLDS.end()))
            }
        }
        What::Block => html! {
            label { span { "Ball to start with" }
                select name="ball" {
                    option value="" { "the one that strikes most" }
                    @for ball in event.iter().flat_map(|event| event.seats[0].bag.balls()) {
                        option value=(ball.ball.id) selected[ball.ball.id == request.ball] { (ball.words()) }
                    }
                }
            }
            (number("look", "Look for the line anew after frames", &request.look, block::LOOK.start(), block::LOOK.end()))
            (number("runs", "Times to run it (more: surer, slower)", &request.runs, block::RUNS.start(), block::RUNS.end()))
        },
        What::Brief => html! {},
        What::Practice => html! {
            label { span { "Throws on the pair, both lanes together" }
                input type="number" name="shots" min=(practice::SHOTS.start()) max=(practice::SHOTS.end()) inputmode="numeric"
                    value=[request.shots] placeholder=[event.map(|event| format!("{}, as the event has it", 2 * event.practice_shots))];
            }
        },
    }
}

fn balls(weighing: &bag::Weighing, query: &str) -> Markup {
    let home = weighing.at_home();
    html! {
        (whose(&weighing.event, weighing.pair()))
        h2 { "Take" }
        (table(&weighing.set(), Narrow::Stacked))
        p { (weighing.worth()) @if let Some(spare) = weighing.spare() { " For spares: " b { (spare) } "." } }
        @if !home.is_empty() { p { "May stay at home: " (home.join(", ")) "." } }
        (caution(&surface_cautions(weighing.event.surface_changes), ""))
        div.beside {
            div {
                h2 { "When each is the right one" }
                (picture(What::Bag, query, "", "Scores of the balls taken from fresh to the end, and which is best when"))
            }
            div {
                h2 { "All balls and surfaces, best first" }
                (table(&weighing.ranking(), Narrow::Scrolled))
            }
        }
        p.quiet { (bag::NOTE) }
        p.quiet { "Weighed " (weighing.work()) }
    }
}

fn ahead(forecast: &block::Forecast, query: &str) -> Markup {
    html! {
        @for (k, one) in forecast.pairs.iter().enumerate() {
            (whose(&forecast.event, &one.pair))
            @for lane in 0..2 {
                h2 { "Lane " (one.pair.numbers[lane]) }
                (table(&one.rows(lane), Narrow::Scrolled))
                @for line in one.overtaking(lane).lines().map(str::to_owned).chain([one.pays(lane)]) { p { (line) } }
            }
            div.beside.even {
                div {
                    h2 { "Strikes and moves" }
                    (picture(What::Block, query, &format!("of={k}"), "Laydown, target and strikes of each lane over the block"))
                }
                div {
                    h2 { "The oil of lane " (one.pair.numbers[0]) }
                    (picture(What::Block, query, &format!("of={k}&oil=true"), "The oil fresh, at the end, and the difference between them"))
                }
            }
            p.quiet { "Runs: " (one.work()) }
        }
        p.quiet { (block::NOTE) }
        (caution(&surface_cautions(forecast.event.surface_changes), ""))
    }
}

fn throws(plan: &practice::Plan) -> Markup {
    html! {
        (whose(&plan.event, plan.pair()))
        (table(&plan.rows(), Narrow::Stacked))
        p.quiet { (practice::NOTE) }
    }
}
