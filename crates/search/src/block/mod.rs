//! A block forecast: a pair of lanes, the bowlers on it in the order of a game, and what our line becomes.
//!
//! Everybody's throws wear both lanes ([`boardwise_lane::Lane::wear`]). The others adapt in one plain way (two hits in a row to the
//! same wrong side on a lane: 2 and 1 there). Ours looks for its line anew every few frames on each lane, and moves when that
//! strikes clearly more often than staying. The forecast is run several times with other throws, to tell how sure it is.

mod plan;
mod run;
mod summary;

pub use plan::{BlockError, BlockPlan, Seat};
pub use run::traffic;
pub use run::{BallForm, Block, LaneStage, Run, Stage, forecast_block};
pub use summary::{Outlook, Wear};
