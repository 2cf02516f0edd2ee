//! What a bowler asks and does, asked and answered in values: what commands print and pages show.
//!
//! Nothing here prints, and nothing here knows a flag parser or a page. The command line and the app turn what people say into these
//! questions, and the answers into text and pictures.
//!
//! # From question to answer
//!
//! 1. Before a block: [`read`] shows a pattern, [`throw`] one throw, [`line`](mod@line) the lines worth playing, [`leaves`] what an entry
//!    leaves. [`bag`], [`block`] and [`practice`] prepare an event; [`brief`] puts it all on one page.
//! 2. At the lanes: [`at_lanes`] begins a block, takes shots and undos into the record, and says what to do next.
//! 3. Afterwards: [`at_lanes::after`] tells the story of a block.
//! 4. [`lab`] answers while a throw is dragged over a lane.
//! 5. `watch` measures a throw from film (feature `film`).
//! 6. What cannot be answered is a [`Failure`].
//!
//! ```
//! use boardwise_session::files::{LANES, parse_lane};
//! use boardwise_session::figures::Theme;
//! use boardwise_session::read::Reading;
//!
//! let lane = parse_lane(LANES[0].path, LANES[0].text.as_bytes())?.value;
//! let reading = Reading::seen(&lane, boardwise_session::units::Hand::Right);
//! assert!(reading.film().is_some());
//! assert!(reading.picture(Theme::Light).svg().starts_with("<svg"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Units
//!
//! JSON keys carry their unit (`_deg`, `_mph`, `board`, `feet`). JSON is never rounded; rows for people are.
//!
//! # Limits, and where it is weak
//!
//! - The answers are as good as the engines and the files below them. `docs/trust.md` lists every check, and what falls short.
//! - Long questions take seconds to minutes, in an optimised build.

pub mod at_lanes;
pub mod bag;
pub mod batch;
pub mod block;
pub mod brief;
pub mod event;
mod failure;
#[cfg(feature = "pdf")]
pub mod handout;
pub mod keep;
pub mod lab;
pub mod leaves;
pub mod line;
pub mod own_release;
pub mod pictures;
pub mod practice;
pub mod read;
pub mod rows;
mod scene;
pub mod spread;
pub mod throw;
pub mod view;
#[cfg(feature = "film")]
pub mod watch;
mod work;

pub use boardwise_figures as figures;
pub use boardwise_files as files;
pub use boardwise_units as units;

pub use failure::Failure;
pub use scene::{Scene, gutter};
pub use work::{Clock, Work};

/// Distance at which a line is aimed, and at which arrows are reported.
pub const ARROWS_FT: f64 = 15.0;
