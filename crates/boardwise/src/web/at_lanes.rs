//! The block at the lanes: what the phone asks and tells.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Query, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::{Value, json};

use super::answer::{Answer, Refusal};
use super::state::{App, Said, Thinking, aside, no_block};
use crate::job::Failure;
use crate::job::at_lanes::asked::{Shift, Told};
use crate::job::at_lanes::begin::{Beginning, begin};
use crate::job::at_lanes::believed::Believed;
use crate::job::at_lanes::desk;
use crate::job::at_lanes::lines::{self, Lines, lane_up};
use crate::job::at_lanes::next::{self, Question, in_hand};
use crate::job::at_lanes::screen;
use crate::job::at_lanes::shots::{self, Turn};
use crate::kit;

/// Seed of all advice: the same shots get the same answer.
const SEED: u64 = 1;

fn screen_of(app: &App) -> Result<Value, Failure> {
    let changes = app.changes();
    let mut screen = app.block(|open| screen::json(&open.desk, &open.setting, &open.desk.sheet()?))?;
    screen["changes"] = json!(changes);
    Ok(screen)
}

/// How the block stands.
///
/// # Errors
/// 404 where none has begun.
pub async fn state(State(app): State<Arc<App>>) -> Answer {
    aside(&app, screen_of).await.map(Json)
}

/// A block to begin.
#[derive(Debug, Deserialize)]
pub struct Starting {
    event: String,
    #[serde(flatten)]
    beginning: Beginning,
}

/// Begins a block.
pub async fn start(State(app): State<Arc<App>>, Json(asked): Json<Starting>) -> Answer {
    aside(&app, move |app| {
        if let Some(folder) = app.record.parent() {
            std::fs::create_dir_all(folder).map_err(|source| Failure::Write { path: folder.to_owned(), source })?;
        }
        begin(&app.record, app.library.event(&asked.event)?, &asked.beginning)?;
        app.changed();
        screen_of(app)
    })
    .await
    .map(Json)
}

/// A shot told by a device.
#[derive(Debug, Deserialize)]
pub struct ToldShot {
    /// The device's own key of it: told twice, it is logged once.
    key: String,
    /// Where on the sheet the device thinks that it belongs.
    turn: Option<Turn>,
    #[serde(flatten)]
    told: Told,
}

/// Logs a shot.
///
/// # Errors
/// 409 where the sheet is at another ball.
pub async fn shot(State(app): State<Arc<App>>, Json(asked): Json<ToldShot>) -> Answer {
    change(&app, move |app| {
        app.block(|open| {
            let key = desk::own_key(&asked.key)?;
            shots::log(&mut open.desk, &open.setting, &asked.told, &key, asked.turn)
        })
        .map(|done| done.words)
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
}

/// Takes back.
pub async fn undo(State(app): State<Arc<App>>, Json(asked): Json<TakingBack>) -> Answer {
    change(&app, move |app| {
        app.block(|open| {
            let of = asked.of.as_deref().map(desk::own_key).transpose()?;
            shots::undo(&mut open.desk, of.as_ref(), &desk::own_key(&asked.key)?)
        })
        .map(|done| done.words)
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
    change(&app, move |app| {
        app.block(|open| {
            let key = desk::own_key(&asked.key)?;
            shots::fix(&mut open.desk, &open.setting, asked.number, &asked.told, &key)
        })
        .map(|done| done.words)
    })
    .await
}

/// A line, speed, hand or ball that is another from now on.
#[derive(Debug, Deserialize)]
pub struct Shifting {
    key: String,
    #[serde(flatten)]
    shift: Shift,
}

/// Writes a move down.
pub async fn shift(State(app): State<Arc<App>>, Json(asked): Json<Shifting>) -> Answer {
    change(&app, move |app| {
        app.block(|open| {
            let (sheet, key) = (open.desk.sheet()?, desk::own_key(&asked.key)?);
            lines::shift(&mut open.desk, &open.setting, &sheet, &asked.shift, &key)
        })
        .map(|_| "moved".to_owned())
    })
    .await
}

/// Does it, tells every page, and answers with how the block stands.
async fn change(app: &Arc<App>, doing: impl FnOnce(&App) -> Result<String, Failure> + Send + 'static) -> Answer {
    aside(app, move |app| {
        let did = doing(app)?;
        app.changed();
        let mut screen = screen_of(app)?;
        screen["did"] = json!(did);
        Ok(screen)
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
            thinking.say(&format!("next {:?}", which.lane), |desk, setting, sheet, believed| {
                let question = Question::new(desk, setting, sheet, which.lane, SEED)?;
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
            thinking.say(
                &format!("picture {:?} {theme:?} {}", which.lane, which.lying),
                |desk, setting, sheet, believed| {
                    let lane = match which.lane {
                        Some(number) => setting.lane(number)?,
                        None => lane_up(sheet, desk),
                    };
                    let lines = Lines::of(desk, setting)?;
                    let believed = believed(&lines)?;
                    let ball = in_hand(desk, setting, sheet, &believed.belief);
                    Ok(screen::picture(setting, &believed, &lines, lane, ball, (theme, which.lying)).svg().to_owned())
                },
            )
        })
    })
    .await?;
    Ok(([(header::CONTENT_TYPE, "image/svg+xml")], drawn.to_string()).into_response())
}

impl Thinking {
    /// Says something about the sheet as it stands, or says again what was said of it. What is thought of the lanes is learned if it is
    /// needed, from the shots that are new since it was needed last.
    fn say(
        &mut self,
        question: &str,
        ask: impl FnOnce(
            &desk::Desk,
            &desk::Setting,
            &book::Sheet,
            &mut dyn FnMut(&Lines) -> Result<Believed, Failure>,
        ) -> Result<String, Failure>,
    ) -> Result<Arc<str>, Failure> {
        /// Answers worth remembering: card and picture, by day and dark, for both lanes.
        const MOST: usize = 12;
        let Self { block, now, before, said } = self;
        let open = block.as_ref().ok_or_else(no_block)?;
        let (desk, setting) = (&open.desk, &open.setting);
        let (sheet, lines) = (desk.sheet()?, Lines::of(desk, setting)?);
        said.retain(|said| said.sheet == sheet && said.lines == lines);
        if let Some(known) = said.iter().find(|said| said.question == question) {
            return Ok(Arc::clone(&known.text));
        }
        let mut believed = |lines: &Lines| {
            let carry = kit::carry()?;
            let known = [now.take(), before.take()].into_iter().flatten();
            let mut known = known.filter(|known| known.leads_to(desk, setting, &sheet, lines));
            let learned = match known.next() {
                Some(known) => {
                    let mut learned = known.clone();
                    learned.learn(desk, setting, &sheet, lines, carry)?;
                    *before = Some(known);
                    learned
                }
                None => Believed::of(desk, setting, &sheet, lines, carry, SEED)?,
            };
            *now = Some(learned.clone());
            Ok(learned)
        };
        let text: Arc<str> = ask(desk, setting, &sheet, &mut believed)?.into();
        if said.len() < MOST {
            said.push(Said { question: question.to_owned(), sheet, lines, text: Arc::clone(&text) });
        }
        Ok(text)
    }
}
