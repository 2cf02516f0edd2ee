//! The decisions: which line to play, with how much room for error, and how to make what it leaves.
//!
//! A [`Bowler`] throws with a [`Spread`]; [`find_lines`] searches a lane for lines worth playing with a ball and says how
//! often each does what a [`Payoff`] looks for (strikes by the carry table, or the pocket), with its standard error, and
//! what becomes of the misses. [`SpareGame`] does the same for every leave; [`rank_by_game`] puts the two together as
//! the score of a game. [`Story`] tells one rack, instant by instant.

mod bag;
mod bench;
mod block;
mod bowler;
mod carry;
mod conditions;
mod game;
mod line;
mod moves;
mod near;
mod pocket;
mod progress;
mod search;
mod spare;
mod spread;
mod story;
mod unknowns;
mod world;

pub use bag::{
    BagError, BagPlan, Choice, Chosen, Form, Moment, Prepared, StandIn, Turnout, Weighed, choose, weigh_bag,
};
pub use bench::{Candidate, mean_and_sd};
pub use block::{
    BallForm, Block, BlockError, BlockPlan, LaneStage, Outlook, Run, Seat, Stage, Wear, forecast_block, traffic,
};
pub use bowler::{Bowler, BowlerError, Range, USUAL_SLIDE_OFFSET_BOARDS};
pub use carry::{EntryMap, FirstBall, LeaveShare, Strikes, body_of, looked_up, throw_racks};
pub use conditions::{Conditions, Site, Throw};
pub use game::{GameScore, rank_by_game};
pub use line::{Line, MissRoom, Misses, WorthMap};
pub use moves::{Move, aim};
pub use near::Look;
pub use pocket::{Hit, Payoff, Pocket, came_in};
pub use progress::{Progress, Stopped};
pub use search::{Lines, Search, find_lines};
pub use spare::{Remainder, SpareGame, SpareLine, spare_ball};
pub use spread::Spread;
pub use story::{Instant, Pose, Story};
pub use unknowns::{Unknowns, WORLDS, spread_over};
pub use world::World;
