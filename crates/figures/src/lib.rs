//! Pictures, drawn once as SVG and shown alike everywhere. They show a lane with its oil and paths, the film by board, maps of
//! shares, the deck with what fell, a leave as a sign, a lane as it wears, a block as it goes, and a bag over a block.
//!
//! Text stays text, numbers are fixed to two decimals, and nothing depends on the machine: the same input gives the same
//! bytes. A [`Drawing`] also renders itself as PNG, with a built-in font.

mod account;
mod bag;
mod block;
mod change;
mod colour;
mod contour;
mod deck;
mod ends;
mod film;
mod frame;
mod glyph;
mod handout;
mod lain;
mod lane;
mod lying;
mod map;
mod moves;
mod moving;
mod oil;
mod paper;
mod png;
mod scale;
mod scene;
mod sheet;
mod shots;
mod spread;
mod table;
mod tally;
mod trace;
mod upright;
mod wear;

pub use account::{Share, account_picture};
pub use bag::bag_picture;
pub use block::block_picture;
pub use colour::Theme;
pub use deck::deck;
pub use film::film_by_board;
pub use glyph::leave_glyph;
pub use handout::{Handout, Paper};
pub use lane::LanePicture;
pub use map::{pocket_map, strike_map};
pub use moving::moving_deck;
pub use png::DrawError;
pub use scene::Drawing;
pub use sheet::sheet_picture;
pub use shots::{SeenShot, shots_picture};
pub use trace::Trace;
pub use upright::{Expected, UprightLane};
pub use wear::wear_picture;
