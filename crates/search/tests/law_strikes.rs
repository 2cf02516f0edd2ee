//! Lines judged by strikes, leaves and the score of a game. The table is replaced as a whole when the pins' constants are:
//! only what any good table must show is asked for.

use crate::typical::{CARRY, dull, pattern, right_hander, shiny};
use boardwise_lane::{Place, Release, Runway};
use boardwise_pins::carry::Approach;
use boardwise_pins::spare::Second;
use boardwise_score::{Leave, PinSet};
use boardwise_search::{
    Bowler, Conditions, FirstBall, GameScore, Lines, Payoff, Pocket, Progress, Search, Strikes, Throw, Unknowns,
    find_lines, looked_up, rank_by_game, throw_racks,
};
use boardwise_units::{Board, Degrees, Feet, Hand};

fn bowler(hand: Hand) -> Bowler {
    Bowler { hand, ..right_hander(Release::default()) }
}

fn search() -> Search {
    Search { lines: 2, throws_a_line: 1024, ..Search::default() }
}

fn lines(hand: Hand) -> Lines {
    let (lane, ball) = (pattern(40.0, 0.2), dull());
    let strikes = Strikes::new(&CARRY, &ball, hand, Pocket::default());
    let conditions = Conditions::fresh(&lane, &ball, &Unknowns::default(), 1);
    find_lines(&conditions, &bowler(hand), &strikes, &search(), &Progress::default()).expect("not cancelled")
}

#[test]
fn law_a_line_says_whole_what_it_leaves() {
    let found = lines(Hand::Right);
    assert!(!found.lines.is_empty() && found.map.counts == "strikes");
    for line in &found.lines {
        let first = line.first_ball.as_ref().expect("the table knows");
        let sum: f64 = first.strike + first.leaves.iter().map(|l| l.share).sum::<f64>();
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        // The search takes each world's own set of pin constants, the leaves their mean.
        assert!((first.strike - line.worth).abs() < 0.02, "{} {}", first.strike, line.worth);
        assert!(first.strike_error > 0.0 && first.strike_error < 0.1, "{}", first.strike_error);
        assert!(first.leaves.windows(2).all(|pair| pair[0].share >= pair[1].share), "commonest first");
        assert!((0.0..1.0).contains(&first.split()) && (5.0..10.0).contains(&first.pins()));
        // Most balls of a line worth playing touch the head pin.
        let head = first
            .leaves
            .iter()
            .filter(|l| l.leave.pins().contains(boardwise_score::Pin::HEAD))
            .map(|l| l.share)
            .sum::<f64>();
        assert!(head < 0.3, "{head}");
    }
    let worth: Vec<f64> = found.lines.iter().map(|l| l.worth).collect();
    assert!(worth.is_sorted_by(|a, b| a >= b));
}

#[test]
fn law_a_left_hander_strikes_as_often_and_leaves_the_mirror_image() {
    // The lane is given as seen from the bowling hand, so the throws are the same.
    let (right, left) = (lines(Hand::Right), lines(Hand::Left));
    assert_eq!(right.lines.len(), left.lines.len());
    for (right, left) in right.lines.iter().zip(&left.lines) {
        assert_eq!(right.release, left.release);
        let (right, left) = (right.first_ball.as_ref().unwrap(), left.first_ball.as_ref().unwrap());
        assert!((right.strike - left.strike).abs() < 1e-12);
        for one in &right.leaves {
            let other = left.leaves.iter().find(|l| l.leave == one.leave.mirrored()).expect("the mirror image");
            assert!((one.share - other.share).abs() < 1e-12, "{}", one.leave);
        }
    }
}

#[test]
fn law_racks_thrown_agree_with_the_table() {
    let rack = boardwise_pins::Rack::new(boardwise_pins::Constants::default());
    for (board, angle_deg) in [(17.5, 6.0), (19.0, 5.0), (14.0, 4.0)] {
        let approach = Approach { board, angle_deg, speed_m_s: 7.3, weight_lb: 15.0, roll: 1.0 };
        let told = looked_up(&CARRY, &approach, Hand::Right);
        let thrown = throw_racks(&rack, &approach, &dull(), Hand::Right, 300, 1).unwrap();
        let error = told.strike_error.hypot(thrown.strike_error);
        // The table stands for a quarter of a board, an exact board may differ by as much as its neighbours do.
        assert!((told.strike - thrown.strike).abs() < 4.0 * error + 0.15, "{} {}", told.strike, thrown.strike);
        let left = throw_racks(&rack, &approach, &dull(), Hand::Left, 300, 1).unwrap();
        assert_eq!(left.strike, thrown.strike);
        for (left, right) in left.leaves.iter().zip(&thrown.leaves) {
            assert_eq!(left.share, right.share);
        }
    }
    let off = Approach { board: 60.0, angle_deg: 5.0, speed_m_s: 7.3, weight_lb: 15.0, roll: 1.0 };
    assert!(throw_racks(&rack, &off, &dull(), Hand::Right, 1, 1).is_err());
}

#[test]
fn law_gutter_balls_leave_ten_and_strike_never() {
    let (lane, ball) = (pattern(40.0, 0.2), shiny());
    let strikes = Strikes::new(&CARRY, &ball, Hand::Right, Pocket::default());
    let into_the_gutter = Release { laydown: Board(3.0), launch: Degrees(5.0), ..Release::default() };
    let runway = Runway::new(&lane, &ball, &boardwise_lane::ContactLaw::default());
    let finishes = runway.throw_many(&[into_the_gutter]);
    assert!(finishes[0].gutter.is_some());
    assert_eq!(strikes.worth(&finishes[0]), 0.0);
    let first = strikes.first_ball(&[thrown(finishes[0])]).expect("the table knows");
    assert_eq!(first.leaves.len(), 1);
    assert_eq!(first.leaves[0].leave.pins(), PinSet::ALL);
    // So does a ball that passes every pin without a gutter, if there is such a thing.
    let past = boardwise_lane::Finish {
        gutter: None,
        touch: None,
        breakpoint: Place { board: Board(1.0), feet: Feet(50.0) },
        ..finishes[0]
    };
    assert_eq!(strikes.first_ball(&[thrown(past)]).expect("the table knows").leaves[0].leave.pins(), PinSet::ALL);
}

fn thrown(finish: boardwise_lane::Finish) -> Throw {
    Throw { finish, world: 0, pins: None }
}

fn first(strike: f64, leaves: &[(&str, f64)]) -> FirstBall {
    let rest = leaves.iter().map(|(pins, share)| (pins.parse().expect("pins"), *share));
    FirstBall::new(rest.chain([(PinSet::NONE, strike)]), 0.01, 0.0)
}

#[test]
fn truth_games_of_nine_or_ten_have_their_exact_means() {
    // the project's design "Scoring" [C]: strike p, else nine, spare q, open = 9.
    for (p, q, mean, sd) in [(0.3, 0.5, 166.370, 22.597), (0.45, 0.75, 201.123_75, 22.993)] {
        let game = GameScore::of(&first(p, &[("10", 1.0 - p)]), |_| Second { make: q, down: q }).unwrap();
        assert!((game.mean - mean).abs() < 5e-4 && (game.sd - sd).abs() < 5e-4, "{game:?}");
        assert!((game.conversion - q).abs() < 1e-12);
        // A point of strikes in a hundred is worth between one and two pins a game here.
        assert!((1.0..2.5).contains(&game.error), "{}", game.error);
    }
}

#[test]
fn law_what_is_left_counts_in_the_score() {
    // The same strikes; leaves that are made less often, or whose misses take less, are worth less.
    let second = |leave: Leave| {
        if leave.is_split() { Second { make: 0.1, down: 1.0 } } else { Second { make: 0.95, down: 0.95 } }
    };
    let mean = |leaves: &[(&str, f64)], second: &dyn Fn(Leave) -> Second| {
        GameScore::of(&first(0.6, leaves), second).unwrap().mean
    };
    let easy = mean(&[("10", 0.4)], &second);
    let hard = mean(&[("10", 0.3), ("4-6", 0.1)], &second);
    assert!(easy > hard + 2.0, "{easy} {hard}");
    let takes = |down: f64| mean(&[("4-6", 0.4)], &move |_| Second { make: 0.0, down });
    // Ten frames, four leaves in ten, and each pin counts again for a strike before it: 10 x 0.4 x (1 + 0.6).
    let more = takes(1.0) - takes(0.0);
    assert!((more - 6.4).abs() < 1e-6, "{more}");
    assert!(GameScore::of(&first(0.5, &[("10", 0.5)]), |_| Second { make: f64::NAN, down: 0.0 }).is_err());
}

#[test]
fn law_lines_nobody_can_tell_apart_share_a_rank() {
    let mut found = lines(Hand::Right);
    let template = found.lines[0].clone();
    let line = |strike: f64, error: f64| {
        let mut line = template.clone();
        line.first_ball = Some(FirstBall { strike_error: error, ..first(strike, &[("10", 1.0 - strike)]) });
        line
    };
    found.lines = vec![line(0.50, 0.01), line(0.70, 0.01), line(0.695, 0.01), line(0.60, 0.001)];
    rank_by_game(&mut found, |_| Second { make: 0.9, down: 0.9 }).unwrap();
    let ranks: Vec<usize> = found.lines.iter().map(|l| l.rank).collect();
    assert_eq!(ranks, [1, 1, 3, 4]);
    let means: Vec<f64> = found.lines.iter().map(|l| l.game.unwrap().mean).collect();
    assert!(means.is_sorted_by(|a, b| a >= b));
}
