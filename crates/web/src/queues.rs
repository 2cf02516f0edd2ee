//! Who waits for whom. Work of one kind waits in a queue of its own, and what computes has its own threads, so that no shot waits for a
//! card and no card for a forecast.

use std::sync::Arc;
#[cfg(feature = "server")]
use std::sync::atomic::{AtomicUsize, Ordering};

#[cfg(feature = "server")]
use axum::http::StatusCode;
use boardwise_search::Progress;
use boardwise_session::Failure;
#[cfg(feature = "server")]
use rayon::{ThreadPool, ThreadPoolBuilder};
#[cfg(feature = "server")]
use thread_priority::{ThreadPriority, ThreadPriorityValue, set_current_thread_priority};
#[cfg(feature = "server")]
use tokio::sync::Semaphore;

use super::answer::Refusal;

/// All queues.
pub struct Queues {
    /// Shots, moves, undos, and how the block stands: a few milliseconds each.
    pub record: Queue,
    /// The card, its picture, and the beginning of a block.
    pub card: Queue,
    /// Pages, and what the lab shows while a hand drags.
    pub page: Queue,
    /// Searches for lines.
    pub lines: Queue,
    /// Where pins were won and lost.
    pub account: Queue,
    /// Forecasts, practice plans and bags. They stand in a line of their own ([`super::runs`]).
    pub long: Option<Arc<Workers>>,
}

/// Work of one kind.
pub enum Queue {
    /// Each piece is done where it is asked for, before anything else: one caller, one thread.
    AtOnce,
    /// It waits for its turn.
    #[cfg(feature = "server")]
    InTurn(Turns),
}

/// Work that waits for its turn.
#[cfg(feature = "server")]
pub struct Turns {
    seats: Arc<Semaphore>,
    /// Questions that are worked on or wait.
    inside: Arc<AtomicUsize>,
    most: usize,
    workers: Option<Arc<Workers>>,
}

/// Threads for one kind of computing.
#[cfg(feature = "server")]
pub struct Workers(ThreadPool);

/// There are none.
#[cfg(not(feature = "server"))]
pub enum Workers {}

#[cfg(feature = "server")]
impl Workers {
    /// As many as there are cores.
    ///
    /// # Errors
    /// If the system starts no thread.
    fn new(name: &'static str, priority: ThreadPriority) -> std::io::Result<Self> {
        let threads = ThreadPoolBuilder::new().thread_name(move |k| format!("{name} {k}"));
        // A system that refuses leaves the thread as it was: others wait longer, and every answer is the same.
        let threads = threads.start_handler(move |_| drop(set_current_thread_priority(priority)));
        threads.build().map(Self).map_err(std::io::Error::other)
    }

    /// Does the work and all its parts on these threads.
    pub fn run<T: Send>(&self, work: impl FnOnce() -> T + Send) -> T {
        self.0.install(work)
    }
}

/// Questions to the record at once.
#[cfg(feature = "server")]
const RECORD_SEATS: usize = 4;
/// Pages at once.
#[cfg(feature = "server")]
const PAGE_SEATS: usize = 2;
/// The card, searches for lines, accounts and forecasts each have one.
#[cfg(feature = "server")]
const ONE_SEAT: usize = 1;

impl Queues {
    /// Threads that all queues together need, and two for what waits in none. More would do no more and hold memory: each keeps for itself
    /// much of what it freed.
    #[cfg(feature = "server")]
    pub const THREADS: usize = RECORD_SEATS + PAGE_SEATS + 4 * ONE_SEAT + 2;

    /// For one caller on one thread.
    pub fn at_once() -> Self {
        let queue = || Queue::AtOnce;
        Self { record: queue(), card: queue(), page: queue(), lines: queue(), account: queue(), long: None }
    }

    /// Empty ones.
    ///
    /// # Errors
    /// If the system starts no thread.
    #[cfg(feature = "server")]
    pub fn new() -> std::io::Result<Self> {
        // A little less than whoever serves and logs: a shot takes milliseconds, and a card all the cores for half a second.
        let below = ThreadPriorityValue::try_from(35).map_or(ThreadPriority::Min, ThreadPriority::Crossplatform);
        let card = Arc::new(Workers::new("card", below)?);
        // A forecast takes minutes and a search for lines a second: on the same threads the one would wait for the other.
        let soon = Arc::new(Workers::new("lines", ThreadPriority::Min)?);
        let long = Arc::new(Workers::new("forecast", ThreadPriority::Min)?);
        Ok(Self {
            record: Queue::InTurn(Turns::new(RECORD_SEATS, 512, None)),
            card: Queue::InTurn(Turns::new(ONE_SEAT, 256, Some(card))),
            page: Queue::InTurn(Turns::new(PAGE_SEATS, 64, None)),
            lines: Queue::InTurn(Turns::new(ONE_SEAT, 8, Some(Arc::clone(&soon)))),
            account: Queue::InTurn(Turns::new(ONE_SEAT, 16, Some(soon))),
            long: Some(long),
        })
    }
}

impl Queue {
    /// Does work that waits for the disk or computes, once it has its turn.
    ///
    /// # Errors
    /// 503 if too much waits already; what the work fails with.
    #[cfg_attr(not(feature = "server"), expect(clippy::unused_async, reason = "with a server it waits for its turn"))]
    pub async fn work<A: Send + Sync + 'static, T: Send + 'static>(
        &self,
        app: &Arc<A>,
        work: impl FnOnce(&A) -> Result<T, Failure> + Send + 'static,
    ) -> Result<T, Refusal> {
        match self {
            Self::AtOnce => work(app).map_err(Into::into),
            #[cfg(feature = "server")]
            Self::InTurn(turns) => turns.work(app, work).await,
        }
    }

    /// The same for work that can be cancelled: where nobody waits for it any more, it ends within a moment.
    ///
    /// # Errors
    /// As [`Self::work`].
    pub async fn work_while_asked<A: Send + Sync + 'static, T: Send + 'static>(
        &self,
        app: &Arc<A>,
        work: impl FnOnce(&A, &Progress) -> Result<T, Failure> + Send + 'static,
    ) -> Result<T, Refusal> {
        let asker = Asker::default();
        let progress = asker.0.clone();
        self.work(app, move |app| work(app, &progress)).await
    }
}

/// Cancels work once the request that waits for it is gone.
#[derive(Default)]
struct Asker(Progress);

impl Drop for Asker {
    fn drop(&mut self) {
        self.0.cancel();
    }
}

#[cfg(feature = "server")]
impl Turns {
    /// `seats` questions are worked on at once; `most` are worked on or wait.
    fn new(seats: usize, most: usize, workers: Option<Arc<Workers>>) -> Self {
        Self { seats: Arc::new(Semaphore::new(seats)), inside: Arc::default(), most, workers }
    }

    /// Does work away from the threads that serve.
    async fn work<A: Send + Sync + 'static, T: Send + 'static>(
        &self,
        app: &Arc<A>,
        work: impl FnOnce(&A) -> Result<T, Failure> + Send + 'static,
    ) -> Result<T, Refusal> {
        let place = self.place()?;
        // It is never closed.
        let seat = Arc::clone(&self.seats).acquire_owned().await.map_err(|_| Refusal::broken())?;
        let (app, workers) = (Arc::clone(app), self.workers.clone());
        let work = move || {
            // Both are held until the work is done, even where nobody waits for it any more.
            let _held = (place, seat);
            match workers {
                Some(workers) => workers.run(|| work(&app)),
                None => work(&app),
            }
        };
        match tokio::task::spawn_blocking(work).await {
            Ok(done) => done.map_err(Into::into),
            Err(_) => Err(Refusal::broken()),
        }
    }

    fn place(&self) -> Result<Place, Refusal> {
        let place = Place(Arc::clone(&self.inside));
        if self.inside.fetch_add(1, Ordering::Relaxed) >= self.most {
            let words = "too many questions wait on this machine already; ask again in a moment";
            return Err(Refusal::new(StatusCode::SERVICE_UNAVAILABLE, words));
        }
        Ok(place)
    }
}

/// A place in a queue; free again once it is dropped.
#[cfg(feature = "server")]
struct Place(Arc<AtomicUsize>);

#[cfg(feature = "server")]
impl Drop for Place {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

#[cfg(all(test, feature = "server"))]
mod tests {
    use std::sync::mpsc;
    use std::time::Duration;

    use rayon::prelude::*;

    use super::super::state::tests::evening;
    use super::*;

    /// Longer than anything here takes on a busy machine.
    const PATIENCE: Duration = Duration::from_mins(1);

    fn turns(queue: &Queue) -> &Turns {
        let Queue::InTurn(turns) = queue else { panic!("a server's work waits for its turn") };
        turns
    }

    #[test]
    fn law_a_card_is_answered_while_a_forecast_holds_all_its_threads() {
        let queues = Queues::new().unwrap();
        let (release, held) = mpsc::channel::<()>();
        let held = std::sync::Mutex::new(held);
        let long = queues.long.clone().unwrap();
        let forecast = std::thread::spawn(move || {
            long.run(|| {
                let hold = |_| drop(held.lock().map(|held| held.recv()));
                (0..rayon::current_num_threads()).into_par_iter().for_each(hold);
            });
        });
        let (answered, answer) = mpsc::channel();
        let card = turns(&queues.card).workers.clone().unwrap();
        std::thread::spawn(move || answered.send(card.run(|| (0..1000_u64).into_par_iter().sum::<u64>())));
        assert_eq!(answer.recv_timeout(PATIENCE), Ok(499_500), "the card waited for the forecast");
        drop(release);
        forecast.join().unwrap();
    }

    #[test]
    #[cfg(target_os = "linux")]
    fn law_a_forecast_computes_only_where_nobody_else_wants_the_core() {
        let queues = Queues::new().unwrap();
        // The nineteenth number (proc(5)); the name before it may hold blanks.
        let nice = || {
            let all = std::fs::read_to_string("/proc/thread-self/stat").unwrap();
            let after_name = all.rsplit_once(')').unwrap().1;
            after_name.split_whitespace().nth(16).unwrap().parse::<i32>().unwrap()
        };
        let own = nice();
        let card = turns(&queues.card).workers.as_ref().unwrap().run(nice);
        assert!(card < 19 && card == own.max(5), "the card comes after shots, and long before a forecast: {card}");
        assert_eq!(turns(&queues.lines).workers.as_ref().unwrap().run(nice), 19);
        assert_eq!(queues.long.as_ref().unwrap().run(nice), 19);
    }

    #[tokio::test]
    async fn law_a_full_queue_refuses_in_words_and_others_go_on() {
        let (_folder, app) = evening();
        let app = Arc::new(app);
        let (release, held) = mpsc::channel::<()>();
        let first = tokio::spawn({
            let app = Arc::clone(&app);
            async move { app.queues.lines.work(&app, move |_| Ok(held.recv().is_err())).await.is_ok() }
        });
        // Once it has its seat, the rest can only wait.
        while turns(&app.queues.lines).seats.available_permits() > 0 {
            tokio::time::sleep(Duration::from_millis(5)).await;
        }
        let mut waiting = Vec::new();
        let mut refused = 0;
        for _ in 0..600 {
            let mut asking = Box::pin(app.queues.lines.work(&app, |_| Ok(())));
            match std::future::poll_fn(|context| std::task::Poll::Ready(asking.as_mut().poll(context))).await {
                std::task::Poll::Pending => waiting.push(asking),
                std::task::Poll::Ready(answer) => {
                    let refusal = answer.unwrap_err();
                    assert!(refusal.words().contains("ask again in a moment"), "{}", refusal.words());
                    refused += 1;
                }
            }
        }
        assert_eq!(
            (waiting.len(), refused),
            (turns(&app.queues.lines).most - 1, 600 - turns(&app.queues.lines).most + 1)
        );
        let shots = app.queues.record.work(&app, crate::state::App::served).await;
        assert!(shots.is_ok(), "shots do not wait with them");
        drop(release);
        assert!(first.await.unwrap());
        for asking in waiting {
            assert!(asking.await.is_ok(), "whoever waited is answered");
        }
        assert_eq!(turns(&app.queues.lines).inside.load(Ordering::Relaxed), 0);
    }
}
