//! What all pages have around them.

use maud::{DOCTYPE, Markup, html};

use super::words::slips;
use crate::assets::url;

/// The parts of the app.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Room {
    /// The phone at the lanes.
    Lanes,
    /// The desk where a throw is tried.
    Lab,
    /// Before the block.
    Before,
    /// The story of a block.
    After,
    /// The devices that are let in.
    Devices,
    /// What the words mean.
    Words,
    /// What the pages look like.
    Look,
    /// None of them.
    None,
}

/// The rooms that a page leads to, in words short enough to stand side by side on a phone.
const ROOMS: [(Room, &str, &str); 5] = [
    (Room::Lanes, "/lanes", "Lanes"),
    (Room::Before, "/before", "Before"),
    (Room::Lab, "/lab", "Lab"),
    (Room::After, "/after", "After"),
    (Room::Devices, "/devices", "Devices"),
];

/// A page of ours for a device that only looks on: with the words that say so, and a mark on its body for the style.
#[cfg(feature = "server")]
pub fn looked_on(page: &str) -> String {
    const MAIN: &str = "<main id=\"main\" tabindex=\"-1\">";
    let note = html! { p.notice role="note" { "You look on: this page follows the bowler, and logs nothing." } };
    page.replacen("<body", "<body data-looks-on", 1).replacen(MAIN, &format!("{MAIN}{}", note.into_string()), 1)
}

/// A page with its scripts.
pub fn page(title: &str, room: Room, scripts: &[&str], inside: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                title { (title) " - boardwise" }
                meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover";
                meta name="color-scheme" content="light dark";
                link rel="icon" href=(url("icon.svg")) type="image/svg+xml";
                link rel="stylesheet" href=(url("font.css"));
                link rel="stylesheet" href=(url("style.css"));
                @if room == Room::Lanes {
                    link rel="stylesheet" href=(url("lanes.css"));
                }
                @if room == Room::Look {
                    link rel="stylesheet" href=(url("look.css"));
                }
                @if room == Room::Before {
                    link rel="stylesheet" href=(url("before.css"));
                }
                @for script in scripts {
                    script type="module" src=(url(script)) {}
                }
                @if room != Room::None {
                    script type="module" src=(url("words.js")) {}
                    script type="module" src=(url("tour.js")) {}
                }
            }
            body class=[(room == Room::Lanes).then_some("at-lanes")] {
                a.skip href="#main" { "To the page" }
                header {
                    nav aria-label="Parts of the app" {
                        @for (one, path, words) in ROOMS {
                            a href=(path) aria-current=[(one == room).then_some("page")] { (words) }
                        }
                    }
                }
                main #main tabindex="-1" { (inside) }
                @if room != Room::None {
                    footer {
                        a href="/words" { "Words" }
                        button type="button" data-tour="1" { "Show me round" }
                    }
                    (slips())
                }
            }
        }
    }
}
