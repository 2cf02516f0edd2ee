//! The one thing to say first of an account, and what of it is a bowler's own to change.

use boardwise_belief::GameAccount;

use super::words::{Term, terms};

/// The terms that a bowler or coach can do something about. The others happen to them.
const OWN: [&str; 4] = ["spares", "execution", "line", "ball"];

/// What an account comes to, in one sentence and one more about how sure that is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The sentence that stands largest.
    pub headline: String,
    /// How sure it is.
    pub doubt: String,
}

/// The terms of an account, parted into what can be changed and what cannot; in each part the dearest comes first.
#[derive(Clone, Debug, PartialEq)]
pub struct Parted {
    /// A bowler's own: spares, throws, moves, balls.
    pub own: Vec<Term>,
    /// Lanes, luck, and what cannot be told apart.
    pub rest: Vec<Term>,
}

impl Parted {
    /// Of an account.
    pub fn of(told: &GameAccount) -> Self {
        let (mut own, mut rest): (Vec<Term>, Vec<Term>) =
            terms(told).into_iter().partition(|term| OWN.contains(&term.name));
        own.sort_by(|a, b| a.pins.total_cmp(&b.pins));
        rest.sort_by(|a, b| a.pins.total_cmp(&b.pins));
        Self { own, rest }
    }

    /// What nobody can act on, as one term. How far it may be off is not known: its parts lean on the same lanes and throws.
    pub fn rest_together(&self) -> Term {
        let pins = self.rest.iter().map(|term| term.pins).sum();
        let chance = self.rest.iter().map(|term| term.chance).fold(0.0, f64::hypot);
        Term { name: "lanes, luck", pins, doubt: 0.0, chance }
    }
}

impl Finding {
    /// Of an account; `so_far` where the block is not over.
    pub fn of(told: &GameAccount, so_far: bool) -> Self {
        let parted = Parted::of(told);
        let won = told.terms.sum();
        let par = format!("Par was {:.0}: what your best ball and line could be expected to score.", told.par);
        let so_far = if so_far { " so far" } else { "" };
        let side = format!("{} your par{so_far}", if won < 0.0 { "below" } else { "above" });
        let ended = match whole(won) {
            0 => format!("at your par{so_far}"),
            pins => format!("{} {side}", named(pins)),
        };
        let dearest = parted.own.iter().find(|term| term.pins < 0.0);
        match dearest {
            Some(term) if term.stands_out() => Self {
                headline: costs(term, won, &side, &ended),
                doubt: format!(
                    "Doubt and chance together make about {} of such a number, and this is more. {par}",
                    named(whole(term.unsure()))
                ),
            },
            Some(term) if whole(term.pins) > 0 => Self {
                headline: format!("{}; nothing of yours stands out", first_large(&ended)),
                doubt: format!(
                    "{} cost most, {}. Doubt and chance make as much as {}. {par}",
                    subject(term.name),
                    named(whole(term.pins)),
                    named(whole(term.unsure()))
                ),
            },
            _ => Self { headline: format!("{}; you gave nothing away", first_large(&ended)), doubt: par },
        }
    }
}

/// What a term cost, beside what the whole came to.
fn costs(term: &Term, won: f64, side: &str, ended: &str) -> String {
    let (who, cost, below) = (subject(term.name), whole(term.pins), whole(won));
    if won < 0.0 && cost <= below {
        let of = if cost == below { format!("all {below}") } else { format!("{cost} of the {below}") };
        return format!("{who} cost {of} pins {side}");
    }
    format!("{who} cost {}; you ended {ended}", named(cost))
}

fn subject(name: &str) -> &'static str {
    match name {
        "spares" => "Spares",
        "execution" => "Throws",
        "line" => "Moves missed or late",
        _ => "Staying with the ball",
    }
}

fn whole(pins: f64) -> u32 {
    pins.abs().round() as u32
}

fn named(pins: u32) -> String {
    if pins == 1 { "1 pin".to_owned() } else { format!("{pins} pins") }
}

fn first_large(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_belief::Parts;

    fn account(terms: Parts, chance: Parts) -> GameAccount {
        GameAccount { par: 600.0, score: 600.0 + terms.sum(), terms, chance, ..GameAccount::default() }
    }

    fn said(terms: Parts, chance: Parts) -> String {
        Finding::of(&account(terms, chance), false).headline
    }

    #[test]
    fn law_what_stands_out_is_said_against_the_whole() {
        let spares = |pins| Parts { spares: pins, ..Parts::default() };
        let sure = Parts { spares: 4.0, ..Parts::default() };
        assert_eq!(said(Parts { luck: -5.0, ..spares(-26.0) }, sure), "Spares cost 26 of the 31 pins below your par");
        assert_eq!(said(spares(-26.0), sure), "Spares cost all 26 pins below your par");
        assert_eq!(
            said(Parts { luck: 20.0, ..spares(-26.0) }, sure),
            "Spares cost 26 pins; you ended 6 pins below your par"
        );
        assert_eq!(
            said(Parts { luck: 36.0, ..spares(-26.0) }, sure),
            "Spares cost 26 pins; you ended 10 pins above your par"
        );
        assert_eq!(said(Parts { luck: 26.0, ..spares(-26.0) }, sure), "Spares cost 26 pins; you ended at your par");
    }

    #[test]
    fn law_what_chance_makes_as_well_is_never_the_headline() {
        let (terms, chance) =
            (Parts { spares: -26.0, luck: -5.0, ..Parts::default() }, Parts { spares: 25.0, ..Parts::default() });
        assert_eq!(said(terms, chance), "31 pins below your par; nothing of yours stands out");
        let told = Finding::of(&account(terms, chance), true);
        assert!(told.headline.starts_with("31 pins below your par so far"), "{}", told.headline);
        assert!(told.doubt.starts_with("Spares cost most, 26 pins. Doubt and chance make as much as 25 pins."));
        let up = Parts { line: 3.0, luck: 9.0, ..Parts::default() };
        assert_eq!(said(up, Parts::default()), "12 pins above your par; you gave nothing away");
    }

    #[test]
    fn law_the_parts_still_add_up_to_the_whole() {
        let terms = Parts { lanes: 3.0, ball: -1.0, line: -4.0, execution: 2.0, luck: -7.0, spares: -2.5, untold: 0.5 };
        let told = account(terms, Parts::default());
        let parted = Parted::of(&told);
        let sum: f64 = parted.own.iter().map(|term| term.pins).sum::<f64>() + parted.rest_together().pins;
        assert!((sum - terms.sum()).abs() < 1e-12);
        assert_eq!(
            parted.own.iter().map(|term| term.name).collect::<Vec<_>>(),
            ["line", "spares", "ball", "execution"]
        );
    }
}
