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
        p.row { button type="button" data-phone="take-out" .main { "Save the record as a file" } }
        h2 { "Two devices" }
        p { "Where two devices log, let them exchange what they have. Then both hold the same." }
        form #exchange .stack {
            label for="computer" { "Address of a computer that serves boardwise" }
            input #computer name="computer" inputmode="url" autocomplete="off" placeholder="http://192.168.1.5:8080" required;
            div.row {
                button type="submit" .main { "Exchange with it" }
                button #read type="button" hidden { "Read the picture" }
            }
            video #camera hidden muted playsinline aria-label="What the camera sees" {}
        }
        p { "Without a network, add the file of one to the other. Then give the file that this makes back." }
        p.row { label.button { "Add a record's entries" input.unseen type="file" data-phone="join-in"; } }
        h2 { "A new phone" }
        p { "It starts from the file of the old one. What it brings in takes the place of the record here, so save that one first." }
        p.row { label.button { "Replace the record" input.unseen type="file" data-phone="bring-in"; } }
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
        p { "On this phone the page " a href="/after" { "After" } " is the handout. Its button " em { "Print" } " puts all of it on paper, or into a PDF that you can send." }
    };
    page("The handout", Room::After, &[], &inside)
}
