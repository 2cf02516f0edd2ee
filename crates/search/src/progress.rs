//! How far long work has come, and whether anybody still wants it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

use thiserror::Error;

/// A handle on long work, held by whoever does it and by whoever waits for it. Clones are handles on the same work.
///
/// The work reports how far it has come, from whichever thread gets there, and stops within one piece of work once it is
/// cancelled. There is no other way of stopping it. A handle never changes what the work finds.
///
/// ```
/// use boardwise_search::{Progress, Stopped};
///
/// let progress = Progress::default();
/// progress.report(1.0, 4.0)?;
/// assert_eq!(progress.share(), 0.25);
/// // The second half of the work counts its own pieces.
/// progress.part(0.5, 1.0).report(1.0, 2.0)?;
/// assert_eq!(progress.share(), 0.75);
/// progress.cancel();
/// assert_eq!(progress.report(2.0, 2.0), Err(Stopped));
/// # Ok::<(), Stopped>(())
/// ```
#[derive(Clone, Debug)]
pub struct Progress {
    state: Arc<State>,
    from: f64,
    to: f64,
}

#[derive(Debug, Default)]
struct State {
    millionths: AtomicU32,
    cancelled: AtomicBool,
}

/// Work was cancelled before it was done.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
#[error("stopped before it was done")]
pub struct Stopped;

impl Default for Progress {
    fn default() -> Self {
        Self { state: Arc::default(), from: 0.0, to: 1.0 }
    }
}

impl Progress {
    /// Says that `done` of `of` pieces are done. What was reported before stays where that was more.
    ///
    /// # Errors
    /// If the work was cancelled.
    pub fn report(&self, done: f64, of: f64) -> Result<(), Stopped> {
        let share = self.from + (self.to - self.from) * (done / of).clamp(0.0, 1.0);
        self.state.millionths.fetch_max((1e6 * share).round() as u32, Ordering::Relaxed);
        self.go_on()
    }

    /// Whether to go on.
    ///
    /// # Errors
    /// If the work was cancelled.
    pub fn go_on(&self) -> Result<(), Stopped> {
        if self.cancelled() { Err(Stopped) } else { Ok(()) }
    }

    /// A handle for a part of the work, which fills the shares `from` to `to` of this one.
    #[must_use]
    pub fn part(&self, from: f64, to: f64) -> Self {
        let at = |share: f64| self.from + (self.to - self.from) * share;
        Self { state: Arc::clone(&self.state), from: at(from), to: at(to) }
    }

    /// The share done of all the work, 0 to 1.
    pub fn share(&self) -> f64 {
        1e-6 * f64::from(self.state.millionths.load(Ordering::Relaxed))
    }

    /// Cancels the work: nobody wants it any more.
    pub fn cancel(&self) {
        self.state.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether it was cancelled.
    pub fn cancelled(&self) -> bool {
        self.state.cancelled.load(Ordering::Relaxed)
    }
}
