//! Pictures of how the lanes change.

use crate::sample;
use boardwise_figures::{Drawing, Theme, Trace, bag_picture, block_picture, wear_picture};
use boardwise_lane::{Coating, Film, Lane, Reading};
use boardwise_units::{Feet, Hand, OilUnits};

/// Values of an attribute of all elements of a class.
fn attributes<'a>(svg: &'a str, class: &str, name: &str) -> Vec<&'a str> {
    let (class, name) = (format!("class=\"{class}\""), format!(" {name}=\""));
    let of_class = svg.lines().filter(|line| line.contains(&class));
    of_class.filter_map(|line| line.split(&name).nth(1)?.split('"').next()).collect()
}

fn places(list: &str) -> Vec<(f64, f64)> {
    let pairs = list.split(' ').filter_map(|pair| pair.split_once(','));
    pairs.map(|(x, y)| (x.parse().expect("a number"), y.parse().expect("a number"))).collect()
}

/// Lanes small enough to keep as a snapshot: an even stripe, and the same with a track worn in and some oil carried on.
fn plain_lanes() -> (Lane, Lane) {
    let stripe = |outside: f64, track: f64| {
        vec![
            (7.0, OilUnits(outside)),
            (8.0, OilUnits(track)),
            (13.0, OilUnits(track)),
            (14.0, OilUnits(24.0)),
            (39.0, OilUnits(24.0)),
        ]
    };
    let lane = |readings: &[Reading], end: f64| {
        Lane::new(Coating::Oil(Film::from_readings(readings, Some(Feet(end))).expect("a film")))
    };
    let fresh = lane(&[Reading { feet: 20.0, film: stripe(0.0, 24.0) }], 38.0);
    let worn = |feet: f64| Reading { feet, film: stripe(0.0, 14.0) };
    let carried = vec![(8.0, OilUnits(0.0)), (10.0, OilUnits(3.0)), (12.0, OilUnits(0.0))];
    let carried = |feet: f64| Reading { feet, film: carried.clone() };
    let mut now = lane(&[worn(20.0), worn(37.9), carried(38.1), carried(43.0)], 43.0);
    if let Coating::Oil(film) = &mut now.coating {
        film.length = Feet(38.0);
    }
    (fresh, now)
}

fn wear(hand: Hand, theme: Theme) -> Drawing {
    let (fresh, now) = plain_lanes();
    let (before, after) = (sample::plain_path(&fresh, 15.0), sample::plain_path(&fresh, 17.0));
    let traces = [Trace { label: "fresh line", path: &before }, Trace { label: "now", path: &after }];
    wear_picture(&fresh, &now, hand, &traces, "What went", theme)
}

#[test]
fn law_the_other_hand_mirrors_every_lane_in_its_place() {
    let (right, left) = (wear(Hand::Right, Theme::Light), wear(Hand::Left, Theme::Light));
    for (class, middles) in [("trace", &[84.5, 193.5][..]), ("hint", &[302.5, 302.5])] {
        let (a, b) = (attributes(right.svg(), class, "points"), attributes(left.svg(), class, "points"));
        assert_eq!((a.len(), b.len()), (2, 2), "the line before on the fresh lane, that of now on the other");
        for ((a, b), middle) in a.iter().zip(&b).zip(middles) {
            for (a, b) in places(a).iter().zip(places(b)) {
                assert!((a.0 + b.0 - 2.0 * middle).abs() < 0.011 && (a.1 - b.1).abs() < 1e-9, "{class}: {a:?} {b:?}");
            }
        }
    }
}

#[test]
fn law_a_line_that_stayed_lies_on_both_lanes() {
    let (fresh, now) = plain_lanes();
    let path = sample::plain_path(&fresh, 15.0);
    let drawing = wear_picture(&fresh, &now, Hand::Right, &[Trace { label: "line", path: &path }], "", Theme::Dark);
    assert_eq!(attributes(drawing.svg(), "trace", "points").len(), 2);
}

#[test]
fn law_worn_lanes_draw_small_and_whole_whatever_is_on_them() {
    let (lane, given) =
        (sample::lane(), Lane::new(Coating::Step { low: 0.04, high: 0.2, middle: Feet(40.0), width: Feet(2.0) }));
    // As many first balls as eight games of five bowlers bring to a lane: what three of them carry on is less than is drawn.
    let worn = sample::worn(&lane, 200, 15.0, 9.5);
    let path = sample::path(&lane, 15.0, 9.5, 330.0);
    let traces = [Trace { label: "</text><script>", path: &path }; 5];
    for (fresh, now) in [(&lane, &worn), (&lane, &given), (&given, &given), (&given, &lane)] {
        for traces in [&traces[..], &[]] {
            let drawing = wear_picture(fresh, now, Hand::Left, traces, "<b>", Theme::Light);
            let svg = drawing.svg();
            assert!(svg.len() < 200_000 && !svg.contains("<script") && !svg.contains("NaN"));
            drawing.png(90).expect("a readable picture");
        }
    }
    // Urethane carries oil on: some is laid beyond the end, and the picture says how much.
    let drawing = wear_picture(&lane, &worn, Hand::Right, &traces[..1], "", Theme::Light);
    assert!(drawing.svg().contains("class=\"laid\"") && drawing.svg().contains(">laid beyond 41 ft: "));
}

#[test]
fn law_lines_of_a_block_lie_where_the_outlook_says() {
    let block = sample::block(5, 8);
    let drawing = block_picture(&block, [1, 2], &["dull", "shiny"], "", Theme::Light);
    let read = |class: &str, lane: usize| places(attributes(drawing.svg(), class, "points")[lane]);
    for lane in 0..2 {
        let outlook = block.outlook(lane);
        let xs: Vec<f64> = read("found", lane).iter().map(|place| place.0).collect();
        // Practice first, then games to scale up to the right edge.
        assert!((xs[0], xs[7]) == (34.0, 282.0) && xs[1] > 50.0);
        for (k, x) in xs.iter().enumerate().skip(1) {
            assert!((x - (xs[1] + (282.0 - xs[1]) * outlook[k].games / outlook[7].games)).abs() < 0.011);
        }
        for (pair, of) in [
            (
                ("found", "first"),
                [|s: &boardwise_search::Outlook| s.strike.0, |s: &boardwise_search::Outlook| s.first.0],
            ),
            (
                ("feet", "eyes"),
                [|s: &boardwise_search::Outlook| s.laydown.0, |s: &boardwise_search::Outlook| s.arrows.0],
            ),
        ] {
            let places = [read(pair.0, lane), read(pair.1, lane)].concat();
            let values: Vec<f64> = of.iter().flat_map(|value| outlook.iter().map(value)).collect();
            // Both lines of a chart on one scale, upward.
            let slope = (places[15].1 - places[0].1) / (values[15] - values[0]);
            assert!(slope < 0.0);
            for (place, value) in places.iter().zip(&values) {
                assert!((place.1 - places[0].1 - slope * (value - values[0])).abs() < 0.02, "{pair:?} {value}");
            }
        }
    }
}

#[test]
fn law_a_balls_bar_is_as_high_as_its_share_of_the_runs() {
    let block = sample::block(5, 10);
    let drawing = block_picture(&block, [1, 2], &["dull"], "", Theme::Dark);
    let heights: Vec<f64> =
        attributes(drawing.svg(), "ball", "height").iter().map(|v| v.parse().expect("a number")).collect();
    let shares = |lane: usize| {
        let stages = block.outlook(lane);
        [0, 1].map(|ball| {
            let of = |stage: &boardwise_search::Outlook| {
                stage.balls.iter().find(|one| one.0 == ball).map(|one| 13.0 * one.1)
            };
            stages[..9].iter().filter_map(of).collect::<Vec<_>>()
        })
    };
    let expected = [shares(0), shares(1)].concat().concat();
    assert_eq!(heights.len(), expected.len());
    assert!(heights.iter().zip(&expected).all(|(a, b)| (a - b).abs() < 0.006), "{heights:?} {expected:?}");
    // A ball without a name is told by its number.
    assert!(drawing.svg().contains(">dull</text>") && drawing.svg().contains(">ball 2</text>"));
}

#[test]
fn law_odd_blocks_and_bags_still_draw() {
    let mut broken = sample::block(2, 4);
    let stage = &mut broken.runs[0].stages[2].lanes[0];
    stage.line.worth = f64::NAN;
    stage.line.release.laydown = boardwise_units::Board(f64::INFINITY);
    stage.moved.feet_boards = f64::NAN;
    let empty = boardwise_search::Block { runs: Vec::new() };
    for block in [&sample::block(1, 1), &sample::block(3, 2), &sample::block(1, 40), &broken, &empty] {
        let drawing = block_picture(block, [1, 2], &["</text><script>"], "<b>", Theme::Light);
        assert!(
            !drawing.svg().contains("<script") && !drawing.svg().contains("NaN") && !drawing.svg().contains(">inf")
        );
        assert!(drawing.svg().len() < 200_000);
        drawing.png(90).expect("a readable picture");
    }
    let weighed = sample::weighed(3, 2);
    let choice = boardwise_search::choose(&weighed, 2).expect("a set");
    let nothing = boardwise_search::Weighed { forms: vec![Vec::new(); 5], moments: Vec::new(), ..weighed.clone() };
    let none = boardwise_search::Choice { set: Vec::new(), ..choice.clone() };
    for (weighed, choice) in
        [(&weighed, &choice), (&nothing, &choice), (&weighed, &none), (&sample::weighed(30, 1), &choice)]
    {
        let drawing = bag_picture(weighed, choice, &["</text><script>"], "<b>", Theme::Dark);
        assert!(!drawing.svg().contains("<script") && !drawing.svg().contains("NaN"));
        drawing.png(90).expect("a readable picture");
    }
}

/// The names of the sample's balls as they were weighed.
const WEIGHED: [&str; 5] = ["dull", "dull, 3000", "shiny", "shiny, 1500", "urethane"];

#[test]
fn law_a_bag_shows_each_ball_once_the_set_first() {
    let weighed = sample::weighed(3, 5);
    let choice = boardwise_search::choose(&weighed, 2).expect("a set");
    let drawing = bag_picture(&weighed, &choice, &WEIGHED, "", Theme::Light);
    let row = |name: &str| drawing.svg().find(&format!(">{name}</text>"));
    let (rest, balls) = (row("the rest, each at its best"), ["dull", "shiny", "urethane"].map(row));
    assert!(balls[0] < rest && balls[1] < rest && rest < balls[2] && balls[0].is_some());
    assert_eq!((row("dull, 3000"), row("shiny, 1500")), (None, None));
    // Twelve cells, of which the urethane has no line on one.
    assert_eq!(attributes(drawing.svg(), "cell", "x").len(), 11);
    assert_eq!(drawing.svg().matches(">no line</text>").count(), 1);
    // At each stage the worlds are shared out among the set.
    let bars: f64 =
        attributes(drawing.svg(), "best", "width").iter().map(|v| v.parse::<f64>().expect("a number")).sum();
    let cell: f64 = attributes(drawing.svg(), "cell", "width")[0].parse().expect("a number");
    assert!((bars - 4.0 * cell).abs() < 0.05, "{bars} {cell}");
}

#[test]
fn law_what_a_ball_would_add_is_what_the_larger_set_gains() {
    let weighed = sample::weighed(8, 12);
    let (one, two) =
        (boardwise_search::choose(&weighed, 1).expect("a set"), boardwise_search::choose(&weighed, 2).expect("a set"));
    assert!(two.set.iter().any(|ball| ball.ball == one.set[0].ball), "the larger set holds the smaller one");
    let svg = bag_picture(&weighed, &one, &WEIGHED, "", Theme::Light).svg().to_owned();
    let words = svg[svg.find(">dull</text>").expect("the ball that is added")..].split("font-size=\"12\"").nth(1);
    let told: f64 = words.and_then(|w| w.split(['>', '<']).nth(1)).expect("a number").parse().expect("a number");
    assert!((told - (two.score - one.score)).abs() <= 0.0501, "{told} {}", two.score - one.score);
}

#[test]
fn keep_block_pictures() {
    let picture = |theme| {
        block_picture(&sample::block(3, 6), [1, 2], &["dull strong solid", "shiny weak pearl"], "A block", theme)
    };
    insta::assert_snapshot!("block_light", picture(Theme::Light).svg());
    insta::assert_snapshot!("block_dark", picture(Theme::Dark).svg());
}

#[test]
fn keep_bag_pictures() {
    let weighed = sample::weighed(2, 3);
    let choice = boardwise_search::choose(&weighed, 2).expect("a set");
    insta::assert_snapshot!("bag_light", bag_picture(&weighed, &choice, &WEIGHED, "A bag", Theme::Light).svg());
    insta::assert_snapshot!("bag_dark", bag_picture(&weighed, &choice, &WEIGHED, "A bag", Theme::Dark).svg());
}

#[test]
fn keep_wear_pictures() {
    insta::assert_snapshot!("wear_light", wear(Hand::Right, Theme::Light).svg());
    insta::assert_snapshot!("wear_dark", wear(Hand::Left, Theme::Dark).svg());
}
