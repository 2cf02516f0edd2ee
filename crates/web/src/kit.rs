//! Lanes, bags, bowlers and events: opened, changed field by field or as text, looked at, kept.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use boardwise_units::Hand;
use maud::Markup;
use serde::Deserialize;

use super::answer::{Answer, Refusal};
use super::pages;
use super::query::Colours;
use super::state::App;
use super::views::{FaultView, Kept, Looked};
use boardwise_files::Shelf;
use boardwise_files::form::{self, Change};
use boardwise_files::start::{BowlerStart, Manner, Pattern, newcomers_bag};
use boardwise_files::{Fault, parse_lane};
use boardwise_session::read::Reading;
use boardwise_session::view::Form;

fn shelf_of(word: &str) -> Result<Shelf, Refusal> {
    let nothing = || Refusal::new(StatusCode::NOT_FOUND, "there are lanes, bags, bowlers and events");
    Shelf::of(word).ok_or_else(nothing)
}

/// The page of a file.
pub async fn open(State(app): State<Arc<App>>, Path((shelf, id)): Path<(String, String)>) -> Result<Markup, Refusal> {
    page(&app, shelf_of(&shelf)?, Some(id)).await
}

/// The page of a new file, which starts as a usual one of its kind; an event starts as the first there is.
pub async fn new(State(app): State<Arc<App>>, Path(shelf): Path<String>) -> Result<Markup, Refusal> {
    page(&app, shelf_of(&shelf)?, None).await
}

async fn page(app: &Arc<App>, shelf: Shelf, id: Option<String>) -> Result<Markup, Refusal> {
    app.queues
        .page
        .work(app, move |app| {
            let all = app.library.all(shelf);
            let Some(id) =
                id.or_else(|| (shelf == Shelf::Event).then(|| all.first().map(|kept| kept.id.clone())).flatten())
            else {
                return Ok(pages::file(shelf, &pages::From::New, &begun(shelf), &app.library));
            };
            let (_, bytes) = app.library.fetch(shelf, &id)?;
            let own = all.iter().any(|kept| kept.id == id && !kept.demo);
            let from = if own { pages::From::Own(id) } else { pages::From::Demo(id) };
            // A file that is no text is shown as far as it is; what is wrong with it is said.
            Ok(pages::file(shelf, &from, &String::from_utf8_lossy(&bytes), &app.library))
        })
        .await
}

/// What a new file begins as.
fn begun(shelf: Shelf) -> String {
    match shelf {
        Shelf::Lane => Pattern::House.text(),
        Shelf::Bag => newcomers_bag(),
        Shelf::Bowler | Shelf::Event => BowlerStart::newcomer(None, Hand::Right, Manner::Steady).text(),
    }
}

/// A text, and what was done to it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Looking {
    /// What the file is called, in faults.
    name: String,
    text: String,
    #[serde(default)]
    changes: Vec<Change>,
    #[serde(default)]
    left: bool,
    #[serde(default)]
    above: bool,
    #[serde(default)]
    theme: Colours,
}

/// The text with the changes, its fields, and what it is: its picture and numbers, or what is wrong with it.
pub async fn look(
    State(app): State<Arc<App>>,
    Path(shelf): Path<String>,
    Json(asked): Json<Looking>,
) -> Answer<Looked> {
    let shelf = shelf_of(&shelf)?;
    app.queues
        .page
        .work(&app, move |app| {
            let text = form::changed(shelf, &asked.text, &asked.changes);
            let fields = form::form(shelf, &text).map(|form| pages::fields(&form, &app.library).into_string());
            let name = format!("{}.toml", if asked.name.is_empty() { shelf.word() } else { &asked.name });
            let mut answer = Looked { schema: Form, text: text.clone(), fields, ..Looked::default() };
            match app.library.check(shelf, &name, &text) {
                Err(fault) => answer.fault = Some(told(&fault, &name, &text)),
                Ok(warnings) => {
                    answer.warnings = Some(warnings);
                    answer.look = Some(pages::look(shelf, &app.library, &name, &text)?.into_string());
                    if shelf == Shelf::Lane {
                        let hand = if asked.left { Hand::Left } else { Hand::Right };
                        let reading = Reading::seen(&parse_lane(&name, text.as_bytes())?.value, hand);
                        let theme = asked.theme.into();
                        let drawing = if asked.above { reading.above(theme) } else { reading.picture(theme) };
                        answer.picture = Some(drawing.svg().to_owned());
                        answer.rails = asked.above.then(|| reading.rails());
                    }
                }
            }
            Ok(answer)
        })
        .await
        .map(Json)
}

/// What is wrong, where, and what to do.
fn told(fault: &Fault, name: &str, text: &str) -> FaultView {
    // A mistake may stand in a file that an event names; the page shows lines of its own only.
    let line = match fault {
        Fault::InFile(mistake) if mistake.file == name => Some(mistake.line),
        _ => None,
    };
    let says = line.and_then(|line| text.lines().nth(line - 1)).map(|says| says.trim().to_owned());
    FaultView { words: fault.to_string(), help: fault.help(), line, says }
}

/// A text to be kept.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Keeping {
    id: String,
    text: String,
    /// Whether one of that name may be replaced.
    #[serde(default)]
    replace: bool,
}

/// Keeps a file under a name.
///
/// # Errors
/// 409 where there is one of that name that is not to be replaced; what is wrong with the name or the text.
pub async fn keep(
    State(app): State<Arc<App>>,
    Path(shelf): Path<String>,
    Json(asked): Json<Keeping>,
) -> Result<Response, Refusal> {
    let shelf = shelf_of(&shelf)?;
    app.queues
        .page
        .work(&app, move |app| {
            let there = app.library.all(shelf).into_iter().any(|kept| kept.id == asked.id && !kept.demo);
            if there && !asked.replace {
                let words = format!("there is a {} of the name {} already", shelf.word(), asked.id);
                return Ok(Refusal::new(StatusCode::CONFLICT, &words).into_response());
            }
            let warnings = app.library.keep(shelf, &asked.id, &asked.text)?;
            let page = format!("/before/kit/{}/{}", shelf.word(), asked.id);
            Ok(Json(Kept { schema: Form, page, warnings }).into_response())
        })
        .await
}
