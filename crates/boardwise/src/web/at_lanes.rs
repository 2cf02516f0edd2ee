//! The block at the lanes: what the phone asks and tells.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::answer::{Answer, Refusal};
use super::state::{App, Thinking, aside, no_block};
use crate::job::Failure;
use crate::job::at_lanes::asked::{Shift, Told};
use crate::job::at_lanes::begin::{Beginning, begin};
use crate::job::at_lanes::believed::Believed;
use crate::job::at_lanes::desk;
use crate::job::at_lanes::lines;
use crate::job::at_lanes::made::DeviceTime;
use crate::job::at_lanes::next::{self, Question, in_hand};
use crate::job::at_lanes::open;
use crate::job::at_lanes::screen;
use crate::job::at_lanes::shots::{self, Turn};
use crate::job::at_lanes::so_far::BlockSoFar;
use crate::kit;

/// Seed of all advice: the same shots get the same answer.
const SEED: u64 = 1;

/// How the block stands.
///
/// # Errors
/// 404 where none has begun.
pub async fn state(State(app): State<Arc<App>>, asked: HeaderMap) -> Result<Response, Refusal> {
    Ok(aside(&app, App::served).await?.answer(&asked))
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
    let served = aside(&app, move |app| {
        if let Some(folder) = app.record.parent() {
            std::fs::create_dir_all(folder).map_err(|source| Failure::Write { path: folder.to_owned(), source })?;
        }
        begin(&app.record, app.library.event(&asked.event)?, &asked.beginning)?;
        app.served()
    });
    Ok(served.await?.answer(&headers))
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
    let served = aside(&app, move |app| {
        open::go_back(&app.record, &asked.block)?;
        app.served()
    });
    Ok(served.await?.answer(&headers))
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
    told: Told,
}

/// Logs a shot.
///
/// # Errors
/// 409 where the sheet is at another ball.
pub async fn shot(State(app): State<Arc<App>>, Json(asked): Json<ToldShot>) -> Answer {
    change(&app, asked.block, move |so_far| {
        let key = desk::own_key(&asked.key)?;
        let by_device = DeviceTime::read(asked.at.as_deref(), asked.sent.as_deref());
        shots::log(so_far, &asked.told, &key, asked.turn, by_device).map(|done| done.words)
    })
    .await
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
pub async fn undo(State(app): State<Arc<App>>, Json(asked): Json<TakingBack>) -> Answer {
    change(&app, asked.block, move |so_far| {
        let of = asked.of.as_deref().map(desk::own_key).transpose()?;
        shots::undo(so_far, of.as_ref(), &desk::own_key(&asked.key)?).map(|done| done.words)
    })
    .await
}

/// A shot put right.
#[derive(Debug, Deserialize)]
pub struct PutRight {
    key: String,
    number: usize,
    #[serde(flatten)]
    told: Told,
}

/// Puts a shot right.
pub async fn fix(State(app): State<Arc<App>>, Json(asked): Json<PutRight>) -> Answer {
    change(&app, None, move |so_far| {
        let key = desk::own_key(&asked.key)?;
        shots::fix(so_far, asked.number, &asked.told, &key).map(|done| done.words)
    })
    .await
}

/// A line, speed, hand or ball that is another from now on.
#[derive(Debug, Deserialize)]
pub struct Shifting {
    key: String,
    /// In which block; left out, the present one.
    block: Option<String>,
    #[serde(flatten)]
    shift: Shift,
}

/// Writes a move down.
pub async fn shift(State(app): State<Arc<App>>, Json(asked): Json<Shifting>) -> Answer {
    change(&app, asked.block, move |so_far| {
        let key = desk::own_key(&asked.key)?;
        lines::shift(so_far, &asked.shift, &key).map(|_| "moved".to_owned())
    })
    .await
}

/// Does it in the block, tells every page, and answers with what was done and how that block stands.
async fn change(
    app: &Arc<App>,
    block: Option<String>,
    doing: impl FnOnce(&mut BlockSoFar) -> Result<String, Failure> + Send + 'static,
) -> Answer {
    aside(app, move |app| {
        let (did, served) = app.change_in(block.as_deref(), doing)?;
        Ok(served.with(&did))
    })
    .await
    .map(Json)
}

/// Which lane, in which colours.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Which {
    lane: Option<u32>,
    theme: Option<String>,
    /// Whether the lane is to lie on its side.
    lying: bool,
}

/// What to do with the next shot.
pub async fn next(State(app): State<Arc<App>>, Query(which): Query<Which>) -> Result<Response, Refusal> {
    let said = aside(&app, move |app| {
        app.think(|thinking| {
            thinking.say(&format!("next {:?}", which.lane), |so_far, believed| {
                let question = Question::new(so_far, which.lane, SEED)?;
                let answer = question.answer(believed)?;
                let told = match answer {
                    next::Answer::FullRack(said) => said.json(&question),
                    next::Answer::Spare(said) => said.json(&question),
                };
                Ok(told.to_string())
            })
        })
    })
    .await?;
    Ok(([(header::CONTENT_TYPE, "application/json")], said.to_string()).into_response())
}

/// The lane with the present line, as SVG.
pub async fn picture(State(app): State<Arc<App>>, Query(which): Query<Which>) -> Result<Response, Refusal> {
    let theme = match which.theme.as_deref() {
        Some("dark") => draw::Theme::Dark,
        _ => draw::Theme::Light,
    };
    let drawn = aside(&app, move |app| {
        app.think(|thinking| {
            thinking.say(&format!("picture {:?} {theme:?} {}", which.lane, which.lying), |so_far, believed| {
                let lane = match which.lane {
                    Some(number) => so_far.setting.lane(number)?,
                    None => so_far.lane_up(),
                };
                let believed = believed()?;
                let ball = in_hand(so_far, &believed.belief);
                Ok(screen::picture(so_far, &believed, lane, ball, (theme, which.lying)).svg().to_owned())
            })
        })
    })
    .await?;
    Ok(([(header::CONTENT_TYPE, "image/svg+xml")], drawn.to_string()).into_response())
}

impl Thinking {
    /// Says something about the block as it stands, or says again what was said of it. What is thought of the lanes is learned if it is
    /// needed, from the shots that are new since it was needed last.
    ///
    /// # Errors
    /// If it cannot be said.
    pub fn say(
        &mut self,
        question: &str,
        ask: impl FnOnce(&BlockSoFar, &mut dyn FnMut() -> Result<Believed, Failure>) -> Result<String, Failure>,
    ) -> Result<Arc<str>, Failure> {
        /// Answers worth remembering: card and picture, by day and dark, for both lanes.
        const MOST: usize = 12;
        let Self { block, now, before, said } = self;
        let so_far = &block.as_ref().ok_or_else(no_block)?.so_far;
        if let Some((_, known)) = said.iter().find(|(asked, _)| asked == question) {
            return Ok(Arc::clone(known));
        }
        let mut believed = || {
            let carry = kit::carry()?;
            let known = [now.take(), before.take()].into_iter().flatten();
            let mut known = known.filter(|known| known.leads_to(so_far));
            let learned = match known.next() {
                Some(known) => {
                    let mut learned = known.clone();
                    learned.learn(so_far, carry)?;
                    *before = Some(known);
                    learned
                }
                None => Believed::of(so_far, carry, SEED)?,
            };
            *now = Some(learned.clone());
            Ok(learned)
        };
        let text: Arc<str> = ask(so_far, &mut believed)?.into();
        if said.len() < MOST {
            said.push((question.to_owned(), Arc::clone(&text)));
        }
        Ok(text)
    }
}
