//! Long questions worked on, one after the other.

use std::sync::Arc;
#[cfg(feature = "server")]
use std::task::{Context, Poll, Waker};
#[cfg(feature = "server")]
use std::time::Duration;
use std::time::Instant;

use boardwise_search::Progress;
#[cfg(feature = "server")]
use boardwise_session::at_lanes::after::{SheetChoice, Story};
use boardwise_session::{Failure, Work};

use super::answer::Refusal;
use super::queues::Workers;
use super::runs::{Begun, Hears, Run, RunAnswer, RunState};
use super::state::App;

/// Asks: the work begins once nothing else is worked on.
///
/// # Errors
/// If too many wait.
pub fn start<W>(app: &Arc<App>, new: Run, work: W) -> Result<(), Refusal>
where
    W: FnOnce(Work<'_>) -> Result<RunAnswer, Failure> + Send + 'static,
{
    let (progress, number) = (new.progress.clone(), new.number);
    if !app.runs.line_up(new)? {
        return Ok(());
    }
    let Some(long) = app.queues.long.clone() else {
        let here = Arc::clone(app);
        // There is no other that it waits for: it is worked on as soon as its page stands.
        let since = begin(app, number, &progress);
        app.runs.put_off(Box::new(move |hears| answer(&here, number, &progress, since, hears, work)));
        return Ok(());
    };
    run_in_turn(Arc::clone(app), long, number, progress, work);
    Ok(())
}

/// Notes that a question is worked on from now on.
fn begin(app: &App, number: u64, progress: &Progress) -> Instant {
    let since = Instant::now();
    app.runs.now(number, RunState::Running(Begun { since, progress: progress.clone() }));
    since
}

/// Works on a question that was begun, here and now, and notes the answer.
fn answer<W>(app: &App, number: u64, progress: &Progress, since: Instant, hears: Hears<'_>, work: W)
where
    W: FnOnce(Work<'_>) -> Result<RunAnswer, Failure>,
{
    // Work looks at the clock between its pieces.
    let clock = || {
        hears(progress.share());
        since.elapsed()
    };
    let state = match work(Work { progress, clock: &clock }) {
        Ok(found) => RunState::Done(found),
        Err(Failure::Stopped(_)) => RunState::Stopped,
        Err(failure) => RunState::Failed(failure.to_string()),
    };
    app.runs.now(number, state);
}

/// There are no threads for it: a program without a server has none.
#[cfg(not(feature = "server"))]
#[expect(clippy::needless_pass_by_value, reason = "with a server it goes to another thread")]
fn run_in_turn<W>(_: Arc<App>, long: Arc<Workers>, _: u64, _: Progress, _: W) {
    match *long {}
}

#[cfg(feature = "server")]
fn run_in_turn<W>(app: Arc<App>, long: Arc<Workers>, number: u64, progress: Progress, work: W)
where
    W: FnOnce(Work<'_>) -> Result<RunAnswer, Failure> + Send + 'static,
{
    // It stands in line from here on: tasks may begin in another order than they were asked for.
    let mut turn = Box::pin(Arc::clone(&app.runs.turn).acquire_owned());
    let at_once = turn.as_mut().poll(&mut Context::from_waker(Waker::noop()));
    tokio::spawn(async move {
        let turn = match at_once {
            Poll::Ready(turn) => turn,
            Poll::Pending => turn.await,
        };
        // It is never closed.
        let Ok(_turn) = turn else { return };
        if progress.cancelled() {
            return;
        }
        let working = {
            let app = Arc::clone(&app);
            move || long.run(|| answer(&app, number, &progress, begin(&app, number, &progress), &|_| (), work))
        };
        if tokio::task::spawn_blocking(working).await.is_err() {
            app.runs.now(number, RunState::Failed("a fault of the program; nothing was changed".to_owned()));
        }
    });
}

/// There are no threads for it: the page works the account out when it is opened.
#[cfg(not(feature = "server"))]
pub fn account_ahead(_: &Arc<App>) {}

/// Works the account of the present block out where it is complete and nobody changes it for a moment, so that the page *After* opens with
/// it. It has its turn among the long questions, on their threads.
#[cfg(feature = "server")]
pub fn account_ahead(app: &Arc<App>) {
    /// A last ball told wrong is put right about this soon.
    const QUIET: Duration = Duration::from_secs(2);
    let Some(long) = app.queues.long.clone() else { return };
    let (app, number) = (Arc::clone(app), *app.live.borrow());
    tokio::spawn(async move {
        tokio::time::sleep(QUIET).await;
        let Ok(_turn) = Arc::clone(&app.runs.turn).acquire_owned().await else { return };
        if *app.live.borrow() != number {
            return;
        }
        // Nobody waits for it; what fails is told to whoever opens the page.
        let working = move || {
            long.run(|| {
                let story = Story::of(&app.record, &SheetChoice::default())?;
                if story.is_complete() { app.accounts.of(&story).map(drop) } else { Ok(()) }
            })
        };
        let _ = tokio::task::spawn_blocking(working).await;
    });
}
