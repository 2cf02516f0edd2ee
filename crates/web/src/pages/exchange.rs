//! Where a phone that runs the app alone and this machine exchange what they have.

use maud::{Markup, html};

use super::frame::{Room, page};

/// The page. A phone opens it in a window of its own; or a file is chosen here.
pub async fn exchange() -> Markup {
    let inside = html! {
        h1 { "Exchange records" }
        p { "What was logged there and what was logged here becomes one record, on both. Nothing is lost, and nothing is there twice." }
        div #asked hidden {
            p { "The app at " strong #from {} " asks for it. Go on only if you asked for this there: it gets the whole record." }
            p { button #go type="button" .main { "Exchange" } }
        }
        div #by-file {
            p { "Choose the file that the phone saved. Then give the file that comes of it back to the phone, where " em { "Add a record's entries" } " takes it." }
            p.row { label.button { "Choose a file" input #file .unseen type="file"; } }
            p #made hidden { a #back .button { "Save the file for the phone" } }
        }
        p #said role="status" {}
        p.quiet { "A backup of the record here is made before anything is added." }
    };
    page("Exchange records", Room::Devices, &["exchange.js"], &inside)
}
