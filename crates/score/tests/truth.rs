//! Scores, counts and expectations against sources outside this crate. Tags: \[P\] published and read, \[C\] computed
//! independently for the project.

use boardwise_score::{Error, Forecast, Game, Need, Rest, Roll, Scoring, Skill, games_by_score};

fn traditional(marks: &str) -> Game {
    Game::from_marks(Scoring::Traditional, marks).unwrap()
}

fn current(marks: &str) -> Game {
    Game::from_marks(Scoring::CurrentFrame, marks).unwrap()
}

#[test]
fn truth_published_example() {
    // IBF Universal Playing Rules, ch. 2 [P].
    let game = traditional("X X X 7 2 8 / F 9 X 7 / 9 - X X 8");
    assert_eq!(game.cumulative().map(Option::unwrap), [30, 57, 76, 85, 95, 104, 124, 143, 152, 180]);
    assert_eq!(game.final_score(), Some(180));
    assert_eq!(game.to_string(), "X X X 72 8/ F9 X 7/ 9- XX8");
}

#[test]
fn truth_foul_sets_the_full_rack_again() {
    // After a foul on the first ball all ten are set, and ten on the second ball is a spare [P: IBF, USBC rule 2].
    let mut game = Game::new(Scoring::Traditional);
    game.push(Roll::Foul).unwrap();
    let second = game.push(Roll::Down(10)).unwrap();
    assert!(second.is_spare() && !second.is_strike());
    game.push(Roll::Down(4)).unwrap();
    assert_eq!(game.cumulative()[0], Some(14));
    assert_eq!(traditional("F/ 4").minimum(), 18);
    // A foul on the second ball counts nothing and leaves the frame open.
    assert_eq!(traditional("8F 5").cumulative()[0], Some(8));
    // In the tenth, a foul after a strike leaves all ten for the last ball.
    assert_eq!(traditional("-- -- -- -- -- -- -- -- -- XF/").final_score(), Some(20));
}

#[test]
fn truth_current_frame_scoring() {
    // Strike 30, spare 10 and the first ball, no fill balls, ten strikes are 300 [S: the world body's current-frame scoring].
    let perfect = current("XXXXXXXXXX");
    assert_eq!(perfect.final_score(), Some(300));
    assert_eq!(perfect.clone().push(Roll::Down(3)), Err(Error::GameComplete));
    let game = current("X 7/ 9- F/ 81");
    assert_eq!(game.cumulative()[..5], [Some(30), Some(47), Some(56), Some(66), Some(75)]);
    assert_eq!(current("9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/").final_score(), Some(190));
}

#[test]
fn truth_number_of_games_by_score() {
    // OEIS A060853 [P].
    let games = games_by_score();
    assert_eq!(games.iter().sum::<u128>(), 5_726_805_883_325_784_576);
    assert_eq!(games.iter().sum::<u128>(), 66u128.pow(9) * 241);
    assert_eq!(games[..6], [1, 20, 210, 1540, 8855, 42504]);
    let mode = (0..=300).max_by_key(|&score| games[score]).unwrap();
    assert_eq!((mode, games[mode]), (77, 172_542_309_343_731_946));
    assert_eq!(games[288..291], [12, 11, 11]);
    assert_eq!(games[291..], [1; 10]);
}

#[test]
fn truth_mean_of_all_games() {
    // 79.7439, SD 13.675 [C; 79.7 in the literature].
    let games = games_by_score();
    let total = games.iter().sum::<u128>() as f64;
    let moment = |of: &dyn Fn(f64) -> f64| (0..=300).map(|s| of(f64::from(s)) * games[s as usize] as f64 / total).sum();
    let mean: f64 = moment(&|score| score);
    let variance: f64 = moment(&|score| (score - mean).powi(2));
    assert!((mean - 79.7439).abs() <= 0.5e-4, "{mean}");
    assert!((variance.sqrt() - 13.675).abs() <= 0.5e-3, "{}", variance.sqrt());
}

#[test]
fn truth_expectations_of_simple_bowlers() {
    // Strike p; else nine, spare q; an open frame is nine. Exact expectations [C], to half a unit of
    // their last digit.
    let new_game = Game::new(Scoring::Traditional);
    for (p, q, mean, digit, sd) in [
        (0.3, 0.5, 166.370, 1e-3, Some(22.597)),
        (0.45, 0.75, 201.123_75, 1e-9, Some(22.993)),
        (0.5, 0.8, 210.250, 1e-9, None),
        (0.0, 1.0, 190.0, 1e-9, Some(0.0)),
    ] {
        let scores = Forecast::new(&Skill::nine_or_ten(p, q).unwrap()).of(&new_game);
        assert!((scores.mean() - mean).abs() <= 0.5 * digit, "({p}, {q}): mean {}", scores.mean());
        if let Some(sd) = sd {
            assert!((scores.sd() - sd).abs() <= 0.5e-3, "({p}, {q}): SD {}", scores.sd());
        }
    }
    // All strikes: certain, and by the rules 300.
    let perfect = Forecast::new(&Skill::nine_or_ten(1.0, 0.0).unwrap()).of(&new_game);
    assert!((perfect.chance(300) - 1.0).abs() < 1e-12);
}

#[test]
fn truth_expectations_in_current_frame_scoring() {
    // Ten independent frames of 30 (p), 19 ((1-p)q) or 9 [C, closed form].
    for (p, q) in [(0.3, 0.5), (0.45, 0.75), (0.0, 1.0), (1.0, 0.3)] {
        let frame = [(30.0, p), (19.0, (1.0 - p) * q), (9.0, (1.0 - p) * (1.0 - q))];
        let mean: f64 = frame.iter().map(|(points, chance)| points * chance).sum();
        let variance: f64 = frame.iter().map(|(points, chance)| chance * (points - mean).powi(2)).sum();
        let forecast = Forecast::new(&Skill::nine_or_ten(p, q).unwrap());
        let scores = forecast.of(&Game::new(Scoring::CurrentFrame));
        assert!((scores.mean() - 10.0 * mean).abs() < 1e-9, "({p}, {q}): {}", scores.mean());
        assert!((scores.sd() - (10.0 * variance).sqrt()).abs() < 1e-6, "({p}, {q}): {}", scores.sd());
    }
}

#[test]
fn truth_what_the_tenth_frame_needs() {
    // By hand from the rules [C]: 9/ in all nine frames is 171 before the ninth's bonus (8 x 19 + 10 = 162, and more).
    let game = traditional("9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/");
    assert_eq!((game.minimum(), game.maximum()), (162, 202));
    assert_eq!(game.need(190, Rest::Spares), Need::Strikes(0)); // 162 + 9 + 9 + 1 + 9
    assert_eq!(game.need(191, Rest::Spares), Need::Strikes(1)); // 162 + 20 + 10
    assert_eq!(game.need(200, Rest::Spares), Need::Strikes(2)); // 162 + 20 + 10 + 9 = 201
    assert_eq!(game.need(202, Rest::Spares), Need::Strikes(3));
    assert_eq!(game.need(203, Rest::Spares), Need::OutOfReach);
    assert_eq!(game.need(162, Rest::Opens), Need::Reached);
}

#[test]
fn truth_bad_balls_are_refused_and_change_nothing() {
    let mut game = Game::new(Scoring::Traditional);
    game.push(Roll::Standing("3-10".parse().unwrap())).unwrap();
    let before = game;
    // The 7 pin is down after the first ball; it cannot stand after the second.
    let why = game.push(Roll::Standing("7-10".parse().unwrap())).unwrap_err();
    assert_eq!(why, Error::AlreadyDown { frame: 1, ball: 2, pins: "7".into() });
    assert_eq!(
        why.to_string(),
        "frame 1, ball 2: 7 cannot stand, already down before this ball; correct one of the two"
    );
    assert_eq!(game.push(Roll::Down(3)), Err(Error::TooManyDown { frame: 1, ball: 2, down: 3, standing: 2 }));
    assert_eq!(game.push(Roll::Down(255)), Err(Error::TooManyDown { frame: 1, ball: 2, down: 255, standing: 2 }));
    assert_eq!(game, before);
    // Only the count is known: two stood, so three cannot.
    let eight = Game::from_rolls(Scoring::Traditional, [Roll::Down(8), Roll::Standing("4-7-8".parse().unwrap())]);
    assert_eq!(eight, Err(Error::TooManyStanding { frame: 1, ball: 2, after: 3, before: 2 }));
    // An eleventh frame.
    for marks in ["-- -- -- -- -- -- -- -- -- --", "XXXXXXXXXXXX", "9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/9"] {
        let mut complete = traditional(marks);
        assert!(complete.is_complete(), "{marks}");
        assert_eq!(complete.push(Roll::Down(1)), Err(Error::GameComplete), "{marks}");
        assert!(complete.deck().is_none() && complete.up_next().is_none());
    }
    assert!(!traditional("9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/ 9/").is_complete());
    // Signs that mean nothing where they stand.
    for (marks, place) in [("/", 1), ("8X", 2), ("-X", 2), ("8 2", 2), ("X y", 2), ("XXXXXXXXX 9/ /", 12), ("8;", 2)] {
        let why = Game::from_marks(Scoring::Traditional, marks).unwrap_err();
        assert!(matches!(why, Error::BadMark { place: p, .. } if p == place), "{marks}: {why}");
    }
    assert_eq!(Game::from_marks(Scoring::Traditional, "XXXXXXXXXXXXX"), Err(Error::GameComplete));
}
