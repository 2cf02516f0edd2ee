//! What stood, what it scored, and what it may still score.
//!
//! Pins that stand are a [`PinSet`]. What the first ball of a rack leaves is a [`Leave`], split or not. A [`Game`] is a list
//! of [`Roll`]s. Everything else about it (frames, running score, the most it can still be) is worked out from that list. So
//! to take a ball back, take it off the list. A [`Forecast`] gives the exact distribution of the final score from any point
//! of a game, for a bowler described by a [`Skill`]. No physics lives here.
//!
//! ```
//! use boardwise_score::{Forecast, Game, Scoring, Skill};
//!
//! let game = Game::from_marks(Scoring::Traditional, "X X 9/ 8")?;
//! assert_eq!(game.minimum(), 29 + 20 + 18 + 8);
//! assert_eq!(game.maximum(), 29 + 20 + 18 + 20 + 30 * 6);
//!
//! // Strikes 45% of first balls, otherwise leaves one pin and makes it three times in four.
//! let scores = Forecast::new(&Skill::nine_or_ten(0.45, 0.75)?).of(&game);
//! assert!(scores.at_least(200) > 0.2);
//! # Ok::<(), boardwise_score::Error>(())
//! ```
#![cfg_attr(not(feature = "std"), no_std)]

extern crate alloc;

mod count;
mod distribution;
mod error;
mod expect;
mod form;
mod format;
mod frame;
mod game;
mod handicap;
mod leave;
mod need;
mod pins;
mod sheet;
mod skill;
mod tally;

pub use count::games_by_score;
pub use distribution::{Odds, Scores};
pub use error::Error;
pub use expect::Forecast;
pub use form::Form;
pub use format::{Baker, MatchPlay, Series};
pub use frame::{Deck, Frame, Mark, Roll, Scoring, Thrown};
pub use game::Game;
pub use handicap::{Handicap, Rounding, whole_average};
pub use leave::{Leave, LeaveKind};
pub use need::{Need, Rest};
pub use pins::{Pin, PinSet, Pins};
pub use skill::{LeaveRate, Skill};
