//! The first minute: who are you, what is on the lane, which lanes?

use boardwise_files::start::{Manner, Pattern};
use boardwise_files::{Library, Shelf, parse_bowler, parse_lane};
use boardwise_session::read::Reading;
use boardwise_units::{Feet, Hand};
use maud::{Markup, html};

use super::super::assets::url;
use super::words::explained;
use super::{Room, page};

/// Pairs that one tap chooses; others are typed.
const PAIRS: u32 = 20;
/// Lanes of the kit that are offered.
const MOST_OWN: usize = 6;

/// The page.
pub fn first(library: &Library) -> Markup {
    let (bowlers, lanes) = (own_bowlers(library), own_lanes(library));
    let again = !bowlers.is_empty() || !lanes.is_empty();
    let inside = html! {
        link rel="stylesheet" href=(url("first.css"));
        h1 { @if again { "Three questions, then your lanes" } @else { "Your first card in a minute" } }
        p.quiet { "Three questions. Everything can be changed later." }
        form #first autocomplete="off" {
            section aria-labelledby="who" {
                h2 #who { "1. Who are you?" }
                @if !bowlers.is_empty() {
                    div.tiles role="radiogroup" aria-label="You as before" {
                        @for (id, name, hand) in &bowlers {
                            (tile("who", id, hand == &Hand::Left, &html! { (sketch(Manner::Steady, *hand)) }, name, "as before"))
                        }
                    }
                    p.quiet { "Or somebody new:" }
                }
                div.tiles.two role="radiogroup" aria-label="Hand" {
                    (tile("hand", "left", true, &hand(Hand::Left), "Left hand", ""))
                    (tile("hand", "right", false, &hand(Hand::Right), "Right hand", ""))
                }
                div.tiles role="radiogroup" aria-label="How you throw" {
                    @for manner in Manner::ALL {
                        @let [speed, revs, ..] = manner.numbers();
                        (tile("manner", manner.word(), false, &sketch(manner, Hand::Right), manner.title(), &format!("about {speed} mph, {revs} rpm")))
                    }
                }
            }
            section aria-labelledby="what" {
                h2 #what { "2. What is on the lane?" }
                div.tiles role="radiogroup" aria-label="Pattern" {
                    @for (id, lane) in &lanes {
                        (tile("kept", id, false, &oil(Some(lane)), &lane.name, "yours"))
                    }
                    @for pattern in Pattern::ALL {
                        (tile("lane", pattern.word(), false, &oil(usual(pattern).as_ref()), pattern.title(), pattern.says()))
                    }
                    (tile("lane", "sheet", false, &sheet_sign(), "My own sheet", "typed, opened or drawn"))
                }
                (sheet())
            }
            section aria-labelledby="where" {
                h2 #where { "3. Which lanes?" }
                div.pairs role="radiogroup" aria-label="Pair of lanes" {
                    @for k in 0..PAIRS {
                        @let (a, b) = (2 * k + 1, 2 * k + 2);
                        label.chip { input type="radio" name="pair" value={ (a) "-" (b) } aria-label={ "Lanes " (a) " and " (b) }; span { (a) "\u{2013}" (b) } }
                    }
                    label.chip { input type="radio" name="pair" value="other"; span { "Others" } }
                }
                div.others hidden {
                    label { span { "First lane" } input #left-lane type="number" min="1" max="999" inputmode="numeric"; }
                    label { span { "Second lane" } input #right-lane type="number" min="1" max="999" inputmode="numeric"; }
                }
            }
            div.go {
                p #sum role="status" aria-live="polite" { "Answer the three questions." }
                button #begin-first type="submit" .main disabled { "To the lanes" }
            }
            p #wrong role="alert" hidden {}
        }
        p.quiet {
            "Until you describe your own, the bag is a middling reactive ball and a spare ball. "
            a href="/lanes" { "Show me the demo instead" }
        }
    };
    page("Start", Room::Before, &["first.js"], &inside)
}

/// An answer with its picture.
fn tile(name: &str, value: &str, left: bool, picture: &Markup, title: &str, says: &str) -> Markup {
    html! {
        label.tile {
            input type="radio" name=(name) value=(value) data-left[left];
            span.face { (picture) span.title { (title) } @if !says.is_empty() { small { (says) } } }
        }
    }
}

/// Bowlers of the kit by id: their name and hand.
fn own_bowlers(library: &Library) -> Vec<(String, String, Hand)> {
    let own = library.all(Shelf::Bowler).into_iter().filter(|kept| !kept.demo);
    own.filter_map(|kept| {
        let (name, bytes) = library.fetch(Shelf::Bowler, &kept.id).ok()?;
        let bowler = parse_bowler(&name, &bytes).ok()?.value;
        Some((kept.id, bowler.name, bowler.hand))
    })
    .take(MOST_OWN)
    .collect()
}

/// Lanes of the kit by id, but for the usual patterns.
fn own_lanes(library: &Library) -> Vec<(String, Reading)> {
    let own = library.all(Shelf::Lane).into_iter().filter(|kept| !kept.demo);
    own.filter_map(|kept| {
        let (name, bytes) = library.fetch(Shelf::Lane, &kept.id).ok()?;
        let lane = parse_lane(&name, &bytes).ok()?.value;
        let usual = Pattern::ALL.iter().any(|pattern| pattern.text().as_bytes() == bytes);
        (!usual).then(|| (kept.id, Reading::seen(&lane, Hand::Right)))
    })
    .take(MOST_OWN)
    .collect()
}

fn usual(pattern: Pattern) -> Option<Reading> {
    Some(Reading::seen(&parse_lane("pattern", pattern.text().as_bytes()).ok()?.value, Hand::Right))
}

/// Size of a small picture.
const ACROSS: f64 = 39.0;
const ALONG: f64 = 120.0;

/// A lane's oil from above, seen from the right-hander's side: darker where there is more, the pins at the top.
fn oil(lane: Option<&Reading>) -> Markup {
    const COLUMNS: usize = 13;
    const ROWS: usize = 20;
    // As much film as a heavy pattern has in its middle is drawn full.
    const FULL_UNITS: f64 = 70.0;
    let cell = |column: usize, row: usize| {
        // The middle one of three boards.
        let (board, feet) = (1 + 3 * column, 1.5 + 3.0 * row as f64);
        let film = lane.and_then(Reading::film);
        let units = film.map_or(0.0, |film| film.boards_at(Feet(feet))[board].0);
        (units / FULL_UNITS).clamp(0.0, 1.0)
    };
    html! {
        svg viewBox={ "0 0 " (ACROSS) " " (ALONG) } aria-hidden="true" {
            rect.lane width=(ACROSS) height=(ALONG) {}
            @for row in 0..ROWS {
                @for column in 0..COLUMNS {
                    @let share = cell(column, row);
                    @if share > 0.01 {
                        // Board 1 is at the right.
                        rect.oil x=(ACROSS - 3.0 * (column + 1) as f64) y=(ALONG - 6.0 * (row + 1) as f64) width="3" height="6" opacity=(format!("{share:.2}")) {}
                    }
                }
            }
        }
    }
}

/// How a ball of each sketch runs.
fn sketch(manner: Manner, hand: Hand) -> Markup {
    let run = match manner {
        Manner::Straight => "M 16 118 C 13 80, 11 45, 17 6",
        Manner::Steady => "M 20 118 C 13 85, 3 48, 17 6",
        Manner::Strong => "M 25 118 C 12 90, -8 42, 17 6",
    };
    // The curves are a left-hander's as they stand.
    let turned = (hand == Hand::Right).then(|| format!("translate({ACROSS} 0) scale(-1 1)"));
    html! {
        svg viewBox={ "0 0 " (ACROSS) " " (ALONG) } aria-hidden="true" {
            rect.lane width=(ACROSS) height=(ALONG) {}
            g transform=[turned] {
                path.run d=(run) {}
                circle.ball cx="17" cy="6" r="4" {}
            }
        }
    }
}

/// A foul line with a ball at one side.
fn hand(hand: Hand) -> Markup {
    let (ball, foot) = if hand == Hand::Right { (56.0, 40.0) } else { (24.0, 40.0) };
    html! {
        svg.low viewBox="0 0 80 46" aria-hidden="true" {
            rect.lane x="4" width="72" height="30" {}
            line.foul x1="0" y1="31" x2="80" y2="31" {}
            rect.foot x=(foot - 4.0) y="33" width="8" height="13" rx="4" {}
            circle.ball cx=(ball) cy="24" r="7" {}
        }
    }
}

/// A sheet of paper with rows.
fn sheet_sign() -> Markup {
    html! {
        svg viewBox={ "0 0 " (ACROSS) " " (ALONG) } aria-hidden="true" {
            rect.paper x="1" y="20" width="37" height="80" rx="2" {}
            @for k in 0..8 { line.row x1="6" x2=(if k % 2 == 0 { 33 } else { 26 }) y1=(30 + 9 * k) y2=(30 + 9 * k) {} }
        }
    }
}

/// A sheet of one's own: typed row by row, opened, or drawn.
fn sheet() -> Markup {
    html! {
        div #sheet hidden {
            p.quiet {
                "Row by row, as it is printed: " (explained("loads")) ", microlitres a board, and distances in either order. "
                "Boards with their side: 2L is the second from the left."
            }
            label.named { span { "Name of the sheet" } input #sheet-name maxlength="40" value="My sheet"; }
            div #rows {}
            template #row {
                fieldset.sheet-row {
                    legend {}
                    label { span { "From" } input name="from" value="2L" size="4" autocapitalize="characters"; }
                    label { span { "To" } input name="to" value="2R" size="4" autocapitalize="characters"; }
                    label { span { "Loads" } input name="loads" value="2" inputmode="numeric" size="3"; }
                    label { span { "\u{b5}L a board" } input name="microlitres_per_board" value="50" inputmode="decimal" size="4"; }
                    label { span { "Start ft" } input name="start" value="0" inputmode="decimal" size="4"; }
                    label { span { "End ft" } input name="end" value="20" inputmode="decimal" size="4"; }
                    label { span { "Way" } select name="direction" { option value="out" { "out" } option value="back" { "back" } } }
                    button.remove type="button" { "Remove" }
                }
            }
            div.row {
                button #add-row type="button" { "Add a row" }
                label.button { "Open a file" input #open-sheet type="file" accept=".toml,text/plain"; }
                a.button href="/before/kit/lane" { "Draw it" }
            }
            p #opened hidden {}
            label.named { span { "Oil of all rows, if the sheet says it (\u{b5}L)" } input #total inputmode="decimal"; }
            p #sheet-wrong role="status" {}
            ul #doubts {}
            p #laid role="status" {}
            div #sheet-picture {}
        }
    }
}
