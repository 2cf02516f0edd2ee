//! The deck, a leave's sign and the rack in motion.

use crate::sample;
use boardwise_figures::{Theme, deck, leave_glyph, moving_deck, strike_map};
use boardwise_score::PinSet;
use boardwise_search::EntryMap;
use boardwise_units::Hand;

/// Numbers of an attribute of all elements of a class.
fn numbers(svg: &str, class: &str, name: &str) -> Vec<f64> {
    let (class, name) = (format!("class=\"{class}\""), format!(" {name}=\""));
    svg.lines()
        .filter(|line| line.contains(&class))
        .map(|line| {
            let from = line.find(&name).expect("the attribute") + name.len();
            line[from..from + line[from..].find('"').expect("its end")].parse().expect("a number")
        })
        .collect()
}

#[test]
fn law_every_pin_of_the_rack_is_drawn_once_and_numbered_if_it_fell() {
    for (board, seed) in [(17.5, 1), (20.0, 2), (15.0, 3), (2.0, 4)] {
        let story = sample::rack(board, 5.0, PinSet::ALL, Hand::Right, seed);
        let drawing = deck(&story, Hand::Right, "", Theme::Light);
        let count = |class: &str| drawing.svg().matches(&format!("class=\"{class}\"")).count();
        assert_eq!(count("stands"), usize::from(story.after.len()));
        assert_eq!(count("fell") + count("stands"), 10);
        assert_eq!(story.order().len(), count("fell"));
        drawing.png(90).expect("a picture");
    }
}

#[test]
fn law_a_left_hander_sees_the_mirror_image() {
    let right = sample::rack(17.0, 5.0, PinSet::ALL, Hand::Right, 7);
    let left = sample::rack(17.0, 5.0, PinSet::ALL, Hand::Left, 7);
    assert_eq!(left.after, right.after.mirrored());
    for pin in PinSet::ALL {
        assert_eq!(left.fell_s[pin.mirrored().index()], right.fell_s[pin.index()], "pin {pin}");
    }
    let place = |story, hand| numbers(deck(story, hand, "", Theme::Dark).svg(), "arrives", "cx")[0];
    assert!((place(&right, Hand::Right) + place(&left, Hand::Left) - 360.0).abs() < 0.011);
}

#[test]
fn law_the_moving_deck_is_small_moves_only_where_allowed_and_ends_soon() {
    for (board, seed) in [(17.5, 1), (20.5, 5), (14.0, 6)] {
        let story = sample::rack(board, 4.0, PinSet::ALL, Hand::Right, seed);
        let drawing = moving_deck(&story, Hand::Right, "A rack", Theme::Light);
        let svg = drawing.svg();
        assert!(svg.len() < 200_000, "{}", svg.len());
        // All motion stands inside the one rule that asks whether motion is wanted.
        let style = &svg[svg.find("<style>").expect("rules")..svg.find("</style>").expect("their end")];
        assert!(style.starts_with("<style>@media (prefers-reduced-motion:no-preference){"));
        assert_eq!(style.matches('{').count(), style.matches('}').count());
        assert_eq!(svg.matches("animation:").count(), style.matches("animation:").count());
        for rule in style.split("animation:").skip(1) {
            let seconds: f64 = rule.split(' ').nth(1).and_then(|t| t.strip_suffix('s')).expect("s").parse().expect("s");
            assert!(seconds > 0.5 && seconds <= 5.0 && !rule[..40].contains("infinite"), "{}", &rule[..40]);
        }
        // What cannot move shows the still deck.
        let still = deck(&story, Hand::Right, "A rack", Theme::Light);
        assert_eq!(drawing.png(180).expect("a picture"), still.png(180).expect("a picture"));
    }
}

#[test]
fn law_a_sign_shows_each_pin_standing_or_down() {
    for bits in 0..1024 {
        let pins = PinSet::from_bits(bits).expect("ten bits");
        let svg = leave_glyph(pins, Theme::Light).svg().to_owned();
        assert_eq!(svg.matches("class=\"stands\"").count(), usize::from(pins.len()));
        assert_eq!(svg.matches("class=\"down\"").count(), 10 - usize::from(pins.len()));
        let x: f64 = numbers(&svg, "stands", "x").iter().map(|x| x + 1.45 - 12.0).sum();
        let mirrored = leave_glyph(pins.mirrored(), Theme::Light);
        let other: f64 = numbers(mirrored.svg(), "stands", "x").iter().map(|x| x + 1.45 - 12.0).sum();
        assert!((x + other).abs() < 0.05);
    }
}

#[test]
fn law_empty_and_odd_maps_of_strikes_still_draw() {
    for (boards, angles_deg, strike) in [
        (vec![], vec![], vec![]),
        (vec![1.0], vec![2.0], vec![f64::NAN]),
        (vec![1.0, 2.0], vec![0.0, 1.0], vec![0.5; 4]),
    ] {
        let map = EntryMap { boards, angles_deg, strike };
        strike_map(&map, Some((f64::INFINITY, 2.0)), "", Theme::Dark).png(90).expect("a picture");
        strike_map(&map, None, "", Theme::Dark).png(90).expect("a picture");
    }
}

#[test]
fn keep_deck_pictures() {
    let story = sample::made_up_rack();
    insta::assert_snapshot!("deck_light", deck(&story, Hand::Right, "A rack", Theme::Light).svg());
    insta::assert_snapshot!("deck_dark", deck(&story, Hand::Left, "A rack", Theme::Dark).svg());
    insta::assert_snapshot!("deck_moving", moving_deck(&story, Hand::Right, "A rack", Theme::Light).svg());
}

#[test]
fn keep_signs_of_leaves() {
    let split = "3-10".parse().expect("pins");
    insta::assert_snapshot!("sign_light", leave_glyph(split, Theme::Light).svg());
    insta::assert_snapshot!("sign_dark", leave_glyph(split, Theme::Dark).svg());
}
