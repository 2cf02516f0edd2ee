//! After a block: what is told of it adds up.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;

/// One bowler, one game, two balls: quick.
const EVENT: &str = r#"name = "club night"
practice_shots = 0
[[pair]]
lanes = [7, 8]
patterns = ["house-40-walled", "house-40-walled"]
games = 1
[[bowler]]
file = "right-straighter"
bag = "bag.toml"
line = { laydown = 17, arrows = 11 }
"#;

fn run(folder: &Path, arguments: &[&str]) -> std::process::Output {
    let mut command = Command::cargo_bin("boardwise").unwrap();
    command.current_dir(folder).args(arguments).args(["--record", "a.record"]).output().unwrap()
}

fn json(folder: &Path, arguments: &[&str]) -> Value {
    let output = run(folder, &[arguments, &["--json"]].concat());
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// A folder with a block begun.
fn begun() -> TempDir {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("event.toml"), EVENT).unwrap();
    fs::write(folder.path().join("bag.toml"), include_str!("answers/two-balls.toml")).unwrap();
    json(folder.path(), &["start", "--event", "event.toml"]);
    folder
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

/// Score less par, less the terms.
fn rest(told: &Value) -> f64 {
    let terms: f64 = told["terms"].as_object().unwrap().values().map(|term| number(&term["pins"])).sum();
    number(&told["expected_score"]) - number(&told["par"]) - terms
}

#[test]
fn law_the_terms_of_a_block_add_up_to_score_less_par() {
    let evening = begun();
    let folder = evening.path();
    for shot in [
        &["X", "--hit", "pocket", "--arrows", "11"][..],
        &["10", "--hit", "light", "--arrows", "10", "--breakpoint", "6", "--felt", "fast"],
        &["none"],
        &["3-10"],
        &["3-10"],
        &["foul"],
        &["7", "--note", "slipped before"],
    ] {
        json(folder, &[&["log"], shot].concat());
    }
    let told = json(folder, &["after", "--pdf", "paper.pdf"]);
    let account = &told["account"];
    assert!(told["no_account"].is_null());
    assert!(rest(account).abs() < 1e-9, "{account}");
    let games = account["games"].as_array().unwrap();
    assert!(games.len() == 1 && rest(&games[0]).abs() < 1e-9);
    assert!((50.0..=300.0).contains(&number(&account["par"])), "{account}");
    // A foul and a split of which nothing but the pins was seen cannot be told apart.
    assert!(number(&account["terms"]["untold"]["pins"]) < 0.0);
    assert!(number(&account["terms"]["luck"]["pins"]) != 0.0);
    let figures = &told["figures"];
    assert_eq!([&figures["first_balls"], &figures["strikes"], &figures["spares_made"]], [4, 1, 1]);
    assert_eq!(told["notes"][0]["text"], "slipped before");
    assert_eq!(told["moves"].as_array().unwrap().len(), 2, "the line on each lane at first");
    assert!(fs::read(folder.join("paper.pdf")).unwrap().starts_with(b"%PDF-"));
    assert_eq!(json(folder, &["after"]), told, "the same again");
}

#[test]
fn law_a_block_whose_event_is_not_kept_says_so() {
    let evening = begun();
    let folder = evening.path();
    json(folder, &["log", "10"]);
    json(folder, &["start", "--event", "event.toml"]);
    let older = json(folder, &["after", "--block", "club night, 7-8"]);
    assert!(older["account"].is_null() && older["no_account"].as_str().unwrap().contains("event"), "{older}");
    assert_eq!(older["figures"]["first_balls"], 1);
    let blocks = older["blocks"].as_array().unwrap();
    assert_eq!((blocks.len(), &blocks[1]["block"]), (2, &older["block"]), "the one begun last stands first");
    let empty = json(folder, &["after"]);
    assert!(empty["account"].is_null() && empty["no_account"].as_str().unwrap().contains("no shot"), "{empty}");
}
