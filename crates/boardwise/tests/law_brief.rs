//! The brief says one thing: the same numbers, ball and line wherever they stand, and the ones that the first card begins with.

use std::fs;

use crate::answers::{json, run};
use serde_json::Value;
use tempfile::TempDir;

/// Two different lanes, another bowler, two balls: quick.
const EVENT: &str = r#"name = "club night"
practice_shots = 2
[[pair]]
lanes = [7, 8]
patterns = ["house-40-walled", "house-40-flat"]
games = 2
[[bowler]]
file = "right-rev-dominant"
bag = "bag.toml"
[[bowler]]
file = "left-handed"
ball = "urethane-dull"
line = { laydown = 14, arrows = 9 }
"#;

fn folder() -> (TempDir, String) {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("event.toml"), EVENT).unwrap();
    fs::write(folder.path().join("bag.toml"), include_str!("answers/two-balls.toml")).unwrap();
    let event = folder.path().join("event.toml").to_str().unwrap().to_owned();
    (folder, event)
}

/// A board as people read it.
fn half(board: &Value) -> String {
    let half = (2.0 * board.as_f64().unwrap()).round() / 2.0;
    if half.fract() == 0.0 { format!("{half:.0}") } else { format!("{half:.1}") }
}

#[test]
fn law_nothing_in_a_brief_contradicts_anything_else() {
    let (_folder, event) = folder();
    let brief = json(&["brief", "--event", &event, "--json"]);
    let starts = brief["starts"].as_array().unwrap();
    let verdict = brief["verdict"].as_str().unwrap();
    for (k, start) in starts.iter().enumerate() {
        // The ball to start with is the first to have, on the same line with the same chance.
        let (ball, fresh) = (&brief["balls"][0], &brief["balls"][0]["fresh"][k]);
        assert_eq!(start["ball"], ball["ball"]);
        for key in ["lane", "line", "slide_board", "look_board", "strike_pct"] {
            assert_eq!(start[key], fresh[key], "{key}");
        }
        // The verdict says that line, in half boards.
        let at = format!("slide {}, look at {}", half(&start["slide_board"]), half(&start["look_board"]));
        assert!(verdict.contains(&at) && verdict.contains(start["ball"].as_str().unwrap()), "{verdict}: {at}");
        // The first look starts from it: nobody has moved before.
        let stages = brief["ahead"][k]["stages"].as_array().unwrap();
        let mut before = start.clone();
        for stage in stages {
            let moved = |key: &str, of: &str| {
                let by = stage[of].as_f64().unwrap() - before[of].as_f64().unwrap();
                assert!((by - stage["moved"][key].as_f64().unwrap()).abs() < 1e-6, "{stage}");
            };
            moved("feet_boards", "slide_board");
            moved("eyes_boards", "look_board");
            let stays = stage["says"] == "Stay.";
            assert_eq!(stays, stage["line"] == before["line"] && stage["ball"] == before["ball"], "{stage}");
            before = stage.clone();
        }
        // Balls that take over are among those to have.
        let have: Vec<&Value> = brief["balls"].as_array().unwrap().iter().map(|one| &one["ball"]).collect();
        assert!(stages.iter().all(|stage| have.contains(&&stage["ball"])), "{stages:?}");
    }
    // Practice is thrown with the balls to have, with the usual hand, and its lines are theirs or parallel to them.
    for shot in brief["practice"].as_array().unwrap() {
        let balls = brief["balls"].as_array().unwrap();
        let ball = balls.iter().find(|one| one["ball"] == shot["ball"]).expect("a ball to have");
        let fresh = ball["fresh"].as_array().unwrap().iter().find(|one| one["lane"] == shot["lane"]).unwrap();
        let by = shot["line"]["laydown"].as_f64().unwrap() - fresh["line"]["laydown"].as_f64().unwrap();
        assert!([-3.0, 0.0, 3.0].iter().any(|feet| (by - feet).abs() < 0.011), "{by}");
        for key in ["speed_mph", "rotation_deg"] {
            assert_eq!(shot["line"][key], starts[0]["line"][key]);
        }
    }
}

#[test]
fn law_the_first_card_begins_where_the_brief_says_and_its_spares_are_made_alike() {
    let (folder, event) = folder();
    let brief = json(&["brief", "--event", &event, "--json"]);
    let record = folder.path().join("a.record");
    let record = record.to_str().unwrap();
    let begun = json(&["start", "--event", &event, "--record", record, "--json"]);
    assert_eq!(begun["ball"], brief["starts"][0]["ball"]);
    for (start, lane) in brief["starts"].as_array().unwrap().iter().zip(begun["lines"].as_array().unwrap()) {
        for key in ["laydown", "arrows", "speed_mph", "rotation_deg"] {
            assert_eq!(start["line"][key], lane[key], "{key}");
        }
    }
    // What stands on the lane whose turn it is.
    let spare = brief["spares"].as_array().unwrap().iter().find(|one| one["lane"] == 7).expect("a spare on lane 7");
    let pins: Vec<String> = spare["pins"].as_array().unwrap().iter().map(Value::to_string).collect();
    json(&["log", &pins.join("-"), "--record", record, "--json"]);
    let next = json(&["next", "--record", record, "--json"]);
    assert_eq!(next["lane"], 7);
    let line = |one: &Value| (one["laydown"].as_f64().unwrap(), one["arrows"].as_f64().unwrap());
    let ways: Vec<_> = next["spares"].as_array().unwrap().iter().map(|one| line(&one["line"])).collect();
    assert!(ways.contains(&line(&spare["line"])), "{ways:?} {spare}");
}

#[test]
fn law_the_same_seed_gives_the_same_brief_and_a_pair_that_is_none_is_refused() {
    let (folder, event) = folder();
    let ask = || {
        let mut brief = json(&["brief", "--event", &event, "--json"]);
        brief["seconds"] = Value::Null;
        brief
    };
    assert_eq!(ask(), ask());
    let refused = run(&["brief", "--event", &event, "--pair", "2"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("pairs 1 to 1"));
    let svg = folder.path().join("a.svg");
    let text = run(&["brief", "--event", &event, "--svg", svg.to_str().unwrap()]);
    let text = String::from_utf8(text.stdout).unwrap();
    for part in
        ["Start with", "What a miss does", "Balls to have", "Moves to expect", "Practice, in this order", "Spares"]
    {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert!(fs::read_to_string(svg).unwrap().starts_with("<svg"));
}

/// Of a bag of several balls the tables still run over to a second page (docs/brief.md).
#[cfg(feature = "pdf")]
#[test]
fn law_the_printed_brief_of_one_ball_and_a_bowler_alone_is_one_page() {
    let folder = TempDir::new().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (ball, event, pdf) = (at("ball.toml"), at("event.toml"), at("brief.pdf"));
    for asked in [
        vec!["new", "ball", &ball, "--cover", "pearl"],
        vec!["new", "event", &event, "--lanes", "3,4", "--bag", "ball.toml"],
        vec!["brief", "--event", &event, "--pdf", &pdf],
    ] {
        let done = run(&asked);
        assert!(done.status.success(), "{asked:?}: {}", String::from_utf8_lossy(&done.stderr));
    }
    let bytes = fs::read(&pdf).unwrap();
    let count = |what: &[u8]| bytes.windows(what.len()).filter(|part| *part == what).count();
    assert_eq!(count(b"/Type/Page") - count(b"/Type/Pages"), 1);
}
