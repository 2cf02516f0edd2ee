//! Pictures, drawn once as SVG and shown alike everywhere.
//!
//! They show a lane with its oil and paths, the film by board, maps of shares, the deck with what fell and a leave as a sign. They
//! also show a lane as it wears, a block as it goes, and a bag over a block.
//!
//! # From question to answer
//!
//! 1. Fill in what is to be drawn: a [`LanePicture`], an [`UprightLane`], or the arguments of a function such as
//!    [`film_by_board`], [`strike_map`] or [`sheet_picture`].
//! 2. Choose a [`Theme`]: light for paper and sunlight, dark for a dim house.
//! 3. The result is a [`Drawing`]: [`Drawing::svg`] is its text, [`Drawing::png`] renders it with a built-in font.
//! 4. A [`Handout`] puts drawings and words on pages and writes PDF.
//!
//! ```
//! use boardwise_figures::search::lane::{Coating, Direction, Film, Lane, Stroke};
//! use boardwise_figures::search::units::{Hand, Microlitres};
//! use boardwise_figures::{LanePicture, Theme};
//!
//! let stroke = Stroke { boards: (2.0, 38.0), feet: (0.0, 38.0), oil: Microlitres(20_000.0), direction: Direction::Out };
//! let lane = Lane::new(Coating::Oil(Film::from_strokes(&[stroke], 2.5)?));
//! let picture = LanePicture {
//!     lane: &lane,
//!     hand: Hand::Right,
//!     title: "one even stroke",
//!     traces: &[],
//!     band: None,
//!     window: None,
//!     standing: None,
//! };
//! assert!(picture.draw(Theme::Light).svg().starts_with("<svg"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Units
//!
//! Values come in the units of the crates that made them. The size of a drawing is in SVG's own units, that of a PNG in pixels.
//!
//! # Limits, and where it is weak
//!
//! - Text stays text, numbers are fixed to two decimals, and nothing depends on the machine: the same input gives the same bytes.
//! - Pictures show values and never the record. The crate knows no record, on purpose.
//! - The built-in font lacks some scripts, such as Chinese and Japanese: such letters are missing in PNG and PDF.

mod account;
mod bag;
mod block;
mod change;
mod colour;
mod contour;
mod deck;
mod ends;
mod film;
#[cfg(feature = "pdf")]
mod flow;
mod frame;
mod glyph;
#[cfg(feature = "pdf")]
mod handout;
mod lab;
mod lane;
mod lying;
mod lying_lane;
mod map;
mod moves;
mod moving;
mod oil;
mod over;
#[cfg(feature = "pdf")]
mod paper;
#[cfg(feature = "png")]
mod png;
mod scale;
mod scene;
mod season;
mod sheet;
mod shots;
mod spread;
#[cfg(feature = "pdf")]
mod table;
mod tally;
mod trace;
mod upright;
mod wear;

pub use boardwise_search as search;

pub use account::{Share, account_picture};
pub use bag::bag_picture;
pub use block::block_picture;
pub use colour::Theme;
pub use deck::deck;
pub use film::film_by_board;
pub use glyph::leave_glyph;
#[cfg(feature = "pdf")]
pub use handout::{Handout, Paper};
pub use lab::WideLane;
pub use lane::LanePicture;
pub use map::{pocket_map, strike_map};
pub use moving::moving_deck;
pub use over::OverFilm;
#[cfg(feature = "png")]
pub use png::DrawError;
pub use scene::Drawing;
pub use season::{SeasonPoint, season_picture};
pub use sheet::sheet_picture;
pub use shots::{SeenShot, shots_picture};
pub use trace::Trace;
pub use upright::{Expected, UprightLane};
pub use wear::wear_picture;
