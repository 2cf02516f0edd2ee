//! The lane at the lanes: what is unsure and unknown looks so, and the page's rules of style hold.

use crate::sample;
use boardwise_figures::{Drawing, Expected, Theme, UprightLane};
use boardwise_units::Hand;

fn draw(hand: Hand, theme: Theme, crossed: impl Fn(usize) -> bool) -> Drawing {
    draw_tall(hand, theme, crossed, UprightLane::TALL)
}

fn draw_tall(hand: Hand, theme: Theme, crossed: impl Fn(usize) -> bool, height: f64) -> Drawing {
    with(hand, crossed, height, |lane| lane.draw(theme))
}

fn lying(hand: Hand, theme: Theme) -> Drawing {
    with(hand, |board| (5..=20).contains(&board), UprightLane::TALL, |lane| lane.lying(theme))
}

fn with(hand: Hand, crossed: impl Fn(usize) -> bool, height: f64, draw: impl Fn(&UprightLane) -> Drawing) -> Drawing {
    let lane = sample::lane();
    let board = |feet: f64| 14.0 - feet / 4.0 + (feet / 20.0).powi(2);
    let line: Vec<Expected> = (0..=60)
        .map(f64::from)
        .map(|feet| Expected {
            feet,
            board: board(feet),
            low: board(feet) - feet / 30.0,
            high: board(feet) + feet / 30.0,
        })
        .collect();
    let shots: Vec<Vec<(f64, f64)>> =
        [0.6, -0.8, 1.5, 3.0].map(|off| (0..=60).map(f64::from).map(|feet| (board(feet) + off, feet)).collect()).into();
    let travelled = std::array::from_fn(|k| crossed(k + 1));
    let before: Vec<(f64, f64)> = line.iter().map(|one| (one.board - 3.0 + one.feet / 30.0, one.feet)).collect();
    draw(&UprightLane {
        lane: &lane,
        hand,
        title: "Lane 7",
        line: &line,
        before: &before,
        shots: &shots,
        travelled: &travelled,
        height,
    })
}

#[test]
fn law_a_move_is_an_arrow_from_the_line_before_to_the_line_said() {
    let count = |drawing: &Drawing, what: &str| drawing.svg().matches(what).count();
    for hand in [Hand::Right, Hand::Left] {
        for drawing in [seen(hand, Theme::Light), lying(hand, Theme::Light)] {
            assert_eq!((count(&drawing, "class=\"before\""), count(&drawing, "class=\"move\"")), (1, 2));
        }
    }
    // In leads away from the bowling hand: to the left for a right-hander, to the right for a left-hander.
    let way = |hand| {
        let drawing = seen(hand, Theme::Light);
        let arrow = drawing.svg().lines().find(|line| line.contains("class=\"move\"")).expect("an arrow").to_owned();
        let at = |name: &str| -> f64 {
            let from = arrow.find(name).expect("the attribute") + name.len();
            arrow[from..].split('"').next().expect("a value").parse().expect("a number")
        };
        at(" x2=\"") - at(" x1=\"")
    };
    assert!(way(Hand::Right) < 0.0 && way(Hand::Left) > 0.0, "{} {}", way(Hand::Right), way(Hand::Left));
}

fn seen(hand: Hand, theme: Theme) -> Drawing {
    draw(hand, theme, |board| (5..=20).contains(&board))
}

#[test]
fn law_the_page_needs_no_rules_of_style() {
    for hand in [Hand::Right, Hand::Left] {
        let drawing = seen(hand, Theme::Dark);
        let svg = drawing.svg();
        assert!(!svg.contains("style") && !svg.contains("<script") && !svg.contains(" id="));
        assert!(svg.len() < 60_000, "{}", svg.len());
        for size in svg.split("font-size=\"").skip(1) {
            let size: f64 = size[..size.find('"').expect("its end")].parse().expect("a number");
            assert!(size >= 12.0);
        }
        drawing.png(360).expect("a readable picture");
    }
}

#[test]
fn law_boards_nobody_crossed_are_hatched_and_three_shots_fade() {
    let count = |drawing: &Drawing, what: &str| drawing.svg().matches(what).count();
    let some = seen(Hand::Right, Theme::Light);
    assert_eq!((count(&some, "class=\"hatch\""), count(&some, "class=\"shot\"")), (2, 3));
    let all = draw(Hand::Right, Theme::Light, |_| true);
    assert_eq!((count(&all, "class=\"hatch\""), count(&all, "not crossed")), (0, 0));
    // Board 1 lies on the hand's side: the unknown boards 1 to 4 end at the lane's edge there.
    let x = |hand| {
        seen(hand, Theme::Light)
            .svg()
            .split("class=\"unknown\"")
            .next()
            .and_then(|s| s.rsplit_once("x=\""))
            .map(|(_, x)| x[..x.find('"').expect("its end")].parse::<f64>().expect("a number"))
            .expect("a rect")
    };
    assert!(x(Hand::Right) > 290.0 && (x(Hand::Left) - 34.0).abs() < 0.01);
}

#[test]
fn law_a_lower_picture_keeps_its_text_and_its_parts_apart() {
    let low = |height| draw_tall(Hand::Right, Theme::Light, |board| board < 21, height);
    for (asked, given) in [(260.0, 260.0), (350.5, 350.5), (100.0, 260.0), (900.0, 470.0), (f64::NAN, 470.0)] {
        assert_eq!(low(asked).size(), (360.0, given));
    }
    let drawing = low(UprightLane::LOW);
    let value = |line: &str, name: &str| -> f64 {
        let from = line.find(name).expect("the attribute") + name.len();
        line[from..].split('"').next().expect("a value").parse().expect("a number")
    };
    let texts: Vec<&str> = drawing.svg().lines().filter(|line| line.starts_with("<text")).collect();
    assert!(texts.iter().all(|line| value(line, "font-size=\"") >= 12.0 && value(line, " y=\"") <= 260.0));
    // Feet at the side, one below the other, far enough apart to read.
    let mut feet: Vec<f64> =
        texts.iter().filter(|line| line.contains(" x=\"23\" ")).map(|l| value(l, " y=\"")).collect();
    feet.sort_by(f64::total_cmp);
    assert_eq!(feet.len(), 6);
    assert!(feet.windows(2).all(|two| two[1] - two[0] >= 14.0), "{feet:?}");
}

#[test]
fn law_on_its_side_it_shows_the_same_and_needs_no_rules_of_style() {
    let count = |drawing: &Drawing, what: &str| drawing.svg().matches(what).count();
    for hand in [Hand::Right, Hand::Left] {
        let drawing = lying(hand, Theme::Light);
        assert!(!drawing.svg().contains("style") && !drawing.svg().contains(" id="));
        assert_eq!(drawing.size(), (540.0, 190.0));
        for what in ["class=\"hatch\"", "class=\"shot\"", "class=\"ribbon\"", "class=\"line\""] {
            assert_eq!(count(&drawing, what), count(&seen(hand, Theme::Light), what), "{what}");
        }
        drawing.png(540).expect("a readable picture");
    }
    // The hand's side lies at the foot for a right-hander: there the unknown boards 1 to 4 end.
    let first = |hand| {
        let drawing = lying(hand, Theme::Light);
        let rect = drawing.svg().lines().find(|line| line.contains("class=\"unknown\"")).expect("a rect").to_owned();
        let y = rect.split(" y=\"").nth(1).expect("a place");
        y[..y.find('"').expect("its end")].parse::<f64>().expect("a number")
    };
    assert!(first(Hand::Right) > 120.0 && (first(Hand::Left) - 24.0).abs() < 0.01);
}

#[test]
fn keep_upright_lanes() {
    insta::assert_snapshot!("lying_light", lying(Hand::Right, Theme::Light).svg());
    insta::assert_snapshot!("lying_dark", lying(Hand::Left, Theme::Dark).svg());
    insta::assert_snapshot!("upright_light", seen(Hand::Right, Theme::Light).svg());
    let low = draw_tall(Hand::Left, Theme::Dark, |board| (5..=20).contains(&board), UprightLane::LOW);
    insta::assert_snapshot!("upright_low", low.svg());
    insta::assert_snapshot!("upright_dark", seen(Hand::Left, Theme::Dark).svg());
}
