//! `block` and `bag`: the demo works as it is, and an event that cannot be is told where and why.

use std::fs;

use crate::answers::{json, number, run};
use serde_json::Value;
use tempfile::TempDir;

/// An event that is fine, and quick.
const EVENT: &str = r#"name = "test"
practice_shots = 1
[[pair]]
lanes = [1, 2]
patterns = ["short-32-flat", "long-45-flat"]
games = 1
[[bowler]]
file = "right-straighter"
bag = "bag.toml"
[[bowler]]
file = "left-handed"
ball = "urethane-dull"
line = { laydown = 14, arrows = 9 }
"#;

/// Two balls, quick to look at.
const BAG: &str = include_str!("answers/two-balls.toml");

/// A folder with this event and the bag beside it; the event's path.
fn folder(event: &str) -> (TempDir, String) {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("bag.toml"), BAG).unwrap();
    let path = folder.path().join("event.toml");
    fs::write(&path, event).unwrap();
    let path = path.to_string_lossy().into_owned();
    (folder, path)
}

#[test]
fn law_a_block_tells_both_lanes_stage_by_stage() {
    let (_folder, event) = folder(EVENT);
    let answer = json(&["block", "--json", "--runs", "1", "--event", &event]);
    assert_eq!(answer["bowler"], "right-handed, straighter");
    let lanes = answer["pairs"][0]["lanes"].as_array().unwrap();
    assert_eq!(lanes.iter().map(|lane| lane["number"].as_u64().unwrap()).collect::<Vec<_>>(), [1, 2]);
    for lane in lanes {
        let stages = lane["stages"].as_array().unwrap();
        assert_eq!(stages.iter().map(|s| number(&s["games"])).collect::<Vec<_>>(), [0.0, 0.0, 0.5, 1.0]);
        let gone: Vec<f64> = stages.iter().map(|s| number(&s["film"]["heads_gone_pct"])).collect();
        assert!(gone[0] == 0.0 && gone[3] > gone[1] && gone[1] > 0.0, "{gone:?}");
        for stage in stages {
            let strikes = number(&stage["strike_pct"]["mean"]);
            assert!((1.0..100.0).contains(&strikes));
            // The spare ball stays out of it.
            assert_eq!(stage["line"]["ball"], "dull");
            assert!(number(&stage["line"]["laydown"]) > 0.0 && stage["moves"]["feet_boards"]["mean"].is_number());
        }
    }
    let words = run(&["block", "--runs", "1", "--event", &event]);
    let text = String::from_utf8(words.stdout).unwrap();
    for said in ["Lane 1", "Lane 2", "if you stay", "eye protection", "before practice", "no promise"] {
        assert!(text.contains(said), "{said} in\n{text}");
    }
}

#[test]
fn law_a_bag_is_ranked_and_a_set_is_chosen() {
    let (folder, event) = folder(EVENT);
    let three = BAG.replace("id = \"dull\"", "id = \"shiny\"").replace("grit = 1000", "grit = 4000");
    let bag = folder.path().join("two.toml");
    // The second file's plastic ball would be there twice.
    fs::write(&bag, format!("{BAG}{}", &three[..three.find("[[ball]]\nid = \"spare\"").unwrap()])).unwrap();
    let bag = bag.to_string_lossy();
    let asked =
        ["bag", "--json", "--event", &event, "--bag", &bag, "--take", "1", "--worlds", "1", "--surfaces", "500"];
    let answer = json(&asked);
    let balls = answer["balls"].as_array().unwrap();
    assert_eq!(balls.len(), 4, "two balls with their own surface and another");
    let scores: Vec<f64> = balls.iter().map(|ball| number(&ball["expected_score"])).collect();
    assert!(scores.is_sorted_by(|a, b| a >= b) && (100.0..300.0).contains(&scores[0]), "{scores:?}");
    let taken = answer["take"].as_array().unwrap();
    assert_eq!(taken.len(), 1);
    assert!(number(&answer["set_score"]) <= number(&answer["whole_bag_score"]));
    let home: Vec<&Value> = answer["leave_at_home"].as_array().unwrap().iter().collect();
    assert!(home.len() == 1 && home[0] != &taken[0]["ball"] && answer["spare_ball"] == "spare");
}

#[test]
fn law_practice_throws_teach_less_and_less_after_the_first_of_each_lane() {
    let (_folder, event) = folder(EVENT);
    let answer = json(&["practice", "--json", "--event", &event, "--shots", "5"]);
    let shots = answer["shots"].as_array().unwrap();
    assert_eq!(shots.len(), 5);
    assert_ne!(shots[0]["lane"], shots[1]["lane"], "each lane begins with the line to be bowled on it");
    let nats: Vec<f64> = shots.iter().map(|shot| number(&shot["teaches_nats"])).collect();
    assert!(
        nats[0] > 0.0 && nats[2..].is_sorted_by(|a, b| *a >= 0.9 * b),
        "less and less, but for what counts as level: {nats:?}"
    );
    assert!(shots.iter().all(|shot| shot["ball"] == "dull" && number(&shot["comes_in_board"]["sd"]) > 0.0));
    let words = run(&["practice", "--event", &event, "--shots", "1"]);
    let text = String::from_utf8(words.stdout).unwrap();
    for said in ["if higher", "if lighter", "foul line"] {
        assert!(text.contains(said), "{said} in\n{text}");
    }
    let none = run(&["practice", "--event", &event, "--shots", "0"]);
    assert_eq!(none.status.code(), Some(2));
}

/// The event with something replaced must be refused with all of these words.
fn refused(from: &str, to: &str, words: &[&str]) {
    assert!(EVENT.contains(from));
    let (_folder, event) = folder(&EVENT.replacen(from, to, 1));
    let output = run(&["block", "--event", &event]);
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert_eq!(output.stdout, b"");
    for word in words {
        assert!(said.contains(word), "\"{word}\" in\n{said}");
    }
}

#[test]
fn law_events_that_cannot_be_are_told_where_and_why() {
    let pair = "[[pair]]\nlanes = [1, 2]\npatterns = [\"short-32-flat\", \"long-45-flat\"]\ngames = 1\n";
    refused(pair, "", &["no lanes", "[[pair]]"]);
    refused("lanes = [1, 2]", "lanes = [1]", &["event.toml, line 4", "a pair has two"]);
    refused("lanes = [1, 2]", "lanes = [7, 7]", &["lane 7 twice"]);
    refused("[\"short-32-flat\", \"long-45-flat\"]", "[\"short-32-flat\"]", &["line 5", "1 given for two lanes"]);
    refused("long-45-flat", "long-45-flt", &["line 5", "long-45-flt", "long-45-flat"]);
    refused("left-handed", "right-straighter", &["line 11", "twice"]);
    refused("ball = \"urethane-dull\"", "ball = \"urethan\"", &["line 12", "urethan", "urethane-dull"]);
    refused("arrows = 9", "arrows = 41", &["line 13", "arrows = 41", "0.5 to 39.5"]);
    refused("games = 1", "games = 0", &["line 6", "games = 0", "1 to 100"]);
    refused("games = 1", "gamse = 1", &["gamse", "did you mean \"games\"?"]);
    refused("games = 1", "games = -1", &["line 6"]);
    refused("bag = \"bag.toml\"", "bag = \"none.toml\"", &["line 9", "none.toml"]);
    let without_bowlers = EVENT.find("[[bowler]]").unwrap();
    refused(&EVENT[without_bowlers..], "", &["no bowlers"]);
}

#[test]
fn law_more_balls_than_the_bag_has_are_refused() {
    let (_folder, event) = folder(EVENT);
    for take in ["0", "2"] {
        let output = run(&["bag", "--event", &event, "--take", take]);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(said.contains("must be 1 to 1") && said.contains("one of them for spares"), "{said}");
    }
    let output = run(&["bag", "--event", &event, "--surfaces", "rough"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("grits from 50"));
}
