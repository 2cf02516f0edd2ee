//! The handout builder: what is asked of it, and the paper it makes.

use std::sync::Arc;

use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use boardwise_session::at_lanes::after::{Listed, SheetChoice, Story};
use boardwise_session::handout::{self, Contents, Part};
use boardwise_session::{Failure, Work, brief};
use maud::Markup;
use serde::{Deserialize, Serialize};

use super::answer::Refusal;
use super::pages;
use super::query::Query;
use super::state::App;
use boardwise_files::{KitEvent, Shelf};
use boardwise_search::Progress;

/// What a handout is asked for. Everything may be left out.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Asked {
    /// A block on record and whose sheet of it, as one word of the form.
    pub sheet: Option<String>,
    /// A block, as other pages name it.
    pub block: Option<String>,
    /// Whose sheet of that.
    pub bowler: Option<String>,
    /// An event of the kit.
    pub event: Option<String>,
    /// A bowler of the kit, in the place of the event's own.
    pub who: Option<String>,
    /// What is to stand on it.
    pub part: Vec<Part>,
    /// The coach's own words.
    pub words: String,
    /// Whether it may take more than a page.
    pub long: bool,
}

/// What can be chosen.
pub struct Choices {
    /// Events of the kit: id, and what to call it.
    pub events: Vec<(String, String)>,
    /// Bowlers of the kit.
    pub bowlers: Vec<String>,
    /// The latest sheets on record.
    pub sheets: Vec<Listed>,
}

/// A sheet as one word of a form; neither name holds the sign between them.
pub fn sheet_word(listed: &Listed) -> String {
    format!("{}\t{}", listed.block, listed.bowler)
}

impl Asked {
    /// The block and the bowler asked for.
    fn sheet(&self) -> Option<(&str, Option<&str>)> {
        let chosen = self.sheet.as_deref().and_then(|sheet| sheet.split_once('\t'));
        let named = self.block.as_deref().map(|block| (block, self.bowler.as_deref()));
        chosen.map(|(block, bowler)| (block, Some(bowler))).or(named)
    }

    /// As it stands before anybody chose: what there is of a block or an event.
    fn or_usual(mut self) -> Self {
        if self.part.is_empty() {
            let block = self.sheet().is_some();
            let usual: &[Part] = if block { &[Part::Story, Part::Notes] } else { &[Part::Brief, Part::Spares] };
            self.part = usual.to_vec();
        }
        self
    }

    fn event(&self, app: &App) -> Result<Option<KitEvent>, Failure> {
        let Some(id) = self.event.as_deref().filter(|id| !id.is_empty()) else { return Ok(None) };
        let mut event = app.library.event(id)?.parse()?.value;
        if let Some(who) = self.who.as_deref().filter(|who| !who.is_empty()) {
            let (name, bytes) = app.library.fetch(Shelf::Bowler, who)?;
            let seat = &mut event.seats[0];
            seat.bowler = boardwise_files::parse_bowler(&name, &bytes)?.value;
            // Ball and line were the other one's.
            (seat.ball, seat.line) = (None, None);
        }
        Ok(Some(event))
    }

    fn paper(self, app: &App, progress: &Progress) -> Result<Vec<u8>, Failure> {
        let asked = self.or_usual();
        let event = asked.event(app)?;
        let brief = event
            .clone()
            .filter(|_| asked.part.iter().any(|part| part.of_brief()))
            .map(|event| brief::Question::default().answer(event, Work { progress, clock: &|| app.clock() }));
        let brief = brief.transpose()?;
        let story = asked
            .sheet()
            .map(|(block, bowler)| Story::of(&app.record, &SheetChoice { block: Some(block), bowler, skip: 0 }));
        let story = story.transpose()?;
        let reckoned = match &story {
            Some(story) if asked.part.contains(&Part::Story) => app.accounts.of(story)?,
            _ => None,
        };
        handout::handout(&Contents {
            parts: &asked.part,
            event: event.as_ref(),
            brief: brief.as_ref(),
            block: story.as_ref().map(|story| (story, reckoned.as_deref())),
            words: &asked.words,
            long: asked.long,
        })
    }
}

/// The builder.
pub async fn builder(State(app): State<Arc<App>>, Query(asked): Query<Asked>) -> Result<Markup, Refusal> {
    app.queues
        .page
        .work(&app, move |app| {
            let none_yet = app.record.symlink_metadata().is_err();
            let sheets = if none_yet { Vec::new() } else { Listed::latest(&app.record)? };
            let events = app.library.all(Shelf::Event).into_iter().map(|one| {
                let words = if one.demo { format!("{} (demo)", one.id) } else { one.id.clone() };
                (one.id, words)
            });
            let choices = Choices {
                events: events.collect(),
                bowlers: app.library.all(Shelf::Bowler).into_iter().map(|one| one.id).collect(),
                sheets,
            };
            let chosen = asked.sheet().map(|(block, bowler)| (block.to_owned(), bowler.map(str::to_owned)));
            Ok(pages::builder(&asked.or_usual(), &choices, chosen.as_ref()))
        })
        .await
}

/// Its paper. Where nobody waits for it any more, the work on the brief ends within a moment.
///
/// # Errors
/// 404 where there is no such block, event or bowler.
pub async fn paper(State(app): State<Arc<App>>, Query(asked): Query<Asked>) -> Result<Response, Refusal> {
    let paper = app.queues.account.work_while_asked(&app, move |app, progress| asked.paper(app, progress)).await?;
    let headers =
        [(header::CONTENT_TYPE, "application/pdf"), (header::CONTENT_DISPOSITION, "inline; filename=\"handout.pdf\"")];
    Ok((headers, paper).into_response())
}
