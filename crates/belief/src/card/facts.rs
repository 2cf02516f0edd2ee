//! Why the card says what it says: what a reason rests on, and whether it holds.

use crate::advice::{Advice, Diagnosis, Situation, Verdict};
use crate::belief::{Belief, Estimate, Feel, Seen};
use boardwise_score::PinSet;
use boardwise_search::{Hit, Pocket, aim};
use boardwise_units::{Board, Feet};

/// What reasons rest on.
#[derive(Clone, Debug, PartialEq)]
pub struct Facts {
    /// The first balls on this lane, newest first, on the line in use.
    pub shots: Vec<Seen>,
    /// Where that line comes in now.
    pub comes_in: Estimate,
    /// Oil left of what the pattern says where that line crosses the heads.
    pub heads: Option<Estimate>,
    /// What a coach reads from the last misses on it.
    pub diagnosis: Option<Diagnosis>,
    /// What counts as the pocket.
    pub pocket: Pocket,
    /// The advice.
    pub verdict: Verdict,
    /// Strikes a first ball that the first choice gains over staying, as a share.
    pub gain: Estimate,
    /// Pins a game that it gains.
    pub pins_gain: Estimate,
}

/// A reason that may be given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// So many hits of one wrong kind in a row.
    InARow(Hit, usize),
    /// The same pins stood so many times in a row.
    LeftAgain(PinSet, usize),
    /// The bowler owned up to the last throw.
    OwnedUp,
    /// So many strikes in a row.
    Struck(usize),
    /// One wrong hit alone.
    OneIsNoReason(Hit),
    /// The ball goes too far down lane before it turns.
    TurnsLate,
    /// Urethane has carried oil past the pattern's end.
    Carried,
    /// The heads have lost this share of their oil.
    HeadsGoing(f64),
    /// There is more oil than the pattern says.
    MoreOil(f64),
    /// Good throws come in past the pocket, on this board.
    ComesInHigh(f64),
    /// Good throws come in short of it.
    ComesInLight(f64),
    /// Good throws still find the pocket.
    StillThere(f64),
    /// Another choice strikes more often, wherever the ball comes in.
    StrikesMore,
    /// Another choice strikes no more often but leaves what is made more often, or fewer pins.
    LeavesLess,
    /// Nothing else is clearly better.
    NothingBetter,
}

/// The middle of the heads, where drying shows first.
const HEADS_FT: f64 = 8.0;
/// A share of oil that has gone, or come on top, worth a word.
const WORTH_A_WORD: f64 = 0.12;
/// A sentence is short.
const MOST_WORDS: usize = 20;

impl Facts {
    /// The facts of a situation.
    pub fn new(belief: &Belief, at: &Situation, advice: &Advice) -> Self {
        let (best, stay) = (advice.choices.first(), advice.stay());
        let heads_board = {
            let (feet, eyes) = (at.release.laydown.0, aim(&at.release).0);
            Board(feet + (eyes - feet) * HEADS_FT / 15.0)
        };
        Self {
            shots: at.on_this_line().copied().collect(),
            comes_in: stay.map_or_else(Estimate::default, |stay| stay.comes_in),
            heads: belief.oil_left(at.lane, heads_board, Feet(HEADS_FT)),
            diagnosis: advice.diagnosis,
            pocket: Pocket::default(),
            verdict: advice.verdict,
            gain: best.map_or_else(Estimate::default, |best| best.gain),
            pins_gain: best.map_or_else(Estimate::default, |best| best.pins_gain),
        }
    }

    /// Reasons that hold, the most telling first: what was seen, then why it may be so, then what is gained.
    pub fn reasons(&self) -> Vec<Reason> {
        let board = self.comes_in.mean;
        let heads = self.heads.unwrap_or(Estimate { mean: 1.0, sd: 0.0 });
        let newest = self.shots.first();
        let run = |same: &dyn Fn(&Seen, &Seen) -> bool| {
            newest.map_or(0, |newest| self.shots.iter().take_while(|shot| same(newest, shot)).count())
        };
        let hits = run(&|newest, shot| shot.noticed.hit == newest.noticed.hit);
        let leaves = run(&|newest, shot| shot.standing == newest.standing);
        let hit = newest.and_then(|newest| newest.noticed.hit).unwrap_or(Hit::Pocket);
        let left = newest.map_or(PinSet::NONE, |newest| newest.standing);
        [
            Reason::OwnedUp,
            Reason::InARow(hit, hits),
            Reason::LeftAgain(left, leaves),
            Reason::Struck(leaves),
            Reason::OneIsNoReason(hit),
            Reason::TurnsLate,
            Reason::Carried,
            Reason::HeadsGoing(1.0 - heads.mean),
            Reason::MoreOil(heads.mean - 1.0),
            Reason::ComesInHigh(board),
            Reason::ComesInLight(board),
            Reason::StrikesMore,
            Reason::LeavesLess,
            Reason::StillThere(board),
            Reason::NothingBetter,
        ]
        .into_iter()
        .filter(|reason| reason.holds(self))
        .collect()
    }

    /// Why, in one sentence: what was seen and why it may be so, or the one reason there is.
    pub fn sentence(&self) -> String {
        let reasons = self.reasons();
        let seen = reasons.iter().find(|reason| reason.is_seen());
        let why = reasons.iter().find(|reason| !reason.is_seen() && seen.is_none_or(|seen| reason.explains(*seen)));
        let words = |reason: &Reason| reason.words();
        let short = |text: &String| text.split_whitespace().count() <= MOST_WORDS;
        let both = seen.zip(why).map(|(seen, why)| format!("{}: {}", words(seen), words(why))).filter(short);
        let said = both.or_else(|| seen.or(why).map(words)).unwrap_or_default();
        if said.is_empty() { said } else { format!("{}.", super::words::upper(&said)) }
    }
}

impl Reason {
    /// Whether it says what was seen, rather than why or what for.
    fn is_seen(self) -> bool {
        matches!(
            self,
            Self::InARow(..) | Self::LeftAgain(..) | Self::OwnedUp | Self::Struck(_) | Self::OneIsNoReason(_)
        )
    }

    /// Whether it may be the cause of what was seen, or what to make of it.
    fn explains(self, seen: Self) -> bool {
        let too_much = matches!(seen, Self::InARow(Hit::High | Hit::OtherSide, _));
        let too_little = matches!(seen, Self::InARow(Hit::Light, _));
        match self {
            Self::HeadsGoing(_) | Self::ComesInHigh(_) => too_much,
            Self::MoreOil(_) | Self::ComesInLight(_) | Self::Carried => too_little,
            Self::TurnsLate => too_little || matches!(seen, Self::LeftAgain(..)),
            Self::StrikesMore | Self::LeavesLess => matches!(seen, Self::LeftAgain(..)),
            Self::StillThere(_) => matches!(seen, Self::OneIsNoReason(_) | Self::OwnedUp),
            _ => false,
        }
    }

    /// Whether the facts bear it out.
    pub fn holds(self, facts: &Facts) -> bool {
        let wrong = |hit: Hit| matches!(hit, Hit::High | Hit::OtherSide | Hit::Light);
        let changes = facts.verdict.asks_for_change();
        let shots = &facts.shots;
        let hit_so = |shot: &Seen, hit: Hit| shot.noticed.hit == Some(hit) && !shot.standing.is_empty();
        let first =
            |count: usize, same: &dyn Fn(&Seen) -> bool| shots.len() >= count && shots[..count].iter().all(same);
        match self {
            Self::InARow(hit, count) => {
                count >= 2 && wrong(hit) && !Self::OwnedUp.holds(facts) && first(count, &|shot| hit_so(shot, hit))
            }
            Self::LeftAgain(left, count) => {
                count >= 2 && !left.is_empty() && first(count, &|shot| shot.standing == left)
            }
            Self::OwnedUp => shots
                .first()
                .is_some_and(|shot| shot.noticed.feel.is_some_and(Feel::is_bad) && !shot.standing.is_empty()),
            Self::Struck(count) => count >= 1 && first(count, &|shot| shot.standing.is_empty()),
            Self::OneIsNoReason(hit) => {
                !changes
                    && wrong(hit)
                    && first(1, &|shot| hit_so(shot, hit))
                    && shots.get(1).is_none_or(|shot| !hit_so(shot, hit))
            }
            Self::TurnsLate => changes && facts.diagnosis == Some(Diagnosis::TurnsLate),
            Self::Carried => changes && facts.diagnosis == Some(Diagnosis::Carried),
            // By more than the doubt about it.
            Self::HeadsGoing(gone) => {
                facts.heads.is_some_and(|heads| gone >= WORTH_A_WORD && same(gone, 1.0 - heads.mean) && gone > heads.sd)
            }
            Self::MoreOil(more) => {
                facts.heads.is_some_and(|heads| more >= WORTH_A_WORD && same(more, heads.mean - 1.0) && more > heads.sd)
            }
            Self::ComesInHigh(board) => same(board, facts.comes_in.mean) && board > facts.pocket.high.0,
            Self::ComesInLight(board) => same(board, facts.comes_in.mean) && board < facts.pocket.light.0,
            Self::StillThere(board) => {
                same(board, facts.comes_in.mean) && (facts.pocket.light.0..=facts.pocket.high.0).contains(&board)
            }
            Self::StrikesMore => changes && strikes_more(facts),
            Self::LeavesLess => changes && !strikes_more(facts) && facts.pins_gain.mean > 0.0,
            Self::NothingBetter => !changes,
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
            Self::InARow(of, count) => format!("your last {} came in {}", number(count), hit(of)),
            Self::LeftAgain(left, count) => {
                let pins = if left.len() == 1 { "pin" } else { "pins" };
                format!("your last {} left the {left} {pins}", number(count))
            }
            Self::OwnedUp => "that throw was not the one you meant".to_owned(),
            Self::Struck(1) => "that line just struck".to_owned(),
            Self::Struck(count) => format!("that line struck {} times in a row", number(count)),
            Self::OneIsNoReason(of) => format!("one hit {} is no reason to move", hit(of)),
            Self::TurnsLate => "the ball turns late".to_owned(),
            Self::Carried => "urethane has carried oil down the lane".to_owned(),
            Self::HeadsGoing(_) => "the front is drying".to_owned(),
            Self::MoreOil(_) => "there is more oil in front than the sheet says".to_owned(),
            Self::ComesInHigh(board) => format!("good throws now come in high, at {board:.1}"),
            Self::ComesInLight(board) => format!("good throws now come in light, at {board:.1}"),
            Self::StillThere(board) => format!("good throws come in at {board:.1}"),
            Self::StrikesMore => "this strikes more often".to_owned(),
            Self::LeavesLess => "this leaves easier spares".to_owned(),
            Self::NothingBetter => "nothing else is clearly better".to_owned(),
        }
    }
}

fn number(count: usize) -> String {
    const WORDS: [&str; 10] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    WORDS.get(count).map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

/// Whether strikes gained show in whole strikes in a hundred.
fn strikes_more(facts: &Facts) -> bool {
    facts.gain.mean >= 0.005
}

fn same(said: f64, is: f64) -> bool {
    (said - is).abs() < 1e-9
}
