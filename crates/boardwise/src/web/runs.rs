//! Questions that take long: one at a time, and their answers kept while the program runs, so that a page can be left and opened again.

use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Instant;

use axum::http::StatusCode;
use tokio::sync::Semaphore;

use super::answer::Refusal;
use super::state::{App, lock};
use crate::job::Failure;
use crate::job::bag::Weighing;
use crate::job::block::Forecast;
use crate::job::practice::Plan;

/// An answer.
#[derive(Clone)]
pub enum Found {
    /// Which balls to take.
    Bag(Arc<Weighing>),
    /// How the lanes will change.
    Block(Arc<Forecast>),
    /// What to throw in practice.
    Practice(Arc<Plan>),
}

/// How a question stands.
#[derive(Clone)]
pub enum Standing {
    /// Another is worked on.
    Waiting,
    /// It is worked on.
    Running(Progress),
    /// Answered.
    Done(Found),
    /// It cannot be answered: why.
    Failed(String),
}

/// How far the work has come.
#[derive(Clone)]
pub struct Progress {
    since: Instant,
    thousandths: Arc<AtomicU32>,
}

impl Progress {
    /// The share that is done; 0 where the work does not say.
    pub fn share(&self) -> f64 {
        f64::from(self.thousandths.load(Ordering::Relaxed)) / 1000.0
    }

    /// Seconds since it began.
    pub fn seconds(&self) -> f64 {
        self.since.elapsed().as_secs_f64()
    }
}

/// A question and all files behind it, in short: alike only where they are.
pub type Key = [u8; 32];

/// A question that was asked.
#[derive(Clone)]
pub struct Asked {
    /// Its key.
    pub key: Key,
    /// What to call it.
    pub title: String,
    /// The page that shows it.
    pub page: String,
    /// How it stands.
    pub standing: Standing,
}

/// All of them.
pub struct Runs {
    turn: Semaphore,
    asked: Mutex<Vec<Asked>>,
}

impl Default for Runs {
    fn default() -> Self {
        Self { turn: Semaphore::new(1), asked: Mutex::default() }
    }
}

/// Answers that are kept; the oldest go first.
const MOST_KEPT: usize = 12;
/// Questions that may wait.
const MOST_WAITING: usize = 4;

impl Runs {
    /// How a question stands, if it was asked.
    pub fn standing(&self, key: &Key) -> Option<Standing> {
        lock(&self.asked).iter().find(|one| one.key == *key).map(|one| one.standing.clone())
    }

    /// What was asked, the latest first.
    pub fn all(&self) -> Vec<Asked> {
        lock(&self.asked).iter().rev().cloned().collect()
    }

    /// Puts a question in line, unless it is there or answered already.
    ///
    /// # Errors
    /// If too many wait.
    fn line_up(&self, new: Asked) -> Result<bool, Refusal> {
        let mut asked = lock(&self.asked);
        asked.retain(|one| one.key != new.key || !matches!(one.standing, Standing::Failed(_)));
        if asked.iter().any(|one| one.key == new.key) {
            return Ok(false);
        }
        if asked.iter().filter(|one| matches!(one.standing, Standing::Waiting)).count() >= MOST_WAITING {
            let words = "too many questions wait already; ask again when one of them is answered";
            return Err(Refusal::new(StatusCode::SERVICE_UNAVAILABLE, words));
        }
        let answered = |one: &Asked| matches!(one.standing, Standing::Done(_) | Standing::Failed(_));
        while asked.len() >= MOST_KEPT
            && let Some(oldest) = asked.iter().position(answered)
        {
            asked.remove(oldest);
        }
        asked.push(new);
        Ok(true)
    }

    fn now(&self, key: &Key, standing: Standing) {
        if let Some(one) = lock(&self.asked).iter_mut().find(|one| one.key == *key) {
            one.standing = standing;
        }
    }
}

/// Asks: the work begins once nothing else is worked on.
///
/// # Errors
/// If too many wait.
pub fn start<W>(app: &Arc<App>, new: Asked, work: W) -> Result<(), Refusal>
where
    W: FnOnce(&(dyn Fn(f64) + Sync)) -> Result<Found, Failure> + Send + 'static,
{
    let key = new.key;
    if !app.runs.line_up(new)? {
        return Ok(());
    }
    let app = Arc::clone(app);
    tokio::spawn(async move {
        // It is never closed.
        let Ok(_turn) = app.runs.turn.acquire().await else { return };
        let progress = Progress { since: Instant::now(), thousandths: Arc::default() };
        app.runs.now(&key, Standing::Running(progress.clone()));
        let told = move |share: f64| progress.thousandths.store((share * 1000.0) as u32, Ordering::Relaxed);
        let done = tokio::task::spawn_blocking(move || work(&told)).await;
        let standing = match done {
            Ok(Ok(found)) => Standing::Done(found),
            Ok(Err(failure)) => Standing::Failed(failure.to_string()),
            Err(_) => Standing::Failed("a fault of the program; nothing was changed".to_owned()),
        };
        app.runs.now(&key, standing);
    });
    Ok(())
}
