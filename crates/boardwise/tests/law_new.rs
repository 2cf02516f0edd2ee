//! The guided start without a terminal: flags in, a commented file that the other commands read.

use std::fs;

use crate::answers::{json, run};
use tempfile::TempDir;

fn told(arguments: &[&str]) -> (Option<i32>, String, String) {
    let output = run(arguments);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code(), text(output.stdout), text(output.stderr))
}

#[test]
fn law_lane_ball_bowler_and_event_are_written_and_read_again() {
    let folder = TempDir::new().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (lane, ball, bowler, event) = (at("lane.toml"), at("ball.toml"), at("bowler.toml"), at("event.toml"));
    let svg = at("lane.svg");
    let row = ["--row", "2L 2R 3 50 0 18 out", "--row", "10L 10R 4 50 38 6 back"];
    let asked = [&["new", "lane", &lane, "--name", "league", "--svg", &svg][..], &row].concat();
    assert_eq!(told(&asked).0, Some(0));
    assert!(fs::read_to_string(&svg).unwrap().starts_with("<svg"));
    let read = json(&["read", "--lane", &lane, "--json"]);
    // 3 loads on 37 boards and 4 on 21, 50 microlitres each.
    assert!((read["volume_ml"].as_f64().unwrap() - 9.75).abs() < 0.001, "{read}");
    let sheet = ["--cover", "pearl reactive", "--finish", "3000 grit", "--rg", "2.5", "--differential", "0.05"];
    assert_eq!(
        told(&[&["new", "ball", &ball, "--id", "mine", "--layout", "60 x 4 x 30"][..], &sheet].concat()).0,
        Some(0)
    );
    let text = fs::read_to_string(&ball).unwrap();
    for part in ["cover = \"pearl\"", "grit = 3000", "pin_to_pap_in = 4, drilling_deg = 60, val_deg = 30"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert_eq!(told(&["new", "bowler", &bowler, "--hand", "left", "--speed", "16.5", "--name", "Kim"]).0, Some(0));
    let thrown = json(&["throw", "--lane", &lane, "--ball", &ball, "--bowler", &bowler, "--json"]);
    assert_eq!((thrown["bowler"].as_str(), thrown["boards_from"].as_str()), (Some("Kim"), Some("left")));
    let asked =
        ["new", "event", &event, "--lanes", "3,4", "--pattern", "lane.toml", "--bowler", "bowler.toml", "--games", "2"];
    let (code, said, wrong) = told(&asked);
    assert_eq!(code, Some(0), "{wrong}");
    assert!(said.contains("boardwise brief --event"), "{said}");
    let text = fs::read_to_string(&event).unwrap();
    assert!(text.contains("lanes = [3, 4]") && text.contains("games = 2"), "{text}");
}

#[test]
fn law_a_layout_by_distances_is_written_as_angles() {
    let folder = TempDir::new().unwrap();
    let ball = folder.path().join("ball.toml");
    // A pin a quarter turn from the axis point: the angles are the other two arcs.
    let asked = ["--pin-to-pap", "6.75", "--mass-bias-to-pap", "4.5", "--pin-buffer", "3.0"];
    let path = ball.to_str().unwrap();
    assert_eq!(told(&[&["new", "ball", path][..], &asked].concat()).0, Some(0));
    let text = fs::read_to_string(&ball).unwrap();
    assert!(text.contains("pin_to_pap_in = 6.75, drilling_deg = 60, val_deg = 40"), "{text}");
}

#[test]
fn law_nothing_is_replaced_without_force_and_nothing_wrong_is_written() {
    let folder = TempDir::new().unwrap();
    let lane = folder.path().join("lane.toml");
    let path = lane.to_str().unwrap();
    fs::write(&lane, "mine").unwrap();
    let (code, _, said) = told(&["new", "lane", path, "--pattern", "short"]);
    assert_eq!(code, Some(2), "{said}");
    assert_eq!(fs::read_to_string(&lane).unwrap(), "mine");
    assert_eq!(told(&["new", "lane", path, "--pattern", "short", "--force"]).0, Some(0));
    assert!(fs::read_to_string(&lane).unwrap().contains("Short pattern"));
    let other = folder.path().join("other.toml");
    let path = other.to_str().unwrap();
    for (asked, word) in [
        (&["new", "lane", path, "--pattern", "hose"][..], "house"),
        (&["new", "lane", path, "--row", "2L 2R 3 50 0 18"], "row"),
        (&["new", "lane", path, "--row", "2L 40R 3 50 0 18 out"], "40R"),
        (&["new", "ball", path, "--finish", "grand"], "3000 grit"),
        (&["new", "ball", path, "--rg", "25"], "rg_in"),
        (&["new", "bowler", path, "--hand", "both"], "right"),
        (&["new", "event", path, "--lanes", "3"], "11,12"),
        (&["new", "event", path, "--bowler", "nobody.toml"], "nobody.toml"),
    ] {
        let (code, out, said) = told(asked);
        assert_eq!((code, out.as_str()), (Some(2), ""), "{asked:?}: {said}");
        assert!(said.contains(word), "{asked:?}: {said}");
        assert!(!other.exists(), "{asked:?}");
    }
    // Plausible slips are questioned and still written: it is the bowler's file.
    let (code, _, said) = told(&["new", "bowler", path, "--speed", "27"]);
    assert_eq!(code, Some(0));
    assert!(said.contains("27 mph"), "{said}");
}
