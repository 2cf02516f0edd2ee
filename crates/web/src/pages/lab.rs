//! The throw lab: a lane to drag a line on, what comes of it, and the search for lines. Scripts fill in what a link says.

use std::sync::Arc;

use axum::extract::State;
use maud::{Markup, html};

use super::frame::{Room, page};
use super::words::{explained, named};
use crate::assets::url;
use crate::state::App;
use boardwise_files::{OnShelf, Shelf};
use boardwise_session::Failure;

/// What is on the shelves.
#[derive(Default)]
struct Shelves {
    lanes: Vec<OnShelf>,
    bowlers: Vec<OnShelf>,
    /// Bags with their balls: id, and what to call it.
    bags: Vec<(String, Vec<(String, String)>)>,
}

impl Shelves {
    fn look(app: &App) -> Self {
        let shelf = |shelf| app.library.all(shelf);
        let balls = |bag: &OnShelf| {
            // A bag that cannot be read has no ball to throw; the page of files says why.
            let read = app.library.bag(&bag.id).ok()?;
            Some((bag.id.clone(), read.balls().map(|ball| (ball.ball.id.clone(), ball.words())).collect()))
        };
        let bags = shelf(Shelf::Bag).iter().filter_map(balls).collect();
        Self { lanes: shelf(Shelf::Lane), bowlers: shelf(Shelf::Bowler), bags }
    }
}

/// A number that is slid or typed: its name, words, unit, ends of the slider, ends of what can be thrown, step.
type Dial = (&'static str, &'static str, &'static str, [f64; 2], [f64; 2], f64);

const DIALS: [Dial; 6] = [
    ("laydown", "Laydown", "board", [1.0, 39.0], [0.5, 39.5], 0.1),
    ("target", "Target", "board", [1.0, 39.0], [0.5, 39.5], 0.1),
    ("speed", "Speed", "mph", [11.0, 24.0], [5.0, 40.0], 0.1),
    ("revs", "Rev rate", "rpm", [50.0, 600.0], [0.0, 900.0], 5.0),
    ("rotation", "Rotation", "°", [0.0, 90.0], [-30.0, 120.0], 1.0),
    ("tilt", "Tilt", "°", [0.0, 45.0], [-30.0, 90.0], 1.0),
];

fn options(all: &[OnShelf]) -> Markup {
    html! {
        @for (demo, words) in [(true, "Demo kit"), (false, "Your own")] {
            @let mut of_it = all.iter().filter(|one| one.demo == demo).peekable();
            @if of_it.peek().is_some() {
                optgroup label=(words) { @for one in of_it { option value=(one.id) { (one.id) } } }
            }
        }
    }
}

/// A slider with its number. Numbers typed may go further than the slider does.
fn dial((key, words, unit, slide, can, step): Dial) -> Markup {
    html! {
        div.dial {
            (named(words, Some(&format!("name-{key}"))))
            input id={ "slide-" (key) } aria-labelledby={ "name-" (key) } data-slide=(key) type="range" min=(slide[0]) max=(slide[1]) step=(step);
            span.number {
                input id={ "number-" (key) } data-number=(key) type="number" min=(can[0]) max=(can[1]) step="any"
                    inputmode="decimal" aria-label={ (words) ", " (if unit == "°" { "degrees" } else { unit }) };
                span.unit { (unit) }
            }
        }
    }
}

/// A ball of the lab, to be copied for each.
fn ball(shelves: &Shelves) -> Markup {
    html! {
        template #ball {
            li.ball {
                svg.stroke viewBox="0 0 34 10" aria-hidden="true" { line x1="2" y1="5" x2="32" y2="5" {} }
                b.letter {}
                select.which {
                    @for (bag, balls) in &shelves.bags {
                        optgroup label=(bag) {
                            @for (id, words) in balls { option value={ (bag) "/" (id) } { (words) } }
                        }
                    }
                }
                button.away type="button" { "Remove" }
                label.surface { span { "Surface" } input type="range" min="0" step="1"; output {} }
            }
        }
    }
}

/// The page.
pub async fn lab(State(app): State<Arc<App>>) -> Markup {
    // Without shelves there is nothing to choose from, and the page says so when it asks.
    let shelves = app.queues.page.work(&app, |app| Ok::<_, Failure>(Shelves::look(app))).await.unwrap_or_default();
    let inside = html! {
        link rel="stylesheet" href=(url("lab.css"));
        h1.unseen { "Throw lab" }
        form #where aria-label="Where and who" {
            label { "Lane" select #lane-0 { (options(&shelves.lanes)) } }
            label { "Second lane" select #lane-1 { option value="" { "none" } (options(&shelves.lanes)) } }
            label { "Bowler" select #bowler { (options(&shelves.bowlers)) } }
            label { "Second bowler" select #beside { option value="" { "none" } (options(&shelves.bowlers)) } }
        }
        p #trouble role="status" {}
        div #desk {
            section #stage aria-label="The lane and what comes of the throw" {
                div #lanes {}
                div #readout {}
            }
            section #hands aria-label="The throw" {
                div {
                div #dials { @for one in DIALS { (dial(one)) } }
                p.quiet { "The target is the board pointed at, at the arrows, 15 ft down. Rotation and tilt are the axis's." }
                p.quiet #launch data-words {}
                }
                div {
                h2 { "Balls" }
                ol #balls {}
                div.row { button #add type="button" { "Add a ball" } }
                (ball(&shelves))
                p.quiet { "A " (explained("surface")) " by its " (explained("grit")) " is a loose guide. Where you work on one: eye protection and a dust mask, hands clear of a running spinner, the maker's sheet; the event's rules say when." }
                }
            }
        }
        section #finder aria-label="Lines" {
            h2 { "Lines for this lane" }
            form #find .row {
                label { span.unseen { "Ball" } select #find-ball {} }
                label #find-where { span.unseen { "Lane" } select #find-lane {} }
                button type="submit" .main { "Find lines" }
                button #halt type="button" hidden { "Stop" }
                progress #searching hidden aria-label="Searching" {}
                p #found role="status" {}
            }
            div #lines hidden {
                p.quiet { "Best first, with the bowler's own rev rate and tilt. Choose one here, or by its number on the lane. Room: by how much the shot as meant may be off at the arrows, toward the hand / away from it." }
                div.sideways tabindex="0" role="region" aria-label="Lines found" {} figure #map {}
            }
        }
        section #keep aria-label="Keep this throw" {
            h2 { "Keep this throw" }
            p { "To look at it on another machine, or to give it to somebody: save it, send the file, and open it there. Lane, bowler and bag go along." }
            div.row {
                a.button #parcel download="throw.boardwise" { "Save it to pass on" }
                label.button { "Open one that was passed on" input.unseen #open type="file"; }
            }
            p #opened role="status" {}
            p.quiet { "On this machine a link is enough:" }
            div.row {
                input #link readonly aria-label="Link to this throw";
                button #copy type="button" { "Copy the link" }
                a #file download="throws.txt" { "Save the numbers of every foot" }
            }
            p #copied role="status" {}
        }
        p.quiet { (explained("Strikes")) " are shares of 512 shots with this bowler's " (explained("spread")) "; ± is their standard error. Estimates, no promises." }
        p #said .unseen role="status" {}
    };
    page("Throw lab", Room::Lab, &["lab.js"], &inside)
}
