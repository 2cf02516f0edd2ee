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
use super::long_work;
use super::pages;
use super::query::{Colours, Query};
use super::runs::{Key, Run, RunAnswer, RunState};
use super::state::App;
use super::views::{LongAnswer, LongRunState, LongState, PageReady, PracticeAtLanes, Stopped};
use boardwise_files::Shelf;
use boardwise_files::{EventFiles, Fault, KitEvent, Loaded};
use boardwise_search::Progress;
use boardwise_session::view::Form;
use boardwise_session::{Failure, Work, bag, block, brief, practice};

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
    /// All of it on one page, the evening before.
    Brief,
}

impl What {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Brief, Self::Bag, Self::Block, Self::Practice];

    /// Its page.
    pub fn path(self) -> &'static str {
        match self {
            Self::Bag => "/before/bag",
            Self::Block => "/before/block",
            Self::Practice => "/before/practice",
            Self::Brief => "/before/brief",
        }
    }

    /// What to call it.
    pub fn title(self) -> &'static str {
        match self {
            Self::Bag => "Balls to take",
            Self::Block => "The block ahead",
            Self::Practice => "Practice plan",
            Self::Brief => "The brief",
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
    /// Whether a lane lies on its side.
    lying: bool,
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
            lying: false,
        }
    }
}

enum Question {
    Bag(bag::Question),
    Block(block::Question),
    Practice(practice::Question),
    Brief(brief::Question),
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
            What::Brief => Question::Brief(brief::Question::default()),
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
            Question::Brief(question) => format!("{question:?}"),
        };
        let key = key_of(what, &words, &files)?;
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

/// What a question is known by: its words, and all files behind it.
fn key_of(what: What, words: &str, files: &EventFiles) -> Result<Key, Failure> {
    let mut all = Sha256::new();
    all.update(format!("{what:?} {words}"));
    all.update(serde_json::to_vec(files).map_err(Failure::Json)?);
    Ok(all.finalize().into())
}

/// The page of a question, with its answer where there is one. The brief is asked by opening its page.
pub async fn ask(
    State(app): State<Arc<App>>,
    Path(what): Path<What>,
    Query(request): Query<Request>,
    RawQuery(query): RawQuery,
) -> Result<Markup, Refusal> {
    let query = query.unwrap_or_default();
    if what == What::Brief {
        let asked = request.clone();
        let ready = app.queues.page.work(&app, move |app| asked.or_first(app).ready(app, what)).await;
        // What is wrong with the event is told by the page.
        if let Ok(ready) = ready
            && app.runs.state(&ready.key).is_none()
        {
            begin(&app, ready, what, &query)?;
        }
    }
    app.queues
        .page
        .work(&app, move |app| {
            let request = request.or_first(app);
            let events = app.library.all(Shelf::Event);
            let ready = request.ready(app, what);
            let state = ready.as_ref().ok().and_then(|ready| app.runs.state(&ready.key));
            Ok(pages::answer(what, &request, &events, &ready, state.as_ref(), &query))
        })
        .await
}

/// Starts to answer.
pub async fn start(
    State(app): State<Arc<App>>,
    Path(what): Path<What>,
    Query(request): Query<Request>,
    RawQuery(query): RawQuery,
) -> Answer<PageReady> {
    let ready = app.queues.page.work(&app, move |app| request.or_first(app).ready(app, what)).await?;
    let page = begin(&app, ready, what, &query.unwrap_or_default())?;
    Ok(Json(PageReady { schema: Form, page }))
}

/// Puts a question in line; gives its page.
fn begin(app: &Arc<App>, ready: Ready, what: What, query: &str) -> Result<String, Refusal> {
    let page = format!("{}?{query}", what.path());
    let title = format!("{}: {}", what.title(), ready.event.name);
    let new = Run::new(ready.key, title, page.clone());
    long_work::start(app, new, move |work| {
        Ok(match ready.question {
            Question::Bag(question) => RunAnswer::Bag(Arc::new(question.answer(ready.event, work)?)),
            Question::Block(question) => RunAnswer::Block(Arc::new(question.answer(ready.event, work)?)),
            Question::Practice(question) => RunAnswer::Practice(Arc::new(question.answer(ready.event, work)?)),
            Question::Brief(question) => RunAnswer::Brief(Arc::new(question.answer(ready.event, work)?)),
        })
    })?;
    Ok(page)
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
                RunAnswer::Brief(brief) => LongAnswer::Brief(Box::new(brief.view())),
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
    let (theme, of, oil, lying) = (request.theme.into(), request.of, request.oil, request.lying);
    let Some(RunState::Done(found)) = run_state(&app, what, request).await? else { return Err(nothing()) };
    let drawing = match &found {
        RunAnswer::Bag(weighing) => Some(weighing.picture(theme)),
        RunAnswer::Block(forecast) => forecast.pairs.get(of).and_then(|pair| {
            if oil { pair.oil_picture(theme) } else { Some(pair.picture(&forecast.event.name, theme)) }
        }),
        RunAnswer::Practice(_) => None,
        RunAnswer::Brief(brief) => (of < 2).then(|| brief.picture(of, lying, theme)),
    };
    let drawing = drawing.ok_or_else(nothing)?;
    Ok(([(header::CONTENT_TYPE, "image/svg+xml")], drawing.svg().to_owned()).into_response())
}

/// The brief on a sheet of paper, as PDF.
///
/// # Errors
/// 404 where it has not been answered.
#[cfg(feature = "server")]
pub async fn paper(
    State(app): State<Arc<App>>,
    Path(what): Path<What>,
    Query(request): Query<Request>,
) -> Result<Response, Refusal> {
    let Some(RunState::Done(RunAnswer::Brief(brief))) = run_state(&app, what, request).await? else {
        return Err(Refusal::new(StatusCode::NOT_FOUND, "there is no such page; ask first"));
    };
    let pdf = app.queues.page.work(&app, move |_| brief::page(&brief)).await?;
    let kind =
        [(header::CONTENT_TYPE, "application/pdf"), (header::CONTENT_DISPOSITION, "inline; filename=\"brief.pdf\"")];
    Ok((kind, pdf).into_response())
}

/// The practice that the brief has for the present block's pair, in order: what the card can show one after another.
///
/// # Errors
/// 404 where no block has begun.
pub async fn practice_at_lanes(State(app): State<Arc<App>>) -> Answer<PracticeAtLanes> {
    let begun = app.queues.record.work(&app, |app| Ok(app.change(|state| Ok(state.desk.begun.clone()))?.0)).await?;
    let answer = move |app: &App| {
        let question = brief::Question { pair: begun.pair as u32 + 1, ..brief::Question::default() };
        let key = key_of(What::Brief, &format!("{question:?}"), &begun.files)?;
        let brief = if let Some(RunState::Done(RunAnswer::Brief(brief))) = app.runs.state(&key) {
            brief
        } else {
            let event = begun.files.parse()?.value;
            let work = Work { progress: &Progress::default(), clock: &|| app.clock() };
            Arc::new(question.answer(event, work)?)
        };
        Ok(PracticeAtLanes { schema: Form, block: begun.block.to_string(), shots: brief.view().practice })
    };
    app.queues.lines.work(&app, answer).await.map(Json)
}
