//! The first balls of a block, as far as they were seen.

use crate::sample;
use boardwise_figures::{Drawing, SeenShot, Theme, shots_picture};
use boardwise_lane::Place;
use boardwise_score::PinSet;
use boardwise_search::Hit;
use boardwise_units::{Board, Feet, Hand};

const UNSEEN: SeenShot = SeenShot { arrows: None, breakpoint: None, hit: None, left: None, label: "" };

fn place(board: f64, feet: f64) -> Place {
    Place { board: Board(board), feet: Feet(feet) }
}

fn count(drawing: &Drawing, what: &str) -> usize {
    drawing.svg().matches(what).count()
}

#[test]
fn law_every_ball_seen_has_one_sign_and_those_not_seen_are_counted() {
    let drawing = shots_picture(&sample::first_balls(), Hand::Right, "Block", Theme::Light);
    // 27 on the lane, and six names in the key.
    assert_eq!(count(&drawing, "class=\"hit"), 27 + 6);
    assert_eq!(
        count(&drawing, "class=\"hit struck\""),
        sample::first_balls().iter().filter(|s| s.left == Some(PinSet::NONE)).count()
    );
    assert_eq!(count(&drawing, "class=\"course\""), 27 - 4);
    assert!(drawing.svg().contains("28 first balls, 1 of them not seen on the lane"));
    for name in ["pocket", "high", "light", "other side", "gutter", "not written"] {
        assert!(drawing.svg().contains(&format!(">{name}<")), "{name}");
    }
}

#[test]
fn law_a_left_handers_lane_is_the_mirrored_one() {
    let shots = [SeenShot { breakpoint: Some(place(5.0, 40.0)), arrows: Some(Board(10.0)), ..UNSEEN }];
    let ends = |hand| {
        let svg = shots_picture(&shots, hand, "", Theme::Light).svg().to_owned();
        let line = svg.lines().find(|line| line.contains("class=\"course\"")).expect("a line").to_owned();
        ["x1", "y1", "x2", "y2"].map(|name| {
            let from = line.find(&format!("{name}=\"")).expect("an end") + 4;
            line[from..].split('"').next().expect("a value").parse::<f64>().expect("a number")
        })
    };
    let (right, left) = (ends(Hand::Right), ends(Hand::Left));
    // The lane, cut at board 22.5, lies from 80 to 356; a right-hander's low boards are at its foot.
    assert!(right[3] > right[1] && right[1] > 218.0);
    for k in [0, 2] {
        assert_eq!((right[k], right[k + 1] + left[k + 1]), (left[k], 80.0 + 356.0));
    }
}

#[test]
fn truth_mean_and_deviation_of_boards_at_the_arrows() {
    // By hand: 8, 9, 10, 11, 12 have mean 10, sum of squares 10, so a deviation of sqrt(10/4) and an error of sqrt(1/2) [C].
    let shots = [8.0, 9.0, 10.0, 11.0, 12.0].map(|board| SeenShot { arrows: Some(Board(board)), ..UNSEEN });
    let drawing = shots_picture(&shots, Hand::Right, "", Theme::Light);
    assert!(drawing.svg().contains("mean 10.0 ± 0.7, standard deviation 1.6 boards"));
    let few = shots_picture(&shots[..4], Hand::Right, "", Theme::Light);
    assert!(few.svg().contains("4 seen: too few for a mean") && !few.svg().contains("class=\"mean\""));
}

#[test]
fn law_what_is_off_the_lane_or_no_number_counts_as_not_seen() {
    let odd =
        |board: f64, feet: f64| SeenShot { arrows: Some(Board(board)), breakpoint: Some(place(board, feet)), ..UNSEEN };
    let shots = [odd(f64::NAN, 40.0), odd(77.0, 40.0), odd(-1.0, f64::INFINITY)];
    let drawing = shots_picture(&shots, Hand::Left, "", Theme::Dark);
    assert!(drawing.svg().contains("3 of them not seen") && drawing.svg().contains("not seen on any ball"));
    drawing.png(720).expect("a picture");
    shots_picture(&[], Hand::Right, "", Theme::Light).png(720).expect("a picture");
}

#[test]
fn law_the_lane_is_as_wide_as_the_balls_used_it() {
    let to = |board: f64| {
        let shot = SeenShot { arrows: Some(Board(board)), ..UNSEEN };
        let drawing = shots_picture(&[shot], Hand::Right, "", Theme::Light);
        (count(&drawing, "class=\"pin\""), drawing.svg().contains("no ball seen beyond board 22<"))
    };
    // The head pin, the pins on the hand's side and that behind the head pin stand on boards up to 22.
    assert_eq!((to(8.0), to(21.0), to(22.0), to(35.0)), ((6, true), (6, true), (6, false), (10, false)));
}

#[test]
fn law_signs_of_one_place_do_not_hide_each_other() {
    let one = SeenShot { breakpoint: Some(place(5.0, 40.0)), hit: Some(Hit::Pocket), ..UNSEEN };
    let drawing = shots_picture(&[one; 5], Hand::Right, "", Theme::Light);
    let mut places: Vec<f64> = drawing
        .svg()
        .lines()
        .filter(|line| line.contains("class=\"hit\""))
        .map(|line| line.split('"').nth(1).expect("a value").parse().expect("a number"))
        .collect();
    places.sort_by(f64::total_cmp);
    assert!(places.windows(2).all(|two| two[1] - two[0] > 9.9), "{places:?}");
}

#[test]
fn keep_shots() {
    let title = "First balls of the block";
    insta::assert_snapshot!(
        "shots_light",
        shots_picture(&sample::first_balls(), Hand::Right, title, Theme::Light).svg()
    );
    insta::assert_snapshot!("shots_dark", shots_picture(&sample::first_balls(), Hand::Left, title, Theme::Dark).svg());
}
