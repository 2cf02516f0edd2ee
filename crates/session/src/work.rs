//! What long work is given from outside.

use std::time::Duration;

use boardwise_search::{Progress, Stopped};

/// Time since some instant that stays the same, from the clock of whoever runs the session.
pub type Clock<'a> = &'a (dyn Fn() -> Duration + Sync);

/// Long work: where it reports and is cancelled, and the clock that says how long it took.
#[derive(Clone, Copy)]
pub struct Work<'a> {
    /// How far it has come, and whether anybody still wants it.
    pub progress: &'a Progress,
    /// The clock. It is looked at at the start, at the end and wherever work says how far it has come, so that whoever runs it all on one
    /// thread hears of that.
    pub clock: Clock<'a>,
}

impl Work<'_> {
    /// Says that `done` of `of` pieces are done.
    ///
    /// # Errors
    /// If the work was cancelled.
    pub fn report(&self, done: f64, of: f64) -> Result<(), Stopped> {
        let go_on = self.progress.report(done, of);
        (self.clock)();
        go_on
    }

    /// Does something, and says how many seconds it took.
    ///
    /// # Errors
    /// What it fails with.
    pub fn timed<T, E>(&self, doing: impl FnOnce(&Progress) -> Result<T, E>) -> Result<(T, f64), E> {
        let start = (self.clock)();
        let done = doing(self.progress)?;
        Ok((done, (self.clock)().saturating_sub(start).as_secs_f64()))
    }
}
