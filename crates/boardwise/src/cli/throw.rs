//! `boardwise throw`.

use std::fmt::Write;

use ball::Ball;
use lane::{ContactLaw, Fineness, LaneError, Path, PathRow, PinTouch, Place, Release, Side, throw_to};
use measure::{Board, Degrees, Feet, Mph, Rpm};
use play::{FirstBall, Pocket, Strikes};
use serde_json::{Value, json};

use super::arguments;
use super::scene;
use super::table::{degrees, table};
use super::{output, picture};
use crate::job::Scene;
use crate::job::leaves::{leaves_json, likely};
use crate::job::{ARROWS_FT, Failure, place_json, spread};
use crate::kit::{self, Fault, KitBall};

pub(super) fn run(asked: &arguments::Throw) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let scene = scene::load(&asked.kit)?;
    let release = release(asked, &scene.bowler.release)?;
    let mut thrown: Vec<(&KitBall, Path)> = Vec::new();
    for one in &scene.balls {
        thrown.push((one, path(&scene, &one.ball, &release)?));
    }
    picture::write(&asked.output, |theme| {
        // Bands of several balls would hide each other.
        let shots = match thrown.as_slice() {
            [(one, _)] => spread::shots(&scene, &one.ball, &release, asked.output.seed),
            _ => Vec::new(),
        };
        picture::throws(&scene, &thrown, &shots, theme)
    })?;
    if asked.output.json {
        output::print_json(&json(&scene, &release, &thrown)?)
    } else {
        output::print(&words(&scene, &release, &thrown)?)
    }
}

/// One throw of the scene.
pub(super) fn path(scene: &Scene, ball: &Ball, release: &Release) -> Result<Path, Fault> {
    throw_to(&scene.lane, scene.lane.pattern_end(), ball, release, &ContactLaw::default(), Fineness::default())
        .map_err(|error| flag_fault(&error))
}

fn release(asked: &arguments::Throw, usual: &Release) -> Result<Release, Fault> {
    let mut release = Release {
        laydown: Board(asked.laydown),
        speed: asked.speed.map_or(usual.speed, Mph),
        rev_rate: asked.revs.map_or(usual.rev_rate, Rpm),
        rotation: asked.rotation.map_or(usual.rotation, Degrees),
        tilt: asked.tilt.map_or(usual.tilt, Degrees),
        ..*usual
    };
    release.check().map_err(|error| flag_fault(&error))?;
    release = match (asked.launch, asked.arrows) {
        (Some(launch), _) => Release { launch: Degrees(launch), ..release },
        (None, arrows) => {
            let arrows = arrows.unwrap_or(13.0);
            if !Board(arrows).on_lane() {
                let allowed = "must be 0.5 to 39.5, a board of the lane".to_owned();
                return Err(Fault::Flag { flag: "--arrows".to_owned(), value: arrows.to_string(), allowed });
            }
            release.aimed_at(Board(arrows), Feet(ARROWS_FT))
        }
    };
    release.check().map_err(|error| flag_fault(&error))?;
    Ok(release)
}

/// A release's error in terms of the flags it was given by.
fn flag_fault(error: &LaneError) -> Fault {
    let LaneError::Range { key, value, low, high } = error else {
        return Fault::Flag { flag: "throw".to_owned(), value: String::new(), allowed: error.to_string() };
    };
    let (flag, unit) = match *key {
        "laydown" => ("--laydown", "boards"),
        "launch_deg" => ("--launch (or what --laydown and --arrows come to)", "degrees"),
        "speed_mph" => ("--speed", "mph"),
        "rev_rate_rpm" => ("--revs", "rpm"),
        "rotation_deg" => ("--rotation", "degrees"),
        "tilt_deg" => ("--tilt", "degrees"),
        other => (other, ""),
    };
    let allowed = format!("must be {low} to {high} {unit}");
    Fault::Flag { flag: flag.to_owned(), value: value.to_string(), allowed }
}

fn json(scene: &Scene, release: &Release, thrown: &[(&KitBall, Path)]) -> Result<Value, Failure> {
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

/// What the throw as meant leaves, by the carry table.
fn left(scene: &Scene, ball: &Ball, path: &Path) -> Result<FirstBall, Failure> {
    let strikes = Strikes::new(kit::carry()?, ball, scene.bowler.hand, Pocket::default());
    Ok(strikes.leaves_of(&[path.touch.filter(|_| path.gutter.is_none())]))
}

fn throw_json(scene: &Scene, one: &KitBall, path: &Path) -> Result<Value, Failure> {
    let left = left(scene, &one.ball, path)?;
    Ok(json!({
        "ball": one.ball.id,
        "finish": one.finish,
        "entry": path.touch.as_ref().map(entry_json),
        "gutter": path.gutter.map(|(feet, side)| json!({ "feet": feet.0, "side": side_word(side) })),
        "breakpoint": place_json(&path.breakpoint),
        "exit": path.exit.as_ref().map(place_json),
        "arrows": path.arrows.as_ref().map(|place| json!({ "board": place.board.0, "feet": ARROWS_FT })),
        "strike_pct": 100.0 * left.strike,
        "leaves": leaves_json(&left),
        "roll_feet": path.roll.map(|feet| feet.0),
        "time_s": path.time_s,
        "path": path.rows.iter().map(row_json).collect::<Vec<_>>(),
    }))
}

fn entry_json(touch: &PinTouch) -> Value {
    json!({
        "board": touch.board().0,
        "angle_deg": touch.angle().0,
        "speed_mph": speed(touch).0,
        "feet": Feet::from_metres(touch.entry.y_m).0,
        "first_pin": touch.pin,
    })
}

fn speed(touch: &PinTouch) -> Mph {
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

fn side_word(side: Side) -> &'static str {
    match side {
        Side::Hand => "hand",
        Side::Away => "away",
    }
}

fn words(scene: &Scene, release: &Release, thrown: &[(&KitBall, Path)]) -> Result<String, Failure> {
    let mut text = scene.heading();
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "release  laydown {:.1}, launch {}, {:.1} mph, {:.0} rpm, rotation {:.0}°, tilt {:.0}°\n",
        release.laydown.0,
        launch(release.launch),
        release.speed.0,
        release.rev_rate.0,
        release.rotation.0,
        release.tilt.0
    );
    let mut rows =
        table(&["ball", "arrows", "breakpoint", "exit", "rolls", "entry", "angle", "mph", "time", "ends"], 1);
    for (one, path) in thrown {
        rows.add_row(summary(&one.ball, path));
    }
    let _ = writeln!(text, "{rows}");
    for (one, path) in thrown {
        let left = left(scene, &one.ball, path)?;
        let _ = writeln!(
            text,
            "{}: as meant strikes {:.0}%, leaves {}",
            one.ball.id,
            100.0 * left.strike,
            likely(&left, 5)
        );
    }
    if let [(_, path)] = thrown {
        let mut rows = table(&["feet", "board", "angle", "mph", "rpm", "slip m/s", "friction"], 0);
        for row in path.rows.iter().filter(|row| every_five(row.feet)) {
            rows.add_row(vec![
                format!("{:.0}", row.feet),
                format!("{:.1}", row.board),
                degrees(row.angle),
                format!("{:.1}", row.speed.0),
                format!("{:.0}", row.rev_rate.0),
                format!("{:.2}", row.slip_m_s),
                format!("{:.3}", row.friction),
            ]);
        }
        let _ = writeln!(text, "\n{rows}");
    }
    text.push_str("Angles down the lane are positive away from the hand side, as entry angles are.\n");
    Ok(text)
}

/// A launch angle with its side, because a table's angles count the other way.
fn launch(angle: Degrees) -> String {
    let side = if angle.0 < 0.0 { "away from" } else { "toward" };
    format!("{:.1}° {side} the hand side", angle.0.abs())
}

/// Whether a distance is a multiple of five feet, but for the last digits.
fn every_five(feet: f64) -> bool {
    (feet - 5.0 * (feet / 5.0).round()).abs() < 0.01
}

/// A place in words; a ball that only moves away from the hand was closest to its gutter where it was laid down.
pub(super) fn place_words(place: &Place) -> String {
    if place.feet.0 < 0.5 { "foul line".to_owned() } else { format!("{:.1} at {:.0} ft", place.board.0, place.feet.0) }
}

fn summary(ball: &Ball, path: &Path) -> Vec<String> {
    let none = || "-".to_owned();
    let touch = path.touch.as_ref();
    vec![
        ball.id.clone(),
        path.arrows.as_ref().map_or_else(none, |place| format!("{:.1}", place.board.0)),
        place_words(&path.breakpoint),
        path.exit.as_ref().map_or_else(none, |place| format!("{:.1}", place.board.0)),
        path.roll.map_or_else(none, |feet| format!("{:.0} ft", feet.0)),
        touch.map_or_else(none, |t| format!("{:.1}", t.board().0)),
        touch.map_or_else(none, |t| degrees(t.angle())),
        touch.map_or_else(none, |t| format!("{:.1}", speed(t).0)),
        format!("{:.2} s", path.time_s),
        match (&path.gutter, touch) {
            (Some((feet, side)), _) => format!("gutter, {} side, {:.0} ft", side_word(*side), feet.0),
            (None, Some(t)) => format!("pin {} first", t.pin),
            (None, None) => "touches no pin".to_owned(),
        },
    ]
}
