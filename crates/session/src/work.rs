//! What long work is given from outside.

use std::time::Duration;

use boardwise_search::Progress;

/// Time since some instant that stays the same, from the clock of whoever runs the session.
pub type Clock<'a> = &'a (dyn Fn() -> Duration + Sync);

/// Long work: where it reports and is cancelled, and the clock that says how long it took.
#[derive(Clone, Copy)]
pub struct Work<'a> {
    /// How far it has come, and whether anybody still wants it.
    pub progress: &'a Progress,
    /// The clock.
    pub clock: Clock<'a>,
}

impl Work<'_> {
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
