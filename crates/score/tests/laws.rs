//! What must hold for every game, checked on random ones.

use boardwise_score::{Deck, Game, Leave, Need, PinSet, Rest, Roll, Scoring};
use proptest::prelude::*;

/// Adds a legal ball picked by `pick`: by count, by pins or a foul.
fn push_some(game: &mut Game, pick: u32) {
    let Some(deck) = game.deck() else { return };
    let count = pick / 16 % (u32::from(deck.len()) + 1);
    let roll = match (pick % 16, deck) {
        (0, _) => Roll::Foul,
        (1..=4, _) => Roll::ALL_DOWN,
        (5..=9, Deck::Pins(pins)) => Roll::Standing(pins & PinSet::from_bits((pick / 16 % 1024) as u16).unwrap()),
        _ => Roll::Down(count as u8),
    };
    game.push(roll).unwrap();
}

fn any_game() -> impl Strategy<Value = Game> {
    let scoring = prop_oneof![Just(Scoring::Traditional), Just(Scoring::CurrentFrame)];
    (scoring, prop::collection::vec(any::<u32>(), 0..24)).prop_map(|(scoring, picks)| {
        let mut game = Game::new(scoring);
        for pick in picks {
            push_some(&mut game, pick);
        }
        game
    })
}

/// The score of a complete traditional game from pin counts alone, by the usual walk along the balls.
fn score_by_walk(down: &[u16]) -> u16 {
    let (mut at, mut total) = (0, 0);
    for _ in 0..10 {
        if down[at] == 10 {
            total += 10 + down[at + 1] + down[at + 2];
            at += 1;
        } else {
            let two = down[at] + down[at + 1];
            total += if two == 10 { 10 + down[at + 2] } else { two };
            at += 2;
        }
    }
    total
}

/// Everything there is to ask a game, for comparing two of them.
fn answers(game: &Game) -> impl PartialEq + core::fmt::Debug {
    (game.frames(), game.score(), game.minimum(), game.maximum(), game.deck(), game.up_next(), game.to_string())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn law_scores_lie_between_minimum_and_maximum(game in any_game()) {
        prop_assert!(game.score() <= game.minimum() && game.minimum() <= game.maximum() && game.maximum() <= 300);
        if let Some(score) = game.final_score() {
            prop_assert!(game.is_complete());
            prop_assert_eq!((score, score), (game.minimum(), game.maximum()));
        } else {
            prop_assert!(!game.is_complete());
        }
    }

    #[test]
    fn law_cumulative_scores_never_fall_and_have_no_holes(game in any_game()) {
        let cumulative = game.cumulative();
        prop_assert!(cumulative.windows(2).all(|pair| pair[1].is_none() || pair[0] <= pair[1]));
        prop_assert!(cumulative.windows(2).all(|pair| pair[0].is_some() || pair[1].is_none()));
    }

    #[test]
    fn law_undo_is_the_game_before(game in any_game(), pick: u32) {
        let mut after = game;
        push_some(&mut after, pick);
        if !game.is_complete() {
            prop_assert_ne!(after, game);
            prop_assert!(after.undo().is_some());
        }
        prop_assert_eq!(after, game);
        prop_assert_eq!(answers(&after), answers(&game));
        let again = Game::from_rolls(game.scoring(), game.rolls().iter().copied()).unwrap();
        prop_assert_eq!(again, game);
    }

    #[test]
    fn law_one_ball_narrows_what_is_possible(game in any_game(), pick: u32) {
        let mut after = game;
        push_some(&mut after, pick);
        prop_assert!(after.minimum() >= game.minimum() && after.maximum() <= game.maximum());
    }

    #[test]
    fn law_complete_games_agree_with_the_walk_along_the_balls(picks in prop::collection::vec(any::<u32>(), 21)) {
        let mut game = Game::new(Scoring::Traditional);
        for pick in picks {
            push_some(&mut game, pick);
        }
        prop_assert!(game.is_complete());
        // A ten on a second ball is no strike, however it reads as a count: the walk sees 0 and 10, a spare, as well.
        let down: Vec<u16> = game.thrown().map(|ball| u16::from(ball.down)).collect();
        prop_assert_eq!(game.final_score(), Some(score_by_walk(&down)));
    }

    #[test]
    fn law_marks_written_and_read_again_score_the_same(game in any_game()) {
        let again = Game::from_marks(game.scoring(), &game.to_string()).unwrap();
        prop_assert_eq!(again.to_string(), game.to_string());
        prop_assert_eq!(again.cumulative(), game.cumulative());
        prop_assert_eq!(again.up_next(), game.up_next());
    }

    #[test]
    fn law_pins_and_their_counts_score_the_same(game in any_game()) {
        let counts = game.thrown().map(|b| if b.roll == Roll::Foul { b.roll } else { Roll::Down(b.down) });
        let counted = Game::from_rolls(game.scoring(), counts).unwrap();
        prop_assert_eq!(counted.cumulative(), game.cumulative());
        prop_assert_eq!(counted.to_string(), game.to_string());
    }

    #[test]
    fn law_needs_agree_with_what_is_possible(game in any_game(), target in 0u16..=310) {
        for rest in [Rest::Spares, Rest::Opens] {
            let need = game.need(target, rest);
            prop_assert_eq!(need == Need::Reached, game.minimum() >= target);
            prop_assert_eq!(need == Need::OutOfReach, game.maximum() < target);
        }
    }

    #[test]
    fn law_leaves_come_from_first_balls_by_pins(game in any_game()) {
        for ball in game.thrown() {
            let by_pins = matches!(ball.roll, Roll::Standing(_) | Roll::Down(0)) && !ball.after.is_empty();
            let expected = match ball.after {
                Deck::Pins(pins) if by_pins && ball.first_at_rack => Leave::new(pins).ok(),
                _ => None,
            };
            prop_assert_eq!(ball.leave(), expected);
        }
    }

    #[test]
    fn law_no_text_makes_the_score_sheet_panic(text in "[X/F0-9 -]{0,30}|.{0,10}") {
        let _ = Game::from_marks(Scoring::Traditional, &text);
        let _ = Game::from_marks(Scoring::CurrentFrame, &text);
    }
}
