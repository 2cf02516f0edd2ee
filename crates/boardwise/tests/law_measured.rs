//! A bowler's file proposed from the shots of a record that film measured.

use std::fs;

use crate::answers::{json, number, run};
use serde_json::{Value, json as value};
use tempfile::TempDir;

const EVENT: &str = "name = \"club night\"\n[[pair]]\nlanes = [7, 8]\npatterns = [\"house-40-walled\", \"house-40-walled\"]\ngames = 1\n\
    [[bowler]]\nfile = \"right-straighter\"\nbag = \"bag.toml\"\nline = { laydown = 17, arrows = 11 }\n";

/// Deviations with a mean of nothing.
const OFF: [f64; 12] = [-1.6, -1.2, -0.8, -0.7, -0.4, -0.2, 0.2, 0.4, 0.7, 0.8, 1.2, 1.6];

#[test]
fn law_twelve_measured_shots_propose_a_bowlers_file_and_eleven_do_not() {
    let folder = TempDir::new().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::write(at("event.toml"), EVENT).unwrap();
    fs::write(at("bag.toml"), include_str!("answers/two-balls.toml")).unwrap();
    let (record, film) = (at("a.record"), at("throw.json"));
    json(&["start", "--event", &at("event.toml"), "--counting", "nothing", "--record", &record, "--json"]);
    let propose = ["new", "bowler", "--from-record", "--record", &record];
    for (k, off) in OFF.iter().enumerate() {
        let output = run(&propose);
        assert_eq!(output.status.code(), Some(2), "{k} shots are too few");
        assert!(String::from_utf8(output.stderr).unwrap().contains(&format!("{k} first balls")));
        let mut answer: Value = serde_json::from_str(include_str!("answers/throw.json")).unwrap();
        answer["key"] = value!(format!("film-{k}"));
        // Half a mile of spread, read by a film that errs by a tenth.
        answer["release_mph"] = value!({ "value": 16.4 + 0.5 * off, "error": 0.1, "low": 16.0, "high": 17.0 });
        answer["tilt_deg"] = Value::Null;
        fs::write(&film, answer.to_string()).unwrap();
        let told = ["log", "10", "--lane", "7", "--measured", &film, "--record", &record, "--json"];
        assert_eq!(json(&told)["did"], "logged");
    }
    let output = run(&propose);
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success() && text.contains("speed_mph = 16.4"), "{text}");
    assert!(text.contains("tilt, degrees: not measured often enough; a sketch"), "{text}");
    assert!(!folder.path().join("bowler.toml").exists(), "printed, not written");
    // Written where a file is named, and read like any other.
    let own = at("own.toml");
    let written = [&["new", "bowler", &own][..], &propose[2..]].concat();
    assert!(run(&written).status.success());
    let text = fs::read_to_string(&own).unwrap();
    let spread = text.rsplit_once("speed_mph = ").unwrap().1.lines().next().unwrap().parse::<f64>().unwrap();
    // The twelve have a variance of 12/11 of a quarter; a hundredth of it is the film's.
    let square: f64 = OFF.iter().map(|off| off * off).sum::<f64>() / 11.0;
    assert!((spread - (0.25 * square - 0.01).sqrt()).abs() < 0.006, "{spread}: {text}");
    let thrown = json(&["throw", "--bowler", &own, "--json"]);
    assert_eq!(number(&thrown["release"]["speed_mph"]), 16.4);
}
