//! What any account must keep to.

use crate::typical::{CARRY, adapting, dull, pattern, shiny};
use boardwise_belief::{Account, AccountError, Belief, Delivery, Noticed, Par, Parts, Played, Shot};
use boardwise_lane::Release;
use boardwise_pins::spare::Second;
use boardwise_score::{Deck, Game, Leave, PinSet, Roll, Scoring};
use boardwise_search::Unknowns;
use boardwise_search::{FirstBall, Hit, Payoff, Pocket, Strikes};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Hand, Mph};

const BOTH: [Scoring; 2] = [Scoring::Traditional, Scoring::CurrentFrame];

fn pins(standing: &str) -> PinSet {
    standing.parse().expect("pins")
}

fn standing(of: &str) -> Roll {
    Roll::Standing(pins(of))
}

/// Strikes with this chance, else leaves the ten pin.
fn nine_or_ten(strike: f64) -> Par {
    let first = FirstBall::new([(PinSet::NONE, strike), (pins("10"), 1.0 - strike)], 0.0, 0.0);
    Par::new([first.clone(), first])
}

/// Makes everything with this chance; a miss takes nothing.
fn makes(share: f64) -> impl Fn(Leave) -> Second {
    move |leave| Second { make: share, down: share * f64::from(leave.pins().len()) }
}

fn blind(roll: Roll) -> Delivery<'static> {
    Delivery { roll, lane: None, shot: None }
}

fn played(scoring: Scoring, rolls: impl IntoIterator<Item = Roll>) -> Played<'static> {
    Played { scoring, deliveries: rolls.into_iter().map(blind).collect() }
}

fn account(games: &[Played<'_>]) -> Account {
    Account::of(&nine_or_ten(0.3), games, &makes(0.5), &CARRY).expect("an account")
}

/// Everything adds up, delivery by delivery and game by game.
fn check_sums(account: &Account, games: &[Played<'_>]) {
    for (told, played) in account.games.iter().zip(games) {
        let game = Game::from_rolls(played.scoring, played.deliveries.iter().map(|one| one.roll)).expect("a game");
        assert!((told.terms.sum() - (told.score - told.par)).abs() < 1e-9, "{told:?}");
        if let Some(score) = game.final_score() {
            assert!((told.score - f64::from(score)).abs() < 1e-9, "{} {score}", told.score);
        }
    }
    for one in &account.deliveries {
        assert!((one.terms.sum() - (one.expected.1 - one.expected.0)).abs() < 1e-9, "{one:?}");
    }
    let sum = account.deliveries.iter().fold(Parts::default(), |sum, one| sum + one.terms);
    for ((name, parts), (_, whole)) in sum.named().into_iter().zip(account.whole.terms.named()) {
        assert!((parts - whole).abs() < 1e-9, "{name}");
    }
    assert!((account.whole.terms.sum() - (account.whole.score - account.whole.par)).abs() < 1e-9);
}

/// Balls drawn at random, of all sorts: pins named and only counted, fouls, gutter balls.
fn random_game(scoring: Scoring, draw: &mut Stream) -> Vec<Roll> {
    let mut game = Game::new(scoring);
    while let Some(deck) = game.deck() {
        let down = (draw.uniform() * f64::from(deck.len() + 1)) as u8;
        let roll = match (draw.uniform(), deck) {
            (u, _) if u < 0.05 => Roll::Foul,
            (u, _) if u < 0.20 => Roll::Down(down),
            (u, _) if u < 0.45 => Roll::ALL_DOWN,
            (_, Deck::Pins(before)) => {
                Roll::Standing(before.iter().filter(|_| draw.uniform() < 0.25).fold(PinSet::NONE, PinSet::with))
            }
            _ => Roll::Down(down),
        };
        game.push(roll).expect("a ball that can be");
    }
    game.rolls().to_vec()
}

#[test]
fn law_the_terms_add_up_to_what_was_won_and_lost() {
    let mut draw = Stream::keyed(1, "games", 0);
    for k in 0..400 {
        let games: Vec<_> = (0..2).map(|_| played(BOTH[k % 2], random_game(BOTH[k % 2], &mut draw))).collect();
        check_sums(&account(&games), &games);
    }
}

#[test]
fn law_an_unfinished_game_is_told_as_far_as_it_went() {
    let mut draw = Stream::keyed(2, "games", 0);
    for scoring in BOTH {
        let rolls = random_game(scoring, &mut draw);
        for end in 0..rolls.len() {
            let games = [played(scoring, rolls[..end].iter().copied())];
            let told = account(&games);
            check_sums(&told, &games);
            assert_eq!(told.deliveries.len(), end);
        }
    }
}

#[test]
fn truth_the_par_of_nine_or_ten_is_known() {
    // 166.370 for three strikes in ten and half of the spares [C, from the published "Scoring"].
    let told = account(&[played(Scoring::Traditional, [])]);
    assert!((told.games[0].par - 166.370).abs() < 5e-4, "{}", told.games[0].par);
    // Ten frames that stand alone: 30 with chance 0.3, else 19 or 9 by halves [C].
    let told = account(&[played(Scoring::CurrentFrame, [])]);
    assert!((told.games[0].par - 10.0 * (0.3 * 30.0 + 0.7 * 14.0)).abs() < 1e-9);
}

#[test]
fn truth_steps_of_a_game_of_frames_that_stand_alone() {
    let told =
        account(&[played(Scoring::CurrentFrame, [standing("10"), Roll::ALL_DOWN, standing("10"), standing("10")])]);
    // A ten pin is worth 14, made 19, missed 9; a frame 18.8 [C by hand].
    let of = |k: usize| told.deliveries[k].terms;
    assert!((of(0).untold - (14.0 - 18.8)).abs() < 1e-9 && (of(2).untold - (14.0 - 18.8)).abs() < 1e-9);
    assert!((of(1).spares - 5.0).abs() < 1e-9 && (of(3).spares + 5.0).abs() < 1e-9);
    assert!((told.deliveries[1].chance.spares - 5.0).abs() < 1e-9, "half and half, ten pins apart");
    let spares = told.spares[0];
    assert_eq!((spares.tried, spares.made), (2, 1));
    assert!((spares.expected - 1.0).abs() < 1e-12 && spares.pins.abs() < 1e-9);
}

#[test]
fn truth_the_tenth_frame_by_hand() {
    // Nine opens of 9, then a ten pin: made it brings 10 and a fill ball of 9.3 on average, missed 9 [C by hand].
    let opens = (0..18).map(|_| standing("10"));
    let game = |second: &[Roll]| {
        let games = [played(Scoring::Traditional, opens.clone().chain([standing("10")]).chain(second.iter().copied()))];
        let told = account(&games);
        check_sums(&told, &games);
        told
    };
    let missed = game(&[standing("10")]);
    assert!((missed.deliveries[19].terms.spares + 0.5 * 10.3).abs() < 1e-9);
    let made = game(&[Roll::ALL_DOWN, Roll::ALL_DOWN]);
    assert!((made.deliveries[19].terms.spares - 0.5 * 10.3).abs() < 1e-9);
    // The fill ball: 10 where 9.3 was to be expected. Its thrower is not known, so nothing more can be told.
    assert!((made.deliveries[20].terms.untold - 0.7).abs() < 1e-9);
    assert!((made.whole.score - 101.0).abs() < 1e-9 && (missed.whole.score - 90.0).abs() < 1e-9);
}

#[test]
fn law_a_perfect_game_and_an_open_one_are_told_whole() {
    let perfect = [played(Scoring::Traditional, [Roll::ALL_DOWN; 12])];
    let told = account(&perfect);
    check_sums(&told, &perfect);
    assert!((told.whole.score - 300.0).abs() < 1e-9 && (told.whole.terms.sum() - (300.0 - 166.370)).abs() < 5e-4);
    assert!(told.deliveries.iter().all(|one| one.terms.untold > 0.0 && one.terms.spares.abs() < 1e-12));
    let open = [played(Scoring::Traditional, [standing("10"); 20])];
    let told = account(&open);
    check_sums(&told, &open);
    assert!(told.deliveries.iter().skip(1).step_by(2).all(|one| one.terms.spares < -4.0));
}

#[test]
fn law_fouls_and_pins_only_counted_have_their_place() {
    for scoring in BOTH {
        let games =
            [played(scoring, [Roll::Foul, Roll::ALL_DOWN, Roll::Down(7), Roll::Down(3), standing("10"), Roll::Foul])];
        let told = account(&games);
        check_sums(&told, &games);
        let of = |k: usize| told.deliveries[k].terms;
        assert!(of(0).untold < -4.0 && of(5).untold < -4.0, "a foul costs, as what it is");
        assert!((of(0).sum() - of(0).untold).abs() < 1e-12 && (of(5).sum() - of(5).untold).abs() < 1e-12);
        // All ten after a foul are a spare; three that nobody named are not known to be one or another.
        assert!(of(1).spares > 0.0 && of(1).untold.abs() < 1e-12);
        assert!(of(3).untold > 0.0 && of(3).spares.abs() < 1e-12);
        assert!(told.spares.iter().all(|one| one.tried == 1 && one.kind == boardwise_score::LeaveKind::FullRack));
    }
}

fn belief() -> Belief {
    let lane = pattern(40.0, 0.3);
    Belief::new([lane.clone(), lane], adapting(), vec![dull(), shiny()], &Unknowns::default(), 4)
}

/// The best lines of the mean world: both balls.
fn lines(belief: &Belief, lane: usize) -> Vec<(usize, Release)> {
    (0..2).map(|ball| (ball, belief.line(lane, ball, &[], &CARRY).expect("something strikes").release)).collect()
}

/// A first ball as a bowler throws it whose day and lanes are one of the guesses, and as it is seen.
fn thrown(belief: &Belief, lane: usize, ball: usize, meant: &Release, draw: &mut Stream) -> (Noticed, PinSet) {
    let world = belief.worlds()[(draw.uniform() * belief.worlds().len() as f64) as usize];
    let off: [f64; 6] = core::array::from_fn(|_| world.spread() * draw.normal());
    let release = belief.bowler().spread.apply(&world.today(meant), &off);
    let finish = belief.runway(lane, ball, &world).throw_many(&[release])[0];
    let strikes = Strikes::new(&CARRY, &belief.balls()[ball], Hand::Right, Pocket::default());
    let left = strikes.leaves_of(&[finish.touch.filter(|_| finish.gutter.is_none())]).drawn(draw.uniform());
    let other: Vec<Hit> = [Hit::Pocket, Hit::High, Hit::Light, Hit::OtherSide, Hit::Gutter]
        .into_iter()
        .filter(|hit| *hit != strikes.hit(&finish))
        .collect();
    let miscalled = draw.uniform() < 0.15;
    let called = if miscalled { other[(4.0 * draw.uniform()) as usize] } else { strikes.hit(&finish) };
    let noticed = Noticed {
        hit: Some(called),
        arrows: Some(Board(finish.arrows.0 + 0.5 * draw.normal())),
        breakpoint: Some(Board(finish.breakpoint.board.0 + 1.2 * draw.normal())),
        ..Noticed::default()
    };
    (noticed, left)
}

/// A game of shots thrown so, of which the one in three has more to it: a foul, pins only counted, nothing seen.
fn bowled<'a>(
    belief: &'a Belief,
    lines: &[Vec<(usize, Release)>; 2],
    scoring: Scoring,
    odd: bool,
    draw: &mut Stream,
) -> Played<'a> {
    let mut game = Game::new(scoring);
    let mut deliveries = Vec::new();
    while let (Some((frame, _)), Some(deck)) = (game.up_next(), game.deck()) {
        let lane = usize::from(frame) % 2;
        let (roll, shot) = if deck == Deck::FULL {
            let (ball, line) = lines[lane][usize::from(frame > 7)];
            let meant = Release { laydown: Board(line.laydown.0 + f64::from(frame % 3)), ..line };
            let (noticed, left) = thrown(belief, lane, ball, &meant, draw);
            let (roll, noticed) = match (draw.uniform(), odd) {
                (u, true) if u < 0.1 => (Roll::Foul, noticed),
                (u, true) if u < 0.2 => (Roll::Down(10 - left.len()), noticed),
                (u, true) if u < 0.3 => (Roll::Standing(left), Noticed::default()),
                _ => (Roll::Standing(left), noticed),
            };
            (roll, Some(Shot { belief, ball, meant, lines: lines[lane].clone(), noticed }))
        } else if draw.uniform() < 0.5 {
            (Roll::ALL_DOWN, None)
        } else {
            (Roll::Down(0), None)
        };
        game.push(roll).expect("a ball that can be");
        deliveries.push(Delivery { roll, lane: Some(lane), shot });
    }
    Played { scoring, deliveries }
}

#[test]
fn law_a_block_of_shots_adds_up_and_stays_within_what_it_knows() {
    let belief = belief();
    let lines = [lines(&belief, 0), lines(&belief, 1)];
    let second = makes(0.5);
    let par = Par::of(&belief, &lines, &second, &CARRY).expect("a par");
    for scoring in BOTH {
        let mut draw = Stream::keyed(5, "block", 0);
        let games: Vec<_> = (0..2).map(|_| bowled(&belief, &lines, scoring, true, &mut draw)).collect();
        let told = Account::of(&par, &games, &second, &CARRY).expect("an account");
        check_sums(&told, &games);
        let shots = games.iter().flat_map(|played| &played.deliveries);
        for (one, delivery) in told.deliveries.iter().zip(shots) {
            let Some(shot) = delivery.shot.as_ref().filter(|_| one.thrown.first_at_rack) else {
                assert!((one.terms.spares + one.terms.untold - one.terms.sum()).abs() < 1e-12);
                continue;
            };
            let read = matches!(one.thrown.after, Deck::Pins(_)) && one.thrown.roll != Roll::Foul;
            let (luck, untold) = (one.terms.luck != 0.0, one.terms.untold != 0.0);
            assert_eq!(luck, read && !shot.noticed.is_nothing(), "{one:?}");
            assert_eq!(untold, !luck, "{one:?}");
            assert!(one.doubts.named().iter().chain(&one.chance.named()).all(|(_, sd)| sd.is_finite() && *sd >= 0.0));
        }
        // Two boards off at the feet are found worse than the line itself, and the ball of the last frames the worse one.
        assert!(told.whole.terms.line < 0.0, "{:?}", told.whole.terms);
        assert!(!told.strays.is_empty() && told.spread.is_some());
        for found in told.practise() {
            assert!(found.holds(&told) && found.words().split_whitespace().count() <= 20, "{}", found.words());
        }
    }
}

#[test]
fn law_luck_and_execution_average_to_nothing_on_lanes_drawn_from_the_belief() {
    const SHOTS: usize = 600;
    let belief = belief();
    let lines = [lines(&belief, 0), lines(&belief, 1)];
    let second = makes(0.5);
    let par = Par::of(&belief, &lines, &second, &CARRY).expect("a par");
    let mut draw = Stream::keyed(6, "shots", 0);
    let (ball, meant) = lines[0][0];
    // First balls of games that stop there: each alone, so that all are thrown in the same state.
    let games: Vec<Played<'_>> = (0..SHOTS)
        .map(|_| {
            let (noticed, left) = thrown(&belief, 0, ball, &meant, &mut draw);
            let shot = Some(Shot { belief: &belief, ball, meant, lines: Vec::new(), noticed });
            let delivery = Delivery { roll: Roll::Standing(left), lane: Some(0), shot };
            Played { scoring: Scoring::Traditional, deliveries: vec![delivery] }
        })
        .collect();
    let told = Account::of(&par, &games, &second, &CARRY).expect("an account");
    let of = |value: fn(&Parts) -> f64| {
        let all: Vec<f64> = told.deliveries.iter().map(|one| value(&one.terms)).collect();
        let mean = all.iter().sum::<f64>() / SHOTS as f64;
        let square = all.iter().map(|one| (one - mean).powi(2)).sum::<f64>();
        let error = (square / (SHOTS as f64 - 1.0) / SHOTS as f64).sqrt();
        (mean, error)
    };
    // Standard errors are about 0.18 and 0.09 pins.
    let terms: [fn(&Parts) -> f64; 2] = [|t| t.luck, |t| t.execution];
    for (k, term) in terms.into_iter().enumerate() {
        let (mean, error) = of(term);
        assert!(error < 0.25, "{k}: {error}");
        assert!(mean.abs() < 3.0 * error, "{k}: {mean} ± {error}");
    }
    // And it goes as far as it is said to: by chance, and by not knowing quite which throw it was.
    let seen = of(|t| t.luck).1 * (SHOTS as f64).sqrt();
    let said = told.deliveries.iter().map(|one| one.chance.luck.powi(2) + one.doubts.luck.powi(2)).sum::<f64>();
    let said = (said / SHOTS as f64).sqrt();
    assert!((seen / said - 1.0).abs() < 0.1, "{seen} {said}");
}

#[test]
fn law_what_cannot_be_is_refused() {
    let belief = belief();
    let shot = |ball: usize, meant: Release| {
        let shot = Some(Shot { belief: &belief, ball, meant, lines: Vec::new(), noticed: Noticed::default() });
        vec![Delivery { roll: Roll::ALL_DOWN, lane: Some(0), shot }]
    };
    let refused = |deliveries: Vec<Delivery<'_>>| {
        let games = [Played { scoring: Scoring::Traditional, deliveries }];
        Account::of(&nine_or_ten(0.3), &games, &makes(0.5), &CARRY).expect_err("refused")
    };
    assert!(matches!(
        refused(shot(2, Release::default())),
        AccountError::NoSuch { what: "ball", place: 2, last: 1, .. }
    ));
    let impossible = Release { speed: Mph(f64::NAN), ..Release::default() };
    assert!(matches!(refused(shot(0, impossible)), AccountError::Release(_)));
    let lane = vec![Delivery { roll: Roll::ALL_DOWN, lane: Some(2), shot: None }];
    assert!(matches!(refused(lane), AccountError::NoSuch { what: "lane", place: 2, last: 1, .. }));
    assert!(matches!(refused(vec![blind(Roll::Down(8)), blind(Roll::Down(3))]), AccountError::Score(_)));
    let line = |ball: usize| vec![(ball, Release::default())];
    let par = |lines: [Vec<(usize, Release)>; 2]| Par::of(&belief, &lines, &makes(0.5), &CARRY).expect_err("refused");
    assert_eq!(par([line(0), Vec::new()]), AccountError::NoLine { lane: 1 });
    assert_eq!(par([line(2), line(0)]), AccountError::NoBall { lane: 0, ball: 2, balls: 2 });
    assert!(matches!(par([vec![(0, impossible)], line(0)]), AccountError::Release(_)));
}

#[test]
fn law_an_account_repeats_on_any_number_of_threads() {
    let belief = belief();
    let lines = [lines(&belief, 0), lines(&belief, 1)];
    let games = [bowled(&belief, &lines, Scoring::Traditional, true, &mut Stream::keyed(8, "block", 0))];
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let told = || {
            Account::of(
                &Par::of(&belief, &lines, &|leave| makes(0.5)(leave), &CARRY)?,
                &games,
                &|leave| makes(0.5)(leave),
                &CARRY,
            )
        };
        pool.install(|| told().expect("an account"))
    };
    assert_eq!(on(1), on(3));
}
