//! What to practise, in a bowler's words. Nothing is said that chance or doubt could have done as well, and every sentence can be checked against the
//! account it came from.

use super::count::{Account, SparesOf};
use super::parts::Parts;
use super::stray::Stray;
use boardwise_score::LeaveKind;
use boardwise_units::math;

/// Something to practise, with the numbers it rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Practise {
    /// Second balls at leaves of a kind: how many were thrown at, and how many made.
    Spares(LeaveKind, usize, usize),
    /// Throws, over so many first balls of which something was seen.
    Throws(usize),
    /// The line meant: on so many first balls another one was better.
    Line(usize),
    /// The ball: on so many first balls another one was better.
    Ball(usize),
    /// Throws spray by so many boards at the arrows where so many were told, over so many shots.
    Spray(f64, f64, usize),
    /// Throws pass inside of what was meant by so many boards at the arrows (outside if less than nothing), over so many shots.
    Aim(f64, usize),
}

/// What to practise, and what it cost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToPractise {
    /// What.
    pub what: Practise,
    /// Pins lost; 0 where only boards are known.
    pub pins: f64,
}

/// What chance or doubt does less often than one time in ten, in standard deviations.
const SURE: f64 = 1.2816;
/// Pins lost on a first ball before it counts as one on which something else was better.
const WORTH_COUNTING: f64 = 0.1;

impl Account {
    /// What to practise: what cost most pins first, then what is known in boards only. Empty where nothing stands out.
    pub fn practise(&self) -> Vec<ToPractise> {
        let mut all: Vec<ToPractise> = self.spares.iter().filter_map(of_spares).chain(self.of_terms()).collect();
        all.sort_by(|a, b| b.pins.total_cmp(&a.pins));
        all.extend(self.strays.iter().filter(|stray| stray.lane.is_none() && stray.ball.is_none()).flat_map(of_stray));
        all
    }

    fn of_terms(&self) -> impl Iterator<Item = ToPractise> {
        let worse =
            |term: fn(&Parts) -> f64| self.deliveries.iter().filter(|one| term(&one.terms) < -WORTH_COUNTING).count();
        let read = self.deliveries.iter().filter(|one| one.terms.execution != 0.0).count();
        let whole = &self.whole;
        let by = |term: fn(&Parts) -> f64| (term(&whole.terms), math::hypot(term(&whole.doubts), term(&whole.chance)));
        [
            (Practise::Throws(read), by(|terms| terms.execution)),
            (Practise::Line(worse(|terms| terms.line)), by(|terms| terms.line)),
            (Practise::Ball(worse(|terms| terms.ball)), by(|terms| terms.ball)),
        ]
        .into_iter()
        .filter(|(_, (pins, unsure))| stands_out(-pins, *unsure))
        .map(|(what, (pins, _))| ToPractise { what, pins: -pins })
    }
}

fn of_spares(spares: &SparesOf) -> Option<ToPractise> {
    let what = Practise::Spares(spares.kind, spares.tried, spares.made);
    stands_out(-spares.pins, spares.chance).then_some(ToPractise { what, pins: -spares.pins })
}

fn of_stray(stray: &Stray) -> Vec<ToPractise> {
    let mut all = Vec::new();
    if stray.sd_between.0 > stray.sd_told {
        all.push(Practise::Spray(stray.sd_boards, stray.sd_told, stray.shots));
    }
    if stands_out(stray.off_boards.abs(), stray.off_error) {
        all.push(Practise::Aim(stray.off_boards, stray.shots));
    }
    all.into_iter().map(|what| ToPractise { what, pins: 0.0 }).collect()
}

fn stands_out(cost: f64, unsure: f64) -> bool {
    // Less than half a pin or board is not worth a sentence, however sure.
    cost > SURE * unsure && cost >= 0.5
}

impl ToPractise {
    /// Whether an account bears it out.
    pub fn holds(&self, account: &Account) -> bool {
        account.practise().contains(self)
    }

    /// In a bowler's words, at most twenty.
    pub fn words(&self) -> String {
        let pins = pins(self.pins);
        match self.what {
            Practise::Spares(kind, tried, made) => {
                format!("{}: made {made} of {tried}, {pins} under your usual", named(kind))
            }
            Practise::Throws(shots) => {
                format!("Throws: {pins} lost against your usual throws at those lines, over {shots} shots")
            }
            Practise::Line(shots) => format!("Moves: {pins} lost where another line was better, on {shots} shots"),
            Practise::Ball(shots) => {
                format!("Ball changes: {pins} lost where another ball was better, on {shots} shots")
            }
            Practise::Spray(boards, told, shots) => {
                format!("Spray: {boards:.1} boards at the arrows where {told:.1} is usual, over {shots} shots")
            }
            Practise::Aim(boards, shots) => {
                let way = if boards < 0.0 { "outside" } else { "inside" };
                format!("Aim: {:.1} boards {way} of what you meant at the arrows, over {shots} shots", boards.abs())
            }
        }
    }
}

fn pins(lost: f64) -> String {
    let whole = lost.round();
    if whole < 1.5 { "about a pin".to_owned() } else { format!("{whole:.0} pins") }
}

fn named(kind: LeaveKind) -> &'static str {
    match kind {
        LeaveKind::Single => "Single pins",
        LeaveKind::DoubleWood => "Double wood",
        LeaveKind::Split => "Splits",
        LeaveKind::Washout => "Washouts",
        LeaveKind::FullRack => "Full racks left",
        LeaveKind::Together => "Clusters of pins",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::account::count::GameAccount;

    /// An account in which everything stands out.
    fn account() -> Account {
        let terms = Parts { ball: -6.0, line: -9.0, execution: -12.0, ..Parts::default() };
        let doubts = Parts { ball: 2.0, line: 3.0, execution: 3.0, ..Parts::default() };
        let chance = Parts { execution: 4.0, ..Parts::default() };
        let spares = |kind, pins| SparesOf { kind, tried: 9, made: 5, expected: 7.6, pins, chance: 8.0 };
        let stray = Stray {
            lane: None,
            ball: None,
            shots: 24,
            off_boards: -0.6,
            off_error: 0.2,
            sd_boards: 1.4,
            sd_between: (1.05, 1.9),
            sd_told: 0.9,
        };
        Account {
            whole: GameAccount { terms, doubts, chance, ..GameAccount::default() },
            spares: vec![spares(LeaveKind::Single, -14.0), spares(LeaveKind::Split, -2.0)],
            strays: vec![stray, Stray { lane: Some(0), ..stray }],
            ..Account::default()
        }
    }

    fn said(account: &Account) -> Vec<String> {
        account.practise().iter().map(ToPractise::words).collect()
    }

    #[test]
    fn law_what_cost_most_is_said_first_and_nothing_twice() {
        assert_eq!(
            said(&account()),
            [
                "Single pins: made 5 of 9, 14 pins under your usual",
                "Throws: 12 pins lost against your usual throws at those lines, over 0 shots",
                "Moves: 9 pins lost where another line was better, on 0 shots",
                "Ball changes: 6 pins lost where another ball was better, on 0 shots",
                "Spray: 1.4 boards at the arrows where 0.9 is usual, over 24 shots",
                "Aim: 0.6 boards outside of what you meant at the arrows, over 24 shots",
            ]
        );
        assert_eq!(said(&Account::default()), Vec::<String>::new());
    }

    #[test]
    fn law_nothing_is_said_that_chance_or_doubt_does_as_well() {
        // Each of these turns one fact around on which one sentence rests.
        type Turn = fn(&mut Account);
        let turned: [(&str, Turn); 8] = [
            ("Single", |account| account.spares[0].chance = 12.0),
            ("Single", |account| account.spares[0].pins = 14.0),
            ("Throws", |account| account.whole.chance.execution = 10.0),
            ("Throws", |account| account.whole.doubts.execution = 10.0),
            ("Moves", |account| account.whole.doubts.line = 8.0),
            ("Ball", |account| account.whole.terms.ball = -2.0),
            ("Spray", |account| account.strays[0].sd_between.0 = 0.85),
            ("Aim", |account| account.strays[0].off_error = 0.5),
        ];
        for (sentence, turn) in turned {
            let mut other = account();
            turn(&mut other);
            let gone: Vec<_> = account().practise().into_iter().filter(|one| !one.holds(&other)).collect();
            assert!(gone.len() == 1 && gone[0].words().starts_with(sentence), "{sentence}: {gone:?}");
            assert_eq!(other.practise().len(), account().practise().len() - 1);
        }
    }

    #[test]
    fn law_sentences_are_short_whatever_they_are_about() {
        use LeaveKind::{DoubleWood, FullRack, Single, Split, Together, Washout};
        let kinds = [Single, DoubleWood, Split, Washout, FullRack, Together];
        let spares = kinds.map(|kind| Practise::Spares(kind, 12, 3));
        let others = [
            Practise::Throws(31),
            Practise::Line(31),
            Practise::Ball(31),
            Practise::Spray(1.4, 0.9, 31),
            Practise::Aim(0.6, 31),
        ];
        for what in spares.into_iter().chain(others) {
            for pins in [0.6, 14.2] {
                let words = ToPractise { what, pins }.words();
                assert!(words.split_whitespace().count() <= 20, "{words}");
            }
        }
    }
}
