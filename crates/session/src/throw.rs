//! One throw: followed to the pins, what it leaves, and both told in JSON.

use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Fineness, LaneError, Path, PathRow, PinTouch, Place, Release, Side, throw};
use boardwise_search::{FirstBall, Pocket, Strikes};
use boardwise_units::{Mph, court};
use serde_json::{Value, json};

use super::leaves::leaves_json;
use super::{ARROWS_FT, Failure, Scene, place_json};
use boardwise_files::KitBall;

/// One throw of the scene, as finely as it can be followed.
///
/// # Errors
/// If the release is not possible.
pub fn path(scene: &Scene, ball: &Ball, release: &Release) -> Result<Path, LaneError> {
    throw(&scene.lane, ball, release, &ContactLaw::default(), Fineness::default())
}

/// What the throw as meant leaves, by the carry table.
///
/// # Errors
/// If the table built in cannot be read.
pub fn left(scene: &Scene, ball: &Ball, path: &Path) -> Result<FirstBall, Failure> {
    let strikes = Strikes::new(boardwise_files::carry()?, ball, scene.bowler.hand, Pocket::default());
    Ok(strikes.leaves_of(&[path.touch.filter(|_| path.gutter.is_none())]))
}

/// Throws of one release with several balls, as JSON; one throw stands for itself.
///
/// # Errors
/// As [`left`].
pub fn throws_json(scene: &Scene, release: &Release, thrown: &[(&KitBall, Path)]) -> Result<Value, Failure> {
    let mut answer = json!({
        "schema": 1,
        "lane": scene.lane_name,
        "bowler": scene.bowler.name,
        "boards_from": scene.side(),
        "release": {
            "laydown": release.laydown.0,
            "launch_deg": release.launch.0,
            "speed_mph": release.speed.0,
            "rev_rate_rpm": release.rev_rate.0,
            "rotation_deg": release.rotation.0,
            "tilt_deg": release.tilt.0,
            "loft_ft": release.loft.0,
        },
    });
    let throws = thrown.iter().map(|(ball, path)| throw_json(scene, ball, path));
    let mut throws = throws.collect::<Result<Vec<_>, _>>()?.into_iter();
    if thrown.len() == 1 {
        if let (Some(Value::Object(one)), Value::Object(all)) = (throws.next(), &mut answer) {
            all.extend(one);
        }
    } else {
        answer["throws"] = throws.collect();
    }
    Ok(answer)
}

/// A throw as JSON, with its path foot by foot and what it leaves.
///
/// # Errors
/// As [`left`].
fn throw_json(scene: &Scene, one: &KitBall, path: &Path) -> Result<Value, Failure> {
    let left = left(scene, &one.ball, path)?;
    let mut throw = ends_json(one, path);
    throw["strike_pct"] = json!(100.0 * left.strike);
    throw["leaves"] = json!(leaves_json(&left));
    throw["path"] = path.rows.iter().map(row_json).collect();
    Ok(throw)
}

/// Where a throw turns, leaves the oil and ends, as JSON.
pub fn ends_json(one: &KitBall, path: &Path) -> Value {
    json!({
        "ball": one.ball.id,
        "finish": one.finish,
        "entry": path.touch.as_ref().map(entry_json),
        "gutter": path.gutter.map(|(feet, side)| json!({ "feet": feet.0, "side": side_word(side) })),
        "breakpoint": place_json(&path.breakpoint),
        "exit": path.exit.as_ref().map(place_json),
        "arrows": path.arrows.as_ref().map(|place| json!({ "board": place.board.0, "feet": ARROWS_FT })),
        "roll_feet": path.roll.map(|feet| feet.0),
        "time_s": path.time_s,
    })
}

fn entry_json(touch: &PinTouch) -> Value {
    json!({
        "board": touch.board().0,
        "angle_deg": touch.angle().0,
        "speed_mph": speed(touch).0,
        "feet": court::HEAD_PIN_FT,
        "first_pin": touch.pin,
    })
}

/// Speed at the first pin.
pub fn speed(touch: &PinTouch) -> Mph {
    Mph::from_metres_per_second(touch.entry.velocity_m_s.length())
}

fn row_json(row: &PathRow) -> Value {
    json!({
        "feet": row.feet,
        "board": row.board,
        "angle_deg": row.angle.0,
        "speed_mph": row.speed.0,
        "rev_rate_rpm": row.rev_rate.0,
        "slip_mps": row.slip_m_s,
        "friction": row.friction,
    })
}

/// A gutter's side in a word.
pub fn side_word(side: Side) -> &'static str {
    match side {
        Side::Hand => "hand",
        Side::Away => "away",
    }
}

/// A place in words; a ball that only moves away from the hand was closest to its gutter where it was laid down.
pub fn place_words(place: &Place) -> String {
    if place.feet.0 < 0.5 { "foul line".to_owned() } else { format!("{:.1} at {:.0} ft", place.board.0, place.feet.0) }
}
