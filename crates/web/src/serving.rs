//! The app served to browsers, until the program is told to stop.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::middleware::from_fn_with_state;
use axum::routing::{get, post};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;

use super::addresses;
use super::queues::Queues;
use super::started::Started;
use super::state::App;
use super::{CannotServe, Serving, before, door, guard, handout, live, pages, pairing, record, rooms};

/// Serves until the program is told to stop. `ready` is told where, and again whenever the machine has other addresses.
///
/// # Errors
/// If the port is taken, or the record cannot be opened.
pub fn serve(serving: &Serving, ready: impl FnMut(&Started)) -> Result<(), CannotServe> {
    let threads =
        tokio::runtime::Builder::new_multi_thread().max_blocking_threads(Queues::THREADS).enable_all().build();
    let threads = threads.map_err(|source| CannotServe::Port { at: serving.port, source })?;
    let served = threads.block_on(run(serving, ready));
    // What still computes is not waited for: nothing of it is written down.
    threads.shutdown_timeout(Duration::from_millis(100));
    served
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
        () = addresses::follow(app.port, || ready(&app.started())), if app.network => (),
    }
    Ok(())
}

/// All pages, with who may ask for them.
pub(crate) fn router(app: Arc<App>) -> Router {
    rooms()
        .route("/after/handout", get(handout::builder))
        .route("/after/handout.pdf", get(handout::paper))
        .route("/before/{what}/page.pdf", get(before::paper))
        .route("/live", get(live::stream))
        .route("/pair", get(pages::pair).post(pairing::pair))
        .route(guard::EXCHANGE, get(pages::exchange).post(record::exchange))
        .route("/devices", get(pages::devices))
        .route("/devices/forget", post(pairing::forget))
        .route("/devices/record/check", post(record::check))
        .route("/devices/record/backup", post(record::backup))
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
