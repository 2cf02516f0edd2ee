//! `boardwise throw`.

use std::fmt::Write;

use boardwise_ball::Ball;
use boardwise_lane::{LaneError, Path, Release};
use boardwise_units::{Board, Degrees, Feet, Mph, Rpm};

use super::arguments;
use super::scene;
use super::table::{degrees, table};
use super::{output, picture};
use crate::Failure;
use boardwise_files::{Fault, KitBall, plausible};
use boardwise_session::Scene;
use boardwise_session::leaves::likely;
use boardwise_session::throw::{self, left, place_words, side_word, speed};
use boardwise_session::{ARROWS_FT, spread};

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
        output::print_json(&throw::view(&scene, &release, &thrown)?)
    } else {
        output::print(&words(&scene, &release, &thrown)?)
    }
}

/// One throw of the scene.
pub(super) fn path(scene: &Scene, ball: &Ball, release: &Release) -> Result<Path, Fault> {
    throw::path(scene, ball, release).map_err(|error| flag_fault(&error))
}

/// The throw that the flags ask for.
pub(super) fn release(asked: &arguments::Throw, usual: &Release) -> Result<Release, Fault> {
    let odd = |flag: &str, odd: Option<String>| odd.map(|odd| format!("{flag}: {odd}"));
    output::warn(odd("--speed", asked.speed.and_then(|mph| plausible::speed(Mph(mph)))));
    output::warn(odd("--revs", asked.revs.and_then(|rpm| plausible::rev_rate(Rpm(rpm)))));
    let release = Release {
        laydown: Board(asked.laydown),
        speed: asked.speed.map_or(usual.speed, Mph),
        rev_rate: asked.revs.map_or(usual.rev_rate, Rpm),
        rotation: asked.rotation.map_or(usual.rotation, Degrees),
        tilt: asked.tilt.map_or(usual.tilt, Degrees),
        ..*usual
    };
    // The throw itself checks what comes of it.
    Ok(match (asked.launch, asked.arrows) {
        (Some(launch), _) => Release { launch: Degrees(launch), ..release },
        (None, arrows) => {
            let arrows = arrows.unwrap_or(13.0);
            if !Board(arrows).on_lane() {
                let allowed = "must be 0.5 to 39.5, a board of the lane".to_owned();
                return Err(Fault::Field { field: "--arrows", value: arrows.to_string(), allowed });
            }
            release.aimed_at(Board(arrows), Feet(ARROWS_FT))
        }
    })
}

/// A release's error in terms of the flags it was given by.
fn flag_fault(error: &LaneError) -> Fault {
    let LaneError::Range { key, value, low, high } = error else {
        return Fault::Field { field: "throw", value: String::new(), allowed: error.to_string() };
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
    Fault::Field { field: flag, value: value.to_string(), allowed }
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
