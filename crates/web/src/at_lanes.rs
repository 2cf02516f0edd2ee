//! The block at the lanes: what the phone asks and tells.

use std::sync::Arc;
#[cfg(feature = "server")]
use std::time::Duration;

use axum::Json;
use axum::extract::State;
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::answer::{Answer, Refusal};
use super::long_work;
use super::query::{Colours, Query};
use super::queues::Queue;
use super::stamp;
use super::state::App;
use super::thinking::{self, Thinking};
use super::views::Did;
use boardwise_files::{EventFiles, Fault};
use boardwise_record::LineMeant;
use boardwise_session::Failure;
use boardwise_session::at_lanes::begin::{Beginning, begin};
use boardwise_session::at_lanes::belief_replay::in_hand;
use boardwise_session::at_lanes::command::{Command, LogShot, Move, ShotTold};
use boardwise_session::at_lanes::desk;
use boardwise_session::at_lanes::device_time::DeviceTime;
use boardwise_session::at_lanes::game_shots;
use boardwise_session::at_lanes::open;
use boardwise_session::at_lanes::question::Question;
use boardwise_session::at_lanes::screen;
use boardwise_session::at_lanes::turn::Turn;
use boardwise_session::view::GameShots;

/// How the block stands.
///
/// # Errors
/// 404 where none has begun.
pub async fn state(State(app): State<Arc<App>>, asked: HeaderMap) -> Result<Response, Refusal> {
    let answer = move |app: &App| app.served()?.answer(&asked);
    app.queues.record.work(&app, answer).await
}

/// The same with no more of the sheet than a page at the lanes shows: as many bytes after a thousand shots as after ten.
///
/// # Errors
/// 404 where none has begun.
pub async fn shown(State(app): State<Arc<App>>, asked: HeaderMap) -> Result<Response, Refusal> {
    Ok(app.queues.record.work(&app, App::served).await?.short_answer(&asked))
}

/// A block to begin.
#[derive(Debug, Deserialize)]
pub struct Starting {
    event: String,
    #[serde(flatten)]
    beginning: Beginning,
}

/// Begins a block.
pub async fn start(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    Json(asked): Json<Starting>,
) -> Result<Response, Refusal> {
    let served = app.queues.card.work(&app, move |app| {
        begin_on(app, app.library.event(&asked.event)?, &asked.beginning)?;
        app.served()
    });
    Ok(served.await?.short_answer(&headers))
}

/// Begins a block on an event.
///
/// # Errors
/// What the files say cannot be, or the record cannot be written.
pub fn begin_on(app: &App, event: EventFiles, beginning: &Beginning) -> Result<(), Failure> {
    if let Some(folder) = app.record.parent() {
        std::fs::create_dir_all(folder).map_err(|source| Fault::Write { path: folder.to_owned(), source })?;
    }
    begin(&app.record, event, beginning, &stamp::fresh()?)?;
    // What others and practice have done to the lanes is not left to the first card. If it cannot be worked out, whoever asks for that
    // is told why. Without a server somebody else looks ahead ([`crate::Alone::look_ahead`]).
    if !matches!(app.queues.card, Queue::AtOnce) {
        let _ = app.think(Thinking::look_ahead);
    }
    Ok(())
}

/// A block to go back to.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GoingBack {
    block: String,
}

/// Goes back to a block that is open: from now on it is the present one.
pub async fn go_back(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    Json(asked): Json<GoingBack>,
) -> Result<Response, Refusal> {
    let served = app.queues.record.work(&app, move |app| {
        open::go_back(&app.record, &asked.block, &stamp::fresh()?)?;
        app.served()
    });
    Ok(served.await?.short_answer(&headers))
}

/// A shot told by a device.
#[derive(Debug, Deserialize)]
pub struct ToldShot {
    /// The device's own key of it: told twice, it is logged once.
    key: String,
    /// Where on the sheet the device thinks that it belongs.
    turn: Option<Turn>,
    /// When it was made, by the device's own clock.
    at: Option<String>,
    /// When it was sent, by the same clock.
    sent: Option<String>,
    /// The block it was made in; left out, the present one.
    block: Option<String>,
    #[serde(flatten)]
    shot: ShotTold,
}

/// Logs a shot.
///
/// # Errors
/// 409 where the sheet is at another ball.
pub async fn shot(State(app): State<Arc<App>>, Json(asked): Json<ToldShot>) -> Answer<Did> {
    let by_device = DeviceTime::read(asked.at.as_deref(), asked.sent.as_deref());
    let shot = LogShot { shot: asked.shot, turn: asked.turn, by_device };
    change(&app, asked.block, asked.key, Command::Log(shot)).await
}

/// What is to be taken back.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakingBack {
    key: String,
    /// Key of the shot or move; left out, what was logged last.
    of: Option<String>,
    /// In which block; left out, the present one.
    block: Option<String>,
}

/// Takes back.
pub async fn undo(State(app): State<Arc<App>>, Json(asked): Json<TakingBack>) -> Answer<Did> {
    let of = asked.of.as_deref().map(desk::own_key).transpose()?;
    change(&app, asked.block, asked.key, Command::Undo { of }).await
}

/// A shot put right.
#[derive(Debug, Deserialize)]
pub struct PutRight {
    key: String,
    /// The block that the number is of.
    block: String,
    number: usize,
    #[serde(flatten)]
    shot: ShotTold,
}

/// Puts a shot right.
pub async fn fix(State(app): State<Arc<App>>, Json(asked): Json<PutRight>) -> Answer<Did> {
    let PutRight { key, block, number, shot } = asked;
    change(&app, Some(block.clone()), key, Command::Correct { block, number, shot }).await
}

/// A line, speed, hand or ball that is another from now on.
#[derive(Debug, Deserialize)]
pub struct Shifting {
    key: String,
    /// In which block; left out, the present one.
    block: Option<String>,
    #[serde(flatten)]
    to: Move,
}

/// Writes a move down.
pub async fn shift(State(app): State<Arc<App>>, Json(asked): Json<Shifting>) -> Answer<Did> {
    change(&app, asked.block, asked.key, Command::Move(asked.to)).await
}

/// Does it in the block, tells every page, and answers with what was done and how that block stands.
async fn change(app: &Arc<App>, block: Option<String>, key: String, command: Command) -> Answer<Did> {
    let work = move |app: &App| app.change_in(block.as_deref(), &command, &stamp::under(&key)?);
    let (done, served) = app.queues.record.work(app, work).await?;
    if served.complete {
        long_work::account_ahead(app);
    }
    Ok(Json(served.with(done.deed.words())))
}

/// Which lane, in which colours.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct PictureQuery {
    lane: Option<u32>,
    theme: Colours,
    /// Whether the lane is to lie on its side.
    lying: bool,
    /// The line that the card says: board of laydown, board at the arrows, speed and rotation; left out, the present line.
    laydown: Option<f64>,
    arrows: Option<f64>,
    speed: Option<f64>,
    rotation: Option<f64>,
    /// The ball that the card says, by its id.
    ball: Option<String>,
    /// Whether it is the line of a spare.
    spare: bool,
}

impl PictureQuery {
    /// The line that the card says, if it says one.
    fn line(&self) -> Option<LineMeant> {
        let (laydown, arrows) = self.laydown.zip(self.arrows)?;
        let (speed_mph, rotation_deg) = self.speed.zip(self.rotation)?;
        Some(LineMeant { laydown, arrows, speed_mph, rotation_deg })
    }
}

/// Which game.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OfGame {
    game: u16,
}

/// The shots of a game, each with what was meant: what a frame opens.
pub async fn shots(State(app): State<Arc<App>>, Query(OfGame { game }): Query<OfGame>) -> Answer<GameShots> {
    let shots = app.queues.record.work(&app, move |app| app.change(|state| Ok(game_shots::game_shots(state, game))));
    Ok(Json(shots.await?.0))
}

/// What to do with the next shot.
pub async fn next(State(app): State<Arc<App>>, Query(which): Query<PictureQuery>) -> Result<Response, Refusal> {
    let said = app
        .queues
        .card
        .work(&app, move |app| {
            app.think(|thinking| {
                thinking.say(&format!("next {:?}", which.lane), |state, replay| {
                    let question = Question::new(state, which.lane, thinking::SEED)?;
                    let said = question.answer(replay)?.view(&question);
                    serde_json::to_string(&said).map_err(Failure::Json)
                })
            })
        })
        .await?;
    get_ready(&app);
    Ok(([(header::CONTENT_TYPE, "application/json")], said.to_string()).into_response())
}

/// Whoever calls the pages without a server does this in its own time ([`crate::Alone::look_ahead`]).
#[cfg(not(feature = "server"))]
fn get_ready(_: &Arc<App>) {}

/// Once nobody has asked for a while, learns what has been logged and throws ahead what comes next, so that the next card has less to wait for.
#[cfg(feature = "server")]
fn get_ready(app: &Arc<App>) {
    /// Whoever asks within this time would wait for work that may turn out to be of no use.
    const QUIET: Duration = Duration::from_millis(250);
    if matches!(app.queues.card, Queue::AtOnce) {
        return;
    }
    let (app, asked) = (Arc::clone(app), app.asked());
    tokio::spawn(async move {
        tokio::time::sleep(QUIET).await;
        if app.asked() == asked {
            // Nobody waits for it; what fails is told to whoever asks next.
            let _ = app.queues.card.work(&app, |app| app.think(Thinking::look_ahead)).await;
        }
    });
}

/// The lane with the present line, as SVG.
pub async fn picture(State(app): State<Arc<App>>, Query(which): Query<PictureQuery>) -> Result<Response, Refusal> {
    let theme = boardwise_figures::Theme::from(which.theme);
    let drawn = app
        .queues
        .card
        .work(&app, move |app| {
            app.think(|thinking| {
                thinking.say(&format!("picture {which:?}"), |state, replay| {
                    let lane = match which.lane {
                        Some(number) => state.setting.lane(number)?,
                        None => state.lane_up(),
                    };
                    let look = (theme, which.lying);
                    if let Some(line) = which.line().filter(|_| which.spare) {
                        return Ok(screen::spare_picture(state, lane, line, look)?.svg().to_owned());
                    }
                    let replay = replay()?;
                    let in_hand = in_hand(state, &replay.belief);
                    let place = |id: &String| replay.belief.balls().iter().position(|ball| ball.id == *id);
                    let ball = which.ball.as_ref().and_then(place).unwrap_or(in_hand);
                    let said = which.line().map(|line| (ball, line));
                    let shown = screen::Shown { lane, said, in_hand, look };
                    Ok(screen::picture(state, &replay, &shown)?.svg().to_owned())
                })
            })
        })
        .await?;
    get_ready(&app);
    Ok(([(header::CONTENT_TYPE, "image/svg+xml")], drawn.to_string()).into_response())
}
