//! Pictures of how the lanes change.

mod sample;

use draw::{Drawing, Theme, Trace, wear_picture};
use lane::{Coating, Film, Lane, Reading};
use measure::{Feet, Hand, OilUnits};

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

/// A path of our own, so that the picture is kept and not the physics.
fn plain_path(lane: &Lane, laydown: f64) -> lane::Path {
    let mut path = sample::path(lane, laydown, 9.0, 300.0);
    for row in &mut path.rows {
        row.board = laydown - 1.0 - row.feet / 4.0 + (row.feet / 20.0).powi(2);
    }
    path.rows.retain(|row| row.feet % 10.0 == 0.0);
    path.touch = None;
    path.gutter = None;
    path.arrows = Some(lane::Place { board: measure::Board(laydown - 4.19), feet: Feet(15.0) });
    path.breakpoint = lane::Place { board: measure::Board(laydown - 7.25), feet: Feet(50.0) };
    path
}

fn wear(hand: Hand, theme: Theme) -> Drawing {
    let (fresh, now) = plain_lanes();
    let (before, after) = (plain_path(&fresh, 15.0), plain_path(&fresh, 17.0));
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
    let path = plain_path(&fresh, 15.0);
    let drawing = wear_picture(&fresh, &now, Hand::Right, &[Trace { label: "line", path: &path }], "", Theme::Dark);
    assert_eq!(attributes(drawing.svg(), "trace", "points").len(), 2);
}

#[test]
fn law_worn_lanes_draw_small_and_whole_whatever_is_on_them() {
    let (lane, given) =
        (sample::lane(), Lane::new(Coating::Step { low: 0.04, high: 0.2, middle: Feet(40.0), width: Feet(2.0) }));
    let worn = sample::worn(&lane, 40, 15.0, 9.5);
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
fn keep_wear_pictures() {
    insta::assert_snapshot!("wear_light", wear(Hand::Right, Theme::Light).svg());
    insta::assert_snapshot!("wear_dark", wear(Hand::Left, Theme::Dark).svg());
}
