//! Pictures, drawn once as SVG and shown everywhere alike: a lane with its oil and paths, the film by board, and the
//! map of pocket shares.
//!
//! Text stays text, numbers are fixed to two decimals, and nothing depends on the machine: the same input gives the same
//! bytes. A [`Drawing`] also renders itself as PNG, with a font of its own.

mod colour;
mod contour;
mod film;
mod lane;
mod map;
mod oil;
mod png;
mod scene;

pub use colour::Theme;
pub use film::film_by_board;
pub use lane::{LanePicture, Trace};
pub use map::{pocket_map, strike_map};
pub use png::DrawError;
pub use scene::Drawing;
