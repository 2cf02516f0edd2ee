//! Spares: what any good table must show. The table is replaced as a whole when the pins' constants are.

use crate::typical::{OF_160, OF_200, OF_220, dull, pattern, plastic, spare_bowler, urethane};
use boardwise_lane::{ContactLaw, Lane};
use boardwise_pins::spare::Spares;
use boardwise_pins::{Constants, Rack};
use boardwise_score::Leave;
use boardwise_search::{Conditions, Progress, Search, SpareGame, Unknowns, spare_ball};
use boardwise_units::Hand;
use std::sync::LazyLock;

static TABLE: LazyLock<Spares> = LazyLock::new(|| {
    Spares::parse(include_bytes!("../../files/data/spares/spares.bin")).expect("the table of the data folder")
});

fn house() -> Lane {
    pattern(40.0, 0.2)
}

fn leave(text: &str) -> Leave {
    text.parse().expect("pins")
}

fn conditions(lane: &Lane, ball: &boardwise_ball::Ball) -> Conditions {
    Conditions::fresh(lane, ball, &Unknowns::default(), 1)
}

#[test]
fn law_single_pins_are_made_nearly_always_and_harder_leaves_less() {
    let (ball, lane) = (plastic(), house());
    let game = |conditions: Conditions| {
        SpareGame::new(&TABLE, conditions, &ball, &spare_bowler(Hand::Right, OF_200), &Search::default())
    };
    // Published [S]: professionals make the 10 pin 95.9%, the 7 pin 95.5%, the 9 pin 98.9%. They know the lane by then; a
    // spread of a 200 average is wider than theirs.
    let known = game(Conditions::known(&lane, &ball, &ContactLaw::default()));
    for pin in ["1", "2", "3", "4", "5", "6", "8", "9"] {
        let make = known.second(leave(pin)).make;
        assert!(make > 0.95, "{pin}: {make}");
    }
    for corner in ["7", "10"] {
        let make = known.second(leave(corner)).make;
        assert!((0.85..0.97).contains(&make), "{corner}: {make}");
    }
    // Over all that is not known before the first ball, less.
    let spares = game(conditions(&lane, &ball));
    let make = |text: &str| spares.second(leave(text)).make;
    for pin in ["1", "2", "3", "4", "5", "6", "7", "8", "9", "10"] {
        let (known, unknown) = (known.second(leave(pin)).make, make(pin));
        assert!(unknown > known - 0.1 && unknown < known + 0.02, "{pin}: {known} {unknown}");
    }
    // Published [S]: 7-10, 0 of 53; 4-6-7-10, 3.3%; 3-10, 48.6%.
    assert!(make("7-10") < 0.02 && make("4-6-7-10") < 0.05);
    let split = make("3-10");
    assert!(split > 0.4 && split < 0.9, "{split}");
    assert!(make("10") > make("3-10") && make("3-10") > make("5-7") && make("5-7") > make("7-10"));
    assert!(make("2-4-5") < make("2") && make("2-4-5-8") < make("2-4-5") + 0.01);
    // All pins at once are the hardest to take but not impossible.
    assert!((0.05..0.95).contains(&make("1-2-3-4-5-6-7-8-9-10")));
}

#[test]
fn law_a_wilder_bowler_makes_less() {
    let (ball, lane) = (plastic(), house());
    let make = |share: f64| {
        let spares = SpareGame::new(
            &TABLE,
            conditions(&lane, &ball),
            &ball,
            &spare_bowler(Hand::Right, share),
            &Search::default(),
        );
        ["10", "7", "3-10", "2-4-5-8"].map(|text| spares.second(leave(text)).make)
    };
    let (steady, wild) = (make(OF_220), make(OF_160));
    for (steady, wild) in steady.iter().zip(wild) {
        assert!(*steady > wild + 0.03, "{steady} {wild}");
    }
}

#[test]
fn law_a_mirrored_bowler_makes_the_mirrored_leave_alike() {
    let (ball, lane) = (plastic(), house());
    let game =
        |hand| SpareGame::new(&TABLE, conditions(&lane, &ball), &ball, &spare_bowler(hand, 1.0), &Search::default());
    let (right, left) = (game(Hand::Right), game(Hand::Left));
    for text in ["10", "7", "3-10", "1-2-4-10", "2-4-5-8"] {
        let (one, other) = (right.second(leave(text)), left.second(leave(text).mirrored()));
        assert!((one.make - other.make).abs() < 1e-9 && (one.down - other.down).abs() < 1e-9, "{text}");
    }
    let rack = Rack::new(Constants::default());
    let line = right.lines(leave("3-10"), 1).remove(0).line;
    let after = |game: &SpareGame, text: &str| game.after(&rack, leave(text), &line.release, 60);
    let (one, other) = (after(&right, "3-10"), after(&left, "2-7"));
    for rest in &one {
        let mirrored = other.iter().find(|r| r.pins == rest.pins.mirrored()).expect("the mirror image");
        assert_eq!(mirrored.share, rest.share);
    }
}

#[test]
fn law_the_rack_itself_makes_a_line_as_often_as_the_table_says() {
    let (ball, lane) = (plastic(), house());
    let spares =
        SpareGame::new(&TABLE, conditions(&lane, &ball), &ball, &spare_bowler(Hand::Right, OF_200), &Search::default());
    let rack = Rack::new(Constants::default());
    for text in ["10", "3-10", "2-4-5"] {
        let best = spares.lines(leave(text), 1).remove(0);
        // By more than two standard errors of the 192 throws behind the first look.
        let (close, first) = (best.line.worth, spares.second(leave(text)).make);
        assert!(close >= first - 2.0 * (first * (1.0 - first) / 192.0).sqrt(), "{text}: a close look is no worse");
        assert_eq!(best.line.rank, 1);
        let after = spares.after(&rack, leave(text), &best.line.release, 500);
        assert!((after.iter().map(|r| r.share).sum::<f64>() - 1.0).abs() < 1e-9);
        assert!(after.iter().all(|r| r.pins.is_within(leave(text).pins())));
        let made = after.iter().find(|r| r.pins.is_empty()).map_or(0.0, |r| r.share);
        // Three standard errors of 500 racks, and five points for what the table does not know: ball and speed.
        let room = 3.0 * (made * (1.0 - made) / 500.0).sqrt() + 0.05;
        assert!((made - best.line.worth).abs() < room, "{text}: racks {made}, table {}", best.line.worth);
    }
    assert!(spares.lines(leave("7-10"), 2).iter().all(|best| best.line.worth < 0.05));
}

#[test]
fn law_the_straightest_ball_is_thrown_at_spares() {
    let bag = [dull(), urethane(), plastic()];
    assert_eq!(spare_ball(&bag), Some(&bag[2]));
    assert_eq!(spare_ball(&bag[..2]), Some(&bag[1]));
    assert_eq!(spare_ball(&[]), None);
}

#[test]
fn law_same_seed_same_spares_on_one_and_three_threads() {
    let (ball, lane) = (plastic(), house());
    let run = |threads| {
        rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap().install(|| {
            let spares = SpareGame::new(
                &TABLE,
                conditions(&lane, &ball),
                &ball,
                &spare_bowler(Hand::Right, 1.0),
                &Search::default(),
            );
            (
                spares.lines(leave("3-10"), 2),
                spares
                    .seconds(&[leave("10"), leave("2-4-5"), leave("7-10")], &Progress::default())
                    .expect("not cancelled"),
            )
        })
    };
    assert_eq!(run(1), run(3));
}

#[test]
fn law_what_is_sure_is_taken_where_all_is_hardly_ever_made_and_nowhere_else() {
    let (ball, lane) = (plastic(), house());
    let bowler = spare_bowler(Hand::Right, OF_200);
    let spares = SpareGame::new(&TABLE, conditions(&lane, &ball), &ball, &bowler, &Search::default());
    let sure = |text: &str| {
        let best = spares.lines(leave(text), 1).pop();
        let sure = spares.sure(leave(text), best.as_ref());
        sure.map(|sure| (best.map_or(0.0, |best| best.pins()), sure))
    };
    for text in ["10", "3-10", "2-4-5", "6-10"] {
        assert!(sure(text).is_none(), "{text}");
    }
    // Two of four pins for certain are worth more than one spare in twenty; of the 7-10 nothing better than a pin can be had.
    let (tried, taken) = sure("4-6-7-10").expect("the big four");
    assert!(taken.pins() > tried + 0.1 && taken.down > 1.5, "{tried} {} {}", taken.pins(), taken.down);
}
