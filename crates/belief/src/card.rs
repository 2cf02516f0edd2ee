//! The next shot in a bowler's words. Nothing is said that the numbers behind it do not bear out: every reason states what must hold, and is
//! left out where it does not.

mod facts;

use crate::advice::{Advice, Change, NextShot, Situation, Verdict};
use crate::belief::{Belief, Seen, Told};
use boardwise_ball::Surface;
use boardwise_search::Move;
use facts::shows;

pub use facts::{Facts, Reason};

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

/// Strikes in a hundred, or pins a game where a change is for what it leaves, with an interval that holds eight in ten of the worlds.
fn worth(shot: &NextShot) -> String {
    const EIGHT_IN_TEN: f64 = 1.2816;
    let of = |told: Told, times: f64| {
        let (mean, half) = (times * told.mean, EIGHT_IN_TEN * times * told.sd);
        // Nothing has no sign.
        [mean, mean - half, mean + half].map(|value| value.round() + 0.0)
    };
    if shot.change == Change::Stay {
        let [mean, low, high] = of(shot.strike, 100.0);
        format!("{mean:.0} strikes in 100 ({:.0} to {:.0})", low.max(0.0), high.min(100.0))
    } else if shows(shot.gain) || shot.pins_gain.mean <= 0.0 {
        let [mean, low, high] = of(shot.gain, 100.0);
        format!("{mean:+.0} strikes in 100 ({low:+.0} to {high:+.0})")
    } else {
        let [mean, low, high] = of(shot.pins_gain, 10.0);
        format!("{mean:+.0} pins a game ({low:+.0} to {high:+.0})")
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
    use boardwise_lane::Release;
    use boardwise_search::{Hit, Pocket};
    use boardwise_units::{Degrees, Mph};

    fn facts() -> Facts {
        Facts {
            hits: vec![Hit::High, Hit::High, Hit::High, Hit::Pocket],
            comes_in: Told { mean: 18.9, sd: 0.6 },
            heads: Some(Told { mean: 0.7, sd: 0.1 }),
            pocket: Pocket::default(),
            verdict: Verdict::Change,
            gain: Told { mean: 0.06, sd: 0.03 },
            pins_gain: Told { mean: 0.6, sd: 0.3 },
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
        // No more strikes, but what is left is made.
        let mut leaves = advice(moved, Verdict::Change);
        (leaves.choices[0].gain.mean, leaves.choices[0].pins_gain.mean) = (-0.001, 0.6);
        let told = Facts {
            gain: leaves.choices[0].gain,
            hits: Vec::new(),
            heads: None,
            comes_in: Told { mean: 17.4, sd: 0.5 },
            ..facts()
        };
        let card = Card::from_facts(&told, &leaves, &[]);
        assert_eq!(card.reason, "Good throws come in at 17.4; leaves less to make");
        assert_eq!(card.worth, "+6 pins a game (+2 to +10)");
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
            Facts { gain: Told { mean: 0.0, sd: 0.03 }, ..facts() },
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
