//! Bad input ends with status 2, says where and what is allowed, prints nothing on standard output and leaves no file.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use tempfile::TempDir;

/// A lane that is fine.
const LANE: &str = r#"name = "test"
smear_ft = 2
[[strokes]]
boards = [2, 38]
feet = [0, 32]
microlitres = 20000
direction = "out"
"#;

/// A bag that is fine.
const BAG: &str = r#"[[ball]]
id = "one"
weight_lb = 15
cover = "reactive"
surface = { grit = 2000 }
rg_in = 2.52
differential_in = 0.045
"#;

/// A bowler that is fine.
const BOWLER: &str = r#"hand = "right"
speed_mph = 18
rev_rate_rpm = 350
rotation_deg = 45
tilt_deg = 15
"#;

/// Runs `throw` in a folder with a file under test and a picture asked for.
fn throw(flag: &str, content: Option<&[u8]>) -> (TempDir, std::process::Output) {
    let folder = TempDir::new().unwrap();
    if let Some(content) = content {
        fs::write(folder.path().join("given.toml"), content).unwrap();
    }
    let output = Command::cargo_bin("boardwise")
        .unwrap()
        .current_dir(folder.path())
        .args(["throw", "--json", "--svg", "out.svg", "--png", "out.png", flag, "given.toml"])
        .output()
        .unwrap();
    (folder, output)
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// Asserts the refusal and returns what was said.
fn refused(flag: &str, content: Option<&[u8]>, said: &[&str]) -> String {
    let (folder, output) = throw(flag, content);
    let text = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{text}");
    assert!(output.stdout.is_empty(), "nothing may be printed: {text}");
    for part in said {
        assert!(text.contains(part), "{part:?} is missing in: {text}");
    }
    let left = names(folder.path());
    assert!(left.iter().all(|name| name == "given.toml"), "left behind: {left:?}");
    text
}

fn changed(good: &str, from: &str, to: &str) -> Vec<u8> {
    assert!(good.contains(from), "the test changes {from:?}, which is not there");
    good.replace(from, to).into_bytes()
}

#[test]
fn law_what_the_bad_files_were_made_from_is_good() {
    for (flag, good) in [("--lane", LANE), ("--bag", BAG), ("--bowler", BOWLER)] {
        let (folder, output) = throw(flag, Some(good.as_bytes()));
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        assert_eq!(names(folder.path()), ["given.toml", "out.png", "out.svg"]);
    }
}

#[test]
fn law_unknown_keys_are_refused_with_the_nearest() {
    refused(
        "--lane",
        Some(&changed(LANE, "smear_ft", "smear_feet")),
        &["given.toml, line 2", "smear_feet", "did you mean \"smear_ft\""],
    );
    refused("--lane", Some(&changed(LANE, "microlitres", "microliters")), &["line 6", "did you mean \"microlitres\""]);
    refused("--bag", Some(&changed(BAG, "rg_in", "rg_inch")), &["line 6", "did you mean \"rg_in\""]);
    refused("--bowler", Some(&changed(BOWLER, "tilt_deg", "tlt_deg")), &["line 5", "did you mean \"tilt_deg\""]);
}

#[test]
fn law_wrong_units_are_refused() {
    refused(
        "--bag",
        Some(&changed(BAG, "weight_lb = 15", "weight_kg = 6.8")),
        &["line 3", "weight_kg", "did you mean \"weight_lb\""],
    );
    refused("--bowler", Some(&changed(BOWLER, "speed_mph", "speed_kmh")), &["line 2", "did you mean \"speed_mph\""]);
    refused(
        "--lane",
        Some(&changed(LANE, "20000", "\"20 mL\"")),
        &["line 6", "the text \"20 mL\" stands where a number must stand"],
    );
    // Nanometres given as micrometres.
    refused("--bag", Some(&changed(BAG, "grit = 2000", "ra_um = 510")), &["line 5", "ra_um = 510", "0.01 to 20"]);
}

#[test]
fn law_places_off_the_lane_are_refused() {
    refused("--lane", Some(&changed(LANE, "[2, 38]", "[2, 41]")), &["line 4", "boards = 41", "1 to 39"]);
    refused("--lane", Some(&changed(LANE, "[0, 32]", "[0, 61]")), &["line 5", "feet = 61", "0 to 60"]);
    refused("--lane", Some(&changed(LANE, "[2, 38]", "[38, 2]")), &["line 4", "smaller"]);
    let readings = "name = \"r\"\nlength_ft = 70\n[[readings]]\nfeet = 5\nboards = [1, 39]\nunits = [5, 5]\n";
    refused("--lane", Some(readings.as_bytes()), &["line 2", "length_ft = 70", "1 to 60"]);
    let board = readings.replace("70", "40").replace("39]", "41]");
    refused("--lane", Some(board.as_bytes()), &["line 5", "boards = 41"]);
}

#[test]
fn law_impossible_values_are_refused() {
    refused("--lane", Some(&changed(LANE, "20000", "-1")), &["line 6", "microlitres = -1", "0 to 100000"]);
    refused(
        "--bag",
        Some(&changed(BAG, "weight_lb = 15", "weight_lb = 400")),
        &["line 3", "weight_lb = 400", "3 to 20 lb"],
    );
    refused("--bowler", Some(&changed(BOWLER, "= 350", "= 3500")), &["line 3", "rev_rate_rpm = 3500", "0 to 900"]);
    let range = format!("{BOWLER}[range]\nspeed_mph = [19, 20]\n");
    refused("--bowler", Some(range.as_bytes()), &["line 7", "range.speed_mph", "18"]);
    let spread = format!("{BOWLER}[spread]\ntilt_deg = -1\n");
    refused("--bowler", Some(spread.as_bytes()), &["line 7", "tilt_deg = -1", "0 to 30"]);
}

#[test]
fn law_what_is_not_a_number_is_refused() {
    for bad in ["nan", "inf", "-inf", "-nan"] {
        refused("--lane", Some(&changed(LANE, "20000", bad)), &["line 6", "microlitres"]);
        refused("--lane", Some(&changed(LANE, "[0, 32]", &format!("[0, {bad}]"))), &["line 5", "feet"]);
        refused("--lane", Some(&changed(LANE, "smear_ft = 2", &format!("smear_ft = {bad}"))), &["line 2", "smear_ft"]);
        refused("--bag", Some(&changed(BAG, "2.52", bad)), &["line 6", "rg_in"]);
        refused("--bag", Some(&changed(BAG, "grit = 2000", &format!("ra_um = {bad}"))), &["line 5", "ra_um"]);
        refused("--bowler", Some(&changed(BOWLER, "= 18", &format!("= {bad}"))), &["line 2", "speed_mph"]);
    }
}

#[test]
fn law_files_that_are_no_kit_files_are_refused() {
    for flag in ["--lane", "--bag", "--bowler"] {
        refused(flag, None, &["given.toml", "no such file", "the names are"]);
        refused(flag, Some(b""), &["given.toml", "empty", "boardwise demo"]);
        refused(flag, Some(b" \n\t\n"), &["given.toml", "empty"]);
        refused(flag, Some(b"\x7fELF\xff\xfe\x00"), &["given.toml", "not a text file"]);
        refused(flag, Some(b"name = \"a\0b\""), &["given.toml", "not a text file", "byte 9"]);
        refused(flag, Some(b"name = = 1"), &["given.toml, line 1"]);
        refused(flag, Some(&vec![b'#'; 1_000_001]), &["given.toml", "at most 1000000"]);
    }
    refused("--lane", Some(b"name = \"dry\""), &["no oil", "readings"]);
    refused("--bag", Some(b"# no ball"), &["empty", "at least one ball"]);
    refused("--bag", Some(format!("{BAG}{BAG}").as_bytes()), &["line 9", "two balls are called \"one\""]);
}

#[test]
fn law_strokes_that_overlap_are_fine_and_add_up() {
    let stroke = &LANE[LANE.find("[[").unwrap()..];
    let (folder, output) = throw("--lane", Some(format!("{LANE}{stroke}").as_bytes()));
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let read = Command::cargo_bin("boardwise")
        .unwrap()
        .args(["read", "--json", "--lane"])
        .arg(folder.path().join("given.toml"))
        .output()
        .unwrap();
    let read: serde_json::Value = serde_json::from_slice(&read.stdout).unwrap();
    assert!((read["volume_ml"].as_f64().unwrap() - 40.0).abs() < 1e-6, "{read}");
}

#[test]
fn law_values_outside_the_rules_warn_on_standard_error() {
    let (_, output) = throw("--bag", Some(&changed(BAG, "weight_lb = 15", "weight_lb = 16.5")));
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{said}");
    assert!(said.contains("warning: given.toml, line 3: weight_lb = 16.5 lb") && said.contains("3 to 16 lb"), "{said}");
    assert!(serde_json::from_slice::<serde_json::Value>(&output.stdout).is_ok());
}

#[test]
fn law_flags_are_checked_before_any_work() {
    for (flags, said) in [
        (["--speed", "99"], "5 to 40 mph"),
        (["--speed", "nan"], "5 to 40 mph"),
        (["--laydown", "41"], "0.5 to 39.5"),
        (["--arrows", "-3"], "0.5 to 39.5"),
        (["--launch", "20"], "-15 to 15"),
        (["--ball", "urethane-dul"], "did you mean \"urethane-dull\""),
        (["--ball", "house-ball"], "the bag has no ball of that name"),
        (["--lane", "house-41"], "the demo kit has no lane of that name"),
        (["--lane", "."], "cannot be read"),
        (["--svg", "no/such/folder.svg"], "the folder does not exist"),
        (["--png", "."], "names a folder"),
    ] {
        let folder = TempDir::new().unwrap();
        let output = Command::cargo_bin("boardwise")
            .unwrap()
            .current_dir(folder.path())
            .arg("throw")
            .args(flags)
            .output()
            .unwrap();
        let text = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{flags:?}: {text}");
        assert!(output.stdout.is_empty() && text.contains(said), "{flags:?}: {text}");
        assert_eq!(names(folder.path()), [""; 0]);
    }
}

#[test]
fn keep_messages_read_well() {
    insta::assert_snapshot!("unknown_key", refused("--lane", Some(&changed(LANE, "smear_ft", "smear_feet")), &[]));
    insta::assert_snapshot!(
        "too_heavy",
        refused("--bag", Some(&changed(BAG, "weight_lb = 15", "weight_lb = 400")), &[])
    );
}
