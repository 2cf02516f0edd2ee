//! What the shots of a block say about the lanes and the bowler's day, and what to do about it.
//!
//! A [`Belief`] starts from what is not known and hears each shot; [`advise`] weighs what could be done next; [`Card`] puts
//! that in words; [`Account`] says where pins were won and lost; [`plan_practice`] picks the throws that teach most.

mod account;
mod advice;
mod belief;
mod card;
mod practice;

pub use account::{
    Account, AccountError, Delivered, Delivery, GameAccount, Par, Parts, Played, Practise, Shot, SparesOf, Stray,
    ToPractise,
};
pub use advice::{Advice, Change, Choice, Makes, NextShot, Patience, Situation, Terms, Verdict, advise, advise_on};
pub use belief::{Belief, Checkpoint, CheckpointError, Estimate, Feel, Noticed, Seen, Thrown};
pub use card::{Card, Facts, Reason, headline, move_in_words};
pub use practice::{PracticeShot, plan_practice};
