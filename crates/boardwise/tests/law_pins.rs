//! What `carry`, `leave`, `line` and `throw` say of pins. The tables are replaced as a whole: only what any good table
//! must show is asked for.

use std::fs;

use crate::answers::{json, number, run};
use serde_json::Value;
use tempfile::TempDir;

/// Strikes and leaves of an answer, which must be whole and in order.
fn whole(answer: &Value) -> f64 {
    let leaves = answer["leaves"].as_array().unwrap();
    let shares: Vec<f64> = leaves.iter().map(|leave| number(&leave["pct"])).collect();
    assert!(shares.is_sorted_by(|a, b| a >= b), "commonest first");
    let strike = number(&answer["strike_pct"]);
    assert!((strike + shares.iter().sum::<f64>() - 100.0).abs() < 1e-6, "{answer}");
    assert!(leaves.iter().all(|leave| !leave["pins"].as_array().unwrap().is_empty() && leave["split"].is_boolean()));
    strike
}

#[test]
fn law_carry_says_whole_what_an_entry_leaves() {
    let pocket = json(&["carry", "--json"]);
    assert!(whole(&pocket) > 60.0, "the pocket carries: {pocket}");
    assert_eq!(pocket["source"], "table");
    assert!(number(&pocket["racks"]) >= 1.0 && pocket["beyond_table"] == false);
    assert!(whole(&json(&["carry", "--json", "--board", "5"])) < 1.0, "past the head pin nothing strikes");
    let thrown = json(&["carry", "--json", "--racks", "50", "--board", "19.5", "--seed", "3"]);
    whole(&thrown);
    assert_eq!((number(&thrown["racks"]), &thrown["source"]), (50.0, &"racks".into()));
    assert_eq!(thrown, json(&["carry", "--json", "--racks", "50", "--board", "19.5", "--seed", "3"]), "repeatable");
    let split = number(&thrown["split_pct"]);
    let listed: f64 =
        thrown["leaves"].as_array().unwrap().iter().filter(|l| l["split"] == true).map(|l| number(&l["pct"])).sum();
    assert!((split - listed).abs() < 1e-9);
}

#[test]
fn law_a_left_hander_leaves_the_mirror_image() {
    let asked = |bowler| json(&["carry", "--json", "--board", "16.2", "--bowler", bowler]);
    let (right, left) = (asked("right-straighter"), asked("left-handed"));
    assert_eq!((&right["boards_from"], &left["boards_from"]), (&"right".into(), &"left".into()));
    assert!((number(&right["strike_pct"]) - number(&left["strike_pct"])).abs() < 1e-9);
    let mirror = [1, 3, 2, 6, 5, 4, 10, 9, 8, 7];
    for one in right["leaves"].as_array().unwrap() {
        let mut pins: Vec<u64> =
            one["pins"].as_array().unwrap().iter().map(|pin| mirror[pin.as_u64().unwrap() as usize - 1]).collect();
        pins.sort_unstable();
        let other = left["leaves"].as_array().unwrap().iter().find(|leave| leave["pins"] == serde_json::json!(pins));
        assert!((number(&other.unwrap()["pct"]) - number(&one["pct"])).abs() < 1e-9, "{one}");
    }
}

#[test]
fn law_a_leave_is_named_made_and_missed() {
    for (pins, split, washout, kind) in [
        ("10", false, false, "single"),
        ("10-3", true, false, "split"),
        ("1-2-10", false, true, "washout"),
        ("2-8", false, false, "double wood"),
    ] {
        let answer = json(&["leave", pins, "--json", "--racks", "60", "--lines", "2"]);
        assert_eq!(
            (&answer["split"], &answer["washout"], &answer["kind"]),
            (&split.into(), &washout.into(), &kind.into())
        );
        let lines = answer["lines"].as_array().unwrap();
        assert!((1..=2).contains(&lines.len()));
        let makes: Vec<f64> = lines.iter().map(|line| number(&line["make_pct"])).collect();
        assert!(makes.is_sorted_by(|a, b| a >= b) && makes[0] > 20.0);
        assert_eq!(lines[0]["make_pct"], answer["make_pct"]);
        assert!(lines.iter().all(|line| line["ball"] == "plastic"), "the bag's spare ball");
        for line in lines {
            assert!(
                (0.5..=39.5).contains(&number(&line["laydown"]))
                    && (0.5..=39.5).contains(&number(&line["arrows_board"]))
            );
        }
        let after = answer["after"].as_array().unwrap();
        assert!((after.iter().map(|rest| number(&rest["pct"])).sum::<f64>() - 100.0).abs() < 1e-6);
        assert_eq!(number(&answer["racks"]), 60.0);
    }
    let corner = json(&["leave", "--json", "--racks", "20"]);
    assert_eq!(corner["pins"], serde_json::json!([10]), "the 10 pin unless another is named");
    assert!(number(&json(&["leave", "7-10", "--json", "--racks", "20"])["make_pct"]) < 10.0);
}

#[test]
fn law_a_mirrored_bowler_makes_the_mirrored_leave() {
    let folder = TempDir::new().unwrap();
    let put = |name: &str, text: String| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let answers = [("right", "3-10"), ("left", "2-7")].map(|(side, pins)| {
        let lane = put(
            &format!("lane-{side}.toml"),
            format!("name = \"x\"\nboards_from = \"{side}\"\n[[strokes]]\nboards = [5, 30]\nfeet = [0, 38]\nmicrolitres = 20000\ndirection = \"out\"\n"),
        );
        let bowler = put(
            &format!("bowler-{side}.toml"),
            format!("hand = \"{side}\"\nspeed_mph = 18\nrev_rate_rpm = 300\nrotation_deg = 35\ntilt_deg = 12\n"),
        );
        json(&["leave", pins, "--json", "--racks", "50", "--lane", &lane, "--bowler", &bowler])
    });
    assert_eq!(answers[0]["lines"], answers[1]["lines"]);
    for (one, other) in answers[0]["after"].as_array().unwrap().iter().zip(answers[1]["after"].as_array().unwrap()) {
        assert_eq!(one["pct"], other["pct"]);
    }
}

#[test]
fn law_several_balls_are_compared_at_a_leave() {
    let answer = json(&[
        "leave",
        "10",
        "--json",
        "--racks",
        "20",
        "--lines",
        "4",
        "--ball",
        "plastic",
        "--ball",
        "strong-solid",
    ]);
    let balls: Vec<&str> =
        answer["lines"].as_array().unwrap().iter().map(|line| line["ball"].as_str().unwrap()).collect();
    assert!(balls.contains(&"plastic") && balls[0] == "plastic", "the straight ball makes the corner pin: {balls:?}");
}

#[test]
fn law_impossible_pins_and_entries_are_refused_with_the_reason() {
    for (arguments, says) in [
        (&["leave", "3-11"][..], "11"),
        (&["leave", "0"], "0"),
        (&["leave", "3-3"], "named twice"),
        (&["leave", "none"], "no pin stands"),
        (&["leave", ""], "no pins named"),
        (&["leave", "three"], "three"),
        (&["leave", "10", "--lines", "0"], "lines"),
        (&["leave", "10", "--racks", "5000"], "racks"),
        (&["carry", "--board", "40.5"], "0.5 to 39.5"),
        (&["carry", "--board", "-3"], "0.5 to 39.5"),
        (&["carry", "--board", "nan"], "0.5 to 39.5"),
        (&["carry", "--angle", "75"], "-20 to 20"),
        (&["carry", "--speed", "2"], "5 to 40"),
        (&["carry", "--racks", "0"], "racks"),
        (&["carry", "--ball", "nothing-such"], "nothing-such"),
        (&["carry", "--map", "--moving"], "moving"),
    ] {
        let output = run(&[arguments, &["--json"]].concat());
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {told}");
        assert!(output.stdout.is_empty() && told.contains(says), "{arguments:?}: {told}");
    }
}

#[test]
fn law_pictures_of_pins_are_whole_files() {
    let folder = TempDir::new().unwrap();
    let (svg, png) = (folder.path().join("p.svg"), folder.path().join("p.png"));
    let files = ["--svg", svg.to_str().unwrap(), "--png", png.to_str().unwrap(), "--theme", "dark"];
    for command in [
        &["carry"][..],
        &["carry", "--map"],
        &["carry", "--moving", "--board", "5", "--angle", "-2"],
        &["leave", "3-10", "--racks", "5"],
        &["leave", "2-4-5", "--deck", "--racks", "5"],
        &["leave", "2-4-5", "--moving", "--racks", "5"],
        &["leave", "7-10", "--deck", "--racks", "5"],
    ] {
        let output = run(&[command, &files].concat());
        assert!(output.status.success(), "{command:?}: {}", String::from_utf8_lossy(&output.stderr));
        let text = fs::read_to_string(&svg).unwrap();
        assert!(text.trim_end().ends_with("</svg>") && text.len() < 200_000, "{command:?}: {}", text.len());
        assert_eq!(text.contains("@keyframes"), command.contains(&"--moving"), "{command:?}");
        assert!(fs::read(&png).unwrap().ends_with(b"IEND\xaeB`\x82"));
    }
}

#[test]
fn law_throw_says_what_it_leaves() {
    let answer = json(&["throw", "--json"]);
    whole(&answer);
    let gutter = json(&["throw", "--json", "--laydown", "3", "--launch", "4", "--ball", "plastic"]);
    assert_eq!(whole(&gutter), 0.0);
    assert_eq!(gutter["leaves"].as_array().unwrap().len(), 1);
    assert_eq!(gutter["leaves"][0]["pins"].as_array().unwrap().len(), 10);
}
