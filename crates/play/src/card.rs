//! The next shot in a bowler's words. Nothing is said that the numbers behind it do not bear out: every reason states what must hold, and is
//! left out where it does not.

use crate::advice::{Advice, Change, NextShot, Situation, Verdict};
use crate::belief::{Belief, Seen, Told};
use crate::moves::aim;
use crate::{Hit, Move, Pocket};
use ball::Surface;
use measure::Feet;

/// What is shown between two shots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// What to do: a verb and a size, at most eight words.
    pub say: String,
    /// Why, at most twenty words.
    pub reason: String,
    /// What it is worth and how sure that is.
    pub worth: String,
    /// What to mind where it can hurt, or where rules decide; to be shown with it.
    pub caution: Option<&'static str>,
}

/// Cautions of surface work.
const OF_SURFACES: &str = "Only if the event's rules allow it now. Eye protection and a dust mask; hands clear of a running spinner; follow the maker's sheet.";
/// Cautions of a change in the way to throw.
const OF_WAYS: &str = "Build up slowly, stop at pain, ask a coach or a physician.";

/// What to mind with a change.
fn caution(change: Change) -> Option<&'static str> {
    match change {
        Change::Surface(..) => Some(OF_SURFACES),
        Change::Speed(_) | Change::Hand(_) => Some(OF_WAYS),
        Change::Stay | Change::Move(_) | Change::Line(_) | Change::Ball(_) => None,
    }
}

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
        let stay = advice.choices.iter().find(|one| one.change == Change::Stay);
        let heads_board = {
            let (feet, eyes) = (at.release.laydown, aim(&at.release));
            measure::Board(feet.0 + (eyes.0 - feet.0) * HEADS_FT / 15.0)
        };
        Self {
            hits: on_this_line.take_while(same).map_while(|shot| shot.hit).collect(),
            comes_in: stay.map_or_else(Told::default, |stay| stay.comes_in),
            heads: belief.oil_left(at.lane, heads_board, Feet(HEADS_FT)),
            pocket: Pocket::default(),
            verdict: advice.verdict,
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
            Self::StrikesMore => changes,
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
            Self::NothingBetter => "nothing else is clearly better".to_owned(),
            Self::CannotBeTold => "too close to call yet".to_owned(),
        }
    }
}

fn same(told: f64, is: f64) -> bool {
    (told - is).abs() < 1e-9
}

impl Card {
    /// The card for a situation and its advice. `balls` names the balls by their place; `seen` are the first balls so far, oldest first.
    pub fn of(belief: &Belief, at: &Situation, seen: &[Seen], advice: &Advice, balls: &[&str]) -> Self {
        Self::from_facts(&Facts::of(belief, at, seen, advice), advice, balls)
    }

    /// The card from the facts.
    pub fn from_facts(facts: &Facts, advice: &Advice, balls: &[&str]) -> Self {
        let best = advice.choices.first();
        let stay = advice.choices.iter().find(|one| one.change == Change::Stay);
        let shown = if advice.verdict == Verdict::Change { best } else { stay.or(best) };
        let say = match advice.verdict {
            Verdict::TooClose => match best {
                Some(best) => format!("Stay, or {}", lower(&verb(best, balls))),
                None => "Stay".to_owned(),
            },
            _ => shown.map_or_else(|| "Stay".to_owned(), |one| verb(one, balls)),
        };
        let mut reason = String::new();
        let mut words = 0;
        for said in facts.reasons().into_iter().map(Reason::words) {
            let more = said.split_whitespace().count();
            if words + more <= MOST_WORDS {
                reason.push_str(if reason.is_empty() { "" } else { "; " });
                reason.push_str(&said);
                words += more;
            }
            if words > ENOUGH_WORDS {
                break;
            }
        }
        let worth = shown.map_or_else(String::new, worth);
        // Too close to call names the best change too.
        let named = if advice.verdict == Verdict::TooClose { best } else { shown };
        Self { say, reason: upper(&reason), worth, caution: named.and_then(|one| caution(one.change)) }
    }
}

/// A reason is short; two short ones are enough.
const MOST_WORDS: usize = 20;
const ENOUGH_WORDS: usize = 8;

/// A choice as a verb and a size.
pub fn verb(shot: &NextShot, balls: &[&str]) -> String {
    match shot.change {
        Change::Stay => "Stay".to_owned(),
        Change::Move(moved) => verb_of_move(moved),
        Change::Line(moved) => format!("{}, new line", verb_of_move(moved)),
        Change::Speed(by) => format!("{} {}", mph(by.0.abs()), if by.0 < 0.0 { "slower" } else { "faster" }),
        Change::Hand(by) => {
            if by.0 < 0.0 { "A little less side rotation" } else { "A little more side rotation" }.to_owned()
        }
        Change::Surface(surface, moved) if moved == Move::STAY => finish(surface),
        Change::Surface(surface, moved) => format!("{}, {}", finish(surface), lower(&verb_of_move(moved))),
        Change::Ball(ball) => format!("Change to {}", balls.get(ball).copied().unwrap_or("another ball")),
    }
}

/// What is done to a cover, with the grit of [`Surface::sanded`] that leaves such a roughness.
fn finish(surface: Surface) -> String {
    if surface.ra_m <= Surface::polished().ra_m * 1.2 {
        return "Polish".to_owned();
    }
    let grit = 500.0 * (Surface::sanded(500.0).ra_m / surface.ra_m).powf(1.0 / 0.7);
    format!("Sand to {:.0}", 50.0 * (grit / 50.0).round())
}

fn mph(by: f64) -> String {
    if (by - 0.5).abs() < 0.01 { "Half a mile".to_owned() } else { format!("{by:.1} mph") }
}

/// A move as a verb and a size.
pub fn verb_of_move(moved: Move) -> String {
    let way = |boards: f64| if boards < 0.0 { "out" } else { "in" };
    let size = |boards: f64| {
        let half = (2.0 * boards.abs()).round() / 2.0;
        if half.fract() == 0.0 { format!("{half:.0}") } else { format!("{half:.1}") }
    };
    let (feet, eyes) = (moved.feet_boards, moved.eyes_boards);
    match (feet.abs() < 0.25, eyes.abs() < 0.25) {
        (true, true) => "Same line".to_owned(),
        (false, true) => format!("Feet {} {}, same target", way(feet), size(feet)),
        (true, false) => format!("Same feet, target {} {}", way(eyes), size(eyes)),
        (false, false) if way(feet) == way(eyes) => {
            format!("{} {}, target {}", upper(way(feet)), size(feet), size(eyes))
        }
        (false, false) => format!("Feet {} {}, target {} {}", way(feet), size(feet), way(eyes), size(eyes)),
    }
}

/// Strikes in a hundred with an interval that holds eight in ten of the guesses.
fn worth(shot: &NextShot) -> String {
    const EIGHT_IN_TEN: f64 = 1.2816;
    let of = |told: Told| {
        let (mean, half) = (100.0 * told.mean, EIGHT_IN_TEN * 100.0 * told.sd);
        (mean, mean - half, mean + half)
    };
    if shot.change == Change::Stay {
        let (mean, low, high) = of(shot.strike);
        format!("{mean:.0} strikes in 100 ({:.0} to {:.0})", low.max(0.0), high.min(100.0))
    } else {
        let (mean, low, high) = of(shot.gain);
        format!("{mean:+.0} strikes in 100 ({low:+.0} to {high:+.0})")
    }
}

fn upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use lane::Release;
    use measure::{Degrees, Mph};

    fn facts() -> Facts {
        Facts {
            hits: vec![Hit::High, Hit::High, Hit::High, Hit::Pocket],
            comes_in: Told { mean: 18.9, sd: 0.6 },
            heads: Some(Told { mean: 0.7, sd: 0.1 }),
            pocket: Pocket::default(),
            verdict: Verdict::Change,
        }
    }

    fn shot(change: Change) -> NextShot {
        NextShot {
            change,
            ball: 0,
            release: Release::default(),
            strike: Told { mean: 0.43, sd: 0.05 },
            split: Told { mean: 0.04, sd: 0.01 },
            comes_in: Told { mean: 18.9, sd: 0.6 },
            pins: Told { mean: 19.0, sd: 0.5 },
            gain: Told { mean: 0.06, sd: 0.03 },
            pins_gain: Told { mean: 0.6, sd: 0.3 },
            better: 0.9,
            teaches_nats: 0.1,
            net: 0.05,
        }
    }

    fn advice(change: Change, verdict: Verdict) -> Advice {
        Advice { choices: vec![shot(change), shot(Change::Stay)], verdict }
    }

    #[test]
    fn law_the_card_says_what_the_numbers_say() {
        let moved = Change::Move(Move { feet_boards: 2.0, eyes_boards: 1.0 });
        let card = Card::from_facts(&facts(), &advice(moved, Verdict::Change), &[]);
        assert_eq!(card.say, "In 2, target 1");
        assert_eq!(card.reason, "Three high in a row; the heads have lost about 30%");
        assert_eq!(card.worth, "+6 strikes in 100 (+2 to +10)");
        let stays = Facts {
            hits: vec![Hit::High, Hit::Pocket],
            comes_in: Told { mean: 17.4, sd: 0.5 },
            heads: None,
            verdict: Verdict::Stay,
            ..facts()
        };
        let card = Card::from_facts(&stays, &Advice { choices: vec![shot(Change::Stay)], verdict: Verdict::Stay }, &[]);
        assert_eq!((card.say.as_str(), card.worth.as_str()), ("Stay", "43 strikes in 100 (37 to 49)"));
        assert_eq!(card.reason, "One high is no reason to move; good throws come in at 17.4");
        let close =
            Card::from_facts(&Facts { verdict: Verdict::TooClose, ..stays }, &advice(moved, Verdict::TooClose), &[]);
        assert_eq!(close.say, "Stay, or in 2, target 1");
    }

    #[test]
    fn law_no_reason_is_given_that_does_not_hold() {
        // Each of these differs from the facts in one thing that a reason rests on.
        let other = [
            Facts { hits: vec![Hit::High, Hit::Light, Hit::High], ..facts() },
            Facts { heads: Some(Told { mean: 0.95, sd: 0.01 }), ..facts() },
            Facts { heads: Some(Told { mean: 0.7, sd: 0.4 }), ..facts() },
            Facts { heads: None, ..facts() },
            Facts { comes_in: Told { mean: 17.5, sd: 0.6 }, ..facts() },
            Facts { verdict: Verdict::Stay, ..facts() },
        ];
        for (k, other) in other.iter().enumerate() {
            let lost = facts().reasons().into_iter().filter(|reason| !reason.holds(other)).count();
            assert!(lost > 0, "case {k}");
            assert!(other.reasons().into_iter().all(|reason| reason.holds(other)), "case {k}");
        }
    }

    #[test]
    fn law_what_can_hurt_carries_its_caution() {
        let surface = Change::Surface(Surface::sanded(1000.0), Move { feet_boards: 2.0, eyes_boards: 1.0 });
        let of = |change: Change, verdict: Verdict| Card::from_facts(&facts(), &advice(change, verdict), &[]);
        let card = of(surface, Verdict::Change);
        assert_eq!(card.say, "Sand to 1000, in 2, target 1");
        let said = card.caution.expect("a caution");
        assert!(["rules", "Eye protection", "dust mask", "spinner", "maker"].iter().all(|word| said.contains(word)));
        assert_eq!(of(surface, Verdict::TooClose).caution, Some(said));
        assert!(of(Change::Speed(Mph(-0.5)), Verdict::Change).caution.is_some_and(|said| said.contains("pain")));
        assert_eq!(of(Change::Ball(0), Verdict::Change).caution, None);
    }

    #[test]
    fn law_cards_are_short() {
        let changes = [
            Change::Stay,
            Change::Move(Move { feet_boards: -3.0, eyes_boards: 1.0 }),
            Change::Line(Move { feet_boards: 4.5, eyes_boards: -2.0 }),
            Change::Speed(Mph(-0.5)),
            Change::Hand(Degrees(8.0)),
            Change::Ball(0),
            Change::Surface(Surface::polished(), Move::STAY),
            Change::Surface(Surface::sanded(1000.0), Move { feet_boards: 2.0, eyes_boards: 1.0 }),
        ];
        for change in changes {
            for verdict in [Verdict::Stay, Verdict::Change, Verdict::TooClose] {
                let card = Card::from_facts(&Facts { verdict, ..facts() }, &advice(change, verdict), &["weak-pearl"]);
                let words = |text: &str| text.split_whitespace().count();
                let most = if verdict == Verdict::TooClose { 10 } else { 8 };
                assert!((1..=most).contains(&words(&card.say)), "{}", card.say);
                assert!((1..=20).contains(&words(&card.reason)), "{}", card.reason);
            }
        }
    }
}
