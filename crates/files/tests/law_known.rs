//! What is not known of lanes that a file declares as known.

use boardwise_files::{KitLane, LANES, parse_lane};
use boardwise_search::Unknowns;

#[test]
fn law_a_lane_declared_as_known_leaves_cover_and_day_unknown() {
    let lane = |known: &str| {
        let text = LANES[0].text.replacen("name =", &format!("{known}name ="), 1);
        parse_lane("lane", text.as_bytes()).expect("a lane").value
    };
    let (usual, known) = (lane(""), lane("known = true\n"));
    assert_eq!(KitLane::unknowns([&known, &usual]), Unknowns::default());
    let left = KitLane::unknowns([&known, &known]);
    assert_eq!((left.oil_log, left.tilt), (0.0, 0.0));
    assert!(left.cover_log > 0.0 && left.speed.0 > 0.0);
}
