//! The decisions: which line to play, with how much room for error, and how to make what it leaves.
//!
//! # From question to answer
//!
//! 1. A [`Bowler`] throws with a [`Spread`] and can change some things on purpose ([`Range`]).
//! 2. [`Conditions`] are a ball on a lane over all that is not known of them: [`Unknowns`] say how much that is, and
//!    [`Conditions::fresh`] draws the worlds.
//! 3. A [`Payoff`] says what a throw is worth: [`Strikes`] looks its chance of a strike up in the carry table of
//!    `boardwise-files`, [`Pocket`] asks for the pocket alone and needs no table.
//! 4. [`find_lines`] gives distinct [`Line`]s, best first. Each says how often it does what was asked, with its standard error, what
//!    it leaves and what becomes of the misses.
//! 5. [`SpareGame`] does the same for every leave. [`rank_by_game`] puts both together as the score of a game.
//! 6. [`forecast_block`] runs a pair of lanes forward, [`weigh_bag`] compares balls over a block, and [`Story`] tells one rack,
//!    instant by instant.
//!
//! ```no_run
//! use boardwise_search::ball::{Ball, BallSpec, CoverKind};
//! use boardwise_search::lane::{Coating, Direction, Film, Lane, Stroke};
//! use boardwise_search::units::{Hand, Microlitres};
//! use boardwise_search::{Bowler, Conditions, Pocket, Progress, Search, Unknowns, find_lines};
//!
//! let stroke = Stroke { boards: (2.0, 38.0), feet: (0.0, 38.0), oil: Microlitres(20_000.0), direction: Direction::Out };
//! let lane = Lane::new(Coating::Oil(Film::from_strokes(&[stroke], 2.5)?));
//! let (ball, _warnings) = Ball::new(BallSpec::new("solid", CoverKind::Reactive))?;
//! let bowler = Bowler::usual(Hand::Right);
//!
//! let conditions = Conditions::fresh(&lane, &ball, &Unknowns::default(), 1);
//! let search = Search { lines: 3, throws_a_line: 2000, ..Search::default() };
//! let found = find_lines(&conditions, &bowler, &Pocket::default(), &search, &Progress::default())?;
//! for line in &found.lines {
//!     println!("lay down on {:.0}, look at {:.1}: {:.0}% pocket", line.release.laydown.0, line.arrows.0, 100.0 * line.pocket);
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! The carry table, the demo kit and the files that people write are in the crate `boardwise-files`; its guide looks for the lines
//! of a whole bag by strikes. Balls compare where conditions and search have the same seeds. The crates below this one are
//! in it as [`ball`], [`lane`], [`pins`], [`score`] and [`units`], so that one dependency is enough.
//!
//! # Units
//!
//! Boards, feet, miles per hour and degrees in newtypes. Shares are 0 to 1, never per cent. Moves are positive away from the
//! bowling hand.
//!
//! # Limits
//!
//! - The same seed gives the same bits on any number of threads. All answers use the same 96 worlds.
//! - A search of one ball throws some hundred thousand balls: about a second on two cores, in an optimised build; in an
//!   unoptimised one, minutes.
//!
//! # Where it is weak
//!
//! - How far lanes, covers and bowlers differ from what is said of them is our judgement ([`Unknowns`]). It matters: one line on
//!   one lane struck 39% over all that is not known, and 49% where nothing was unknown ([`Unknowns::NONE`]).
//! - Strikes come from the carry table, which smooths over a quarter board and a degree.
//! - Near the best of a flat pattern, lines differ by less than a search can tell. Compare them by their standard errors.
//! - `docs/trust.md` lists every check, and what falls short.

mod bag;
mod bench;
mod block;
mod bowler;
mod carry;
mod conditions;
mod error;
mod first_ball;
mod game;
mod glimpse;
mod grid;
mod line;
mod mean;
mod moves;
mod near;
mod pocket;
mod progress;
mod rank;
mod search;
mod spare;
mod spread;
mod story;
mod unknowns;
mod world;

pub use boardwise_ball as ball;
pub use boardwise_lane as lane;
pub use boardwise_pins as pins;
pub use boardwise_score as score;
pub use boardwise_units as units;

pub use bag::{
    BagError, BagPlan, Choice, Chosen, Form, Moment, Prepared, StandIn, Turnout, Weighed, choose, weigh_bag,
};
pub use bench::Candidate;
pub use block::{
    BallForm, Block, BlockError, BlockPlan, LaneStage, Outlook, Run, Seat, Stage, Wear, forecast_block, traffic,
};
pub use bowler::{Bowler, Range, USUAL_SLIDE_OFFSET_BOARDS};
pub use carry::{EntryMap, Strikes, body_of, looked_up, throw_racks};
pub use conditions::{Conditions, Site, Throw, throw_all};
pub use error::BowlerError;
pub use first_ball::{FirstBall, LeaveShare};
pub use game::GameScore;
pub use line::{Line, MissRoom, Misses, WorthMap};
pub use mean::mean_and_sd;
pub use moves::{Move, aim, looks_off_lane_boards};
pub use near::Look;
pub use pocket::{Hit, Payoff, Pocket, came_in};
pub use progress::{Progress, Stopped};
pub use rank::rank_by_game;
pub use search::{Lines, Search, find_lines};
pub use spare::{Remainder, SpareGame, SpareLine, spare_ball};
pub use spread::Spread;
pub use story::{Instant, Pose, Story};
pub use unknowns::{Unknowns, WORLDS, spread_over};
pub use world::World;
