//! What to practise: nothing before there were enough attempts, and then how many are still wanting.

use boardwise_belief::{Account, Practise, ToPractise};
use boardwise_score::LeaveKind;

use super::super::belief_replay::first_balls;
use super::Story;
use crate::view::PractiseWait;

/// Tries at one sort of leave. With so many, a bowler who makes 5 in 10 instead of their usual 8 in 10 is noticed four times in
/// five, where one alarm in ten is false (normal approximation for two shares).
const TRIES: usize = 10;
/// First balls for throws, moves, balls and aim. With so many, an aim half a board off is noticed four times in five where throws
/// stray by a board.
const FIRST_BALLS: usize = 20;
/// Boards read at the arrows for the spray. With so many, a spray half as wide again is noticed four times in five.
const BOARDS_READ: usize = 15;

/// What to practise, and what nothing can be said of yet.
#[derive(Clone, Debug, PartialEq)]
pub struct WhatToPractise {
    /// What stands out, the dearest first.
    pub advice: Vec<ToPractise>,
    /// What there were too few attempts of.
    pub waits: Vec<Wait>,
}

/// Something that was tried too seldom for a word about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wait {
    /// What.
    pub what: String,
    /// Attempts so far.
    pub have: usize,
    /// Attempts that it takes.
    pub need: usize,
}

impl Wait {
    /// In words.
    pub fn words(&self) -> String {
        format!("{}: {} so far; it takes {}", self.what, self.have, self.need)
    }
}

impl From<&Wait> for PractiseWait {
    fn from(wait: &Wait) -> Self {
        Self { what: wait.what.clone(), have: wait.have, need: wait.need }
    }
}

impl WhatToPractise {
    /// Of a block with its account.
    pub fn of(story: &Story, account: &Account) -> Self {
        let known = first_balls(&story.sheet).filter(|(_, one)| one.ball.is_some() && one.lane.is_some()).count();
        let read = first_balls(&story.sheet).filter(|(_, one)| one.shot.arrows.is_some()).count();
        let enough = |one: &ToPractise| match one.what {
            Practise::Spares(_, tried, _) => tried >= TRIES,
            Practise::Throws(seen) => seen >= FIRST_BALLS,
            Practise::Line(_) | Practise::Ball(_) => known >= FIRST_BALLS,
            Practise::Spray(.., shots) => shots >= BOARDS_READ,
            Practise::Aim(_, shots) => shots >= FIRST_BALLS,
        };
        let advice = account.practise().into_iter().filter(enough).collect();
        let spares = account
            .spares
            .iter()
            .filter(|one| one.kind != LeaveKind::FullRack)
            .map(|one| (tries(one.kind), one.tried, TRIES));
        let first = [("First balls with ball and lane known".to_owned(), known, FIRST_BALLS)];
        let boards = [("Boards read at the arrows".to_owned(), read, BOARDS_READ)];
        let wait = |(what, have, need): (String, usize, usize)| (have < need).then_some(Wait { what, have, need });
        Self { advice, waits: first.into_iter().chain(boards).chain(spares).filter_map(wait).collect() }
    }
}

fn tries(kind: LeaveKind) -> String {
    let leaves = match kind {
        LeaveKind::Single => "Single pins",
        LeaveKind::DoubleWood => "Double wood",
        LeaveKind::Split => "Splits",
        LeaveKind::Washout => "Washouts",
        LeaveKind::FullRack => "Full racks",
        LeaveKind::Together => "Clusters of pins",
    };
    format!("{leaves}, tries")
}
