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

/// What of a block's story follows from the block alone.
fn own(told: &Value) -> [&Value; 6] {
    assert!(told["account"].is_object(), "{told}");
    ["account", "games", "deliveries", "moves", "figures", "no_account"].map(|part| &told[part])
}

/// The record in another folder, with nothing beside it; without what its blocks began with, if asked, as a record of shots alone.
fn carried(folder: &Path, without_beginnings: bool) -> TempDir {
    let other = TempDir::new().unwrap();
    let whole = other.path().join("whole.json");
    assert!(run(folder, &["export", whole.to_str().unwrap()]).status.success());
    if without_beginnings {
        let mut all: Value = serde_json::from_str(&fs::read_to_string(&whole).unwrap()).unwrap();
        let facts = all["facts"].as_array_mut().unwrap();
        let before = facts.len();
        facts.retain(|fact| fact["kind"] != "begun");
        assert!(facts.len() < before);
        // As somebody writes one by hand: of a schema without a digest.
        all["schema"] = 2.into();
        all.as_object_mut().unwrap().remove("digest");
        fs::write(&whole, all.to_string()).unwrap();
    }
    json(other.path(), &["import", "whole.json"]);
    other
}

#[test]
fn law_an_older_block_has_the_account_that_it_had_as_the_last() {
    let evening = begun();
    let folder = evening.path();
    for shot in [&["X", "--hit", "pocket", "--arrows", "11"][..], &["10", "--hit", "light"], &["none"], &["3-10"]] {
        json(folder, &[&["log"], shot].concat());
    }
    json(folder, &["move", "1", "1"]);
    json(folder, &["log", "X"]);
    let last = json(folder, &["after"]);

    // Another event on other lanes with another bag and line, by the same bowler; the files of the first are gone.
    let event = EVENT
        .replace("club night", "second night")
        .replace("[7, 8]", "[9, 10]")
        .replace("house-40-walled", "short-32-flat");
    fs::write(folder.join("event.toml"), event.replace("laydown = 17", "laydown = 14")).unwrap();
    fs::write(folder.join("bag.toml"), include_str!("answers/two-balls.toml").replace("grit = 1000", "grit = 3000"))
        .unwrap();
    json(folder, &["start", "--event", "event.toml"]);
    json(folder, &["log", "7", "--ball", "spare"]);
    json(folder, &["move", "-2", "-1", "--both"]);
    for file in ["event.toml", "bag.toml"] {
        fs::remove_file(folder.join(file)).unwrap();
    }
    let older = json(folder, &["after", "--block", "club night, 7-8"]);
    assert_eq!(own(&older), own(&last));

    let elsewhere = carried(folder, false);
    let older = json(elsewhere.path(), &["after", "--block", "club night, 7-8"]);
    assert_eq!(own(&older), own(&last), "in another record, from an export");
}

#[test]
fn law_a_block_whose_event_is_not_kept_says_so() {
    let evening = begun();
    json(evening.path(), &["log", "10"]);
    let other = carried(evening.path(), true);
    let folder = other.path();
    for file in ["event.toml", "bag.toml"] {
        fs::copy(evening.path().join(file), folder.join(file)).unwrap();
    }
    json(folder, &["start", "--event", "event.toml"]);
    let older = json(folder, &["after", "--block", "club night, 7-8"]);
    assert!(older["account"].is_null() && older["no_account"].as_str().unwrap().contains("event"), "{older}");
    assert_eq!(older["figures"]["first_balls"], 1);
    let blocks = older["blocks"].as_array().unwrap();
    assert_eq!((blocks.len(), &blocks[1]["block"]), (2, &older["block"]), "the one begun last stands first");
    let empty = json(folder, &["after"]);
    assert!(empty["account"].is_null() && empty["no_account"].as_str().unwrap().contains("no shot"), "{empty}");
}
