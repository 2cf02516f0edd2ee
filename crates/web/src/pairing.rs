//! Letting devices in and forgetting them.

use std::sync::Arc;
use std::time::Duration;

use axum::Json;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::answer::{Answer, Refusal};
use super::devices::WrongCode;
use super::guard::COOKIE;
use super::state::App;
use super::views::{Forgotten, Paired};
use boardwise_session::view::Form;

/// What a device sends to be let in.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asking {
    code: String,
    #[serde(default)]
    name: String,
}

/// How long the answer to a wrong code takes.
const TO_GUESS: Duration = Duration::from_secs(1);

/// Lets a device in that knows the code.
pub async fn pair(State(app): State<Arc<App>>, Json(asking): Json<Asking>) -> Result<Response, Refusal> {
    let wrong = || Refusal::new(StatusCode::FORBIDDEN, "that is not the code; the machine that serves shows it");
    if !app.devices.is_code(&asking.code) {
        // Whoever guesses tries one code a second on each connection, and whoever mistyped hardly notices.
        tokio::time::sleep(TO_GUESS).await;
        return Err(wrong());
    }
    let paired = app.queues.page.work(&app, move |app| app.devices.pair(&asking.code, &asking.name)).await?;
    match paired {
        Ok(token) => {
            // A year; it is forgotten earlier on the machine that serves. The page is plain http: the cookie cannot ask for more. Browsers
            // send cookies to every port of a machine, so that its name tells which program it is for.
            let cookie = format!("{COOKIE}-{}={token}; Path=/; Max-Age=31536000; HttpOnly; SameSite=Strict", app.port);
            Ok(([(header::SET_COOKIE, cookie)], Json(Paired { schema: Form, paired: true })).into_response())
        }
        // Another device has used it up in between.
        Err(WrongCode) => Err(wrong()),
    }
}

/// Which device.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OneDevice {
    id: u32,
}

/// Lets a device in no more.
pub async fn forget(State(app): State<Arc<App>>, Json(which): Json<OneDevice>) -> Answer<Forgotten> {
    let forgotten = app.queues.page.work(&app, move |app| app.devices.forget(which.id)).await?;
    Ok(Json(Forgotten { schema: Form, forgotten }))
}
