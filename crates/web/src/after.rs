//! After the block: what the desk and the phone ask.

use std::sync::Arc;

use axum::Json;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use boardwise_figures::{Drawing, Theme};
use maud::Markup;
use serde::{Deserialize, Serialize};

use super::answer::{Answer, Refusal};
use super::pages;
use super::query::{Colours, Query};
use super::sheet_query::SheetQuery;
use super::stamp;
use super::state::App;
use super::views::Notes;
use boardwise_files::Fault;
use boardwise_session::Failure;
use boardwise_session::at_lanes::after::{self, Measure, Season, Story};
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

/// Which measure of a bowler's season, in which colours.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeasonPicture {
    block: String,
    bowler: String,
    of: Measure,
    #[serde(default, skip_serializing)]
    theme: Colours,
}

impl SeasonPicture {
    /// The path of a picture for the page of a block.
    pub fn path(story: &Story, of: Measure) -> String {
        let (block, bowler) = (story.listed.block.to_string(), story.listed.bowler.to_string());
        let asked = Self { block, bowler, of, theme: Colours::Light };
        // Words as text always have a form.
        format!("/after/season?{}", serde_html_form::to_string(asked).unwrap_or_default())
    }
}

/// A measure of a bowler's blocks, as SVG.
///
/// # Errors
/// 404 where there is no such block or bowler.
pub async fn season(State(app): State<Arc<App>>, Query(which): Query<SeasonPicture>) -> Result<Response, Refusal> {
    let drawing = app.queues.page.work(&app, move |app| {
        let SeasonPicture { block, bowler, of, theme } = which;
        Season::picture_beside(&app.record, &block, &bowler, of, theme.into())
    });
    Ok(([(header::CONTENT_TYPE, "image/svg+xml")], drawing.await?.svg().to_owned()).into_response())
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
