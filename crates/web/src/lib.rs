//! The app: pages for the phone at the lanes and the desk at home, served by this program to browsers on this machine. Devices of the
//! local network get in only once they are paired.
//!
//! # From question to answer
//!
//! 1. [`Serving`] says what is served: the record, the folder of the user's own files, the port, and whether devices may be paired.
//! 2. [`serve`] runs until it is stopped. It calls back once it is ready, with the addresses to open ([`Started`]).
//!
//! ```no_run
//! use boardwise_web::{Serving, serve};
//!
//! let serving =
//!     Serving { record: "mine.record".into(), kit: "kit".into(), port: 8080, network: false };
//! serve(&serving, |started| println!("open {}", started.here))?;
//! # Ok::<(), boardwise_web::CannotServe>(())
//! ```
//!
//! # Units
//!
//! Pages show boards, feet, miles per hour and degrees. The JSON of the app is the session's.
//!
//! # Limits, and where it is weak
//!
//! - Pages come over plain HTTP. Without `network` only this machine is answered.
//! - Pages are drawn on the server, so a phone needs it within reach.
//! - `docs/app.md` says what works without a network, and who may use the app.

mod addresses;
mod after;
mod answer;
mod assets;
mod at_lanes;
mod before;
mod devices;
mod door;
mod first;
#[cfg(test)]
mod for_scripts;
mod guard;
mod kit;
mod lab;
mod live;
mod pages;
mod pairing;
mod query;
mod queues;
mod record;
mod runs;
mod served;
mod stamp;
mod state;
mod thinking;
mod views;

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::middleware::from_fn_with_state;
use axum::routing::{get, post};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;

pub use addresses::Address;
use boardwise_session::Failure;
pub use devices::devices_beside;
use state::App;
use thiserror::Error;

/// What is served, and to whom.
#[derive(Clone, Debug)]
pub struct Serving {
    /// The record.
    pub record: PathBuf,
    /// Folder of the user's own lanes, bags, bowlers and events.
    pub kit: PathBuf,
    /// Port.
    pub port: u16,
    /// Whether devices of the local network may be paired.
    pub network: bool,
}

/// Why the app cannot be served.
#[derive(Debug, Error)]
pub enum CannotServe {
    /// The port cannot be had.
    #[error("cannot serve on port {at}: {source}")]
    Port {
        /// The port.
        at: u16,
        /// The system's reason.
        source: std::io::Error,
    },
    /// The record or a file beside it cannot be opened.
    #[error(transparent)]
    Failed(#[from] Failure),
}

/// Serves until the program is told to stop. `ready` is told where, and again whenever the machine has other addresses.
///
/// # Errors
/// If the port is taken, or the record cannot be opened.
pub fn serve(serving: &Serving, ready: impl FnMut(&Started)) -> Result<(), CannotServe> {
    let threads = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    let threads = threads.map_err(|source| CannotServe::Port { at: serving.port, source })?;
    let served = threads.block_on(run(serving, ready));
    // What still computes is not waited for: nothing of it is written down.
    threads.shutdown_timeout(Duration::from_millis(100));
    served
}

/// Where the app can be opened.
pub struct Started {
    /// On this machine.
    pub here: String,
    /// From the local network, where devices may be paired.
    pub network: Option<Network>,
}

/// How other devices find this machine.
pub struct Network {
    /// Where, in each network that it is in; empty while it is in none.
    pub addresses: Vec<Address>,
    /// The code that pairs a device.
    pub code: String,
}

async fn run(serving: &Serving, mut ready: impl FnMut(&Started)) -> Result<(), CannotServe> {
    let failed = |source| CannotServe::Port { at: serving.port, source };
    let host: IpAddr = if serving.network { Ipv4Addr::UNSPECIFIED.into() } else { Ipv4Addr::LOCALHOST.into() };
    let listener = tokio::net::TcpListener::bind(SocketAddr::new(host, serving.port)).await.map_err(failed)?;
    let port = listener.local_addr().map_err(failed)?.port();
    let app = Arc::new(App::new(serving, port)?);
    ready(&app.started());
    tokio::spawn(live::watch(Arc::clone(&app)));
    let service = router(Arc::clone(&app));
    let stop = async {
        told_to_stop().await;
        app.stop();
    };
    let serving = door::serve(listener, service, stop);
    tokio::select! {
        () = serving => (),
        () = addresses::follow(&app, |started| ready(started)) => (),
    }
    Ok(())
}

fn router(app: Arc<App>) -> Router {
    Router::new()
        .route("/", get(first::door))
        .route("/first", get(first::page).post(first::begin))
        .route("/first/sheet", post(first::sheet))
        .route("/lanes", get(pages::lanes))
        .route("/lanes/state", get(at_lanes::state))
        .route("/lanes/screen", get(at_lanes::shown))
        .route("/lanes/start", post(at_lanes::start))
        .route("/lanes/blocks", get(pages::blocks))
        .route("/lanes/back", post(at_lanes::go_back))
        .route("/lanes/shot", post(at_lanes::shot))
        .route("/lanes/undo", post(at_lanes::undo))
        .route("/lanes/fix", post(at_lanes::fix))
        .route("/lanes/move", post(at_lanes::shift))
        .route("/lanes/shots", get(at_lanes::shots))
        .route("/lanes/next", get(at_lanes::next))
        .route("/lanes/practice", get(before::practice_at_lanes))
        .route("/lanes/picture", get(at_lanes::picture))
        .route("/lab", get(pages::lab))
        .route("/lab/throw", get(lab::throw))
        .route("/lab/lanes", get(lab::lanes))
        .route("/lab/lines", get(lab::lines))
        .route("/lab/file", get(lab::file))
        .route("/before", get(pages::before))
        .route("/before/kit/{shelf}", get(kit::new))
        .route("/before/kit/{shelf}/{id}", get(kit::open))
        .route("/before/look/{shelf}", post(kit::look))
        .route("/before/keep/{shelf}", post(kit::keep))
        .route("/before/{what}", get(before::ask).post(before::start))
        .route("/before/{what}/state", get(before::state))
        .route("/before/{what}/stop", post(before::stop))
        .route("/before/{what}/picture", get(before::picture))
        .route("/before/{what}/page.pdf", get(before::paper))
        .route("/after", get(pages::after))
        .route("/after/account", get(after::account))
        .route("/after/picture", get(after::picture))
        .route("/after/handout.pdf", get(after::handout))
        .route("/after/note", post(after::note))
        .route("/words", get(pages::glossary))
        .route("/look", get(pages::look_page))
        .route("/live", get(live::stream))
        .route("/pair", get(pages::pair).post(pairing::pair))
        .route("/devices", get(pages::devices))
        .route("/devices/forget", post(pairing::forget))
        .route("/devices/record/check", post(record::check))
        .route("/devices/record/backup", post(record::backup))
        .route("/assets/{version}/{name}", get(assets::file))
        .fallback(pages::nowhere)
        .layer(from_fn_with_state(Arc::clone(&app), guard::watch))
        .layer(CompressionLayer::new())
        .layer(CatchPanicLayer::new())
        .with_state(app)
}

/// Waits for the terminal's interrupt or the system's request to end.
async fn told_to_stop() {
    let interrupt = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let end = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut end) => {
                end.recv().await;
            }
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let end = std::future::pending::<()>();
    tokio::select! {
        () = interrupt => (),
        () = end => (),
    }
}
