//! What a phone that runs the app alone says of itself: its record to take out and bring in, and its version.

use maud::{Markup, html};

use super::frame::{Room, page};

/// The page. What its buttons do is done by the page around it, which keeps the record.
pub async fn phone() -> Markup {
    let inside = html! {
        h1 { "This phone" }
        p { "The app runs on this phone alone. Nothing that you log leaves it unless you take it out here." }
        h2 { "The record" }
        p { "The file is the same that boardwise uses on a computer. Save it there from time to time: a lost phone takes its record along." }
        p.row {
            button type="button" data-phone="take-out" .main { "Save the record as a file" }
            label.button { "Bring a record in" input.unseen type="file" data-phone="bring-in"; }
        }
        p.quiet { "A record that you bring in takes the place of the one here. Save that one first." }
        h2 { "The version" }
        p { "This is version " strong data-phone="version" { (env!("CARGO_PKG_VERSION")) } ". It stays as it is until you ask for another." }
        p { button type="button" data-phone="update" { "Look for a newer version" } }
        p #said role="status" {}
    };
    page("This phone", Room::Devices, &["phone.js"], &inside)
}

/// What stands in the place of the handout: what writes PDF would double what a phone has to fetch.
pub async fn no_handout() -> Markup {
    let inside = html! {
        h1 { "The handout" }
        p { "A computer makes it. Save the record on the page " a href="/devices" { "Devices" } ", take the file to a computer, and make the handout there." }
        p { a href="/after" { "Back to the block" } }
    };
    page("The handout", Room::After, &[], &inside)
}
