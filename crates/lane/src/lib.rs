//! The lane and what a ball does on it: oil, friction, shape, release, path and wear.
//!
//! # From question to answer
//!
//! 1. Say what lies on the lane: a [`Film`] from the strokes of a machine or from readings, or friction outright. That is the
//!    [`Coating`] of a [`Lane`].
//! 2. Make a [`Ball`](ball::Ball) from its spec.
//! 3. A [`Release`] says how it leaves the hand. [`Release::aimed_at`] points it at a board, as if it went straight.
//! 4. [`throw`] follows one ball and gives its [`Path`]: a row a foot, breakpoint, where it crosses the end of the pattern, first
//!    touch of a pin.
//! 5. For many throws cut the lane once into a [`Runway`]. [`Runway::throw_many`] gives a [`Finish`] each, some 6,000 times as fast.
//! 6. [`Lane::wear`] throws a ball and leaves the lane as that throw leaves it, and says what oil it took ([`TakenOil`]).
//!
//! ```
//! use boardwise_lane::ball::{Ball, BallSpec, CoverKind};
//! use boardwise_lane::units::{Board, Feet, Microlitres};
//! use boardwise_lane::{Coating, ContactLaw, Direction, Film, Fineness, Lane, Release, Runway, Stroke, throw};
//!
//! let stroke = Stroke { boards: (2.0, 38.0), feet: (0.0, 38.0), oil: Microlitres(20_000.0), direction: Direction::Out };
//! let lane = Lane::new(Coating::Oil(Film::from_strokes(&[stroke], 2.5)?));
//! let (ball, _warnings) = Ball::new(BallSpec::new("solid", CoverKind::Reactive))?;
//!
//! // One throw, foot by foot.
//! let law = ContactLaw::default();
//! let path = throw(&lane, &ball, &Release::default(), &law, Fineness::default())?;
//! println!("breakpoint {:.1} at {:.0} ft", path.breakpoint.board.0, path.breakpoint.feet.0);
//! if let Some(touch) = path.touch {
//!     println!("comes in at {:.1}, {:.1} degrees", touch.board().0, touch.angle().0);
//! }
//!
//! // Two boards apart at the arrows, from the same feet.
//! let from = Release { laydown: Board(18.0), ..Release::default() };
//! let meant = [from.aimed_at(Board(12.0), Feet(15.0)), from.aimed_at(Board(10.0), Feet(15.0))];
//! let ends = Runway::new(&lane, &ball, &law).throw_many(&meant);
//! assert!(ends[0].breakpoint.board > ends[1].breakpoint.board);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! [`Path::touch`] and [`Finish::touch`] hold the entry that the crate `boardwise-pins` takes. The crates below this one are in it as
//! [`ball`] and [`units`], so that one dependency is enough.
//!
//! # Units and frame
//!
//! x points toward the bowling-hand side, y toward the pins, z up. Boards count from the bowling-hand gutter. A left-hander's lane
//! is seen mirrored ([`Lane::seen_by`]), so that everything is written once. Fields end in their unit (`speed_m_s`). Launch is
//! positive toward the bowling-hand gutter, entry toward the pocket.
//!
//! # Limits
//!
//! - [`Release::check`] says what a person can throw. [`throw`] fails beyond it; [`Runway::throw_many`] expects it to hold.
//! - With the film on the ball's track kept alike ([`TrackForm::Ring`]) the two engines agree within 0.01 board for most releases.
//!   [`Fineness::default`] keeps it on a grid of the whole cover. The batch, which keeps one revolution, then differs by 0.05 to 0.2
//!   board on the mean and 0.5 at worst (the project's `docs/path.md` has the table).
//! - A lane file is read by the crate `boardwise-files`.
//! - The batch chooses the width of its arithmetic at run time, with the same bits at every width. It is fast only in an optimised
//!   build.
//!
//! # Where it is weak
//!
//! - The constants of friction rest on a few open measurements and on common practice (`docs/calibration.md`).
//! - The film on the ball's track is one number across a stripe of 12 mm.
//! - The bounce of a lofted ball is dead: one landing, no second hop.
//! - Oil does not level out by itself, which takes hours.
#![cfg_attr(not(feature = "std"), no_std)]

extern crate alloc;

mod batch;
mod error;
mod field;
mod film;
mod friction;
mod motion;
mod path;
mod release;
mod surface;
mod throw;
mod track;
mod wear;

pub use boardwise_ball as ball;
pub use boardwise_units as units;

pub use batch::{Finish, ROWS, Runway};
pub use error::LaneError;
pub use field::{Field, NODE_FT};
pub use film::{Direction, Film, Reading, Stroke};
pub use friction::{Contact, ContactLaw};
pub use path::{Path, PathRow, PinTouch, Place, Side};
pub use release::Release;
pub use surface::{Coat, Coating, Ground, Lane, Shape};
pub use throw::{Fineness, TrackForm, throw};
pub use wear::TakenOil;
