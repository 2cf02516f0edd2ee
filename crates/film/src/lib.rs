//! Film in, a measured throw out: where the ball was laid down, its speed, its line, its entry, each with its error.
//!
//! # From film to throw
//!
//! 1. [`Reel::open`] reads an MP4 or MOV file. Anything else that gives [`Pictures`] will do as well.
//! 2. [`parse_points`] reads where some of the lane's marks are seen ([`Mark`]).
//! 3. [`measure`] finds the camera ([`solve_lane`]), follows the ball and fits the motion of `boardwise-lane` to it ([`Measured`]).
//!
//! ```
//! use boardwise_film::{FilmError, Reel, parse_points};
//!
//! let points = parse_points("foul-left:212,1630 foul-right:871,1628 arrow-4:540,1010 pin-7:490,402 pin-10:589,401")?;
//! assert_eq!(points.len(), 5);
//! assert!(matches!(Reel::open(b"no film at all").err(), Some(FilmError::Container(_))));
//! # Ok::<(), FilmError>(())
//! ```
//!
//! # Units and frame
//!
//! Boards count from the bowling-hand gutter, feet from the foul line. Inside, the world has x to the right, y toward the pins and z
//! up, in metres. Places in a picture are pixels from the middle of its first pixel, v downward.
//!
//! # Limits
//!
//! - One throw a film; the camera stands still, but for a little shake; the lane is in the picture from the arrows to the pins.
//! - Nothing here keeps a picture longer than it needs it, and nothing leaves the program but numbers.
//!
//! # Where it is weak
//!
//! - It was measured on rendered film alone (`docs/watch.md` has the table). No film of a real lane has been measured yet.
//! - Friction is a curve along the ball's own path. It is no map of the oil.
//! - The lane is taken to have its published size. A lane half an inch wider than that moves boards near its edges by a quarter board.

mod ball;
mod camera;
mod error;
mod fit;
mod least;
mod mark;
mod measure;
mod motion;
mod overlay;
mod picture;
mod pose;
mod reel;
mod result;
mod spin;
mod still;
mod track;

pub use boardwise_lane as lane;
pub use boardwise_units as units;

pub use camera::{Camera, View};
pub use error::FilmError;
pub use mark::{Mark, Point, parse_points};
pub use measure::{Settings, measure};
pub use overlay::{Laid, LaidStep};
pub use picture::{Picture, Pictures};
pub use pose::{SolvedLane, solve_lane};
pub use reel::Reel;
pub use result::{Estimate, Measured, Shot, Spin, VALUES};
pub use track::Sighting;
