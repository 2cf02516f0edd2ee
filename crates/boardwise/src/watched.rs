//! Long work at a terminal: a bar on standard error, if somebody watches.

use std::io::{IsTerminal, stderr};
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, Thread};
use std::time::{Duration, Instant};

use boardwise_search::Progress;
use boardwise_session::Work;
use indicatif::{ProgressBar, ProgressStyle};

/// How often the bar is drawn.
const EVERY: Duration = Duration::from_millis(100);

/// Does something long with a bar. A command is stopped as any is, by the terminal's interrupt.
pub fn watched<T>(doing: impl FnOnce(Work<'_>) -> T) -> T {
    watched_if(true, doing)
}

/// The same; without a bar where it would stand among what is printed.
pub fn watched_if<T>(bar: bool, doing: impl FnOnce(Work<'_>) -> T) -> T {
    let (start, progress) = (Instant::now(), Progress::default());
    let clock = || start.elapsed();
    let work = Work { progress: &progress, clock: &clock };
    if !bar || !stderr().is_terminal() {
        return doing(work);
    }
    let over = AtomicBool::new(false);
    thread::scope(|scope| {
        let drawing = scope.spawn(|| draw(&progress, &over));
        // Also where the work panics: the scope waits for whoever draws.
        let _end = End { over: &over, drawing: drawing.thread() };
        doing(work)
    })
}

/// Draws the bar until the work is over.
fn draw(progress: &Progress, over: &AtomicBool) {
    let bar = ProgressBar::new(1000);
    if let Ok(style) = ProgressStyle::with_template("throwing {bar:40} {percent}%") {
        bar.set_style(style);
    }
    while !over.load(Ordering::Acquire) {
        bar.set_position((progress.share() * 1000.0) as u64);
        thread::park_timeout(EVERY);
    }
    bar.finish_and_clear();
}

/// Ends the drawing when it goes.
struct End<'a> {
    over: &'a AtomicBool,
    drawing: &'a Thread,
}

impl Drop for End<'_> {
    fn drop(&mut self) {
        self.over.store(true, Ordering::Release);
        self.drawing.unpark();
    }
}
