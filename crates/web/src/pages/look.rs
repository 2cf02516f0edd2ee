//! What the pages look like: every component once, as `docs/look.md` describes it. No page of a bowler leads here.

use maud::{Markup, html};

use super::frame::{Room, page};

/// The five sizes of type: a class, and what it is for.
const SIZES: [(&str, &str); 5] = [
    ("size-5", "What to do"),
    ("size-4", "Head of a page"),
    ("size-3", "Head inside a page, a number"),
    ("size-2", "Text, and what is tapped"),
    ("size-1", "Quiet detail, legends, small print"),
];

/// The colours by the name that the style has for them, with what they are for.
const COLOURS: [(&str, &str); 8] = [
    ("ground", "Ground"),
    ("raised", "What can be tapped"),
    ("ink", "Text"),
    ("quiet", "Quiet text"),
    ("line", "Edge of what can be tapped"),
    ("hair", "Rule between rows"),
    ("accent", "The one accent"),
    ("on-accent", "Text on the accent"),
];

/// The page.
pub async fn look() -> Markup {
    let inside = html! {
        h1 { "Look" }
        p.quiet { "Every component once. The device chooses light or dark; both stand below, whatever it chose." }
        div.looks {
            section.by-light aria-label="Light" { h2 { "Light" } (parts("light")) }
            section.by-dark aria-label="Dark" { h2 { "Dark" } (parts("dark")) }
        }
    };
    page("Look", Room::Look, &[], &inside)
}

/// Every component; `of` keeps the names of fields apart.
fn parts(of: &str) -> Markup {
    html! {
        h3 { "Type" }
        @for (class, words) in SIZES { p.(class) { (words) } }
        p.figures-row { span { "0123456789" } br; span { "1111171111" } }
        h3 { "Colours" }
        ul.swatches { @for (name, words) in COLOURS { li { span.swatch.(format!("swatch-{name}")) {} (words) } } }
        h3 { "Headline, verdict, detail, reason, doubt" }
        div.verdict {
            p.say { "Slide 33, look at 10" }
            p.detail { "2 and 1 in" }
            p { "Your last two came in high: the front is drying." }
            p.quiet { "About 3 pins a game better, 4 to 1 it helps." }
        }
        h3 { "Chips: a choice, whole" }
        div.row.two role="group" aria-label={ "Choices, " (of) } {
            button.choice type="button" { b { "Same again" } span { "slide 31, look at 9" } small { "strikes 38-52 in 100" } }
            button.choice type="button" aria-pressed="true" { b { "Strong solid" } span { "slide 29, look at 8" } small { "strikes 41-55 in 100" } }
        }
        div.row { label.chip { input type="radio" name=(format!("hit-{of}")) checked; span { "Pocket" } } label.chip { input type="radio" name=(format!("hit-{of}")); span { "High" } } }
        h3 { "Big button, plain button" }
        div.row { button.main type="button" { "Done" } button type="button" { "Undo" } button type="button" disabled { "Nothing to undo" } }
        h3 { "Sheet that folds away" }
        details.fold { summary { "I did something else" } p { "What stands here is used once it is set, and then folds away." } }
        h3 { "Notice" }
        div.notice role="note" { p { "A ball of frame 3 was not logged: boards go from 0.5 to 39.5." } div.row { button type="button" { "Log it without that" } button type="button" { "Let it go" } } }
        div.caution-note role="note" { "Build up slowly, stop at pain, ask a coach or a physician." }
    }
}
