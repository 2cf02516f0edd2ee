//! The pages, made on this side; scripts fill them.

mod account;
mod after;
mod before;
#[cfg(feature = "server")]
mod devices;
#[cfg(feature = "server")]
mod exchange;
mod first;
mod frame;
mod glossary;
#[cfg(feature = "server")]
mod handout;
mod lab;
mod lanes;
mod look;
mod phone;
mod pictured;
mod season;
mod words;

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};

use super::state::App;
pub use account::account;
pub use after::after;
pub use before::{From, answer, before, fields, file, look};
#[cfg(feature = "server")]
pub use devices::{devices, pair};
#[cfg(feature = "server")]
pub use exchange::exchange;
pub use first::first;
#[cfg(feature = "server")]
pub use frame::looked_on;
use frame::{Room, page};
pub use glossary::glossary;
#[cfg(feature = "server")]
pub use handout::builder;
pub use lab::lab;
pub use lanes::{blocks, lanes};
pub use look::look as look_page;
pub use phone::{no_handout, phone};

/// For every path that leads nowhere.
pub async fn nowhere(State(_app): State<Arc<App>>) -> Response {
    let text: Markup = html! {
        h1 { "There is nothing here" }
        p { a href="/lanes" { "To the lanes" } }
    };
    (StatusCode::NOT_FOUND, page("Nothing here", Room::None, &[], &text)).into_response()
}
