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

// Without a server nobody asks for what concerns devices of the network.
#![cfg_attr(not(feature = "server"), allow(dead_code))]

mod accounts;
#[cfg(feature = "server")]
mod addresses;
mod after;
mod alone;
mod answer;
mod assets;
mod at_lanes;
mod before;
mod devices;
#[cfg(feature = "server")]
mod door;
mod first;
#[cfg(test)]
mod for_scripts;
#[cfg(feature = "server")]
mod guard;
#[cfg(feature = "server")]
mod handout;
mod kit;
mod lab;
#[cfg(feature = "server")]
mod live;
mod lock;
mod long_work;
mod open_block;
mod pages;
#[cfg(feature = "server")]
mod pairing;
mod query;
mod queues;
#[cfg(feature = "server")]
mod record;
mod runs;
mod served;
#[cfg(feature = "server")]
mod serving;
mod sheet_query;
#[cfg(feature = "server")]
mod site;
mod stamp;
#[cfg(feature = "server")]
mod started;
mod state;
mod thinking;
mod views;

use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::routing::{get, post};

#[cfg(feature = "server")]
pub use addresses::Address;
pub use alone::{Alone, Asked, Told};
use boardwise_session::Failure;
#[cfg(feature = "server")]
pub use serving::serve;
#[cfg(feature = "server")]
pub use site::write_site;
#[cfg(feature = "server")]
pub use started::{Network, Started};
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

/// The pages and what they ask, the same wherever they are answered.
fn rooms() -> Router<Arc<App>> {
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
        .route("/lab/parcel", get(lab::parcel))
        .route("/lab/open", post(lab::open))
        .route("/before", get(pages::before))
        .route("/before/kit/{shelf}", get(kit::new))
        .route("/before/kit/{shelf}/{id}", get(kit::open))
        .route("/before/look/{shelf}", post(kit::look))
        .route("/before/keep/{shelf}", post(kit::keep))
        .route("/before/{what}", get(before::ask).post(before::start))
        .route("/before/{what}/state", get(before::state))
        .route("/before/{what}/stop", post(before::stop))
        .route("/before/{what}/picture", get(before::picture))
        .route("/after", get(pages::after))
        .route("/after/account", get(after::account))
        .route("/after/picture", get(after::picture))
        .route("/after/season", get(after::season))
        .route("/after/note", post(after::note))
        .route("/words", get(pages::glossary))
        .route("/look", get(pages::look_page))
        .route("/assets/{version}/{name}", get(assets::file))
        .fallback(pages::nowhere)
}
