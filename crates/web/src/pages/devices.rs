//! Letting devices in: the code on the machine that serves, and the page where a device types it.

use std::sync::Arc;

use axum::extract::State;
use maud::{Markup, PreEscaped, html};
use qrcode::QrCode;
use qrcode::render::svg::Color;

use super::frame::{Room, page};
use crate::addresses::{self, Address};
use crate::devices::May;
use crate::state::App;
use boardwise_session::keep::KEPT;

/// The page where a device types the code; also what a device sees at any other page before that.
pub async fn pair() -> Markup {
    let inside = html! {
        h1 { "Pair this device" }
        p { "Type the code that the machine with boardwise shows. What is sent between the two is not encrypted: use a network you trust." }
        form #pair .stack {
            label for="code" { "Code" }
            input #code name="code" inputmode="numeric" autocomplete="one-time-code" pattern="[0-9 ]{10,14}" required;
            label for="name" { "What to call this device" }
            input #name name="name" maxlength="40" autocomplete="off";
            button type="submit" .main { "Pair" }
            p #said role="status" {}
        }
    };
    page("Pair", Room::None, &["pair.js"], &inside)
}

/// The devices that are let in, and the code for the next. Only on the machine that serves.
pub async fn devices(State(app): State<Arc<App>>) -> Markup {
    let all = app.devices.all();
    let inside = html! {
        h1 { "Devices" }
        @if app.network {
            @let code = app.devices.code(May::Log);
            @let addresses = addresses::look(app.port);
            @if addresses.is_empty() {
                p role="alert" { strong { "This machine is in no network, so no other device finds it." } " Join a Wi-Fi network, or switch on the hotspot of this machine or of the phone. Then look again." }
            } @else {
                p { "Open an address on the phone or tablet and type " strong { (code) } ", or point its camera at the picture." }
                @if addresses.len() > 1 {
                    p { "This machine is in several networks. Take the address of the one that the phone is in." }
                }
            }
            @for Address { url, network } in &addresses {
                @let url = format!("{url}/pair");
                p { code { (url) } span.quiet { " in " (network) } }
                (picture_code(&with_code(&url, &code), &format!("The address in {network} and the code as a picture")))
            }
            p { a.button href="/devices" { "Look again" } }
            @if let Some(Address { url, .. }) = addresses.first() {
                details.fold #coach {
                    @let code = app.devices.code(May::LookOn);
                    summary { "Let a coach look on" }
                    p { "A coach opens " code { (url) "/pair" } " and types " strong { (code) } ", or points the camera at the picture. They see card, score and account as they change, and can change nothing. " strong { "Forget" } " below takes it back." }
                    (picture_code(&with_code(&format!("{url}/pair"), &code), "The address and the code for a coach as a picture"))
                }
            }
            p.quiet { "A device that was let in finds boardwise no more once this machine has another address: type the new one there. What it has not sent goes along." }
            p.quiet { "Whoever types the upper code may read and write everything here. What is sent is not encrypted: use a network you trust." }
        } @else {
            p { "Only this machine can open the app. To let a phone in, end boardwise and start it with " code { "boardwise serve --network" } "." }
        }
        h2 { "Let in" }
        @if all.is_empty() {
            p { "None." }
        }
        ul.plain #devices {
            @for device in &all {
                li {
                    span { (device.name) }
                    span.quiet { @if device.may == May::LookOn { " looks on" } " since " (device.paired.strftime("%Y-%m-%d")) }
                    " " button type="button" data-id=(device.id) { "Forget" span.unseen { " " (device.name) } }
                }
            }
        }
        h2 { "The record" }
        p { "All that is logged lies in " code #record-place { (app.record.display()) } " on this machine." }
        p {
            button #check type="button" { "Check it" } " "
            button #backup type="button" { "Make a backup" }
        }
        p #record-said role="status" {}
        p { a href="/exchange" { "Exchange records with a phone that runs boardwise alone" } }
        p.quiet { "A backup holds the record, your own lanes, bags, bowlers and events, and the devices that are let in. It is read again and compared. The last " (KEPT) " are kept beside the record. To keep one elsewhere: " code { "boardwise backup FOLDER" } "." }
    };
    page("Devices", Room::Devices, &["devices.js", "record.js"], &inside)
}

/// An address with the code that lets a device in, as a camera is to read both.
pub fn with_code(url: &str, code: &str) -> String {
    format!("{url}#{}", code.replace(' ', ""))
}

/// A picture that a camera reads these words from; nothing where they are too long for one.
pub fn picture_code(words: &str, says: &str) -> Markup {
    let Ok(code) = QrCode::new(words) else { return Markup::default() };
    let whole = code.render().dark_color(Color("#000")).light_color(Color("#fff")).min_dimensions(200, 200).build();
    // In a page, what comes before the picture itself has no place.
    let picture = whole.find("<svg").map_or("", |from| &whole[from..]);
    html! { figure.qr role="img" aria-label=(says) { (PreEscaped(picture)) } }
}
