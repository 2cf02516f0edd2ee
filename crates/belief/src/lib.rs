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
    Account, AccountError, Delivered, Delivery, GameTold, Noticed, Par, Parts, Played, Practise, Shot, SparesOf, Stray,
    ToPractise,
};
pub use advice::{Advice, Change, Makes, NextShot, Situation, Terms, Verdict, advise, advise_on};
pub use belief::{
    Belief, Checkpoint, CheckpointError, Feel, Seen, Thrown, Told, information_nats, kalman_update, move_by,
};
pub use card::{Card, Facts, Reason, verb, verb_of_move};
pub use practice::{PracticeShot, plan_practice};
