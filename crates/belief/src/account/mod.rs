//! Where pins were won and lost against what could be expected, after the block: [`Account`].
//!
//! What could be expected is the par: the score of a bowler who throws the best ball and line known, on the lanes as they were believed before the
//! first ball, with this bowler's spread and spares. From delivery to delivery the expected score of the game moves, and each step of it is given to
//! what moved it: lanes, ball, line, execution, luck, spares ([`Parts`]). The steps end at the score, so that the terms add up to score less par.
//! docs/account.md defines them.

mod cloud;
mod count;
mod error;
mod parts;
mod practise;
mod split;
mod stray;
mod worth;

pub use count::{Account, Delivered, Delivery, GameAccount, Played, Shot, SparesOf};
pub use error::AccountError;
pub use parts::Parts;
pub use practise::{Practise, ToPractise};
pub use stray::{Stray, spread_at_arrows};
pub use worth::Par;
