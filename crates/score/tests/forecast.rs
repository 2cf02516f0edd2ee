//! Laws of the distribution of the final score.

use boardwise_score::{
    Deck, Error, Forecast, Form, Game, Leave, LeaveRate, MatchPlay, PinSet, Roll, Scoring, Series, Skill,
};
use proptest::prelude::*;

/// A first ball: what stands, and how often. `None` is a strike.
type FirstBalls = Vec<(Roll, f64)>;

fn leave(text: &str) -> Leave {
    text.parse().unwrap()
}

/// A bowler with named and unnamed leaves of every count, and a pin set that stands for each of the unnamed.
fn mixed_bowler() -> (Skill, FirstBalls) {
    let mut rates = vec![
        LeaveRate::of(leave("10"), 0.12, 0.95).unwrap(),
        LeaveRate::of(leave("4-6-7-10"), 0.02, 0.03).unwrap().missed(&[0.1, 0.2, 0.6, 0.1]).unwrap(),
        LeaveRate::of(leave("1-2-10"), 0.03, 0.5).unwrap().missed(&[0.1, 0.3, 0.6]).unwrap(),
        LeaveRate::counted(0, 0.01, 0.4).unwrap().missed(&[0.1, 0.0, 0.0, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.3]).unwrap(),
    ];
    let mut firsts = vec![
        (Roll::Standing(leave("10").pins()), 0.12),
        (Roll::Standing(leave("4-6-7-10").pins()), 0.02),
        (Roll::Standing(leave("1-2-10").pins()), 0.03),
        (Roll::Standing(PinSet::ALL), 0.01),
    ];
    for (down, chance) in (1..=9).zip([0.005, 0.005, 0.01, 0.01, 0.02, 0.03, 0.07, 0.10, 0.12]) {
        let standing = usize::from(10 - down);
        let missed = vec![1.0 / standing as f64; standing];
        let rate = LeaveRate::counted(down, chance, 0.05 + 0.1 * f64::from(down)).unwrap().missed(&missed).unwrap();
        rates.push(rate);
        // Pins 1 to n: none of the named leaves.
        let pins = PinSet::from_bits((1u16 << standing) - 1).unwrap();
        firsts.push((Roll::Standing(pins), chance));
    }
    let strike = 1.0 - firsts.iter().map(|first| first.1).sum::<f64>();
    firsts.push((Roll::ALL_DOWN, strike));
    (Skill::new(strike, rates).unwrap(), firsts)
}

/// The next balls there may be, with their chances.
fn next_balls(skill: &Skill, firsts: &FirstBalls, game: &Game, strike: f64) -> Vec<(Roll, f64)> {
    let Some(deck) = game.deck() else { return Vec::new() };
    let (_, ball) = game.up_next().unwrap();
    // Whether the rack is new: the ball before left none, or it is the frame's first.
    let new_rack = ball == 1 || game.thrown().last().is_some_and(|before| before.after.is_empty());
    if new_rack {
        let other = (1.0 - strike) / (1.0 - skill.strike());
        let chance = |&(roll, c): &(Roll, f64)| (roll, if roll == Roll::ALL_DOWN { strike } else { other * c });
        return firsts.iter().map(chance).collect();
    }
    (0..=deck.len()).map(|down| (Roll::Down(down), skill.second_ball(deck)[usize::from(down)])).collect()
}

/// The largest difference between a forecast and the mixture of the forecasts one ball later.
fn gap_one_ball_later(forecast: &Forecast, skill: &Skill, firsts: &FirstBalls, game: &Game) -> f64 {
    let mut later = vec![0.0; 301];
    for (roll, chance) in next_balls(skill, firsts, game, forecast.strike_chance(game)) {
        let mut after = *game;
        after.push(roll).unwrap();
        for (sum, c) in later.iter_mut().zip(forecast.of(&after).chances()) {
            *sum += chance * c;
        }
    }
    forecast.of(game).chances().iter().zip(later).map(|(now, later)| (now - later).abs()).fold(0.0, f64::max)
}

/// A game played by the skill's own chances, `balls` long.
fn play(skill: &Skill, firsts: &FirstBalls, scoring: Scoring, luck: &[f64]) -> Game {
    let mut game = Game::new(scoring);
    for &draw in luck {
        let mut left = draw;
        let balls = next_balls(skill, firsts, &game, skill.strike());
        let drawn = balls.iter().find(|(_, chance)| {
            left -= chance;
            left < 0.0
        });
        if let Some(&(roll, _)) = drawn.or(balls.last()) {
            game.push(roll).unwrap();
        }
    }
    game
}

fn scorings() -> impl Strategy<Value = Scoring> {
    prop_oneof![Just(Scoring::Traditional), Just(Scoring::CurrentFrame)]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    // The law of total probability. With the complete game, whose score is certain, it fixes every forecast.
    #[test]
    fn law_a_forecast_is_the_mixture_of_those_one_ball_later(
        scoring in scorings(),
        luck in prop::collection::vec(0.0..1.0, 0..21),
    ) {
        let (skill, firsts) = mixed_bowler();
        let game = play(&skill, &firsts, scoring, &luck);
        prop_assume!(!game.is_complete());
        let alike = Forecast::new(&skill);
        prop_assert!(gap_one_ball_later(&alike, &skill, &firsts, &game) < 1e-13);
        let moving = Forecast::with_form(&skill, Form::new(0.8).unwrap());
        prop_assert!(gap_one_ball_later(&moving, &skill, &firsts, &game) < 1e-13);
    }

    #[test]
    fn law_a_forecast_is_whole_and_within_what_is_possible(
        scoring in scorings(),
        luck in prop::collection::vec(0.0..1.0, 0..24),
        p in 0.0..=1.0,
        q in 0.0..=1.0,
    ) {
        let (skill, firsts) = mixed_bowler();
        let game = play(&skill, &firsts, scoring, &luck);
        // Also for a bowler to whom what has been bowled could not happen.
        for forecast in [Forecast::new(&skill), Forecast::new(&Skill::nine_or_ten(p, q).unwrap())] {
            let scores = forecast.of(&game);
            prop_assert!((scores.chances().iter().sum::<f64>() - 1.0).abs() < 1e-12);
            let possible = u32::from(game.minimum())..=u32::from(game.maximum());
            prop_assert!((0..=300).all(|s| possible.contains(&s) || scores.chance(s) == 0.0));
            prop_assert!((scores.at_least(possible.start().to_owned()) - 1.0).abs() < 1e-12);
            prop_assert!(possible.contains(&scores.quantile(0.0)) && possible.contains(&scores.quantile(1.0)));
            prop_assert!(scores.quantile(0.1) <= scores.quantile(0.5) && scores.quantile(0.5) <= scores.quantile(0.9));
        }
    }

    #[test]
    fn law_better_bowlers_score_more(p in 0.0..0.95, q in 0.0..0.95) {
        let reaches = |p: f64, q: f64, target| {
            Forecast::new(&Skill::nine_or_ten(p, q).unwrap()).of(&Game::new(Scoring::Traditional)).at_least(target)
        };
        for target in [120, 180, 200, 230] {
            prop_assert!(reaches(p, q + 0.05, target) >= reaches(p, q, target) - 1e-12);
        }
        // More strikes help by much if spares are seldom made.
        prop_assert!(reaches(p + 0.05, 0.0, 150) >= reaches(p, 0.0, 150) - 1e-12);
    }
}

#[test]
fn law_complete_games_are_certain() {
    let forecast = Forecast::new(&mixed_bowler().0);
    for (scoring, marks, score) in [
        (Scoring::Traditional, "X X X 72 8/ F9 X 7/ 9- XX8", 180),
        (Scoring::CurrentFrame, "X X X X X X X X X 9/", 289),
    ] {
        let scores = forecast.of(&Game::from_marks(scoring, marks).unwrap());
        assert_eq!((scores.mean(), scores.sd(), scores.chance(score)), (f64::from(score), 0.0, 1.0));
        assert_eq!(forecast.strike_chance(&Game::from_marks(scoring, marks).unwrap()), 0.0);
    }
}

#[test]
fn law_second_balls_follow_the_leave() {
    let skill = Skill::new(
        0.5,
        vec![
            LeaveRate::of(leave("10"), 0.1, 0.9).unwrap(),
            LeaveRate::counted(9, 0.3, 0.5).unwrap(),
            LeaveRate::of(leave("7-10"), 0.0, 0.01).unwrap().missed(&[0.2, 0.8]).unwrap(),
            LeaveRate::of(leave("2-8"), 0.1, 0.7).unwrap(),
        ],
    )
    .unwrap();
    let check = |deck: Deck, expected: &[f64]| {
        let second = skill.second_ball(deck);
        for (down, chance) in second.iter().enumerate() {
            let expected = expected.get(down).copied().unwrap_or(0.0);
            assert!((chance - expected).abs() < 1e-12, "{deck:?}: {second:?}");
        }
    };
    let pins = |text: &str| Deck::Pins(text.parse().unwrap());
    check(pins("10"), &[0.1, 0.9]);
    check(pins("7"), &[0.5, 0.5]); // as nines that are not named
    check(Deck::Count(1), &[0.4, 0.6]); // one in four of them is the 10 pin
    check(pins("7-10"), &[0.99 * 0.2, 0.99 * 0.8, 0.01]); // named, though it never comes
    check(pins("3-10"), &[0.0, 0.3, 0.7]); // as all leaves of two that come
    check(Deck::FULL, &[0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.1, 0.4, 0.5]); // as a first ball
    // Three never stand: made as often as all leaves together (0.09 + 0.15 + 0.07 in 0.5), or one is left.
    check(pins("2-4-5"), &[0.0, 0.0, 0.38, 0.62]);
}

#[test]
fn law_bad_chances_are_refused() {
    let nine = |chance| LeaveRate::counted(9, chance, 0.9).unwrap();
    assert_eq!(LeaveRate::counted(10, 0.5, 0.9), Err(Error::LeavesNoSpare { down: 10 }));
    assert_eq!(LeaveRate::counted(9, 1.5, 0.9), Err(Error::NotAChance { value: 1.5 }));
    assert!(matches!(LeaveRate::of(leave("10"), 0.5, f64::NAN), Err(Error::NotAChance { .. })));
    assert_eq!(nine(0.5).missed(&[0.5, 0.5]), Err(Error::ChancesNotWhole { sum: 0.5 }));
    assert_eq!(Skill::new(0.5, vec![nine(0.25)]), Err(Error::ChancesNotWhole { sum: 0.75 }));
    assert_eq!(Skill::new(-0.5, vec![nine(0.25)]), Err(Error::NotAChance { value: -0.5 }));
    assert_eq!(Skill::new(0.5, vec![nine(0.25), nine(0.25)]), Err(Error::LeaveTwice { standing: 1 }));
    let full = leave("1-2-3-4-5-6-7-8-9-10");
    let twice = vec![LeaveRate::counted(0, 0.25, 0.5).unwrap(), LeaveRate::of(full, 0.25, 0.5).unwrap()];
    assert_eq!(Skill::new(0.5, twice), Err(Error::LeaveTwice { standing: 10 }));
    assert!(matches!(Forecast::baker(&[]), Err(Error::UnevenTeam { bowlers: 0 })));
}

#[test]
fn law_a_team_of_equals_is_one_bowler() {
    let skill = mixed_bowler().0;
    let game = Game::from_marks(Scoring::Traditional, "X 9/ XX 7").unwrap();
    let alone = Forecast::new(&skill).of(&game);
    assert_eq!(Forecast::baker(&vec![skill; 5]).unwrap().of(&game), alone);
}

#[test]
fn law_team_forecasts_ask_the_bowler_who_is_up() {
    // The first makes all spares and never strikes, the second strikes always: frames 1 to 10 are 9/ X 9/ X ... and the
    // tenth XXX, so every frame is 20 but the ninth with 9/ X = 20 and the tenth with 30.
    let team = [Skill::nine_or_ten(0.0, 1.0).unwrap(), Skill::nine_or_ten(1.0, 0.0).unwrap()];
    let forecast = Forecast::baker(&team).unwrap();
    let scores = forecast.of(&Game::new(Scoring::Traditional));
    assert_eq!(scores.chance(9 * 20 + 30), 1.0);
    assert_eq!(forecast.strike_chance(&Game::from_marks(Scoring::Traditional, "9/").unwrap()), 1.0);
    assert_eq!(forecast.of(&Game::from_marks(Scoring::Traditional, "9").unwrap()).chance(210), 1.0);
}

#[test]
fn law_form_is_the_integral_over_games() {
    // A bowler who strikes half the time has the middle game at log odds 0, so the mixture can be integrated directly, by
    // 2,000 steps over 8 standard deviations on both sides, each weighed by how likely it makes the balls thrown so far.
    for (marks, struck, missed) in [("", 0, 0), ("XXXXXX", 6, 0), ("9/ 9/ 9- X 9", 1, 4)] {
        let game = Game::from_marks(Scoring::Traditional, marks).unwrap();
        for sd in [0.25, 0.5, 1.0] {
            let mut exact = vec![0.0; 301];
            let mut whole = 0.0;
            for step in 0..2000 {
                let z = (f64::from(step) + 0.5) / 125.0 - 8.0;
                let strike = 1.0 / (1.0 + (-sd * z).exp());
                let weight = (-0.5 * z * z).exp() * strike.powi(struck) * (1.0 - strike).powi(missed);
                let scores = Forecast::new(&Skill::nine_or_ten(strike, 0.8).unwrap()).of(&game);
                exact.iter_mut().zip(scores.chances()).for_each(|(sum, chance)| *sum += weight * chance);
                whole += weight;
            }
            let form = Form::new(sd).unwrap();
            let moving = Forecast::with_form(&Skill::nine_or_ten(0.5, 0.8).unwrap(), form).of(&game);
            let mut tail = 0.0;
            let mut worst = 0.0_f64;
            for score in (0..=300).rev() {
                tail += exact[score as usize] / whole;
                worst = worst.max((moving.at_least(score) - tail).abs());
            }
            println!("after `{marks}`, swing {sd}: the chance of a target is off by at most {worst:.1e}");
            // One game in ten thousand is less than anybody can tell.
            assert!(worst < 1e-4, "after `{marks}`, swing {sd}: {worst}");
        }
    }
}

#[test]
fn law_form_learns_from_the_game() {
    let skill = Skill::nine_or_ten(0.5, 0.8).unwrap();
    let moving = Forecast::with_form(&skill, Form::new(0.7).unwrap());
    let strike = |marks: &str| moving.strike_chance(&Game::from_marks(Scoring::Traditional, marks).unwrap());
    assert!((strike("") - 0.5).abs() < 1e-12);
    assert!(strike("XXXXX") > strike("X") && strike("X") > 0.5);
    assert!(strike("9/ 9/ 9/") < strike("9/") && strike("9/") < 0.5);
    // The order does not matter, nor do spares or fouls.
    assert!((strike("X 9/ X") - strike("9- XX")).abs() < 1e-12);
    assert!((strike("F9 X") - strike("X")).abs() < 1e-12);
    let alike = Forecast::new(&skill);
    assert_eq!(alike.strike_chance(&Game::from_marks(Scoring::Traditional, "XXXXX").unwrap()), 0.5);
    // A bowler who all but never strikes, in a game of strikes only.
    let never = Forecast::with_form(&Skill::nine_or_ten(1e-60, 0.8).unwrap(), Form::new(0.5).unwrap());
    let perfect_so_far = Game::from_marks(Scoring::Traditional, "XXXXXXXXX").unwrap();
    assert!((never.of(&perfect_so_far).chances().iter().sum::<f64>() - 1.0).abs() < 1e-12);
}

#[test]
fn law_series_and_matches_follow_from_games() {
    let (strong, weak) = (Skill::nine_or_ten(0.55, 0.9).unwrap(), Skill::nine_or_ten(0.4, 0.8).unwrap());
    let game = Game::from_marks(Scoring::Traditional, "XX 9/").unwrap();
    let (strong, weak) = (Forecast::new(&strong), Forecast::new(&weak));
    let fresh = strong.of(&Game::new(Scoring::Traditional));
    let three = strong.of_games(&game, 2);
    assert!((three.mean() - strong.of(&game).mean() - 2.0 * fresh.mean()).abs() < 1e-9);
    let variance = strong.of(&game).sd().powi(2) + 2.0 * fresh.sd().powi(2);
    assert!((three.sd().powi(2) - variance).abs() < 1e-6);

    let mut block = Series::new(5);
    block.push(210).unwrap();
    // 210 + 5 so far, 15 more of handicap to come: 700 needs 470 in three games.
    assert!((block.chance(700, 3, &three) - three.at_least(470)).abs() < 1e-15);
    assert_eq!(block.chance(200, 3, &three), 1.0);

    let (a, b) = (fresh, weak.of(&Game::new(Scoring::Traditional)));
    let (odds, back) = (a.against(&b), b.against(&a));
    assert!((odds.win + odds.tie + odds.loss - 1.0).abs() < 1e-12);
    assert!((odds.win - back.loss).abs() < 1e-12 && (odds.tie - back.tie).abs() < 1e-12);
    assert!(odds.win > 0.5);
    let by_pairs: f64 = (0..=300).map(|s| a.chance(s) * (0..s).map(|t| b.chance(t)).sum::<f64>()).sum();
    assert!((odds.win - by_pairs).abs() < 1e-12);
    let bonus = MatchPlay { win: 30, tie: 15 };
    let mut expected = 0.0;
    for (own, other) in (0..=300u16).flat_map(|own| (0..=300u16).map(move |other| (own, other))) {
        let chance = a.chance(own.into()) * b.chance(other.into());
        expected += chance * f64::from(bonus.award(own, other));
    }
    assert!((bonus.expected(&a, &b) - expected).abs() < 1e-9);
}
