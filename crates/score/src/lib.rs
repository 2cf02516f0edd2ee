//! What stood, what it scored, and what it may still score. No physics lives here.
//!
//! # From question to answer
//!
//! 1. Pins that stand are a [`PinSet`], read from text such as `3-10`. What the first ball of a rack leaves is a [`Leave`], split or
//!    not.
//! 2. A [`Game`] is a list of [`Roll`]s. Frames, running score and the most it can still be are worked out from that list. To take a
//!    ball back, take it off the list.
//! 3. A bowler is described by a [`Skill`]. A [`Forecast`] gives the exact distribution of the final score from any point of a game.
//! 4. [`Baker`], [`MatchPlay`], [`Series`] and [`Handicap`] put games together.
//!
//! ```
//! use boardwise_score::{Forecast, Game, Leave, Scoring, Skill};
//!
//! assert!("3-10".parse::<Leave>()?.is_split());
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
//!
//! # Units
//!
//! Pins are numbered 1 to 10 as the rules number them. Chances are shares, 0 to 1.
//!
//! # Limits, and where it is weak
//!
//! - The rule's words on splits leave room. [`Leave::is_split`] says how they are read here.
//! - A forecast takes frames as independent of each other. A [`Form`] lets whole games go better or worse, no more.
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

pub use boardwise_units as units;

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
