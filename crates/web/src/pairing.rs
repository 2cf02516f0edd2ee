//! Letting devices in and forgetting them.

use std::sync::Arc;
use std::time::Instant;

use axum::Json;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::answer::{Answer, Refusal};
use super::devices::NotPaired;
use super::guard::COOKIE;
use super::state::{App, aside};
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

/// Lets a device in that knows the code.
pub async fn pair(State(app): State<Arc<App>>, Json(asking): Json<Asking>) -> Result<Response, Refusal> {
    let paired = aside(&app, move |app| app.devices.pair(&asking.code, &asking.name, Instant::now())).await?;
    match paired {
        Ok(token) => {
            // A year; it is forgotten earlier on the machine that serves. The page is plain http: the cookie cannot ask for more.
            let cookie = format!("{COOKIE}={token}; Path=/; Max-Age=31536000; HttpOnly; SameSite=Strict");
            Ok(([(header::SET_COOKIE, cookie)], Json(Paired { schema: Form, paired: true })).into_response())
        }
        Err(NotPaired::WrongCode) => Err(Refusal::new(StatusCode::FORBIDDEN, "that is not the code")),
        Err(NotPaired::TooMany) => {
            Err(Refusal::new(StatusCode::TOO_MANY_REQUESTS, "too many wrong codes: wait a minute, then try again"))
        }
    }
}

/// Which device.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Which {
    id: u32,
}

/// Lets a device in no more.
pub async fn forget(State(app): State<Arc<App>>, Json(which): Json<Which>) -> Answer<Forgotten> {
    let forgotten = aside(&app, move |app| app.devices.forget(which.id)).await?;
    Ok(Json(Forgotten { schema: Form, forgotten }))
}
