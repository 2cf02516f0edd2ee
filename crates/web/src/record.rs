//! Whether the record is whole, a copy of everything, asked for on the machine that serves; and exchange with another device.

use std::sync::Arc;

use axum::Json;
use axum::body::Bytes;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use boardwise_session::keep::{self, Places};
use boardwise_session::view::CheckAnswer;
use jiff::Timestamp;

use super::answer::{Answer, Refusal};
use super::state::App;

fn places(app: &App) -> Places {
    Places { record: app.record.clone(), kit: app.library.folder().to_owned() }
}

/// Checks the record.
pub async fn check(State(app): State<Arc<App>>) -> Answer<CheckAnswer> {
    let checked = |app: &App| Ok(keep::check(&places(app))?.view(&places(app)));
    Ok(Json(app.queues.page.work(&app, checked).await?))
}

/// Makes a backup beside the record, unless the latest holds all that there is.
pub async fn backup(State(app): State<Arc<App>>) -> Answer<CheckAnswer> {
    let saved = |app: &App| {
        keep::rotate(&places(app), Timestamp::now())?;
        Ok(keep::check(&places(app))?.view(&places(app)))
    };
    Ok(Json(app.queues.page.work(&app, saved).await?))
}

/// Takes in the record that another device sent; answers with all that is here then.
pub async fn exchange(State(app): State<Arc<App>>, sent: Bytes) -> Result<Response, Refusal> {
    let joined = move |app: &App| keep::exchange(&places(app), &sent, Timestamp::now());
    let record = app.queues.page.work(&app, joined).await?;
    Ok(([(header::CONTENT_TYPE, "application/octet-stream")], record).into_response())
}
