//! Who is connected: how many at most, and for how long without asking anything.

use std::collections::BTreeMap;
use std::net::{IpAddr, SocketAddr};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use axum::extract::{ConnectInfo, Request};
use axum::{Extension, Router};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Notify;
use tokio_io_timeout::TimeoutStream;
use tower::ServiceExt;

use super::lock::lock;

/// How long a connection may take to ask a question, from its beginning or from the answer before.
const TO_ASK: Duration = Duration::from_secs(20);
/// How long one that is answered may refuse to take anything in.
const TO_TAKE: Duration = Duration::from_secs(30);
/// How long it may take once the program is told to stop.
const GRACE: Duration = Duration::from_secs(5);
/// Connections of one device. A browser makes six at a time.
const MOST_OF_ONE: usize = 64;
/// Connections of all of them, where the system allows so many.
const MOST: usize = 1000;
/// Files that are open beside connections: the record, several times over.
const OTHER_FILES: usize = 200;

/// Lets connections in until the program is told to stop.
pub async fn serve(listener: TcpListener, router: Router, stop: impl Future<Output = ()>) {
    let guests = Arc::new(Guests::new(most()));
    let leaving = GracefulShutdown::new();
    let mut stop = std::pin::pin!(stop);
    loop {
        let (stream, peer) = tokio::select! {
            () = &mut stop => break,
            came = listener.accept() => {
                let Ok(came) = came else {
                    // Without a free file nobody can come in: some leave within moments.
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                };
                came
            }
        };
        // Whoever is not let in hears of it at once: the connection closes.
        if let Some(guest) = guests.let_in(peer.ip()) {
            let connection = attend(stream, peer, guest, router.clone(), &leaving);
            tokio::spawn(connection);
        }
    }
    drop(listener);
    tokio::select! {
        () = leaving.shutdown() => (),
        () = tokio::time::sleep(GRACE) => (),
    }
}

/// As many connections as the system's limit on open files allows.
fn most() -> usize {
    let wanted = (MOST + OTHER_FILES) as u64;
    let allowed = rlimit::increase_nofile_limit(wanted).unwrap_or(wanted);
    (allowed as usize).saturating_sub(OTHER_FILES).clamp(MOST_OF_ONE, MOST)
}

/// Answers on a connection until it closes, is idle for too long, or is told to make room.
fn attend(
    stream: TcpStream,
    peer: SocketAddr,
    guest: Guest,
    router: Router,
    leaving: &GracefulShutdown,
) -> impl Future<Output = ()> + use<> {
    // Small answers go at once.
    let _ = stream.set_nodelay(true);
    let mut stream = TimeoutStream::new(stream);
    stream.set_write_timeout(Some(TO_TAKE));
    let known = Arc::clone(&guest.known);
    let service = router.layer(Extension(ConnectInfo(peer))).map_request(move |request: Request<_>| {
        known.asked.store(true, Ordering::Relaxed);
        request
    });
    let mut http = http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(TO_ASK);
    let connection = http.serve_connection(TokioIo::new(Box::pin(stream)), TowerToHyperService::new(service));
    let connection = leaving.watch(connection);
    async move {
        tokio::select! {
            // What goes wrong on a connection is the other side's affair.
            _ = connection => (),
            () = guest.known.make_room.notified() => (),
        }
        drop(guest);
    }
}

/// Everybody who is connected.
struct Guests {
    most: usize,
    came: AtomicU64,
    /// By number: the oldest first.
    all: Mutex<BTreeMap<u64, Arc<Known>>>,
}

/// What is known of a connection.
struct Known {
    number: u64,
    from: IpAddr,
    /// Whether it ever asked a whole question.
    asked: AtomicBool,
    make_room: Notify,
}

/// A connection; it is counted until this is dropped.
struct Guest {
    known: Arc<Known>,
    guests: Arc<Guests>,
}

impl Guests {
    fn new(most: usize) -> Self {
        Self { most, came: AtomicU64::default(), all: Mutex::default() }
    }

    /// Lets one in where there is room. Where there is none, the oldest of those that never asked anything has to leave for it.
    fn let_in(self: &Arc<Self>, from: IpAddr) -> Option<Guest> {
        let mut all = lock(&self.all);
        let of_one = |known: &&Arc<Known>| known.from == from;
        // Programs of this machine are no strangers: among them is whoever tests the app with a crowd.
        let too_many_of_one = !from.is_loopback() && all.values().filter(of_one).count() >= MOST_OF_ONE;
        if too_many_of_one || all.len() >= self.most {
            let mut silent = all.values().filter(|known| !known.asked.load(Ordering::Relaxed));
            let oldest = silent.find(|known| !too_many_of_one || known.from == from).map(Arc::clone)?;
            oldest.make_room.notify_one();
            all.remove(&oldest.number);
        }
        let number = self.came.fetch_add(1, Ordering::Relaxed);
        let known = Arc::new(Known { number, from, asked: AtomicBool::new(false), make_room: Notify::new() });
        all.insert(number, Arc::clone(&known));
        Some(Guest { known, guests: Arc::clone(self) })
    }
}

impl Drop for Guest {
    fn drop(&mut self) {
        lock(&self.guests.all).remove(&self.known.number);
    }
}

#[cfg(test)]
mod tests {
    use axum::routing::get;
    use tokio::io::{AsyncReadExt, AsyncWriteExt};

    use super::*;

    /// A door with one page behind it.
    async fn open() -> SocketAddr {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let place = listener.local_addr().unwrap();
        let router = Router::new().route("/", get(async || "here"));
        tokio::spawn(serve(listener, router, std::future::pending()));
        place
    }

    /// What is read until the other side closes; the clock runs ahead while nothing happens.
    async fn until_closed(mut stream: TcpStream) -> String {
        let mut all = Vec::new();
        let read = tokio::time::timeout(5 * TO_ASK, stream.read_to_end(&mut all)).await;
        assert!(read.is_ok(), "it stayed open");
        String::from_utf8(all).unwrap()
    }

    #[tokio::test(start_paused = true)]
    async fn law_a_connection_that_asks_nothing_or_half_a_question_is_closed() {
        let place = open().await;
        for half in ["", "GET / HTTP/1.1\r\n", "GET / HTTP/1.1\r\nHost: here\r\nX-Slow: "] {
            let mut stream = TcpStream::connect(place).await.unwrap();
            stream.write_all(half.as_bytes()).await.unwrap();
            assert!(!until_closed(stream).await.contains("here"), "{half:?}");
        }
    }

    #[tokio::test(start_paused = true)]
    async fn law_whoever_asks_is_answered_and_closed_once_nothing_more_is_asked() {
        let mut stream = TcpStream::connect(open().await).await.unwrap();
        stream.write_all(b"GET / HTTP/1.1\r\nHost: here\r\n\r\n").await.unwrap();
        let said = until_closed(stream).await;
        assert!(said.starts_with("HTTP/1.1 200") && said.ends_with("here"), "{said}");
    }

    fn asks(guest: &Guest) {
        guest.known.asked.store(true, Ordering::Relaxed);
    }

    #[test]
    fn law_silent_connections_make_room_and_those_that_ask_stay() {
        let guests = Arc::new(Guests::new(3));
        let at = |last: u8| IpAddr::from([192, 0, 2, last]);
        let mut inside: Vec<Guest> = (1..=3).filter_map(|last| guests.let_in(at(last))).collect();
        asks(&inside[0]);
        inside.extend(guests.let_in(at(4)));
        assert_eq!(inside.len(), 4, "there is room again");
        let inside_now = |guest: &Guest| lock(&guests.all).contains_key(&guest.known.number);
        assert_eq!(
            inside.iter().map(inside_now).collect::<Vec<_>>(),
            [true, false, true, true],
            "the oldest silent one left"
        );
        inside.iter().for_each(asks);
        assert!(guests.let_in(at(5)).is_none(), "nobody who asks is thrown out");
        inside.remove(0);
        assert!(guests.let_in(at(5)).is_some());
    }

    #[test]
    fn law_one_device_takes_no_more_than_its_share() {
        let guests = Arc::new(Guests::new(1000));
        let [greedy, other] = [[192, 0, 2, 1], [192, 0, 2, 2]].map(IpAddr::from);
        let inside: Vec<Guest> = (0..1000).map_while(|_| guests.let_in(greedy).inspect(asks)).collect();
        assert_eq!(inside.len(), MOST_OF_ONE);
        assert!(guests.let_in(other).is_some());
        let own = IpAddr::from([127, 0, 0, 1]);
        assert_eq!(
            (0..100).filter_map(|_| guests.let_in(own).inspect(asks)).count(),
            100,
            "this machine is no stranger"
        );
    }
}
