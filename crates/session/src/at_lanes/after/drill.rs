//! Drills: what stands out, as something to do with a target. Our own; common sense of the trade, no source.

use boardwise_belief::{Account, Practise, ToPractise};
use boardwise_score::LeaveKind;

use super::follow::DrillDone;
use super::practise::About;

/// Tries of a drill at a leave.
const TRIES: f64 = 10.0;

/// Something to do in practice, and when it is reached.
#[derive(Clone, Debug, PartialEq)]
pub struct Drill {
    /// What to do.
    pub how: String,
    /// When it is reached.
    pub target: String,
    /// What to count, to write the result down.
    pub count: &'static str,
    /// How often it is done.
    pub tries: u32,
    about: About,
    before: f64,
}

impl Drill {
    /// For what stands out. The target of a spare is what this bowler usually makes, rounded up; that of the spray, what two throws in
    /// three do by the bowler's file; that of the aim, what a straight aim does 19 times in 20.
    pub fn of(one: &ToPractise, account: &Account) -> Self {
        let (how, target, (tries, count)) = match one.what {
            Practise::Spares(kind, ..) => {
                let spares = account.spares.iter().find(|spares| spares.kind == kind && spares.tried > 0);
                let usual = spares.map_or(0.5, |spares| spares.expected / spares.tried as f64);
                let of_ten = (TRIES * usual).ceil().clamp(1.0, TRIES);
                let leaves = match kind {
                    LeaveKind::Single => "Ten single pins, the corners and the ones beside them in turn",
                    _ => "Ten times the leave that you missed most",
                };
                (
                    format!("{leaves}, with the spare ball, and say the target aloud before each."),
                    format!("{of_ten:.0} of 10 made, which is your usual."),
                    (10, "made"),
                )
            }
            Practise::Spray(_, told, _) => (
                "Fifteen throws at one target. Have somebody read the board at the arrows each time.".to_owned(),
                format!("10 of 15 within {told:.1} boards of the target."),
                (15, "within it"),
            ),
            Practise::Aim(..) => (
                "Twenty throws at one target. Watch it until the ball has passed, and note on which side.".to_owned(),
                "6 of 20 or more on the side that it passes less often.".to_owned(),
                (20, "on that side"),
            ),
            Practise::Throws(_) => (
                "Ten throws on your line. Say which board it crossed at the arrows before you are told.".to_owned(),
                "7 of 10 said within one board.".to_owned(),
                (10, "said right"),
            ),
            Practise::Line(_) => (
                "Two games in which you move after every second ball that comes in on the same wrong side.".to_owned(),
                "2 of 2 games without a third ball in a row on the same wrong side.".to_owned(),
                (2, "such games"),
            ),
            Practise::Ball(_) => (
                "Five throws each with two balls in turn on one lane. Say beforehand whether it comes in higher than the last."
                    .to_owned(),
                "8 of 10 said right.".to_owned(),
                (10, "said right"),
            ),
        };
        let about = About::from(one.what);
        let before = about.in_account(account).map_or(0.0, |found| found.value);
        Self { how, target, count, tries, about, before }
    }

    /// The note that keeps the result, with a sign where the number goes.
    pub fn note(&self, sign: &str) -> String {
        DrillDone { about: self.about, reached: 0, tries: self.tries, before: self.before }.note(sign)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_belief::SparesOf;

    #[test]
    fn law_a_drill_asks_for_what_this_bowler_usually_does() {
        let spares = SparesOf { kind: LeaveKind::Single, tried: 12, made: 5, expected: 9.1, pins: -40.0, chance: 9.0 };
        let account = Account { spares: vec![spares], ..Account::default() };
        let one = |what| Drill::of(&ToPractise { what, pins: 12.0 }, &account);
        assert_eq!(one(Practise::Spares(LeaveKind::Single, 12, 5)).target, "8 of 10 made, which is your usual.");
        assert_eq!(one(Practise::Spray(1.6, 0.9, 30)).target, "10 of 15 within 0.9 boards of the target.");
        // Two in three of a normal spread are within one standard deviation; 6 to 14 of 20 fair tosses are 19 in 20.
        let tosses =
            |k: u32| (1..=k).fold(1.0, |all, j| all * f64::from(20 - k + j) / f64::from(j)) / f64::from(1 << 20);
        let held: f64 = (6..=14).map(tosses).sum();
        assert!((held - 0.959).abs() < 0.001, "{held}");
    }
}
