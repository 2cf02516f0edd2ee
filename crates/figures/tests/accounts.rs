//! Where pins were won and lost.

use boardwise_figures::{Drawing, Share, Theme, account_picture};

fn drawn(theme: Theme) -> Drawing {
    let share = |label, points, doubt| Share { label, points, doubt };
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
    let lost: Vec<bool> = bars.iter().map(|bar| bar.1 <= 206.01 && bar.0 < 205.0).collect();
    assert_eq!(lost, [true, false, true, true]);
    assert!(svg.contains("−11.0 ± 6.0") && svg.contains("+4.5 ± 1.2"));
    let odd = Share { label: "", points: f64::NAN, doubt: f64::INFINITY };
    account_picture(&[odd], odd, "", Theme::Dark).png(90).expect("a picture");
}

#[test]
fn law_a_doubt_that_is_not_known_and_a_sign_of_nothing_are_not_written() {
    let share = |points, doubt| Share { label: "", points, doubt };
    let shares = [share(2.5, 0.0), share(-0.01, 0.0), share(0.0, 1.2)];
    let svg = account_picture(&shares, share(-0.04, 0.3), "", Theme::Light).svg().to_owned();
    for words in [">+2.5<", ">0.0<", ">0.0 ± 1.2<", ">0.0 ± 0.3<"] {
        assert!(svg.contains(words), "{words}");
    }
    assert!(!svg.contains("± 0.0"));
}

#[test]
fn keep_accounts() {
    insta::assert_snapshot!("account_light", drawn(Theme::Light).svg());
    insta::assert_snapshot!("account_dark", drawn(Theme::Dark).svg());
}
