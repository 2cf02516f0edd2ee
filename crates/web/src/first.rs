//! The first minute: three answers become a kit of one's own and the first card.

use std::sync::Arc;

use axum::Json;
use axum::extract::State;
use axum::response::Redirect;
use maud::Markup;
use serde::Deserialize;

use super::answer::{Answer, Refusal};
use super::at_lanes;
use super::pages;
use super::query::Colours;
use super::state::App;
use super::views::{Begun, SheetLooked};
use boardwise_files::start::{Answers, OnLane, SheetStart};
use boardwise_files::{Fault, Library, Shelf, parse_lane};
use boardwise_session::Failure;
use boardwise_session::at_lanes::begin::Beginning;
use boardwise_session::read::Reading;
use boardwise_session::view::Form;
use boardwise_units::Hand;

/// Whether somebody keeps anything of their own, or has bowled.
fn is_new(app: &App) -> bool {
    let own = Shelf::ALL.iter().any(|shelf| app.library.all(*shelf).iter().any(|kept| !kept.demo));
    !own && app.served().is_err()
}

/// The first page: three questions for somebody new, else the lanes, where the tool is needed with least time.
pub async fn door(State(app): State<Arc<App>>) -> Redirect {
    let new = app.queues.page.work(&app, |app| Ok(is_new(app))).await.unwrap_or_default();
    Redirect::to(if new { "/first" } else { "/lanes" })
}

/// The three questions.
pub async fn page(State(app): State<Arc<App>>) -> Result<Markup, Refusal> {
    app.queues.page.work(&app, |app| Ok(pages::first(&app.library))).await
}

/// Keeps what the answers come to and begins a block on it.
///
/// # Errors
/// What is wrong with an answer, in words of the page.
pub async fn begin(State(app): State<Arc<App>>, Json(asked): Json<Answers>) -> Answer<Begun> {
    let page = "/lanes".to_owned();
    app.queues
        .card
        .work(&app, move |app| {
            let sheet = matches!(asked.lane, OnLane::Sheet(_));
            let event = asked.keep(&app.library).map_err(|fault| if sheet { on_sheet(fault) } else { fault })?;
            at_lanes::begin_on(app, app.library.event(&event)?, &Beginning::default())
        })
        .await?;
    Ok(Json(Begun { schema: Form, page }))
}

/// A sheet that is being typed.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Typed {
    sheet: SheetStart,
    #[serde(default)]
    left: bool,
    #[serde(default)]
    theme: Colours,
}

/// What a sheet comes to so far: its picture and its oil, or what is wrong in which row.
pub async fn sheet(State(app): State<Arc<App>>, Json(typed): Json<Typed>) -> Answer<SheetLooked> {
    app.queues.page.work(&app, move |app| looked(&app.library, &typed)).await.map(Json)
}

fn looked(library: &Library, typed: &Typed) -> Result<SheetLooked, Failure> {
    let text = typed.sheet.text();
    let name = SheetStart::NAMED;
    Ok(match library.check(Shelf::Lane, name, &text) {
        Err(fault) => SheetLooked { wrong: Some(on_sheet(fault).to_string()), ..SheetLooked::default() },
        Ok(warnings) => {
            let hand = if typed.left { Hand::Left } else { Hand::Right };
            let reading = Reading::seen(&parse_lane(name, text.as_bytes())?.value, hand);
            SheetLooked {
                schema: Form,
                wrong: None,
                doubts: warnings.iter().map(|words| by_row(words)).collect(),
                picture: Some(reading.picture(typed.theme.into()).svg().to_owned()),
                volume_ml: reading.film().map(|film| film.volume().0 / 1000.0),
                length_ft: reading.film().map(|film| film.length.0),
            }
        }
    })
}

/// A mistake in the text of a sheet, as a mistake in a row of it.
fn on_sheet(fault: Fault) -> Fault {
    let Fault::InFile(mistake) = fault else { return fault };
    let (field, value) = match SheetStart::row_at(mistake.line) {
        Some(row) => ("Row", row.to_string()),
        None => ("The", "sheet".to_owned()),
    };
    Fault::Field { field, value, allowed: mistake.what }
}

/// Words about a line of a sheet's text, as words about its row.
fn by_row(words: &str) -> String {
    let line = words.strip_prefix(SheetStart::NAMED).and_then(|rest| rest.strip_prefix(", line "));
    let Some((line, what)) = line.and_then(|rest| rest.split_once(": ")) else { return words.to_owned() };
    match line.parse().ok().and_then(SheetStart::row_at) {
        Some(row) => format!("Row {row}: {what}"),
        None => what.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_what_is_wrong_with_a_typed_sheet_names_its_row_and_no_file() {
        for (loads, to) in [(-1, "2R"), (2, "40R"), (2, "2x")] {
            let good =
                r#"{"from":"2L","to":"2R","loads":2,"microlitres_per_board":50,"feet":[0,20],"direction":"out"}"#;
            let bad = good.replace("\"loads\":2", &format!("\"loads\":{loads}")).replace("2R", to);
            let sheet = format!(r#"{{"sheet":{{"name":"mine","rows":[{good},{bad}]}}}}"#);
            let typed: Typed = serde_json::from_str(&sheet).unwrap();
            let said = looked(&Library::new("none".into()), &typed).unwrap();
            let wrong = said.wrong.expect("it is wrong");
            assert!(wrong.starts_with("Row 2: ") && !wrong.contains("line"), "{wrong}");
        }
    }
}
