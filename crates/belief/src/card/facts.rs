//! Why the card says what it says: what a reason rests on, and whether it holds.

use crate::advice::{Advice, Change, Situation, Verdict};
use crate::belief::{Belief, Seen, Told};
use boardwise_search::aim;
use boardwise_search::{Hit, Move, Pocket};
use boardwise_units::Feet;

/// What reasons rest on.
#[derive(Clone, Debug, PartialEq)]
pub struct Facts {
    /// How the last first balls on this lane hit, newest first, on the line in use.
    pub hits: Vec<Hit>,
    /// Where that line comes in now.
    pub comes_in: Told,
    /// Oil left of what the pattern says where that line crosses the heads.
    pub heads: Option<Told>,
    /// What counts as the pocket.
    pub pocket: Pocket,
    /// The advice.
    pub verdict: Verdict,
    /// Strikes a first ball that what stands first in it gains over staying, as a share.
    pub gain: Told,
    /// Pins a frame that it gains.
    pub pins_gain: Told,
}

/// A reason that may be given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// So many hits of one wrong kind in a row.
    InARow(Hit, usize),
    /// The heads have dried by this share.
    HeadsGoing(f64),
    /// There is more oil than told.
    MoreOil(f64),
    /// Good throws come in past the pocket, on this board.
    ComesInHigh(f64),
    /// Good throws come in short of it.
    ComesInLight(f64),
    /// Good throws still find the pocket.
    StillThere(f64),
    /// One wrong hit after others that were not.
    OneIsNoReason(Hit),
    /// Nothing else is clearly better.
    NothingBetter,
    /// It cannot be told.
    CannotBeTold,
    /// Another line strikes more often, wherever the ball comes in.
    StrikesMore,
    /// Another line strikes no more often but leaves what is made more often, or fewer pins.
    LeavesLess,
}

/// The hearts of the heads, where drying shows first.
const HEADS_FT: f64 = 8.0;
/// A share of oil that has gone, or come on top, worth telling.
const WORTH_TELLING: f64 = 0.12;

impl Facts {
    /// The facts of a situation; `seen` are the first balls on this lane, oldest first.
    pub fn of(belief: &Belief, at: &Situation, seen: &[Seen], advice: &Advice) -> Self {
        let on_this_line = seen.iter().rev().filter(|shot| shot.lane == at.lane);
        let same = |shot: &&Seen| {
            let moved = Move::between(&shot.meant, &at.release);
            shot.ball == at.ball && moved.feet_boards.abs() < 0.5 && moved.eyes_boards.abs() < 0.5
        };
        let (best, stay) = (advice.choices.first(), advice.choices.iter().find(|one| one.change == Change::Stay));
        let heads_board = {
            let (feet, eyes) = (at.release.laydown, aim(&at.release));
            boardwise_units::Board(feet.0 + (eyes.0 - feet.0) * HEADS_FT / 15.0)
        };
        Self {
            hits: on_this_line.take_while(same).map_while(|shot| shot.hit).collect(),
            comes_in: stay.map_or_else(Told::default, |stay| stay.comes_in),
            heads: belief.oil_left(at.lane, heads_board, Feet(HEADS_FT)),
            pocket: Pocket::default(),
            verdict: advice.verdict,
            gain: best.map_or_else(Told::default, |best| best.gain),
            pins_gain: best.map_or_else(Told::default, |best| best.pins_gain),
        }
    }

    /// Reasons that hold, the most telling first.
    pub fn reasons(&self) -> Vec<Reason> {
        let board = self.comes_in.mean;
        let run = self.hits.iter().take_while(|hit| Some(*hit) == self.hits.first()).count();
        let first = self.hits.first().copied().unwrap_or(Hit::Pocket);
        let heads = self.heads.unwrap_or(Told { mean: 1.0, sd: 0.0 });
        [
            Reason::InARow(first, run),
            Reason::OneIsNoReason(first),
            Reason::HeadsGoing(1.0 - heads.mean),
            Reason::MoreOil(heads.mean - 1.0),
            Reason::ComesInHigh(board),
            Reason::ComesInLight(board),
            Reason::StillThere(board),
            Reason::StrikesMore,
            Reason::LeavesLess,
            Reason::NothingBetter,
            Reason::CannotBeTold,
        ]
        .into_iter()
        .filter(|reason| reason.holds(self))
        .collect()
    }
}

impl Reason {
    /// Whether the facts bear it out.
    pub fn holds(self, facts: &Facts) -> bool {
        let wrong = |hit: Hit| matches!(hit, Hit::High | Hit::OtherSide | Hit::Light);
        let changes = facts.verdict == Verdict::Change;
        match self {
            Self::InARow(hit, count) => {
                count >= 2
                    && wrong(hit)
                    && facts.hits.len() >= count
                    && facts.hits[..count].iter().all(|one| *one == hit)
            }
            Self::OneIsNoReason(hit) => {
                !changes
                    && wrong(hit)
                    && facts.hits.first() == Some(&hit)
                    && facts.hits.get(1).is_none_or(|one| *one != hit)
                    && Self::StillThere(facts.comes_in.mean).holds(facts)
            }
            // By more than the doubt about it.
            Self::HeadsGoing(gone) => facts
                .heads
                .is_some_and(|heads| gone >= WORTH_TELLING && same(gone, 1.0 - heads.mean) && gone > heads.sd),
            Self::MoreOil(more) => facts
                .heads
                .is_some_and(|heads| more >= WORTH_TELLING && same(more, heads.mean - 1.0) && more > heads.sd),
            Self::ComesInHigh(board) => same(board, facts.comes_in.mean) && board > facts.pocket.high.0,
            Self::ComesInLight(board) => same(board, facts.comes_in.mean) && board < facts.pocket.light.0,
            Self::StillThere(board) => {
                same(board, facts.comes_in.mean) && (facts.pocket.light.0..=facts.pocket.high.0).contains(&board)
            }
            Self::StrikesMore => changes && shows(facts.gain),
            Self::LeavesLess => changes && !shows(facts.gain) && facts.pins_gain.mean > 0.0,
            Self::NothingBetter => facts.verdict == Verdict::Stay,
            Self::CannotBeTold => facts.verdict == Verdict::TooClose,
        }
    }

    /// In a bowler's words.
    pub fn words(self) -> String {
        let hit = |hit: Hit| match hit {
            Hit::High => "high",
            Hit::OtherSide => "on the other side",
            Hit::Light => "light",
            Hit::Gutter => "in the gutter",
            Hit::Pocket => "in the pocket",
        };
        match self {
            Self::InARow(of, 2) => format!("two {} in a row", hit(of)),
            Self::InARow(of, 3) => format!("three {} in a row", hit(of)),
            Self::InARow(of, count) => format!("{count} {} in a row", hit(of)),
            Self::OneIsNoReason(of) => format!("one {} is no reason to move", hit(of)),
            Self::HeadsGoing(gone) => format!("the heads have lost about {:.0}%", 100.0 * gone),
            Self::MoreOil(more) => format!("about {:.0}% more oil in the heads than told", 100.0 * more),
            Self::ComesInHigh(board) => format!("good throws come in high, at {board:.1}"),
            Self::ComesInLight(board) => format!("good throws come in light, at {board:.1}"),
            Self::StillThere(board) => format!("good throws come in at {board:.1}"),
            Self::StrikesMore => "strikes more often".to_owned(),
            Self::LeavesLess => "leaves less to make".to_owned(),
            Self::NothingBetter => "nothing else is clearly better".to_owned(),
            Self::CannotBeTold => "too close to call yet".to_owned(),
        }
    }
}

/// Whether strikes gained show in whole strikes in a hundred.
pub(super) fn shows(gain: Told) -> bool {
    gain.mean >= 0.005
}

fn same(told: f64, is: f64) -> bool {
    (told - is).abs() < 1e-9
}
