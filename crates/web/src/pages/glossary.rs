//! All words on one page.

use maud::{Markup, html};

use super::frame::{Room, page};
use super::words::WORDS;

/// All words on one page.
pub async fn glossary() -> Markup {
    let inside = html! {
        h1 { "Words" }
        p.quiet { "Where one of these is underlined with dots, tap it: what it means stands beside it." }
        @for (part, words) in WORDS {
            h2 { (part) }
            dl.words { @for word in *words { dt { (word.name) } dd { (word.meaning) } } }
        }
    };
    page("Words", Room::Words, &[], &inside)
}
