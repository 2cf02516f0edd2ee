//! After the block: what the desk and the phone ask.

use std::sync::Arc;

use axum::Json;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use boardwise_figures::{Drawing, Theme};
use maud::Markup;
use serde::Deserialize;

use super::answer::{Answer, Refusal};
use super::pages;
use super::query::{Colours, Query};
use super::sheet_query::SheetQuery;
use super::stamp;
use super::state::App;
use super::views::Notes;
use boardwise_files::Fault;
use boardwise_session::Failure;
use boardwise_session::at_lanes::after::{self, Story};
use boardwise_session::view::Form;

/// Where pins were won and lost: a part of the page, told when it is worked out.
///
/// # Errors
/// 404 where there is no such sheet.
pub async fn account(State(app): State<Arc<App>>, Query(which): Query<SheetQuery>) -> Result<Markup, Refusal> {
    app.queues
        .account
        .work(&app, move |app| {
            let (story, other) = (which.story(app)?, which.other(app)?);
            let reckoned = app.accounts.of(&story)?;
            let beside = match &other {
                Some(other) => Some((other, app.accounts.of(other)?)),
                None => None,
            };
            let beside = beside.as_ref().map(|(other, reckoned)| (*other, reckoned.as_deref()));
            Ok(pages::account(&story, reckoned.as_deref(), beside))
        })
        .await
}

/// Which picture, in which colours.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pictured {
    block: String,
    bowler: String,
    /// The score sheet of this game.
    game: Option<usize>,
    /// The first balls on this of the sheet's lanes, from 0 on; neither this nor a game: the account.
    lane: Option<usize>,
    #[serde(default)]
    theme: Colours,
}

/// A picture, as SVG.
///
/// # Errors
/// 404 where there is none.
pub async fn picture(State(app): State<Arc<App>>, Query(which): Query<Pictured>) -> Result<Response, Refusal> {
    let account = which.game.is_none() && which.lane.is_none();
    let queue = if account { &app.queues.account } else { &app.queues.page };
    let drawing = queue.work(&app, move |app| drawn(app, &which)).await?;
    Ok(([(header::CONTENT_TYPE, "image/svg+xml")], drawing.svg().to_owned()).into_response())
}

fn drawn(app: &App, which: &Pictured) -> Result<Drawing, Failure> {
    let theme = Theme::from(which.theme);
    let sheet = after::SheetChoice { block: Some(&which.block), bowler: Some(&which.bowler), skip: 0 };
    let story = Story::of(&app.record, &sheet)?;
    let missing = |what: &'static str| Fault::Missing { what, name: "asked for".to_owned(), known: Vec::new() };
    match (which.game, which.lane) {
        (Some(game), _) => after::sheet_picture(&story, game, theme).ok_or_else(|| missing("game").into()),
        (None, Some(lane)) => {
            let lanes = after::lanes_of(&story);
            let lane = lanes.get(lane).ok_or_else(|| missing("lane"))?;
            after::shots_picture(&story, Some(lane), theme)
        }
        (None, None) => {
            let reckoned = app.accounts.of(&story)?.ok_or_else(|| missing("account"))?;
            Ok(after::account_picture(&reckoned.account, theme))
        }
    }
}

/// The handout. A phone alone has no part that writes PDF.
///
/// # Errors
/// 404 where there is no such sheet.
#[cfg(feature = "server")]
pub async fn handout(State(app): State<Arc<App>>, Query(which): Query<SheetQuery>) -> Result<Response, Refusal> {
    let paper = app
        .queues
        .account
        .work(&app, move |app| {
            let story = which.story(app)?;
            after::handout(&story, app.accounts.of(&story)?.as_deref())
        })
        .await?;
    let headers =
        [(header::CONTENT_TYPE, "application/pdf"), (header::CONTENT_DISPOSITION, "inline; filename=\"after.pdf\"")];
    Ok((headers, paper).into_response())
}

/// A remark on a block.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Noted {
    /// The page's own key of it: told twice, it is written once.
    key: String,
    block: String,
    bowler: String,
    text: String,
}

/// Writes a remark down, and answers with all of them.
///
/// # Errors
/// 422 where the remark is none.
pub async fn note(State(app): State<Arc<App>>, Json(asked): Json<Noted>) -> Answer<Notes> {
    app.queues
        .record
        .work(&app, move |app| {
            let Noted { key, block, bowler, text } = asked;
            after::note(&app.record, &block, &bowler, &text, &stamp::under(&key)?)?;
            // Pages at the lanes hear of it, where there are any; the remark is written in any case.
            let _ = app.served();
            let which = after::SheetChoice { block: Some(&block), bowler: Some(&bowler), skip: 0 };
            Ok(Notes { schema: Form, notes: after::note_views(&Story::of(&app.record, &which)?.notes) })
        })
        .await
        .map(Json)
}
