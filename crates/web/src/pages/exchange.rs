//! Where a phone that runs the app alone and this machine exchange what they have.

use std::sync::Arc;

use axum::Extension;
use axum::extract::State;
use maud::{Markup, html};

use super::devices::{picture_code, with_code};
use super::frame::{Room, page};
use crate::addresses::{self, Address};
use crate::devices::May;
use crate::guard::{Asker, EXCHANGE};
use crate::state::App;

/// The page. A phone opens it in a window of its own; or a file is chosen here.
pub async fn exchange(State(app): State<Arc<App>>, Extension(asker): Extension<Option<Asker>>) -> Markup {
    // The code that lets devices in is for whoever sits here.
    let addresses = if app.network && asker == Some(Asker::Here) { addresses::look(app.port) } else { Vec::new() };
    page_of(&addresses, &|| app.devices.code(May::Log))
}

/// The code is asked for only where it is shown.
fn page_of(addresses: &[Address], code: &dyn Fn() -> String) -> Markup {
    let inside = html! {
        h1 { "Exchange records" }
        p { "What was logged there and what was logged here becomes one record, on both. Nothing is lost, and nothing is there twice." }
        div #asked hidden {
            p { "The app at " strong #from {} " asks for it. Go on only if you asked for this there: it gets the whole record." }
            p { button #go type="button" .main { "Exchange" } }
        }
        div #by-file {
            @for Address { url, network } in addresses {
                @let url = format!("{url}{EXCHANGE}");
                p { "On a phone in " (network) ": " em { "Devices" } ", then " em { "Read the picture" } ", and point its camera here. Or type " code { (url) } " there." }
                (picture_code(&with_code(&url, &code()), &format!("The address in {network} and the code as a picture")))
            }
            @if !addresses.is_empty() { h2 { "By file" } }
            p { "Choose the file that the phone saved. Then give the file that comes of it back to the phone, where " em { "Add a record's entries" } " takes it." }
            p.row { label.button { "Choose a file" input #file .unseen type="file"; } }
            p #made hidden { a #back .button { "Save the file for the phone" } }
        }
        p #said role="status" {}
        p.quiet { "A backup of the record here is made before anything is added." }
    };
    page("Exchange records", Room::Devices, &["exchange.js"], &inside)
}

#[cfg(test)]
mod tests {
    use super::*;

    const CODE: &str = "01234 56789";

    fn home() -> Address {
        Address { url: "http://192.168.1.5:8080".to_owned(), network: "home".to_owned() }
    }

    #[test]
    fn law_the_picture_leads_to_this_page_with_the_code() {
        let page = page_of(&[home()], &|| CODE.to_owned()).into_string();
        let picture = picture_code("http://192.168.1.5:8080/exchange#0123456789", "").into_string();
        let drawn = &picture[picture.find("<svg").unwrap()..];
        assert!(page.contains(drawn), "{page}");
    }

    #[test]
    fn law_a_page_without_an_address_asks_for_no_code() {
        let page = page_of(&[], &|| panic!("the code was asked for")).into_string();
        assert!(!page.contains("class=\"qr\""), "{page}");
    }

    #[tokio::test]
    async fn law_the_code_is_shown_to_nobody_but_this_machine() {
        let (_folder, mut app) = crate::state::tests::evening();
        app.network = true;
        let app = Arc::new(app);
        let shown = async |asker| exchange(State(Arc::clone(&app)), Extension(asker)).await.into_string();
        let found = !addresses::look(app.port).is_empty();
        assert_eq!(shown(Some(Asker::Here)).await.contains("figure class=\"qr\""), found);
        for asker in [Some(Asker::Device(1, May::Log)), Some(Asker::Device(2, May::LookOn)), None] {
            assert!(!shown(asker).await.contains("class=\"qr\""), "{asker:?} saw the code");
        }
    }
}
