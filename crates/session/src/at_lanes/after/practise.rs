//! What to practise: nothing before there were enough attempts, and then how many are still wanting.

use boardwise_belief::{Account, Practise, Stray, ToPractise};
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

/// What a drill is about: one measure of an account.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// Second balls at leaves of a kind.
    Spares(LeaveKind),
    /// Throws.
    Throws,
    /// Lines meant.
    Moves,
    /// Balls chosen.
    BallChanges,
    /// How far throws scatter at the arrows.
    Spray,
    /// How far they pass from where they were meant to, whichever side.
    Aim,
}

impl From<Practise> for About {
    fn from(what: Practise) -> Self {
        match what {
            Practise::Spares(kind, ..) => Self::Spares(kind),
            Practise::Throws(_) => Self::Throws,
            Practise::Line(_) => Self::Moves,
            Practise::Ball(_) => Self::BallChanges,
            Practise::Spray(..) => Self::Spray,
            Practise::Aim(..) => Self::Aim,
        }
    }
}

/// A measure as an account has it: less is better.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// Pins lost a game, or boards.
    pub value: f64,
    /// How far doubt and chance move it, as a standard deviation.
    pub unsure: f64,
}

impl About {
    pub(super) const ALL: [Self; 11] = [
        Self::Spares(LeaveKind::Single),
        Self::Spares(LeaveKind::DoubleWood),
        Self::Spares(LeaveKind::Split),
        Self::Spares(LeaveKind::Washout),
        Self::Spares(LeaveKind::FullRack),
        Self::Spares(LeaveKind::Together),
        Self::Throws,
        Self::Moves,
        Self::BallChanges,
        Self::Spray,
        Self::Aim,
    ];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Spares(LeaveKind::Single) => "single pins",
            Self::Spares(LeaveKind::DoubleWood) => "double wood",
            Self::Spares(LeaveKind::Split) => "splits",
            Self::Spares(LeaveKind::Washout) => "washouts",
            Self::Spares(LeaveKind::FullRack) => "full racks left",
            Self::Spares(LeaveKind::Together) => "clusters of pins",
            Self::Throws => "throws",
            Self::Moves => "moves",
            Self::BallChanges => "ball changes",
            Self::Spray => "spray",
            Self::Aim => "aim",
        }
    }

    /// What its number counts.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Spray => "boards of spray",
            Self::Aim => "boards off",
            _ => "pins a game lost",
        }
    }

    /// As an account has it; None where it has none.
    pub fn in_account(self, account: &Account) -> Option<Found> {
        let games = account.games.len().max(1) as f64;
        let whole = &account.whole;
        let lost = |pins: f64, doubt: f64, chance: f64| {
            Some(Found { value: -pins / games, unsure: doubt.hypot(chance) / games })
        };
        match self {
            Self::Spares(kind) => {
                let spares = account.spares.iter().find(|spares| spares.kind == kind && spares.tried > 0)?;
                lost(spares.pins, 0.0, spares.chance)
            }
            Self::Throws => lost(whole.terms.execution, whole.doubts.execution, whole.chance.execution),
            Self::Moves => lost(whole.terms.line, whole.doubts.line, whole.chance.line),
            Self::BallChanges => lost(whole.terms.ball, whole.doubts.ball, whole.chance.ball),
            Self::Spray => {
                let stray = of_all(account)?;
                // An interval of 19 in 20 is 3.92 standard deviations wide.
                Some(Found { value: stray.sd_boards, unsure: (stray.sd_between.1 - stray.sd_between.0) / 3.92 })
            }
            Self::Aim => of_all(account).map(|stray| Found { value: stray.off_boards.abs(), unsure: stray.off_error }),
        }
    }
}

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
        let known = known_balls(story);
        let read = first_balls(&story.sheet).filter(|(_, one)| one.shot.arrows.is_some()).count();
        let advice = account.practise();
        let advice = advice.into_iter().filter(|one| enough(About::from(one.what), story, account)).collect();
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

/// How throws strayed on both lanes, with all balls.
fn of_all(account: &Account) -> Option<&Stray> {
    account.strays.iter().find(|stray| stray.lane.is_none() && stray.ball.is_none())
}

/// First balls with ball and lane known.
fn known_balls(story: &Story) -> usize {
    first_balls(&story.sheet).filter(|(_, one)| one.ball.is_some() && one.lane.is_some()).count()
}

/// Whether there were enough attempts to say anything of it.
pub(super) fn enough(about: About, story: &Story, account: &Account) -> bool {
    match about {
        About::Spares(kind) => account.spares.iter().any(|one| one.kind == kind && one.tried >= TRIES),
        // Something must have been seen of them.
        About::Throws => account.deliveries.iter().filter(|one| one.terms.execution != 0.0).count() >= FIRST_BALLS,
        About::Moves | About::BallChanges => known_balls(story) >= FIRST_BALLS,
        About::Spray => of_all(account).is_some_and(|stray| stray.shots >= BOARDS_READ),
        About::Aim => of_all(account).is_some_and(|stray| stray.shots >= FIRST_BALLS),
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

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_belief::{GameAccount, SparesOf};

    #[test]
    fn law_a_measure_is_by_the_game() {
        let spares = SparesOf { kind: LeaveKind::Split, tried: 4, made: 0, expected: 1.0, pins: -9.0, chance: 6.0 };
        let account = Account { spares: vec![spares], games: vec![GameAccount::default(); 3], ..Account::default() };
        let found = About::Spares(LeaveKind::Split).in_account(&account).unwrap();
        assert!((found.value - 3.0).abs() < 1e-12 && (found.unsure - 2.0).abs() < 1e-12);
        assert_eq!(About::Spares(LeaveKind::Single).in_account(&account), None);
        assert_eq!(About::Spray.in_account(&account), None);
    }
}
