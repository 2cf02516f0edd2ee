//! The lane at the lanes: what is unsure and unknown looks so, and the page's rules of style hold.

mod sample;

use draw::{Drawing, Expected, Theme, UprightLane};
use measure::Hand;

fn draw(hand: Hand, theme: Theme, crossed: impl Fn(usize) -> bool) -> Drawing {
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
    UprightLane { lane: &lane, hand, title: "Lane 7", line: &line, shots: &shots, travelled: &travelled }.draw(theme)
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
            assert!(size >= 11.0);
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
fn keep_upright_lanes() {
    insta::assert_snapshot!("upright_light", seen(Hand::Right, Theme::Light).svg());
    insta::assert_snapshot!("upright_dark", seen(Hand::Left, Theme::Dark).svg());
}
