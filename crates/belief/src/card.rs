//! The next shot in a bowler's words. Nothing is said that the numbers behind it do not bear out: every reason states what
//! must hold, and is left out where it does not.

mod facts;
mod words;

use crate::advice::{Advice, Change, LIKELY, NextShot, Situation, Verdict};
use crate::belief::Belief;

pub use facts::{Facts, Reason};
pub use words::{half_boards, headline, move_in_words};

/// What is shown between two shots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Card {
    /// What to do, whole: at most ten words.
    pub say: String,
    /// In small print beside it: the same as a move from the line in use, or where that line is if it stays.
    pub detail: String,
    /// Why: one sentence of at most twenty words.
    pub reason: String,
    /// How sure it is: one line.
    pub worth: String,
    /// What to mind where it can hurt, or where rules decide; to be shown with it.
    pub caution: Option<&'static str>,
}

/// Cautions of surface work.
pub const OF_SURFACES: &str = "Only if the event's rules allow it now. Eye protection and a dust mask; hands clear of a running spinner; follow the maker's sheet.";
/// Cautions of a change in the way to throw.
pub const OF_WAYS: &str = "Build up slowly, stop at pain, ask a coach or a physician.";

/// So many other choices are shown beside what the card says.
const FURTHER: usize = 2;

impl NextShot {
    /// What to mind with it where it can hurt, or where rules decide.
    pub fn caution(&self) -> Option<&'static str> {
        match self.change {
            Change::Surface(_) => Some(OF_SURFACES),
            Change::Hand(..) => Some(OF_WAYS),
            Change::Stay | Change::Move(_) | Change::OwnHand(_) | Change::Ball => None,
        }
    }
}

impl Advice {
    /// The second and third choice: the best of those that the card does not say.
    pub fn further(&self) -> impl Iterator<Item = &NextShot> {
        let said = self.advised().map(|one| one.choice);
        self.choices.iter().filter(move |one| Some(one.choice) != said).take(FURTHER)
    }
}

impl Card {
    /// The card for a situation and its advice. `balls` names the balls by their place.
    pub fn new(belief: &Belief, at: &Situation, advice: &Advice, balls: &[&str]) -> Self {
        Self::from_facts(&Facts::new(belief, at, advice), advice, balls)
    }

    /// The card from the facts.
    pub fn from_facts(facts: &Facts, advice: &Advice, balls: &[&str]) -> Self {
        let Some(shown) = advice.advised() else {
            let say = "Same again".to_owned();
            return Self { say, detail: String::new(), reason: facts.sentence(), worth: String::new(), caution: None };
        };
        let further = advice.further().find_map(NextShot::caution);
        Self {
            say: said(shown, advice.verdict, balls),
            detail: words::detail(shown),
            reason: facts.sentence(),
            worth: how_sure(shown, advice.verdict),
            caution: shown.caution().or(further),
        }
    }
}

/// What to do: a suggestion is worded as one.
fn said(shown: &NextShot, verdict: Verdict, balls: &[&str]) -> String {
    let headline = headline(shown, balls);
    if verdict == Verdict::Try { format!("Try: {}", words::lower(&headline)) } else { headline }
}

/// How sure it is, in one line.
fn how_sure(shown: &NextShot, verdict: Verdict) -> String {
    match verdict {
        Verdict::Stay => format!("About {:.0} strikes in 100 on this line.", 100.0 * shown.strike.mean),
        Verdict::TooClose => "Too close to call: stay if it felt right.".to_owned(),
        Verdict::Change => format!("{}, {} to 1 it helps.", gain(shown), odds(shown.better)),
        Verdict::Try if shown.better < LIKELY || shown.pins_gain_with_luck <= 0.0 => {
            "The usual answer. The numbers cannot tell: stay if it felt right.".to_owned()
        }
        Verdict::Try => {
            let odds = match shown.better {
                better if better < 0.64 => "3 to 2",
                better if better < 0.72 => "2 to 1",
                _ => "3 to 1",
            };
            format!("{}, {odds} it helps; stay if it felt right.", gain(shown))
        }
    }
}

fn gain(shown: &NextShot) -> String {
    let pins = shown.pins_gain_with_luck.round().max(1.0);
    format!("About {pins:.0} {} a game better", if pins > 1.0 { "pins" } else { "pin" })
}

/// Odds of a share, in whole numbers; more than twenty to one is more than so few worlds can say.
fn odds(share: f64) -> String {
    const MOST: f64 = 20.0;
    let odds = (share / (1.0 - share).max(1e-9)).round();
    if odds > MOST { format!("more than {MOST:.0}") } else { format!("{:.0}", odds.max(1.0)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advice::{Choice, Diagnosis};
    use crate::belief::{Estimate, Feel, Noticed, Seen};
    use boardwise_ball::Surface;
    use boardwise_lane::Release;
    use boardwise_search::{Hit, Move, Pocket};
    use boardwise_units::{Board, Degrees, Mph};

    fn seen(pins: &str, hit: Hit) -> Seen {
        let noticed = Noticed { hit: Some(hit), ..Noticed::default() };
        Seen { lane: 0, ball: 0, meant: Release::default(), standing: pins.parse().unwrap(), noticed }
    }

    fn facts() -> Facts {
        Facts {
            shots: vec![seen("4", Hit::High), seen("4-9", Hit::High), seen("none", Hit::Pocket)],
            comes_in: Estimate { mean: 18.9, sd: 0.6 },
            heads: Some(Estimate { mean: 0.7, sd: 0.1 }),
            diagnosis: Some(Diagnosis::High),
            pocket: Pocket::default(),
            verdict: Verdict::Change,
            gain: Estimate { mean: 0.03, sd: 0.01 },
            pins_gain: Estimate { mean: 3.2, sd: 1.0 },
        }
    }

    fn shot(change: Change) -> NextShot {
        let release = Release::default();
        NextShot {
            change,
            choice: Choice {
                ball: 0,
                surface: None,
                slide: Board(33.0),
                look: Board(10.0),
                speed: release.speed,
                rotation: release.rotation,
                release,
            },
            moved: Move { feet_boards: 2.0, eyes_boards: 1.0 },
            strike: Estimate { mean: 0.43, sd: 0.05 },
            split: Estimate { mean: 0.04, sd: 0.01 },
            comes_in: Estimate { mean: 18.9, sd: 0.6 },
            pins: Estimate { mean: 190.0, sd: 5.0 },
            gain: Estimate { mean: 0.03, sd: 0.01 },
            pins_gain: Estimate { mean: 3.2, sd: 1.0 },
            pins_gain_with_luck: 3.4,
            pins_gain_at_least: 1.9,
            better: 0.9,
            teaches_nats: 0.1,
            net: 2.4,
        }
    }

    const IN: Change = Change::Move(Move { feet_boards: 2.0, eyes_boards: 1.0 });

    fn advice(change: Change, verdict: Verdict) -> Advice {
        let stay = shot(Change::Stay);
        let stay = NextShot { choice: Choice { slide: Board(31.0), look: Board(9.0), ..stay.choice }, ..stay };
        Advice { choices: vec![shot(change), stay], verdict, waits: false, diagnosis: None }
    }

    #[test]
    fn law_the_card_says_what_the_numbers_say() {
        let card = Card::from_facts(&facts(), &advice(IN, Verdict::Change), &[]);
        assert_eq!((card.say.as_str(), card.detail.as_str()), ("Slide 33, look at 10", "2 and 1 in"));
        assert_eq!(card.reason, "Your last two came in high: the front is drying.");
        assert_eq!(card.worth, "About 3 pins a game better, 9 to 1 it helps.");
        let once = Facts {
            shots: vec![seen("4", Hit::High), seen("none", Hit::Pocket)],
            comes_in: Estimate { mean: 17.4, sd: 0.5 },
            heads: None,
            verdict: Verdict::Stay,
            ..facts()
        };
        let card = Card::from_facts(&once, &advice(IN, Verdict::Stay), &[]);
        assert_eq!((card.say.as_str(), card.detail.as_str()), ("Same again", "slide 31, look at 9"));
        assert_eq!(card.reason, "One hit high is no reason to move: good throws come in at 17.4.");
        assert_eq!(card.worth, "About 43 strikes in 100 on this line.");
        // No more strikes, but what is left is made.
        let leaves =
            Facts { gain: Estimate { mean: -0.001, sd: 0.01 }, shots: vec![seen("5", Hit::Pocket); 2], ..facts() };
        let card = Card::from_facts(&leaves, &advice(Change::Ball, Verdict::Change), &["dull strong solid"]);
        assert_eq!(card.say, "Dull strong solid: slide 33, look at 10");
        assert_eq!(card.reason, "Your last two left the 5 pin: this leaves easier spares.");
    }

    #[test]
    fn law_what_cannot_be_told_apart_is_no_command() {
        let facts = Facts { verdict: Verdict::TooClose, ..facts() };
        let told = advice(IN, Verdict::TooClose);
        let card = Card::from_facts(&facts, &told, &[]);
        assert_eq!(card.say, "Same again");
        assert_eq!(card.worth, "Too close to call: stay if it felt right.");
        assert_eq!(told.further().map(|one| headline(one, &[])).collect::<Vec<_>>(), ["Slide 33, look at 10"]);
    }

    #[test]
    fn law_what_a_coach_would_try_claims_no_gain_that_the_numbers_do_not_see() {
        let tens = Facts {
            shots: vec![seen("10", Hit::Pocket); 3],
            diagnosis: Some(Diagnosis::TurnsLate),
            verdict: Verdict::Try,
            ..facts()
        };
        let level = NextShot { better: 0.5, pins_gain_with_luck: -0.4, ..shot(Change::Ball) };
        let advice =
            Advice { choices: vec![level, shot(Change::Stay)], verdict: Verdict::Try, waits: false, diagnosis: None };
        let card = Card::from_facts(&tens, &advice, &["urethane"]);
        assert_eq!(card.say, "Try: urethane: slide 33, look at 10");
        assert_eq!(card.reason, "Your last three left the 10 pin: the ball turns late.");
        assert_eq!(card.worth, "The usual answer. The numbers cannot tell: stay if it felt right.");
        let early = Facts { diagnosis: None, ..tens };
        assert!(!early.reasons().contains(&Reason::TurnsLate));
    }

    #[test]
    fn law_a_throw_that_was_owned_up_to_is_no_fault_of_the_line() {
        let mut bad = seen("4", Hit::High);
        bad.noticed.feel = Some(Feel::In);
        let facts = Facts {
            shots: vec![bad, seen("4", Hit::High)],
            comes_in: Estimate { mean: 17.4, sd: 0.5 },
            verdict: Verdict::Stay,
            ..facts()
        };
        assert_eq!(facts.sentence(), "That throw was not the one you meant: good throws come in at 17.4.");
        assert!(!facts.reasons().iter().any(|reason| matches!(reason, Reason::InARow(..))));
    }

    #[test]
    fn law_no_reason_is_given_that_does_not_hold() {
        // Each of these differs from the facts in one thing that a reason rests on.
        let other = [
            Facts { shots: vec![seen("4", Hit::High), seen("2", Hit::Light)], ..facts() },
            Facts { heads: Some(Estimate { mean: 0.95, sd: 0.01 }), ..facts() },
            Facts { heads: Some(Estimate { mean: 0.7, sd: 0.4 }), ..facts() },
            Facts { heads: None, ..facts() },
            Facts { comes_in: Estimate { mean: 17.5, sd: 0.6 }, ..facts() },
            Facts { verdict: Verdict::Stay, ..facts() },
            Facts { gain: Estimate { mean: 0.0, sd: 0.03 }, ..facts() },
        ];
        for (k, other) in other.iter().enumerate() {
            let lost = facts().reasons().into_iter().filter(|reason| !reason.holds(other)).count();
            assert!(lost > 0, "case {k}");
            assert!(other.reasons().into_iter().all(|reason| reason.holds(other)), "case {k}");
        }
    }

    #[test]
    fn law_what_can_hurt_carries_its_caution() {
        let surface = Change::Surface(Surface::sanded(1000.0));
        let card = |change: Change, verdict: Verdict| Card::from_facts(&facts(), &advice(change, verdict), &[]);
        let sanded = card(surface, Verdict::Change);
        assert_eq!(sanded.say, "Sand to 1000: slide 33, look at 10");
        let said = sanded.caution.expect("a caution");
        assert!(["rules", "Eye protection", "dust mask", "spinner", "maker"].iter().all(|word| said.contains(word)));
        assert_eq!(card(surface, Verdict::TooClose).caution, Some(said), "a further choice needs it, too");
        let slower = card(Change::Hand(Mph(-0.5), Degrees(0.0)), Verdict::Change);
        assert_eq!(slower.say, "Half a mile slower: slide 33, look at 10");
        assert!(slower.caution.is_some_and(|said| said.contains("pain")));
        assert_eq!(card(Change::Ball, Verdict::Change).caution, None);
        assert_eq!(card(Change::OwnHand(Move::STAY), Verdict::Change).say, "Usual hand: slide 33, look at 10");
    }

    #[test]
    fn law_cards_are_short() {
        let changes = [
            Change::Stay,
            IN,
            Change::OwnHand(Move { feet_boards: -3.0, eyes_boards: 1.0 }),
            Change::Hand(Mph(-0.5), Degrees(0.0)),
            Change::Hand(Mph(0.0), Degrees(8.0)),
            Change::Ball,
            Change::Surface(Surface::polished()),
        ];
        for change in changes {
            for verdict in [Verdict::Stay, Verdict::Change, Verdict::TooClose] {
                let card = Card::from_facts(&Facts { verdict, ..facts() }, &advice(change, verdict), &["weak-pearl"]);
                let words = |text: &str| text.split_whitespace().count();
                assert!((1..=10).contains(&words(&card.say)), "{}", card.say);
                assert!((1..=20).contains(&words(&card.reason)), "{}", card.reason);
                assert!((1..=12).contains(&words(&card.worth)), "{}", card.worth);
            }
        }
    }
}
