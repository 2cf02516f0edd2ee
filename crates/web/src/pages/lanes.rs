//! The screen at the lanes. Its places are all there from the start, so that nothing moves under the thumb.

use std::sync::Arc;

use axum::extract::State;
use boardwise_record::BlockId;
use maud::{Markup, html};
use serde::Deserialize;

use super::frame::{Room, page};
use super::words::{explained, named};
use crate::answer::Refusal;
use crate::query::Query;
use crate::state::App;
use boardwise_files::{OnShelf, Shelf};
use boardwise_session::at_lanes::after::Listed;
use boardwise_session::at_lanes::open::Open;

/// Rows of the rack, the back row first.
const ROWS: [&[u8]; 4] = [&[7, 8, 9, 10], &[4, 5, 6], &[2, 3], &[1]];
/// How a ball may have come to the pins.
const HITS: [(&str, &str); 5] =
    [("pocket", "Pocket"), ("high", "High"), ("light", "Light"), ("nose", "Nose"), ("other-side", "Other side")];
/// How a throw may have felt.
const FEELINGS: [(&str, &str); 6] =
    [("good", "Good"), ("fast", "Fast"), ("slow", "Slow"), ("in", "In"), ("out", "Out"), ("hand-late", "Hand late")];

/// Open blocks that are listed before the rest is folded away.
const LISTED: usize = 4;

/// The page.
pub async fn lanes(State(app): State<Arc<App>>) -> Markup {
    let known = app.queues.page.work(&app, |app| {
        let events: Vec<(OnShelf, Vec<[u32; 2]>)> =
            app.library.all(Shelf::Event).into_iter().map(|kept| (kept.clone(), pairs(app, &kept.id))).collect();
        Ok((events, open_blocks(app, 0)))
    });
    // A shelf that cannot be read shows nothing on it.
    let (events, (present, blocks, earlier)) = known.await.unwrap_or_default();
    let open = present.is_some();
    let inside = html! {
        h1.unseen { "At the lanes" }
        section #begin tabindex="-1" aria-label="Blocks" hidden[open] {
            div #blocks { (list(present.as_ref(), &blocks, (0, earlier))) }
            h2 { "Begin a block" }
            div #offer {
                p #offered { "New here? Five steps on the demo kit." }
                div.row {
                    button type="button" data-tour="on" hidden { "Go on" }
                    button type="button" data-tour="1" { "Show me round" }
                }
            }
            (begin_form(&events))
            button #stay type="button" hidden { "Stay with this block" }
        }
        section #bowl aria-label="The block" hidden[!open] {
            div #strip aria-label="Score" {
                p #which { span #name role="status" { span {} span {} } button #other type="button" aria-expanded="false" aria-controls="begin" { "Blocks" } }
                ol #frames {
                    @for frame in 1..=10 {
                        li data-frame=(frame) { button type="button" aria-label={ "Frame " (frame) } { b { (frame) } span.signs {} span.total {} } }
                    }
                }
                p #standing { span #score {} span #need data-words="all" {} button #unsent type="button" hidden {} }
            }
            div #card aria-live="polite" {
                div #top { div.verdict { p #say {} p #detail {} } button #take .main type="button" hidden { "Take it" } }
                p #reason data-words {}
                p #worth data-words {}
                p #mind role="note" {}
                div #choices role="group" aria-label="Other choices: tap the one you take" {}
                button #other-throw type="button" aria-haspopup="dialog" { span #now {} b { "I did something else" } }
            }
            figure #lane aria-live="off" {}
            (deck())
            div #actions {
                div #refused .notice role="alert" hidden {}
                p #full .notice role="alert" hidden { "The store of this browser is full. What you log is kept while this page stays open, and sent at once." }
                button #undo type="button" { "Undo" small #undoes {} }
                button #more type="button" aria-expanded="false" aria-controls="details" { "More" }
                button #down type="button" aria-pressed="false" { "All down" }
                button #done type="button" .main disabled { "Done" }
            }
            (details())
            form #moved .stack hidden {
                label for="there" { "No answer from this address. If the machine with boardwise has another one, type it as its page Devices shows it:" }
                input #there name="there" inputmode="url" autocomplete="off" autocapitalize="none" required;
                button type="submit" { "Go on there, with what is not sent" }
                p #unmoved role="status" {}
            }
            details #plan hidden {
                summary { "Practice throws" }
                p #plan-said role="status" {}
                ol #plan-throws {}
            }
            p.quiet .caution {
                "The picture is drawn wider than the lane is. The " (explained("ribbon")) " is the line for the next ball. Long dashes and arrows: from your line to that one. Dots: your last shots. "
                (explained("Hatched")) ": not crossed in this block. On the card: " (explained("in")) " and " (explained("out")) ", "
                (explained("numbers at a choice")) ". An estimate, no promise; the event's rules and officials decide. Never step past the " (explained("foul line")) "."
            }
        }
        p #said role="status" {}
        (own_throw())
        (frame_sheet())
        div #carried role="alert" hidden {}
        p #trouble role="status" {}
    };
    page("At the lanes", Room::Lanes, &["lanes.js"], &inside)
}

/// What begins a block: the event, its lanes, and what counts.
fn begin_form(events: &[(OnShelf, Vec<[u32; 2]>)]) -> Markup {
    html! {
        form #start .stack {
            label for="event" { "Event" }
            select #event name="event" {
                @for (event, _) in events {
                    option value=(event.id) { (event.id) @if event.demo { " (demo)" } }
                }
            }
            label for="pair" { "Lanes you start on" }
            select #pair name="pair" {
                @for (k, (event, pairs)) in events.iter().enumerate() {
                    @for (n, [first, second]) in pairs.iter().enumerate() {
                        option value=(n + 1) data-event=(event.id) hidden[k > 0] { (first) " and " (second) }
                    }
                }
            }
            label for="counting" { "Counts as" }
            select #counting name="counting" {
                option value="traditional" { "Game, traditional scoring" }
                option value="current-frame" { "Game, current-frame scoring" }
                option value="nothing" { "Practice, nothing is counted" }
            }
            button type="submit" .main { "Begin" }
            p #begun role="status" {}
        }
    }
}

/// The ten pins, to tap.
fn deck() -> Markup {
    html! {
        div #deck role="group" aria-label="Pins: tap those that still stand" {
            @for row in ROWS {
                div {
                    @for pin in row {
                        button type="button" data-pin=(pin) aria-pressed="false" aria-label={ "Pin " (pin) " stands" } { (pin) }
                    }
                }
            }
        }
    }
}

/// The lanes of each pair of an event; those of one that cannot be read are told when it is begun.
fn pairs(app: &App, event: &str) -> Vec<[u32; 2]> {
    let read = app.library.event(event).and_then(|files| files.parse());
    read.map_or_else(|_| Vec::new(), |read| read.value.pairs.iter().map(|pair| pair.numbers).collect())
}

/// The present block, the open ones among those of a page, and whether there are earlier ones.
fn open_blocks(app: &App, skip: usize) -> (Option<BlockId>, Vec<Open>, bool) {
    let present = app.change(|state| Ok(state.desk.begun.block.clone())).ok().map(|(block, _)| block);
    // A record that cannot be read is told of where something is to be logged.
    let (open, earlier) = Open::page(&app.record, skip, Listed::PAGE).unwrap_or_default();
    (present, open, earlier)
}

/// Which part of the list of blocks.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Page {
    skip: usize,
}

/// The open blocks, as a part of the page.
pub async fn blocks(State(app): State<Arc<App>>, Query(Page { skip }): Query<Page>) -> Result<Markup, Refusal> {
    let (present, blocks, earlier) = app.queues.page.work(&app, move |app| Ok(open_blocks(app, skip))).await?;
    Ok(list(present.as_ref(), &blocks, (skip, earlier)))
}

fn list(present: Option<&BlockId>, blocks: &[Open], (skip, earlier): (usize, bool)) -> Markup {
    let row = |one: &Open| {
        let Listed { block, bowler, day, .. } = &one.listed;
        html! {
            li {
                span { strong { (block) } span.quiet { @if let Some(day) = day { (day) ", " } (bowler) ": " (one.stands) } }
                @if present == Some(block) {
                    span.here { "Logging here" }
                } @else {
                    button type="button" data-back=(block) aria-label={ "Go on with " (block) } { "Go on" }
                }
            }
        }
    };
    html! {
        @if skip > 0 || blocks.iter().any(|one| present != Some(&one.listed.block)) {
            h2 { @if skip > 0 { "Earlier open blocks" } @else { "Open blocks" } }
            @if blocks.is_empty() { p { "None of these is open." } }
            ul.open { @for one in blocks.iter().take(LISTED) { (row(one)) } }
            @if blocks.len() > LISTED {
                details { summary { (blocks.len() - LISTED) " earlier" } ul.open { @for one in blocks.iter().skip(LISTED) { (row(one)) } } }
            }
        }
        @if skip > 0 || earlier {
            p.row {
                @if skip > 0 { button type="button" data-skip=(skip.saturating_sub(Listed::PAGE)) { "Look at later ones" } }
                @if earlier { button type="button" data-skip=(skip + Listed::PAGE) { "Look farther back" } }
            }
        }
    }
}

/// What may be said of a ball beyond what stands.
fn details() -> Markup {
    html! {
        form #details hidden {
            fieldset { legend { (explained("How it hit")) }
                @for (word, words) in HITS { label.chip { input type="radio" name="hit" value=(word); span { (words) } } }
            }
            fieldset { legend { "How it felt" }
                @for (word, words) in FEELINGS { label.chip { input type="radio" name="felt" value=(word); span { (words) } } }
            }
            div.pair {
                (named("Board at the arrows", Some("arrows-name")))
                input #arrows name="arrows" aria-labelledby="arrows-name" type="number" step="0.5" min="0.5" max="39.5" inputmode="decimal";
                (named("Board at the breakpoint", Some("breakpoint-name")))
                input #breakpoint name="breakpoint" aria-labelledby="breakpoint-name" type="number" step="0.5" min="0.5" max="39.5" inputmode="decimal";
                label for="ball" { "Ball" }
                select #ball name="ball" {}
                label for="note" { "Note" }
                input #note name="note" maxlength="200" autocomplete="off";
            }
            div.row {
                button #foul type="button" aria-pressed="false" { "Foul" }
                button #none type="button" { "Nothing fell" }
                button #clear type="button" { "Clear" }
            }
        }
    }
}

/// Grits of the pads that most bowlers have (common practice, no source).
const GRITS: [u32; 6] = [360, 500, 1000, 2000, 3000, 4000];

/// What the bowler throws instead of what the card says.
fn own_throw() -> Markup {
    let step = |of: &str, by: &str, words: &str| {
        html! { button type="button" data-of=(of) data-step=(by) aria-label=(words) { @if by.starts_with('-') { "−" } @else { "+" } } }
    };
    let dial = |of: &str, words: &str, name: Markup, by: &str, (least, most): (&str, &str)| {
        html! {
            div.dial {
                label for=(of) { (name) }
                (step(of, &format!("-{by}"), &format!("{words}, less")))
                input id=(of) name=(of) type="number" step="any" min=(least) max=(most) inputmode="decimal" required;
                (step(of, by, &format!("{words}, more")))
            }
        }
    };
    html! {
        dialog #else .sheet aria-labelledby="else-title" {
            form #own {
                h2 #else-title { "What do you throw?" }
                p.quiet { "From the next ball on, on this lane. The card then goes by it." }
                fieldset { legend { "Ball" } div #own-balls .row {} p #own-is .quiet {} }
                (dial("slide", "Slide", html! { "Slide on board" }, "1", ("-10", "50")))
                (dial("look", "Look", html! { "Look at board" }, "1", ("0.5", "39.5")))
                details.fold {
                    summary { "Surface, speed, hand" }
                    label.pair { span { "Surface" }
                        select #own-surface name="own-surface" {
                            option value="" { "As it is" }
                            @for grit in GRITS { option value=(grit) { "Sanded to " (grit) } }
                            option value="polished" { "Polished" }
                        }
                    }
                    (dial("own-speed", "Speed", html! { "Speed, mph" }, "0.5", ("0", "40")))
                    (dial("own-rotation", "Rotation", html! { "Rotation, degrees" }, "4", ("0", "90")))
                }
                p #mind-surface .caution-note role="note" hidden { (boardwise_belief::OF_SURFACES) }
                p #mind-hand .caution-note role="note" hidden { (boardwise_belief::OF_WAYS) }
                div.row { button.main type="submit" { "I throw this" } button #else-shut type="button" { "Cancel" } }
            }
        }
    }
}

/// A frame with its balls, to put them right.
fn frame_sheet() -> Markup {
    let choice = |id: &str, words: &str, all: &[(&str, &str)]| {
        html! { label for=(id) { (words) } select id=(id) { option value="" { "not said" } @for (word, words) in all { option value=(word) { (words) } } } }
    };
    html! {
        dialog #frame .sheet aria-labelledby="frame-title" {
            div.row.spread {
                button #frame-before type="button" aria-label="Frame before" { "‹" }
                h2 #frame-title tabindex="-1" { "Frame" }
                button #frame-after type="button" aria-label="Frame after" { "›" }
            }
            p #frame-says role="status" {}
            div #frame-balls .row {}
            form #right hidden {
                p #frame-meant .quiet {}
                div #frame-deck .small-deck role="group" aria-label="Pins that stood after this ball" {}
                div.pair {
                    label for="frame-ball" { "Ball" } select #frame-ball {}
                    (choice("frame-hit", "How it hit", &HITS))
                    (choice("frame-felt", "How it felt", &FEELINGS))
                    label for="frame-arrows" { "Board at the arrows" }
                    input #frame-arrows type="number" step="0.5" min="0.5" max="39.5" inputmode="decimal";
                    label for="frame-breakpoint" { "Board at the breakpoint" }
                    input #frame-breakpoint type="number" step="0.5" min="0.5" max="39.5" inputmode="decimal";
                }
                div.row { button.main type="submit" { "Put it right" } button #frame-foul type="button" aria-pressed="false" { "Foul" } }
            }
            button #frame-shut type="button" { "Close" }
        }
    }
}
