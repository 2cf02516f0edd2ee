//! At the lanes: a block is begun, shots are logged, taken back and put right; the sheet adds up and the record is carried elsewhere.

use std::fs;
use std::path::Path;
use std::process::Output;

use crate::answers::{json, number, run};
use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;

/// One bowler, one game, two balls: quick.
const EVENT: &str = r#"name = "club night"
practice_shots = 1
cut = { after_games = 4, pins = 760 }
[[pair]]
lanes = [7, 8]
patterns = ["short-32-flat", "house-40-walled"]
games = 1
[[bowler]]
file = "right-straighter"
bag = "bag.toml"
line = { laydown = 17, arrows = 11 }
[[bowler]]
file = "left-handed"
ball = "urethane-dull"
line = { laydown = 14, arrows = 9 }
"#;

/// Two balls, quick to look at.
const BAG: &str = include_str!("answers/two-balls.toml");

/// A folder with the event, the bag and the record.
struct Evening {
    folder: TempDir,
}

impl Evening {
    fn new() -> Self {
        let folder = TempDir::new().unwrap();
        fs::write(folder.path().join("event.toml"), EVENT).unwrap();
        fs::write(folder.path().join("bag.toml"), BAG).unwrap();
        Self { folder }
    }

    /// Begun on the event's pair.
    fn begun() -> Self {
        let evening = Self::new();
        evening.json(&["start", "--event", "event.toml"]);
        evening
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    fn run(&self, arguments: &[&str]) -> Output {
        let mut command = Command::cargo_bin("boardwise").unwrap();
        command.current_dir(self.path()).args(arguments).args(["--record", "a.record"]).output().unwrap()
    }

    fn json(&self, arguments: &[&str]) -> Value {
        let output = self.run(&[arguments, &["--json"]].concat());
        assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(answer["schema"], 1);
        answer
    }

    /// Everything in the record.
    fn whole(&self) -> String {
        let to = self.path().join("whole.json");
        let _ = fs::remove_file(&to);
        assert!(self.run(&["export", "whole.json"]).status.success());
        let text = fs::read_to_string(&to).unwrap();
        fs::remove_file(to).unwrap();
        text
    }

    /// Refused with status 2 and these words, nothing printed, nothing changed.
    fn refused(&self, arguments: &[&str], words: &[&str]) {
        let before = (self.whole(), names(self.path()));
        let output = self.run(arguments);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
        assert!(output.stdout.is_empty(), "{arguments:?} printed something");
        for word in words {
            assert!(said.contains(word), "\"{word}\" in\n{said}");
        }
        assert_eq!(before, (self.whole(), names(self.path())), "{arguments:?}");
    }
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn law_a_block_begins_with_ball_and_lines() {
    let evening = Evening::new();
    let answer = evening.json(&["start", "--event", "event.toml"]);
    assert_eq!(answer["block"], "club night, 7-8");
    assert_eq!(answer["bowler"], "right-handed, straighter");
    assert_eq!(answer["ball"], "dull", "the plastic ball is for spares");
    for (line, lane) in answer["lines"].as_array().unwrap().iter().zip([7, 8]) {
        assert_eq!(
            (line["lane"].as_u64(), number(&line["laydown"]), number(&line["arrows"])),
            (Some(lane), 17.0, 11.0)
        );
    }
    let next = &answer["next"];
    assert_eq!(
        (next["game"].as_u64(), next["frame"].as_u64(), next["ball_of_frame"].as_u64()),
        (Some(1), Some(1), Some(1))
    );
    assert_eq!(next["lane"], "club night, lane 7");
    assert_eq!(next["pins"].as_array().unwrap().len(), 10);
    assert_eq!(names(evening.path()), ["a.record", "bag.toml", "event.toml"]);
    // Again on the same oil: another block of the same people and things.
    assert_eq!(evening.json(&["start", "--event", "event.toml"])["block"], "club night, 7-8 (2)");
    let whole: Value = serde_json::from_str(&evening.whole()).unwrap();
    assert_eq!((whole["balls"].as_array().unwrap().len(), whole["blocks"].as_array().unwrap().len()), (2, 2));
}

#[test]
fn law_the_sheet_is_that_of_the_rules() {
    let evening = Evening::begun();
    // The example of the IBF Universal Playing Rules, ch. 2 [P], in pins that may stand so.
    let thrown = "X X X 3-6-10 10 7-9 X foul 10 X 7-8-9 X 10 all X X 4-7";
    let marks = ["X", "X", "X", "72", "8/", "F9", "X", "7/", "9-", "XX8"];
    let mut last = Value::Null;
    for pins in thrown.split(' ') {
        last = evening.json(&["log", pins]);
    }
    let frames = last["games"][0]["frames"].as_array().unwrap();
    assert_eq!(frames.iter().map(|frame| frame["signs"].as_str().unwrap()).collect::<Vec<_>>(), marks);
    let totals: Vec<f64> = frames.iter().map(|frame| number(&frame["cumulative"])).collect();
    assert_eq!(totals, [30.0, 57.0, 76.0, 85.0, 95.0, 104.0, 124.0, 143.0, 152.0, 180.0]);
    assert_eq!((last["next"].clone(), number(&last["maximum"])), (Value::Null, 180.0));
    // 760 - 180 in three games.
    assert!((number(&evening.json(&["sheet"])["cut"]["average_needed"]) - 580.0 / 3.0).abs() < 1e-9);
    evening.refused(&["log", "X"], &["PINS X", "game 1 of 1 is complete", "no eleventh frame", "boardwise start"]);
    evening.refused(&["next"], &["the block is complete"]);
}

#[test]
fn law_pins_that_were_down_cannot_stand() {
    let evening = Evening::begun();
    evening.json(&["log", "3-10"]);
    evening.refused(&["log", "7"], &["PINS 7", "game 1", "frame 1, ball 2", "7"]);
    evening.refused(&["fix", "1", "11"], &["PINS 11", "pins are numbered 1 to 10"]);
    evening.json(&["log", "10"]);
    // The ten pin could not stand after a strike.
    evening.refused(&["fix", "1", "7"], &["PINS 7", "frame 1, ball 2", "10"]);
}

#[test]
fn law_lanes_alternate_and_balls_stay_in_the_hand() {
    let evening = Evening::begun();
    let lane = |answer: &Value| answer["shot"]["lane"].as_str().unwrap().rsplit(' ').next().unwrap().to_owned();
    let ball = |answer: &Value| answer["shot"]["ball"].as_str().unwrap().to_owned();
    let one = evening.json(&["log", "10"]);
    let two = evening.json(&["log", "none", "--ball", "spare"]);
    let three = evening.json(&["log", "X", "--ball", "spare"]);
    let four = evening.json(&["log", "X", "--lane", "8"]);
    let five = evening.json(&["log", "X", "--ball", "dull", "--hit", "high", "--felt", "slow", "--breakpoint", "6"]);
    let all = [&one, &two, &three, &four, &five];
    assert_eq!(all.map(lane), ["7", "7", "8", "8", "8"], "only the fourth is on another lane than its turn");
    assert_eq!(all.map(ball), ["dull", "spare", "spare", "spare", "dull"]);
    assert_eq!((&five["shot"]["hit"], &five["shot"]["felt"]), (&"high".into(), &"slow".into()));
    assert_eq!(number(&five["shot"]["breakpoint_board"]), 6.0);
}

#[test]
fn law_what_was_logged_is_taken_back_as_it_came() {
    let evening = Evening::begun();
    evening.json(&["log", "10"]);
    let spare = evening.json(&["log", "none"]);
    evening.json(&["log", "X", "--ball", "spare", "--note", "by mistake"]);
    let back = evening.json(&["undo"]);
    assert_eq!((&back["games"], &back["shots"], &back["shot"]), (&spare["games"], &spare["shots"], &Value::Null));
    // The change of ball went with the shot.
    assert_eq!(evening.json(&["log", "X"])["shot"]["ball"], "dull");
    let fixed = evening.json(&["fix", "1", "7-10", "--hit", "light"]);
    assert_eq!(fixed["games"][0]["frames"][0]["signs"], "8/");
    assert_eq!((&fixed["shot"]["hit"], &fixed["shot"]["shot"]), (&"light".into(), &1.into()));
    assert_eq!(evening.json(&["undo"])["games"][0]["frames"][0]["signs"], "9/");
    assert_eq!(evening.json(&["undo"])["shots"], 2);
    evening.json(&["undo"]);
    assert_eq!(evening.json(&["undo"])["shots"], 0);
    evening.refused(&["undo"], &["nothing was logged in this block"]);
}

#[test]
fn law_a_key_logs_a_shot_once() {
    let evening = Evening::begun();
    let first = evening.json(&["log", "10", "--ball", "spare", "--key", "a1"]);
    let again = evening.json(&["log", "10", "--ball", "spare", "--key", "a1"]);
    assert_eq!((&first["did"], &again["did"]), (&"logged".into(), &"logged before".into()));
    assert_eq!((&first["shot"], &first["next"]), (&again["shot"], &again["next"]));
    evening.refused(&["log", "7", "--key", "a1"], &["--key a1", "something else"]);
    evening.refused(&["log", "10", "--key", "a/b"], &["--key a/b", "no /"]);
}

#[test]
fn law_the_sheet_tells_what_a_target_needs() {
    let evening = Evening::begun();
    for pins in ["X", "10", "none", "X", "10", "none", "X", "10", "none", "X", "10", "none", "X"] {
        evening.json(&["log", pins]);
    }
    // As in score's example: X 9/ X 9/ X 9/ X 9/ X.
    let forecast = evening.json(&["sheet", "--target", "200"])["forecast"].clone();
    assert_eq!(forecast["target"]["strikes_then_spares"], 1);
    assert_eq!(evening.json(&["sheet", "--target", "170"])["forecast"]["target"]["strikes_then_spares"], "reached");
    let out = evening.json(&["sheet", "--target", "221"]);
    assert_eq!(out["forecast"]["target"]["strikes_then_spares"], "out-of-reach");
    assert_eq!(number(&out["forecast"]["target"]["chance_pct"]), 0.0);
    let all: f64 = forecast["chances_pct"].as_array().unwrap().iter().map(number).sum();
    assert!((all - 100.0).abs() < 1e-6);
    assert!(number(&forecast["low"]) <= number(&forecast["median"]) && number(&forecast["high"]) <= 220.0);
    assert_eq!(out["deliveries"].as_array().unwrap().len(), 13);
    let words = String::from_utf8(evening.run(&["sheet", "--target", "200"]).stdout).unwrap();
    for said in ["at most 220", "one strike", "frame 10, ball 1 at a full rack", "lane 8"] {
        assert!(words.contains(said), "{said} in\n{words}");
    }
    assert_eq!(number(&out["cut"]["average_needed"]), 190.0, "no game is over yet");
    let other = evening.json(&["sheet", "--block", "club night, 7-8"]);
    assert_eq!(other["games"], out["games"]);
    evening.refused(&["sheet", "--block", "club night, 7-9"], &["--block", "did you mean \"club night, 7-8\""]);
}

#[test]
fn law_a_move_is_where_the_bowler_stands_from_then_on() {
    let evening = Evening::begun();
    let moved = evening.json(&["move", "2", "1.5"]);
    let line = &moved["lines"][0];
    assert_eq!((line["lane"].as_u64(), number(&line["laydown"]), number(&line["arrows"])), (Some(7), 19.0, 12.5));
    assert_eq!(moved["lines"].as_array().unwrap().len(), 1);
    let both = evening.json(&["move", "-1", "-1", "--both", "--ball", "spare"]);
    let laydowns: Vec<f64> = both["lines"].as_array().unwrap().iter().map(|line| number(&line["laydown"])).collect();
    assert_eq!((laydowns, &both["ball"]), (vec![18.0, 16.0], &"spare".into()));
    evening.json(&["undo"]);
    let outright = evening.json(&["move", "--line", "24", "12.5", "--lane", "8"]);
    assert_eq!((&outright["ball"], number(&outright["lines"][0]["laydown"])), (&"dull".into(), 24.0));
    evening.refused(&["move"], &["FEET EYES", "--line"]);
    evening.refused(&["move", "2", "40"], &["EYES 40", "-20 to 20"]);
    evening.refused(&["move", "--line", "24", "41"], &["--line 41", "0.5 to 39.5"]);
    evening.refused(&["move", "20", "15", "--lane", "8"], &["FEET EYES 20 15", "laydown 44"]);
    evening.refused(&["move", "2", "nan"], &["EYES"]);
    evening.refused(&["move", "2", "1", "--speed", "30"], &["--speed 30", "bowler's file"]);
    evening.refused(&["move", "2", "1", "--lane", "9"], &["--lane 9", "lanes 7 and 8"]);
    evening.refused(&["move", "--ball", "dul"], &["\"dul\"", "did you mean \"dull\""]);
}

#[test]
fn law_bad_shots_are_told_by_flag_and_value() {
    let evening = Evening::begun();
    for (arguments, words) in [
        (&["log", "11"][..], &["PINS 11", "numbered 1 to 10"][..]),
        (&["log", "3-3"], &["PINS 3-3", "pin 3 is named twice"]),
        (&["log", "strike"], &["PINS strike", "none or X for all down"]),
        (&["log", ""], &["PINS", "no pins named"]),
        (&["log", "X", "--hit", "poket"], &["--hit poket", "did you mean \"pocket\""]),
        (&["log", "X", "--felt", "hand-lat"], &["--felt hand-lat", "did you mean \"hand-late\""]),
        (&["log", "X", "--arrows", "40"], &["--arrows 40", "0.5 to 39.5"]),
        (&["log", "X", "--breakpoint", "-3"], &["--breakpoint -3", "0.5 to 39.5"]),
        (&["log", "X", "--arrows", "NaN"], &["--arrows NaN"]),
        (&["log", "X", "--lane", "9"], &["--lane 9", "lanes 7 and 8"]),
        (&["log", "X", "--ball", "dul"], &["\"dul\"", "did you mean \"dull\""]),
        (&["log", "X", "--note", " "], &["a text of 1 characters"]),
        (&["fix", "1", "X"], &["N 1", "no shot has been logged"]),
        (&["fix", "0", "X"], &["N 0"]),
        (&["sheet", "--target", "301"], &["301"]),
        (&["next", "--lane", "1"], &["--lane 1", "lanes 7 and 8"]),
        (&["start", "--event", "event.toml", "--pair", "2"], &["--pair 2", "pairs 1 to 1"]),
        (&["start", "--event", "event.toml", "--ball", "spare"], &["--ball spare", "for spares"]),
        (
            &["start", "--event", "event.toml", "--counting", "nothin"],
            &["--counting nothin", "did you mean \"nothing\""],
        ),
    ] {
        evening.refused(arguments, words);
    }
}

#[test]
fn law_a_name_too_long_for_the_record_is_told() {
    let evening = Evening::begun();
    fs::write(evening.path().join("long.toml"), EVENT.replace("club night", &"club night ".repeat(8))).unwrap();
    evening.refused(&["start", "--event", "long.toml"], &["--event", "give the event one of 1 to 40 characters"]);
}

#[test]
fn law_practice_counts_nothing_and_stays_on_its_lane() {
    let evening = Evening::new();
    evening.json(&["start", "--event", "event.toml", "--counting", "nothing"]);
    for pins in ["10", "all", "X"] {
        let answer = evening.json(&["log", pins]);
        assert_eq!((&answer["shot"]["lane"], &answer["score"]), (&"club night, lane 7".into(), &Value::Null));
        assert_eq!(answer["next"]["pins"].as_array().unwrap().len(), 10, "every ball at a full rack");
    }
    assert_eq!(evening.json(&["log", "7-10", "--lane", "8"])["shot"]["lane"], "club night, lane 8");
    let sheet = evening.json(&["sheet"]);
    assert_eq!((&sheet["forecast"], &sheet["games"]), (&Value::Null, &serde_json::json!([])));
    let words = String::from_utf8(evening.run(&["sheet"]).stdout).unwrap();
    assert!(words.contains("all ten stand") && words.contains("7-10 stand "), "{words}");
}

#[test]
fn law_where_there_is_nothing_it_is_said() {
    let evening = Evening::new();
    for arguments in [&["log", "X"][..], &["undo"], &["sheet"], &["next"], &["move", "1", "1"], &["export", "a.json"]] {
        let output = evening.run(arguments);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(said.contains("--record a.record") && said.contains("`boardwise start` begins one"), "{said}");
    }
    fs::write(evening.path().join("a.record"), "no record at all, and longer than a header would be. ".repeat(20))
        .unwrap();
    let output = evening.run(&["start", "--event", "event.toml"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("is no record"));
    assert_eq!(names(evening.path()), ["a.record", "bag.toml", "event.toml"], "nothing half written");
    let mut whole: Value = serde_json::from_str(&Evening::begun().whole()).unwrap();
    // As somebody writes one by hand: of a schema without a digest.
    whole["schema"] = 2.into();
    whole.as_object_mut().unwrap().remove("digest");
    let begun = whole["facts"].as_array().unwrap().iter().position(|fact| fact["kind"] == "begun").unwrap();
    let without = |bad: &mut Value| drop(bad["facts"].as_array_mut().unwrap().remove(begun));
    let imported = |bad: &Value| {
        let lost = Evening::new();
        fs::write(lost.path().join("bad.json"), bad.to_string()).unwrap();
        (lost.json(&["import", "bad.json"])["added"].as_u64().unwrap() > 0).then_some(lost).unwrap()
    };
    for (key, wrong, said) in [
        ("balls", serde_json::json!(["dull"]), "its balls are not those of its event"),
        ("pair", 3.into(), "begin the block again"),
        ("files", serde_json::json!({ "event": 1 }), "its event cannot be read"),
    ] {
        let mut bad = whole.clone();
        bad["facts"][begun]["opening"][key] = wrong;
        imported(&bad).refused(&["log", "X", "--ball", "spare"], &["--block", said]);
    }
    let mut bad = whole.clone();
    bad["facts"][begun]["opening"]["extra"] = 1.into();
    let there = Evening::begun();
    fs::write(there.path().join("bad.json"), bad.to_string()).unwrap();
    there.refused(&["import", "bad.json"], &["unknown field `extra`"]);
    let mut bad = whole.clone();
    without(&mut bad);
    imported(&bad).refused(&["log", "X"], &["no block has been begun here"]);
}

#[test]
fn law_later_commands_need_no_file_and_no_folder() {
    let evening = Evening::begun();
    fs::remove_file(evening.path().join("event.toml")).unwrap();
    fs::remove_file(evening.path().join("bag.toml")).unwrap();
    let record = evening.path().join("a.record");
    let record = record.to_string_lossy();
    // The tests themselves run in another folder.
    assert!(run(&["log", "10", "--record", &record]).status.success());
    assert_eq!(json(&["next", "--json", "--record", &record])["pins"], serde_json::json!([10]));
    assert_eq!(names(evening.path()), ["a.record"]);
}

#[test]
#[cfg(target_os = "linux")]
fn law_the_record_lies_where_the_system_says_and_nothing_elsewhere() {
    let evening = Evening::new();
    let (home, data) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let run = |arguments: &[&str], data: Option<&Path>| {
        let mut command = Command::cargo_bin("boardwise").unwrap();
        command.current_dir(evening.path()).env("HOME", home.path()).env_remove("XDG_DATA_HOME");
        if let Some(data) = data {
            command.env("XDG_DATA_HOME", data);
        }
        let output = command.args(arguments).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    };
    // Nothing is made for a record that is not there.
    let output = Command::cargo_bin("boardwise").unwrap().env("XDG_DATA_HOME", data.path()).args(["log", "X"]).output();
    assert_eq!((output.unwrap().status.code(), names(data.path())), (Some(2), Vec::new()));
    run(&["start", "--event", "event.toml"], Some(data.path()));
    run(&["log", "X"], Some(data.path()));
    assert_eq!(names(home.path()), Vec::<String>::new());
    assert_eq!(names(&data.path().join("boardwise")), ["boardwise.record"]);
    run(&["start", "--event", "event.toml"], None);
    assert!(home.path().join(".local/share/boardwise/boardwise.record").is_file());
    assert_eq!(names(evening.path()), ["bag.toml", "event.toml"]);
}

#[test]
fn law_a_surface_worked_on_between_blocks_is_logged() {
    let evening = Evening::begun();
    fs::write(evening.path().join("bag.toml"), BAG.replace("grit = 1000", "grit = 500")).unwrap();
    evening.json(&["start", "--event", "event.toml"]);
    let facts = |evening: &Evening| {
        let whole: Value = serde_json::from_str(&evening.whole()).unwrap();
        let facts = whole["facts"].as_array().unwrap().clone();
        facts.into_iter().filter(|fact| fact["kind"] == "surface").collect::<Vec<_>>()
    };
    let worked = facts(&evening);
    assert_eq!((worked.len(), number(&worked[0]["grit"]), &worked[0]["ball"]), (1, 500.0, &"dull".into()));
    evening.json(&["start", "--event", "event.toml"]);
    assert_eq!(facts(&evening).len(), 1, "nothing more was done");
    fs::write(evening.path().join("bag.toml"), BAG.replace("\"reactive\"", "\"urethane\"")).unwrap();
    evening.refused(&["start", "--event", "event.toml"], &["--bag dull", "another cover"]);
}

#[test]
fn law_what_is_exported_is_imported_whole_or_not_at_all() {
    let evening = Evening::begun();
    for pins in ["X", "10", "none"] {
        evening.json(&["log", pins, "--note", "ä, \"quoted\""]);
    }
    let whole = evening.whole();
    evening.json(&["export", "all.json"]);
    evening.refused(&["export", "all.json"], &["FILE all.json", "already"]);
    evening.refused(&["export", "none/all.json"], &["FILE none/all.json", "folder does not exist"]);
    evening.json(&["export", "all.json", "--force"]);
    let read = |name: &str| fs::read_to_string(evening.path().join(name)).unwrap();
    evening.json(&["export", "by-flag", "--shots"]);
    evening.json(&["export", "by-name.CSV"]);
    assert!(read("by-flag").starts_with("key,at,block") && read("by-flag") == read("by-name.CSV"));
    let other = Evening::new();
    fs::copy(evening.path().join("all.json"), other.path().join("all.json")).unwrap();
    let facts = number(&other.json(&["import", "all.json"])["added"]);
    assert_eq!(other.whole(), whole);
    assert_eq!(number(&other.json(&["import", "all.json"])["again"]), facts);
    let shots = "block,bowler,standing\n\"club night, 7-8\",\"right-handed, straighter\",10\n";
    let write = |text: &str| fs::write(other.path().join("shots.csv"), text).unwrap();
    write(shots);
    assert_eq!(other.json(&["import", "shots.csv", "--shots"])["added"], 1);
    assert_eq!(other.json(&["import", "shots.csv"])["again"], 1);
    write(&shots.replace("standing", "standin"));
    other.refused(&["import", "shots.csv", "--shots"], &["FILE shots.csv", "line 1", "did you mean \"standing\""]);
    let bad =
        format!("{shots}club,\"right-handed, straighter\",none\n\"club night, 7-8\",\"right-handed, straighter\",12\n");
    write(&bad);
    other.refused(&["import", "shots.csv", "--shots", "--batch", "b"], &["2 wrong", "line 3", "line 4", "`12`"]);
    other.refused(&["import", "all.json", "--shots"], &["FILE all.json"]);
    fs::copy(other.path().join("shots.csv"), other.path().join("shots.txt")).unwrap();
    other.refused(&["import", "shots.txt"], &["FILE shots.txt", "JSON"]);
    other.refused(&["import", "none.json"], &["none.json", "cannot be read"]);
    // An import that fails begins no record.
    let none = Evening::new();
    fs::write(none.path().join("bad.json"), "{\"schema\": 9}").unwrap();
    assert_eq!(none.run(&["import", "bad.json"]).status.code(), Some(2));
    assert_eq!(names(none.path()), ["bad.json", "bag.toml", "event.toml"]);
}

#[test]
fn law_a_measured_shot_is_logged_once_with_its_errors_and_travels_with_the_record() {
    let evening = Evening::begun();
    fs::write(evening.path().join("throw.json"), include_str!("answers/throw.json")).unwrap();
    let told = ["log", "10", "--hit", "pocket", "--measured", "throw.json"];
    let answer = evening.json(&told);
    assert_eq!(answer["did"], "logged");
    let forecast = &answer["forecast"];
    assert_eq!((forecast["shots"].as_u64(), forecast["measured"].as_u64()), (Some(1), Some(1)));
    // An invented film need not agree with the lane, so nothing is asked of how much surer it became.
    assert!(number(&forecast["now_boards"]) > 0.0 && number(&forecast["before_boards"]) > 0.0, "{forecast}");
    // The same film again adds nothing, and other pins on it are refused.
    assert_eq!(evening.json(&told)["did"], "logged before");
    let other = evening.run(&["log", "7", "--hit", "pocket", "--measured", "throw.json"]);
    assert!(!other.status.success());
    let sheet = evening.json(&["sheet"]);
    assert_eq!(sheet["deliveries"].as_array().unwrap().len(), 1);
    assert_eq!(sheet["deliveries"][0]["arrows_board"], 11.8);
    evening.json(&["fix", "1", "10", "--felt", "good"]);
    evening.json(&["export", "all.json"]);
    let export = fs::read_to_string(evening.path().join("all.json")).unwrap();
    assert_eq!(export.matches(r#""entry_board":{"value":17.1,"error":0.2}"#).count(), 2, "the shot and its correction");
    // What no such answer has, and what was measured for the other hand.
    for (from, to, word) in [("\"misfit\"", "\"fit\"", "fit"), ("\"right\"", "\"left\"", "other hand")] {
        let text = include_str!("answers/throw.json").replacen(from, to, 1);
        fs::write(evening.path().join("wrong.json"), text).unwrap();
        let output = evening.run(&["log", "X", "--measured", "wrong.json"]);
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(!output.status.success() && said.contains("--measured") && said.contains(word), "{said}");
    }
}
