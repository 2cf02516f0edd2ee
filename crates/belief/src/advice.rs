//! The next shot: what staying, moving, or changing something is worth by the belief, and whether the difference can be told.
//!
//! The same worlds throw every choice with the same deviations, so that differences are those of the choices. The worst drop
//! out round by round, and the rest are thrown more often (sequential halving). What counts is pins a game
//! ([`NextShot::pins`]): of two lines that strike alike the one that splits less is better. A change has a price
//! ([`Change::price`]). It is advised only if the belief is sure of it, and if several shots speak against the line
//! ([`Patience`]). Where the last misses tell a coach something ([`Diagnosis`]), the coach's usual answer is tried unless the
//! numbers speak against it.

mod ahead;
mod choices;
mod diagnosis;
mod frames;
mod patience;
mod weighing;

use crate::belief::{Belief, Estimate, Seen, Thrown};
use boardwise_ball::Surface;
use boardwise_lane::{Lane, LaneError, Release};
use boardwise_pins::carry::Carry;
use boardwise_search::Move;
use choices::{Choices, Open};
use core::mem::discriminant;
use std::collections::BTreeMap;
use weighing::Weighing;

pub use choices::{Change, Choice};
pub use diagnosis::Diagnosis;
pub use frames::Makes;
pub use patience::Patience;

/// A choice and what it is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextShot {
    /// What is chosen, whole.
    pub choice: Choice,
    /// What that changes.
    pub change: Change,
    /// Feet and eyes against the line in use.
    pub moved: Move,
    /// Chance of a strike over the worlds.
    pub strike: Estimate,
    /// Chance of a split over the worlds.
    pub split: Estimate,
    /// The board a good throw of it comes in on, over the worlds.
    pub comes_in: Estimate,
    /// Pins a game over the worlds if all its frames are bowled so: strikes, spares as far as they are made, and what follows
    /// counted on.
    pub pins: Estimate,
    /// Strikes over staying, world by world.
    pub gain: Estimate,
    /// Pins a game over staying, world by world.
    pub pins_gain: Estimate,
    /// The same with strikes from outside the pocket counted, which are luck. A change that is not worth its price by this,
    /// too, is never asked for.
    pub pins_gain_with_luck: f64,
    /// What eight in ten of the worlds gain at least, pins a game.
    pub pins_gain_at_least: f64,
    /// Share of the belief in which it is worth more pins than staying.
    pub better: f64,
    /// What the shot would teach about where this line comes in, nats.
    pub teaches_nats: f64,
    /// Gain in pins a game less the price of the change.
    pub net: f64,
}

impl NextShot {
    /// Whether the numbers may ask for it. The whole forecast, luck and all, must be worth the price too: nobody is sent where fewer pins
    /// fall. A leap must be sure: a coach moves in small steps. And no feet go against what the last misses say: in from high hits and
    /// out from light ones (common practice, no source).
    fn may_be_asked_for(&self, diagnosis: Option<Diagnosis>) -> bool {
        if self.change == Change::Stay {
            return true;
        }
        let against = diagnosis.is_some_and(|diagnosis| diagnosis.speaks_against(self));
        let worth_it = self.pins_gain_with_luck > self.change.price();
        worth_it && !against && (self.better >= SURE || !self.change.is_leap())
    }

    /// Whether the numbers leave it open, so that it may be tried because a coach would: no more is lost than a coach's word is worth, and
    /// not three worlds in five lose.
    fn may_be_tried(&self) -> bool {
        !self.change.is_leap() && self.pins_gain.mean > -COACHS_WORD && self.better > 1.0 - LIKELY
    }

    /// Whether the numbers are so clear for it that what a coach would try must stand back.
    fn overrules(&self, tried: &Self) -> bool {
        self.change != Change::Stay && self.better >= SURE && self.pins_gain.mean > tried.pins_gain.mean + COACHS_WORD
    }
}

/// How clear it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Stay: nothing is worth its price, too little speaks against the line in use, or it was not tried yet and no gain is clear.
    Stay,
    /// Change: the gain is worth its price, and eight in ten of the worlds see one.
    Change,
    /// Try it: the gain is worth its price, but only six to eight in ten of the worlds see one. A suggestion, no command.
    Try,
    /// Something seems to gain more than its price, but the worlds do not agree.
    TooClose,
}

impl Verdict {
    /// Of the best choice by the numbers alone.
    fn of(best: &NextShot, untried: bool) -> Self {
        match best.better {
            _ if best.change == Change::Stay => Self::Stay,
            better if better >= SURE => Self::Change,
            _ if untried => Self::Stay,
            better if better >= LIKELY => Self::Try,
            _ => Self::TooClose,
        }
    }

    /// Whether the card asks for a change, as a command or as a suggestion.
    pub fn asks_for_change(self) -> bool {
        matches!(self, Self::Change | Self::Try)
    }
}

/// The choices open now.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// The one to take if any is; then the others, best first.
    pub choices: Vec<NextShot>,
    /// How clear it is.
    pub verdict: Verdict,
    /// Whether patience alone says to stay: too few shots speak against the line.
    pub waits: bool,
    /// What a coach reads from the last misses on the line.
    pub diagnosis: Option<Diagnosis>,
}

impl Advice {
    /// Staying, which is always among the choices.
    pub fn stay(&self) -> Option<&NextShot> {
        self.choices.iter().find(|one| one.change == Change::Stay)
    }

    /// What to do: the change where it is clear or worth a try, else staying.
    pub fn advised(&self) -> Option<&NextShot> {
        if self.verdict.asks_for_change() { self.choices.first() } else { self.stay() }
    }
}

/// Where a bowler stands before a shot.
#[derive(Clone, Debug, PartialEq)]
pub struct Situation {
    /// Lane of the pair, 0 or 1.
    pub lane: usize,
    /// Ball in hand, by its place.
    pub ball: usize,
    /// The line as meant so far.
    pub release: Release,
    /// Other lines that may be taken, with the ball in hand or another ([`Belief::line`]).
    pub others: Vec<(usize, Release)>,
    /// First balls so far on the pair, oldest first.
    pub seen: Vec<Seen>,
}

impl Situation {
    /// Where a bowler stands who means a release with a ball on a lane, after these first balls. No other line is looked at.
    pub fn new((lane, ball, release): (usize, usize, Release), seen: Vec<Seen>) -> Self {
        Self { lane, ball, release, others: Vec::new(), seen }
    }

    /// The same with the lines worth a thought: the best of the ball in hand, and those of the two other balls that promise
    /// most near the lines known of them.
    #[must_use]
    pub fn with_lines(self, belief: &Belief, known: &[(usize, Release)], carry: &Carry) -> Self {
        // Where nothing near is aimed in the pocket any more, the whole lane is looked at.
        let own = || belief.line_meant(self.lane, self.ball, &[self.release], carry).map(|(line, _)| (self.ball, line));
        let promising = || belief.promising(self.lane, known, OTHER_BALLS, carry);
        let (own, promising) = rayon::join(own, promising);
        let others = own.into_iter().chain(promising);
        Self { others: others.collect(), ..self }
    }

    /// First balls on this lane with this ball, hand and line since the last change, newest first.
    pub fn on_this_line(&self) -> impl Iterator<Item = &Seen> {
        const SAME_BOARDS: f64 = 0.5;
        let same = |shot: &&Seen| {
            let moved = Move::between(&shot.meant, &self.release);
            let hand = (shot.meant.speed, shot.meant.rotation) == (self.release.speed, self.release.rotation);
            let line = moved.feet_boards.abs() < SAME_BOARDS && moved.eyes_boards.abs() < SAME_BOARDS;
            shot.ball == self.ball && hand && line
        };
        self.seen.iter().rev().filter(|shot| shot.lane == self.lane).take_while(same)
    }

    /// The lane as it will lie at our last first ball of the game on it, for [`Terms::end_of_game`], where the next one is of this frame; None where
    /// that is the last. Frames alternate between the two lanes, and between two of our balls on one the others make these throws on it.
    ///
    /// # Errors
    /// If a release is not possible.
    pub fn end_of_game(&self, belief: &Belief, frame: u8, others: &[Thrown<'_>]) -> Result<Option<Lane>, LaneError> {
        const FRAMES: u8 = 10;
        const LANES: u8 = 2;
        let turns = usize::from(FRAMES.saturating_sub(frame) / LANES);
        if turns == 0 {
            return Ok(None);
        }
        let own = Thrown { lane: self.lane, ball: &belief.balls()[self.ball], meant: self.release, other_hand: false };
        let turn = [&[own], others].concat();
        let [first, second] = belief.worn_by(&turn.repeat(turns))?;
        Ok(Some(if self.lane == 0 { first } else { second }))
    }
}

/// What the advice reckons with beside the belief.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Terms {
    /// How often the bowler makes what a first ball leaves.
    pub makes: Makes,
    /// Surfaces that the ball in hand may be given now; empty where the event's rules forbid it, as most do once a block has
    /// begun.
    pub surfaces: Vec<Surface>,
    /// How much must speak against a line before it is left.
    pub patience: Patience,
    /// The lane as it will lie at our last first ball of the game on it, if the line in use is kept ([`Situation::end_of_game`]). A
    /// choice then counts as it does from now to there. None where this ball is the last, or only the next one matters.
    pub end_of_game: Option<Lane>,
}

/// Other balls that are weighed world by world. Each takes as long as the ball in hand.
const OTHER_BALLS: usize = 2;
/// Choices that differ by less than this, pins a game, are level: the surer one is taken. It is the price of "2 and 1".
const LEVEL: f64 = 0.8;
/// A command is given where this share of the worlds gains: four to one.
const SURE: f64 = 0.8;
/// And a suggestion where this share does: three to two.
pub(crate) const LIKELY: f64 = 0.6;
/// What a coach would try for what was seen is tried unless the numbers differ by more than this, pins a game (our judgement: so much may
/// the model be wrong about how a ball turns).
const COACHS_WORD: f64 = 4.0;
/// So many of the things a coach would try are weighed to the end.
const OF_COACH: usize = 2;
/// Rounds: worlds, throws a world, and how many choices go on.
const ROUNDS: [(usize, u32, usize); 3] = [(8, 12, 12), (16, 24, 6), (48, 32, 6)];
/// So many choices of one kind go on at most: beside the best move the best other ball is shown, too.
const OF_A_KIND: usize = 3;

/// Weighs the choices for the next shot, on the usual terms: surfaces stay as they are.
pub fn advise(belief: &Belief, at: &Situation, carry: &Carry) -> Advice {
    advise_on(belief, at, &Terms::default(), carry)
}

/// Weighs the choices for the next shot.
pub fn advise_on(belief: &Belief, at: &Situation, terms: &Terms, carry: &Carry) -> Advice {
    let choices = Choices::new(belief, at, terms);
    let diagnosis = at.diagnosis(belief);
    let of_coach = |one: &NextShot| diagnosis.is_some_and(|diagnosis| diagnosis.asks_for(one, belief.balls(), at.ball));
    let (mut open, mut judged) = (choices.open.clone(), Vec::new());
    let mut grounds = BTreeMap::new();
    for (round, (worlds, throws, kept)) in ROUNDS.into_iter().enumerate() {
        let worlds = belief.spread_over(worlds);
        // A lane cut for a ball takes longer than the throws on it, and worlds come again.
        let again = ROUNDS.get(round + 1).map_or_else(Vec::new, |next| belief.spread_over(next.0));
        let weighing = Weighing { belief, at, choices: &choices, open: &open, terms, carry };
        let outcomes = weighing.outcomes((&worlds, throws), &mut grounds, &again);
        let trend = match &terms.end_of_game {
            Some(end) if again.is_empty() => ahead::trend(&weighing, &outcomes, throws, end),
            _ => vec![0.0; open.len()],
        };
        let weighed = weighing.judge(&outcomes, &trend);
        (judged, open) = going_on(weighed.into_iter().zip(open).collect(), kept, of_coach).into_iter().unzip();
    }
    judged.sort_by(|a, b| b.net.total_cmp(&a.net));
    let waits = terms.patience.asks_to_stay(at);
    // Before a shot on it a line has only the numbers against it: a plan is not given up on a suggestion.
    let untried = at.on_this_line().next().is_none();
    let of_numbers = chosen(&judged, |one| one.may_be_asked_for(diagnosis));
    let tried = judged.iter().position(|one| of_coach(one) && one.may_be_tried());
    let tried = tried.filter(|&tried| !waits && !judged[of_numbers].overrules(&judged[tried]));
    let verdict = match tried {
        Some(tried) if judged[tried].better < SURE => Verdict::Try,
        Some(_) => Verdict::Change,
        None if waits => Verdict::Stay,
        None => Verdict::of(&judged[of_numbers], untried),
    };
    judged[..=tried.unwrap_or(of_numbers)].rotate_right(1);
    Advice { choices: judged, verdict, waits, diagnosis }
}

/// So many of the choices, the best; few of a kind, so that beside the best moves the best other ball stays. Staying, by which
/// the others are measured, is always among them, and so is the best of what a coach would try.
fn going_on(
    mut all: Vec<(NextShot, Open)>,
    most: usize,
    of_coach: impl Fn(&NextShot) -> bool,
) -> Vec<(NextShot, Open)> {
    all.sort_by(|(a, _), (b, _)| b.net.total_cmp(&a.net));
    let of_coach = all.iter().filter(|(one, _)| of_coach(one)).take(OF_COACH);
    let never_drop: Vec<Choice> = of_coach.map(|(one, _)| one.choice).collect();
    all.sort_by_key(|(one, _)| (one.change != Change::Stay, !never_drop.contains(&one.choice)));
    let mut kept: Vec<(NextShot, Open)> = Vec::new();
    for one in all {
        let kind = |shot: &NextShot| discriminant(&shot.change);
        let alike = kept.iter().filter(|(other, _)| kind(other) == kind(&one.0)).count();
        if kept.len() < most && alike < OF_A_KIND {
            kept.push(one);
        }
    }
    kept
}

/// Which of these, best first, is to be taken: of what is level with the best, what a coach tries first, and of that the surest.
fn chosen(judged: &[NextShot], may_be_asked_for: impl Fn(&NextShot) -> bool) -> usize {
    let Some((place, best)) = judged.iter().enumerate().find(|(_, one)| may_be_asked_for(one)) else { return 0 };
    if best.change == Change::Stay {
        return place;
    }
    let level = |one: &NextShot| {
        one.change != Change::Stay && may_be_asked_for(one) && one.net > best.net - LEVEL && one.net > 0.0
    };
    let level = judged.iter().enumerate().filter(|(_, one)| level(one));
    let order =
        |a: &NextShot, b: &NextShot| b.change.tried().cmp(&a.change.tried()).then(a.better.total_cmp(&b.better));
    // The first of those that are equally sure gains most.
    level.rev().max_by(|(_, a), (_, b)| order(a, b)).map_or(place, |(place, _)| place)
}
