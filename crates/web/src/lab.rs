//! The throw lab: what its page asks while a hand drags, and the search for lines.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Query, State};
use axum::http::header;
use axum::response::IntoResponse;
use boardwise_figures::Theme;
use boardwise_search::Progress;

use super::answer::{Answer, Refusal};
use super::state::{App, aside, lock};
use boardwise_files::Fault;
use boardwise_session::lab::{self, Question};
use boardwise_session::view::{LabLanes, LabLines, LabThrows};
use boardwise_session::{Failure, Work};

/// The parts of a request's query.
type Parts = Query<Vec<(String, String)>>;

/// A question with what only a page adds: its colours, whether a hand drags just now, and which ball on which lane a search is for.
struct Asked {
    question: Question,
    theme: Theme,
    in_hand: bool,
    ball: usize,
    lane: usize,
}

impl Asked {
    fn read(parts: Vec<(String, String)>) -> Result<Self, Fault> {
        let (mut theme, mut in_hand, mut ball, mut lane, mut rest) = (Theme::Light, false, 0, 0, Vec::new());
        for (key, value) in parts {
            let count = |field| {
                let allowed = "must be a whole number, from 0".to_owned();
                value.parse().map_err(|_| Fault::Field { field, value: value.clone(), allowed })
            };
            match key.as_str() {
                "theme" => theme = if value == "dark" { Theme::Dark } else { Theme::Light },
                "in_hand" => in_hand = value == "yes",
                "of_ball" => ball = count("of_ball")?,
                "on_lane" => lane = count("on_lane")?,
                _ => rest.push((key, value)),
            }
        }
        Ok(Self { question: Question::read(&rest)?, theme, in_hand, ball, lane })
    }
}

/// Asks away from the threads that serve.
async fn answer<V: Send + 'static>(
    app: &Arc<App>,
    Query(parts): Parts,
    ask: impl FnOnce(&App, &Asked) -> Result<V, Failure> + Send + 'static,
) -> Answer<V> {
    aside(app, move |app| ask(app, &Asked::read(parts)?)).await.map(Json)
}

/// The throws of a question.
pub async fn throw(State(app): State<Arc<App>>, parts: Parts) -> Answer<LabThrows> {
    answer(&app, parts, |app, asked| {
        lab::thrown(&app.lab.setups(&app.library, &asked.question)?, &asked.question, asked.in_hand, asked.theme)
    })
    .await
}

/// Its lanes without any throw.
pub async fn lanes(State(app): State<Arc<App>>, parts: Parts) -> Answer<LabLanes> {
    answer(&app, parts, |app, asked| Ok(lab::lanes(&app.lab.setups(&app.library, &asked.question)?, asked.theme))).await
}

/// Lines for one of its balls on one of its lanes. One search at a time: each takes every core. Where nobody waits for it any more, since it
/// was stopped or the page was left, the search ends within a moment.
pub async fn lines(State(app): State<Arc<App>>, parts: Parts) -> Answer<LabLines> {
    let asker = Asker::default();
    let progress = asker.progress.clone();
    answer(&app, parts, move |app, asked| {
        let setups = app.lab.setups(&app.library, &asked.question)?;
        let none = |what, number: usize| Fault::Missing { what, name: number.to_string(), known: Vec::new() };
        let scene = &setups.get(asked.lane).ok_or_else(|| none("lane", asked.lane))?.scene;
        let one = scene.balls.get(asked.ball).ok_or_else(|| none("ball", asked.ball))?;
        let _alone = lock(&app.searching);
        progress.go_on()?;
        let found = lab::find(scene, &one.ball, Work { progress: &progress, clock: &|| app.clock() })?;
        Ok(lab::found(scene, one, &found, asked.theme))
    })
    .await
}

/// Cancels work once the request that waits for it is gone.
#[derive(Default)]
struct Asker {
    progress: Progress,
}

impl Drop for Asker {
    fn drop(&mut self) {
        self.progress.cancel();
    }
}

/// The throws of a question as a file to keep.
pub async fn file(State(app): State<Arc<App>>, parts: Parts) -> Result<impl IntoResponse, Refusal> {
    let told =
        answer(&app, parts, |app, asked| lab::file(&app.lab.setups(&app.library, &asked.question)?, &asked.question));
    Ok(([(header::CONTENT_DISPOSITION, "attachment; filename=\"throw-lab.json\"")], told.await?))
}
