//! Questions that take long: one at a time, and their answers kept while the program runs, so that a page can be left and opened again.

use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Instant;

use axum::http::StatusCode;
use boardwise_search::Progress;
#[cfg(feature = "server")]
use tokio::sync::Semaphore;

use super::answer::Refusal;
use super::lock::lock;
use boardwise_session::bag::Weighing;
use boardwise_session::block::Forecast;
use boardwise_session::brief::Brief;
use boardwise_session::practice::Plan;

/// What a question was answered with.
#[derive(Clone)]
pub enum RunAnswer {
    /// Which balls to take.
    Bag(Arc<Weighing>),
    /// How the lanes will change.
    Block(Arc<Forecast>),
    /// What to throw in practice.
    Practice(Arc<Plan>),
    /// All of it on one page.
    Brief(Arc<Brief>),
}

/// How far a question is.
#[derive(Clone)]
pub enum RunState {
    /// Another is worked on.
    Waiting,
    /// It is worked on.
    Running(Begun),
    /// Answered.
    Done(RunAnswer),
    /// It cannot be answered: why.
    Failed(String),
    /// Somebody wanted it no more.
    Stopped,
}

/// Work that has begun.
#[derive(Clone)]
pub struct Begun {
    pub(super) since: Instant,
    pub(super) progress: Progress,
}

impl Begun {
    /// The share that is done; 0 where the work does not say.
    pub fn share(&self) -> f64 {
        self.progress.share()
    }

    /// Seconds since it began.
    pub fn seconds(&self) -> f64 {
        self.since.elapsed().as_secs_f64()
    }
}

/// A question and all files behind it, in short: alike only where they are.
pub type Key = [u8; 32];

/// A question that was asked, with its answer once there is one.
#[derive(Clone)]
pub struct Run {
    /// Its key.
    pub key: Key,
    /// What to call it.
    pub title: String,
    /// The page that shows it.
    pub page: String,
    /// How far it is.
    pub state: RunState,
    /// How far it has come, and whether somebody still wants it.
    pub(super) progress: Progress,
    /// Tells it from the same question asked again.
    pub(super) number: u64,
}

impl Run {
    /// A question that waits for its turn.
    pub fn new(key: Key, title: String, page: String) -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        Self { key, title, page, state: RunState::Waiting, progress: Progress::default(), number }
    }
}

/// Hears the share of some work that is done, 0 to 1.
pub type Hears<'a> = &'a (dyn Fn(f64) + Sync);

/// Work that is put off.
pub type Later = Box<dyn FnOnce(Hears<'_>) + Send>;

/// All of them.
#[cfg_attr(not(feature = "server"), derive(Default))]
pub struct Runs {
    #[cfg(feature = "server")]
    pub(super) turn: Arc<Semaphore>,
    all: Mutex<Vec<Run>>,
    put_off: Mutex<Vec<Later>>,
}

#[cfg(feature = "server")]
impl Default for Runs {
    fn default() -> Self {
        Self { turn: Arc::new(Semaphore::new(1)), all: Mutex::default(), put_off: Mutex::default() }
    }
}

/// Answers that are kept; the oldest go first.
const MOST_KEPT: usize = 12;
/// Questions that may wait.
const MOST_WAITING: usize = 4;

impl Runs {
    /// How far a question is, if it was asked.
    pub fn state(&self, key: &Key) -> Option<RunState> {
        lock(&self.all).iter().find(|one| one.key == *key).map(|one| one.state.clone())
    }

    /// What was asked, the latest first.
    pub fn all(&self) -> Vec<Run> {
        lock(&self.all).iter().rev().cloned().collect()
    }

    /// Puts a question in line, unless it is there or answered already.
    ///
    /// # Errors
    /// If too many wait.
    pub(super) fn line_up(&self, new: Run) -> Result<bool, Refusal> {
        let mut runs = lock(&self.all);
        runs.retain(|one| one.key != new.key || !matches!(one.state, RunState::Failed(_) | RunState::Stopped));
        if runs.iter().any(|one| one.key == new.key) {
            return Ok(false);
        }
        if runs.iter().filter(|one| matches!(one.state, RunState::Waiting)).count() >= MOST_WAITING {
            let words = "too many questions wait already; ask again when one of them is answered";
            return Err(Refusal::new(StatusCode::SERVICE_UNAVAILABLE, words));
        }
        let answered = |one: &Run| matches!(one.state, RunState::Done(_) | RunState::Failed(_) | RunState::Stopped);
        while runs.len() >= MOST_KEPT
            && let Some(oldest) = runs.iter().position(answered)
        {
            runs.remove(oldest);
        }
        runs.push(new);
        Ok(true)
    }

    /// Puts work off, where there is one thread for everything: a page stands before its answer does.
    pub(super) fn put_off(&self, work: Later) {
        lock(&self.put_off).push(work);
    }

    /// How much was put off.
    pub(super) fn behind(&self) -> usize {
        lock(&self.put_off).len()
    }

    /// Does what was put off; `hears` is told now and then how far it has come.
    pub(super) fn catch_up(&self, hears: Hears<'_>) {
        let put_off = std::mem::take(&mut *lock(&self.put_off));
        for work in put_off {
            work(hears);
        }
    }

    /// Stops a question that waits or is worked on; its work ends within a second or so, and the next one has its turn.
    pub fn stop(&self, key: &Key) {
        let mut runs = lock(&self.all);
        let open = |one: &&mut Run| matches!(one.state, RunState::Waiting | RunState::Running(_));
        if let Some(one) = runs.iter_mut().find(|one| one.key == *key).filter(open) {
            one.progress.cancel();
            one.state = RunState::Stopped;
        }
    }

    /// Notes how far the question of this number is. One that was stopped stays so, even if it was asked again since.
    pub(super) fn now(&self, number: u64, state: RunState) {
        let same = |one: &&mut Run| one.number == number && !one.progress.cancelled();
        if let Some(one) = lock(&self.all).iter_mut().find(same) {
            one.state = state;
        }
    }
}
