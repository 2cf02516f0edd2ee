//! The throw lab: what its page asks while a hand drags, and the search for lines.

use std::sync::Arc;

use axum::Json;
use axum::extract::State;
use axum::http::header;
use axum::response::IntoResponse;
use serde::Deserialize;

use super::answer::{Answer, Refusal};
use super::query::{Colours, Query};
use super::queues::Queue;
use super::state::App;
use super::views::PageReady;
use boardwise_files::Fault;
use boardwise_session::lab::{self, Asking, Look, Question};
use boardwise_session::view::{Form, LabLanes, LabLines, LabParcel, LabThrows};
use boardwise_session::{Failure, Work};

/// How wide a lane is drawn for whoever does not say how wide it is shown.
const WIDTH: f64 = 960.0;

/// A link of the lab, with what only a page adds: its colours, whether a hand drags just now, and which ball on which lane a search is for.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Link {
    lane: Vec<String>,
    bowler: Option<String>,
    beside: Option<String>,
    ball: Vec<String>,
    laydown: Option<f64>,
    target: Option<f64>,
    speed: Option<f64>,
    revs: Option<f64>,
    rotation: Option<f64>,
    tilt: Option<f64>,
    theme: Colours,
    width: Option<f64>,
    in_hand: bool,
    of_ball: usize,
    on_lane: usize,
}

/// A question with what its page adds.
struct OfPage {
    question: Question,
    look: Look,
    in_hand: bool,
    ball: usize,
    lane: usize,
}

impl Link {
    fn read(self) -> Result<OfPage, Fault> {
        let Self {
            lane,
            bowler,
            beside,
            ball,
            laydown,
            target,
            speed,
            revs,
            rotation,
            tilt,
            theme,
            width,
            in_hand,
            of_ball,
            on_lane,
        } = self;
        let question =
            Asking { lane, bowler, beside, ball, laydown, target, speed, revs, rotation, tilt }.question()?;
        let look = Look { theme: theme.into(), width: width.unwrap_or(WIDTH) };
        Ok(OfPage { question, look, in_hand, ball: of_ball, lane: on_lane })
    }
}

/// Asks away from the threads that serve.
async fn answer<V: Send + 'static>(
    app: &Arc<App>,
    queue: &Queue,
    Query(link): Query<Link>,
    ask: impl FnOnce(&App, &OfPage) -> Result<V, Failure> + Send + 'static,
) -> Answer<V> {
    queue.work(app, move |app| ask(app, &link.read()?)).await.map(Json)
}

/// The throws of a question.
pub async fn throw(State(app): State<Arc<App>>, link: Query<Link>) -> Answer<LabThrows> {
    answer(&app, &app.queues.page, link, |app, asked| {
        lab::thrown(&app.lab.setups(&app.library, &asked.question)?, &asked.question, asked.in_hand, asked.look)
    })
    .await
}

/// Its lanes without any throw.
pub async fn lanes(State(app): State<Arc<App>>, link: Query<Link>) -> Answer<LabLanes> {
    answer(&app, &app.queues.page, link, |app, asked| {
        Ok(lab::lanes(&app.lab.setups(&app.library, &asked.question)?, asked.look))
    })
    .await
}

/// Lines for one of its balls on one of its lanes. One search at a time. Where nobody waits for it any more, since it
/// was stopped or the page was left, the search ends within a moment.
pub async fn lines(State(app): State<Arc<App>>, Query(link): Query<Link>) -> Answer<LabLines> {
    let found = app.queues.lines.work_while_asked(&app, move |app, progress| {
        let asked = link.read()?;
        let setups = app.lab.setups(&app.library, &asked.question)?;
        let none = |what, number: usize| Fault::Missing { what, name: number.to_string(), known: Vec::new() };
        let scene = &setups.get(asked.lane).ok_or_else(|| none("lane", asked.lane))?.scene;
        let one = scene.balls.get(asked.ball).ok_or_else(|| none("ball", asked.ball))?;
        progress.go_on()?;
        let found = lab::find(scene, &one.ball, Work { progress, clock: &|| app.clock() })?;
        Ok(lab::found(scene, one, &found, asked.look.theme))
    });
    found.await.map(Json)
}

/// The throws of a question as a file to keep.
pub async fn file(State(app): State<Arc<App>>, link: Query<Link>) -> Result<impl IntoResponse, Refusal> {
    let told =
        answer(&app, &app.queues.page, link, |app, asked| lab::file(&app.lab.setups(&app.library, &asked.question)?));
    Ok(([(header::CONTENT_DISPOSITION, "attachment; filename=\"throw-lab.json\"")], told.await?))
}

/// A throw with everything behind it, as a file to pass on.
pub async fn parcel(State(app): State<Arc<App>>, link: Query<Link>) -> Result<impl IntoResponse, Refusal> {
    let told = answer(&app, &app.queues.page, link, |app, asked| lab::pack(&app.lab, &app.library, &asked.question));
    Ok(([(header::CONTENT_DISPOSITION, "attachment; filename=\"throw.boardwise\"")], told.await?))
}

/// Takes up a throw that somebody passed on; answers with the page that shows it.
pub async fn open(State(app): State<Arc<App>>, Json(parcel): Json<LabParcel>) -> Answer<PageReady> {
    let question = app.queues.page.work(&app, move |app| lab::unpack(&app.library, &parcel)).await?;
    // Words as text always have a form.
    let page = format!("/lab?{}", serde_html_form::to_string(question).unwrap_or_default());
    Ok(Json(PageReady { schema: Form, page }))
}
