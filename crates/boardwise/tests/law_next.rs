//! `next` reads what was logged: the belief learns, the card is short, what stands is a spare.

use std::fs;

use crate::answers::{json, number, run};
use serde_json::Value;
use tempfile::TempDir;

const EVENT: &str = r#"name = "practice night"
practice_shots = 0
[[pair]]
lanes = [7, 8]
patterns = ["house-40-walled", "house-40-walled"]
games = 2
[[bowler]]
file = "HAND"
bag = "bag.toml"
line = { laydown = 20, arrows = 13 }
"#;

/// Two balls, quick to look at.
const BAG: &str = include_str!("answers/two-balls.toml");

/// A block begun by this bowler, and its record.
fn begun(bowler: &str) -> (TempDir, String) {
    begun_with(&EVENT.replace("HAND", bowler))
}

fn begun_with(event: &str) -> (TempDir, String) {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("bag.toml"), BAG).unwrap();
    fs::write(folder.path().join("event.toml"), event).unwrap();
    let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
    let (event, record) = (path("event.toml"), path("a.record"));
    json(&["start", "--json", "--event", &event, "--record", &record]);
    (folder, record)
}

fn log(record: &str, arguments: &[&str]) {
    json(&[&["log"], arguments, &["--json", "--record", record]].concat());
}

fn next(record: &str, more: &[&str]) -> Value {
    json(&[&["next", "--json", "--record", record], more].concat())
}

#[test]
fn law_the_card_is_short_and_its_choices_are_in_order() {
    let (_folder, record) = begun("right-straighter");
    let answer = next(&record, &[]);
    let words = |key: &str| answer[key].as_str().unwrap().split_whitespace().count();
    assert!((1..=10).contains(&words("say")) && (1..=20).contains(&words("reason")), "{answer}");
    let choices = answer["choices"].as_array().unwrap();
    let nets: Vec<f64> = choices.iter().map(|one| number(&one["net_pins"])).collect();
    assert!(nets.len() >= 2 && nets[1..].is_sorted_by(|a, b| a >= b), "{nets:?}");
    let stay = choices.iter().find(|one| one["kind"] == "stay").expect("staying is always among them");
    assert_eq!((number(&stay["gain_pct"]["mean"]), &stay["line"]), (0.0, &answer["line"]));
    assert_eq!((answer["shots_read"].as_u64(), answer["lane"].as_u64()), (Some(0), Some(7)));
    // Nothing is random but by its seed.
    let still = |answer: &Value| (answer["say"].clone(), answer["choices"].clone());
    assert_eq!(still(&next(&record, &[])), still(&answer));
    let text = String::from_utf8(run(&["next", "--record", &record]).stdout).unwrap();
    assert!(text.starts_with(answer["say"].as_str().unwrap()) && text.contains("no promise"), "{text}");
    assert!(text.contains("\n2  "), "a second choice in\n{text}");
}

#[test]
fn law_what_practice_taught_holds_for_the_block_after_it() {
    let (folder, record) = begun("right-straighter");
    let start = |event: &str, counting: &str| {
        let event = folder.path().join(event).to_string_lossy().into_owned();
        json(&["start", "--json", "--event", &event, "--record", &record, "--counting", counting]);
    };
    let board = |answer: &Value| number(&answer["comes_in_board"]["mean"]);
    start("event.toml", "traditional");
    let before = next(&record, &[]);
    start("event.toml", "nothing");
    for _ in 0..3 {
        log(&record, &["4", "--hit", "high"]);
    }
    start("event.toml", "traditional");
    let after = next(&record, &[]);
    assert_eq!((after["shots_read"].as_u64(), before["shots_read"].as_u64()), (Some(3), Some(0)));
    assert!(board(&after) > board(&before) + 0.2, "{} {}", board(&after), board(&before));
    // The belief kept beside the record leads on from there.
    log(&record, &["X"]);
    assert_eq!(next(&record, &["--lane", "7"])["shots_read"].as_u64(), Some(4));
    // On other lanes it tells nothing.
    let other = EVENT.replace("HAND", "right-straighter").replace("lanes = [7, 8]", "lanes = [9, 10]");
    fs::write(folder.path().join("other.toml"), other).unwrap();
    start("event.toml", "nothing");
    log(&record, &["4", "--hit", "high"]);
    start("other.toml", "traditional");
    assert_eq!(next(&record, &[])["shots_read"].as_u64(), Some(0));
}

#[test]
fn law_what_hits_high_is_believed_to_come_in_high_and_what_hits_light_light() {
    // On the line found, which is meant for the pocket.
    let event = EVENT.replace("HAND", "right-straighter").replace("line = { laydown = 20, arrows = 13 }\n", "");
    let comes_in = |shots: usize, pins: &str, hit: &str| {
        let (_folder, record) = begun_with(&event);
        for _ in 0..shots {
            log(&record, &[pins, "--hit", hit]);
            log(&record, &["none"]);
        }
        let answer = next(&record, &["--lane", "7"]);
        assert_eq!((answer["shots_read"].as_u64(), answer["shots_unread"].as_u64()), (Some(shots as u64), Some(0)));
        number(&answer["comes_in_board"]["mean"])
    };
    let (before, high, light) = (comes_in(0, "", ""), comes_in(3, "4", "high"), comes_in(3, "10", "light"));
    assert!(high > before && before > light, "high {high}, before {before}, light {light}");
}

#[test]
fn law_what_stands_is_a_spare() {
    for (bowler, pins) in [("right-straighter", "10"), ("left-handed", "7")] {
        let (_folder, record) = begun(bowler);
        log(&record, &[pins]);
        let answer = next(&record, &[]);
        assert_eq!((answer["ball"].clone(), answer["pins"][0].as_u64()), ("spare".into(), pins.parse().ok()));
        let best = &answer["spares"][0];
        assert!(number(&best["make_pct"]) > 50.0, "{answer}");
        let (laydown, arrows) = (number(&best["line"]["laydown"]), number(&best["line"]["arrows"]));
        assert!(laydown > arrows, "the corner pin of the hand's side is shot from inside: {best}");
        log(&record, &["all"]);
        assert!(next(&record, &[])["choices"].is_array(), "the frame is over");
    }
}

#[test]
fn law_a_move_changes_the_line_that_is_weighed() {
    let (_folder, record) = begun("right-straighter");
    json(&["move", "2", "1", "--json", "--record", &record]);
    let answer = next(&record, &[]);
    assert_eq!((number(&answer["line"]["laydown"]), number(&answer["line"]["arrows"])), (22.0, 14.0));
    assert_eq!(number(&next(&record, &["--lane", "8"])["line"]["laydown"]), 20.0, "the other lane stays");
}

#[test]
fn law_what_cannot_be_read_is_counted() {
    let (_folder, record) = begun("right-straighter");
    log(&record, &["foul"]);
    log(&record, &["none"]);
    log(&record, &["X", "--ball", "spare"]);
    log(&record, &["X", "--ball", "dull"]);
    let answer = next(&record, &[]);
    assert_eq!((answer["shots_read"].as_u64(), answer["shots_unread"].as_u64()), (Some(1), Some(2)), "{answer}");
}
