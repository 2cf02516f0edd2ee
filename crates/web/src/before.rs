//! What is asked before the block: which balls to take, how the lanes will change, what to throw in practice.

use std::ops::RangeInclusive;
use std::sync::Arc;

use axum::Json;
use axum::extract::{Path, RawQuery, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use maud::Markup;
use serde::Deserialize;
use sha2::{Digest, Sha256};

use super::answer::{Answer, Refusal};
use super::pages;
use super::query::{Colours, Query};
use super::runs::{self, Key, Run, RunAnswer, RunState};
use super::state::App;
use super::views::{Begun, LongAnswer, LongRunState, LongState, Stopped};
use boardwise_files::Shelf;
use boardwise_files::{Fault, KitEvent, Loaded};
use boardwise_session::view::Form;
use boardwise_session::{Failure, bag, block, practice};

/// Seed of all answers: the same question gets the same one.
const SEED: u64 = 1;

/// What can be asked of an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum What {
    /// Which balls to take.
    Bag,
    /// How the lanes will change.
    Block,
    /// What to throw in practice.
    Practice,
}

impl What {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Bag, Self::Block, Self::Practice];

    /// Its page.
    pub fn path(self) -> &'static str {
        match self {
            Self::Bag => "/before/bag",
            Self::Block => "/before/block",
            Self::Practice => "/before/practice",
        }
    }

    /// What to call it.
    pub fn title(self) -> &'static str {
        match self {
            Self::Bag => "Balls to take",
            Self::Block => "The block ahead",
            Self::Practice => "Practice plan",
        }
    }
}

/// A question as a page asks it. What a question has no use for stays as it is.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Request {
    /// The event; empty for the first there is.
    pub event: String,
    /// Balls to take.
    pub take: usize,
    /// Surfaces to try, with commas between.
    pub surfaces: String,
    /// Worlds to weigh in.
    pub worlds: u32,
    /// Ball to start with; empty for the best.
    pub ball: String,
    /// Frames from one look to the next.
    pub look: u32,
    /// Runs of the block.
    pub runs: u32,
    /// Throws; left out, the event's.
    pub shots: Option<u32>,
    /// Colours of a picture.
    theme: Colours,
    /// Which pair a picture is of, from 0.
    of: usize,
    /// Whether it is the oil.
    oil: bool,
}

impl Default for Request {
    fn default() -> Self {
        Self {
            event: String::new(),
            take: 3,
            surfaces: "1000,polished".to_owned(),
            worlds: 3,
            ball: String::new(),
            look: 5,
            runs: 3,
            shots: None,
            theme: Colours::default(),
            of: 0,
            oil: false,
        }
    }
}

enum Question {
    Bag(bag::Question),
    Block(block::Question),
    Practice(practice::Question),
}

/// A question with the event it is about, checked.
pub struct Ready {
    /// The event.
    pub event: KitEvent,
    /// What is possible in its files but outside the rules.
    pub warnings: Vec<String>,
    question: Question,
    key: Key,
}

impl Request {
    fn question(&self, what: What) -> Result<Question, Fault> {
        let within = |field: &'static str, value: u32, allowed: RangeInclusive<i64>| {
            if allowed.contains(&i64::from(value)) {
                return Ok(value);
            }
            let allowed = format!("must be {} to {}", allowed.start(), allowed.end());
            Err(Fault::Field { field, value: value.to_string(), allowed })
        };
        Ok(match what {
            What::Bag => Question::Bag(bag::Question {
                take: self.take,
                surfaces: self.surfaces.split(',').map(|word| word.trim().to_owned()).collect(),
                worlds: within("worlds", self.worlds, bag::WORLDS)?,
                seed: SEED,
            }),
            What::Block => Question::Block(block::Question {
                ball: Some(self.ball.clone()).filter(|ball| !ball.is_empty()),
                look: within("frames from look to look", self.look, block::LOOK)?,
                runs: within("runs", self.runs, block::RUNS)?,
                seed: SEED,
            }),
            What::Practice => Question::Practice(practice::Question {
                shots: self.shots.map(|shots| within("throws", shots, practice::SHOTS)).transpose()?,
                seed: SEED,
            }),
        })
    }

    /// Reads the event and checks the question.
    ///
    /// # Errors
    /// What is wrong with either.
    pub fn ready(&self, app: &App, what: What) -> Result<Ready, Failure> {
        let files = app.library.event(&self.event)?;
        let question = self.question(what)?;
        let words = match &question {
            Question::Bag(question) => format!("{question:?}"),
            Question::Block(question) => format!("{question:?}"),
            Question::Practice(question) => format!("{question:?}"),
        };
        let mut all = Sha256::new();
        all.update(format!("{what:?} {words}"));
        all.update(serde_json::to_vec(&files).map_err(Failure::Json)?);
        let key = all.finalize().into();
        let Loaded { value: event, warnings } = files.parse()?;
        Ok(Ready { event, warnings, question, key })
    }

    /// With the first event there is where none is named: the user's own before the demo kit's.
    fn or_first(mut self, app: &App) -> Self {
        if self.event.is_empty() {
            let events = app.library.all(Shelf::Event);
            let first = events.iter().find(|one| !one.demo).or(events.first());
            self.event = first.map(|one| one.id.clone()).unwrap_or_default();
        }
        self
    }
}

/// The page of a question, with its answer where there is one.
pub async fn ask(
    State(app): State<Arc<App>>,
    Path(what): Path<What>,
    Query(request): Query<Request>,
    RawQuery(query): RawQuery,
) -> Result<Markup, Refusal> {
    app.queues
        .page
        .work(&app, move |app| {
            let request = request.or_first(app);
            let events = app.library.all(Shelf::Event);
            let ready = request.ready(app, what);
            let state = ready.as_ref().ok().and_then(|ready| app.runs.state(&ready.key));
            Ok(pages::answer(what, &request, &events, &ready, state.as_ref(), &query.unwrap_or_default()))
        })
        .await
}

/// Starts to answer.
pub async fn start(
    State(app): State<Arc<App>>,
    Path(what): Path<What>,
    Query(request): Query<Request>,
    RawQuery(query): RawQuery,
) -> Answer<Begun> {
    let ready = app.queues.page.work(&app, move |app| request.or_first(app).ready(app, what)).await?;
    let page = format!("{}?{}", what.path(), query.unwrap_or_default());
    let title = format!("{}: {}", what.title(), ready.event.name);
    let new = Run::new(ready.key, title, page.clone());
    runs::start(&app, new, move |work| {
        Ok(match ready.question {
            Question::Bag(question) => RunAnswer::Bag(Arc::new(question.answer(ready.event, work)?)),
            Question::Block(question) => RunAnswer::Block(Arc::new(question.answer(ready.event, work)?)),
            Question::Practice(question) => RunAnswer::Practice(Arc::new(question.answer(ready.event, work)?)),
        })
    })?;
    Ok(Json(Begun { schema: Form, page }))
}

/// Stops to answer. What is answered already stays.
pub async fn stop(
    State(app): State<Arc<App>>,
    Path(what): Path<What>,
    Query(request): Query<Request>,
) -> Answer<Stopped> {
    let key = app.queues.page.work(&app, move |app| Ok(request.or_first(app).ready(app, what)?.key)).await?;
    app.runs.stop(&key);
    Ok(Json(Stopped { schema: Form }))
}

async fn run_state(app: &Arc<App>, what: What, request: Request) -> Result<Option<RunState>, Refusal> {
    app.queues
        .page
        .work(app, move |app| {
            let ready = request.or_first(app).ready(app, what)?;
            Ok(app.runs.state(&ready.key))
        })
        .await
}

/// How far a question is.
pub async fn state(
    State(app): State<Arc<App>>,
    Path(what): Path<What>,
    Query(request): Query<Request>,
) -> Answer<LongState> {
    let state = match run_state(&app, what, request).await? {
        None => LongRunState::None,
        Some(RunState::Waiting) => LongRunState::Waiting,
        Some(RunState::Running(begun)) => LongRunState::Running { done: begun.share(), seconds: begun.seconds() },
        Some(RunState::Stopped) => LongRunState::Stopped,
        Some(RunState::Failed(error)) => LongRunState::Failed { error },
        Some(RunState::Done(found)) => LongRunState::Done {
            answer: Box::new(match &found {
                RunAnswer::Bag(weighing) => LongAnswer::Bag(weighing.view()),
                RunAnswer::Block(forecast) => LongAnswer::Block(forecast.view()),
                RunAnswer::Practice(plan) => LongAnswer::Practice(plan.view()),
            }),
        },
    };
    Ok(Json(LongState { schema: Form, state }))
}

/// A picture of an answer, as SVG.
///
/// # Errors
/// 404 where it has not been answered, or there is no such picture.
pub async fn picture(
    State(app): State<Arc<App>>,
    Path(what): Path<What>,
    Query(request): Query<Request>,
) -> Result<Response, Refusal> {
    let nothing = || Refusal::new(StatusCode::NOT_FOUND, "there is no such picture; ask first");
    let (theme, of, oil) = (request.theme.into(), request.of, request.oil);
    let Some(RunState::Done(found)) = run_state(&app, what, request).await? else { return Err(nothing()) };
    let drawing = match &found {
        RunAnswer::Bag(weighing) => Some(weighing.picture(theme)),
        RunAnswer::Block(forecast) => forecast.pairs.get(of).and_then(|pair| {
            if oil { pair.oil_picture(theme) } else { Some(pair.picture(&forecast.event.name, theme)) }
        }),
        RunAnswer::Practice(_) => None,
    };
    let drawing = drawing.ok_or_else(nothing)?;
    Ok(([(header::CONTENT_TYPE, "image/svg+xml")], drawing.svg().to_owned()).into_response())
}
