//! Where pins were won and lost.

use boardwise_figures::{Drawing, SeasonPoint, Share, Theme, account_picture, season_picture};

fn drawn(theme: Theme) -> Drawing {
    let share = |label, points, doubt| Share { label, points, doubt, chance: 5.0, stands_out: label == "carry luck" };
    let shares = [share("the line", -6.2, 3.1), share("spares", 4.5, 1.2), share("carry luck", -11.0, 6.0)];
    account_picture(&shares, share("all", -12.7, 6.9), "Where the pins went", theme)
}

#[test]
fn law_bars_lie_on_their_side_of_nothing() {
    let svg = drawn(Theme::Light).svg().to_owned();
    let read = |line: &str, name: &str| -> f64 {
        let from = line.find(name).expect("the attribute") + name.len();
        line[from..].split('"').next().expect("a value").parse().expect("a number")
    };
    let bars: Vec<(f64, f64)> = svg
        .lines()
        .filter(|line| line.contains("class=\"bar\""))
        .map(|line| (read(line, " x=\""), read(line, " x=\"") + read(line, " width=\"")))
        .collect();
    let lost: Vec<bool> = bars.iter().map(|bar| bar.1 <= 182.01 && bar.0 < 181.0).collect();
    assert_eq!(lost, [true, false, true, true]);
    assert!(svg.contains("−11.0 ± 6.0") && svg.contains("+4.5 ± 1.2"));
    let odd = Share { label: "", points: f64::NAN, doubt: f64::INFINITY, chance: f64::NAN, stands_out: true };
    account_picture(&[odd], odd, "", Theme::Dark).png(90).expect("a picture");
}

#[test]
fn law_a_doubt_that_is_not_known_and_a_sign_of_nothing_are_not_written() {
    let share = |points, doubt| Share { label: "", points, doubt, chance: 0.0, stands_out: false };
    let shares = [share(2.5, 0.0), share(-0.01, 0.0), share(0.0, 1.2)];
    let svg = account_picture(&shares, share(-0.04, 0.3), "", Theme::Light).svg().to_owned();
    for words in [">+2.5<", ">0.0<", ">0.0 ± 1.2<", ">0.0 ± 0.3<"] {
        assert!(svg.contains(words), "{words}");
    }
    assert!(!svg.contains("± 0.0") && !svg.contains("class=\"chance\"") && !svg.contains("chance alone"));
}

#[test]
fn keep_accounts() {
    insta::assert_snapshot!("account_light", drawn(Theme::Light).svg());
    insta::assert_snapshot!("account_dark", drawn(Theme::Dark).svg());
}

fn season(theme: Theme) -> Drawing {
    let point = |label, value: f64, off: f64, shown| SeasonPoint {
        label,
        value: Some(value),
        between: Some((value - off, value + off)),
        shown,
    };
    let none = SeasonPoint { label: "9 Feb", value: None, between: None, shown: false };
    let points = [
        point("2 Feb", 171.3, 14.0, false),
        none,
        point("16 Feb", 182.0, 14.0, false),
        point("23 Feb", 190.7, 20.0, true),
    ];
    season_picture(&points, "Average", "pins a game", 1, theme)
}

#[test]
fn law_a_season_joins_no_blocks_and_says_its_numbers() {
    let drawn = season(Theme::Light);
    let (svg, says) = (drawn.svg(), drawn.says());
    assert_eq!(svg.matches("class=\"block\"").count(), 3, "a block without a number has no dot");
    assert_eq!(svg.matches("class=\"between\"").count(), 3);
    assert!(!svg.contains("<polyline"), "a line would claim a trend");
    assert_eq!(says, "Average, pins a game, block by block: 2 Feb 171.3; 16 Feb 182.0; 23 Feb 190.7.");
    let odd = SeasonPoint { label: "", value: Some(f64::NAN), between: Some((f64::INFINITY, f64::NAN)), shown: true };
    for points in [&[][..], &[odd][..], &[odd, odd][..]] {
        season_picture(points, "", "", 0, Theme::Dark).png(90).expect("a picture");
    }
}

#[test]
fn law_letters_of_these_pictures_are_large_enough_to_read() {
    for drawn in [season(Theme::Light), drawn(Theme::Light)] {
        let sizes = drawn.svg().split("font-size=\"").skip(1).filter_map(|rest| rest.split('"').next());
        for size in sizes {
            assert!(size.parse::<f64>().expect("a size") >= 12.0, "{size}");
        }
    }
}

#[test]
fn keep_seasons() {
    insta::assert_snapshot!("season_light", season(Theme::Light).svg());
    insta::assert_snapshot!("season_dark", season(Theme::Dark).svg());
}
