//! `boardwise read`.

use std::fmt::Write;

use lane::{Coat, Film, Ground, Lane};
use measure::{Board, Feet};
use serde_json::{Value, json};

use super::arguments;
use super::scene;
use super::table::table;
use super::{output, picture};
use crate::job::Failure;
use crate::job::Scene;

pub(super) fn run(asked: &arguments::Read) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let scene = scene::load(&asked.kit)?;
    let distances = distances(scene.lane.pattern_end());
    picture::write(&asked.output, |theme| picture::film(&scene, &distances, theme))?;
    if asked.output.json { output::print_json(&json(&scene)) } else { output::print(&words(&scene, &distances)) }
}

/// Distances worth looking at: every five feet, up to the pattern's end.
fn distances(end: Option<Feet>) -> Vec<f64> {
    let end = end.map_or(60.0, |end| end.0);
    let mut feet = vec![1.0];
    feet.extend((1..=12).map(|k| 5.0 * f64::from(k)).filter(|&f| f < end));
    if feet.last().is_none_or(|&last| end - last > 1.5) {
        feet.push((end - 0.5).max(0.0));
    }
    feet
}

fn json(scene: &Scene) -> Value {
    let feet: Vec<f64> = (0..=60).map(f64::from).collect();
    let mut answer = json!({
        "schema": 1,
        "lane": scene.lane_name,
        "boards_from": scene.side(),
        "length_ft": null, "volume_ml": null, "ratio": null, "exit_board": null, "film": null, "friction": null,
    });
    if let Some(film) = scene.lane.film() {
        let units: Vec<Vec<f64>> =
            feet.iter().map(|&f| film.boards_at(Feet(f)).iter().map(|u| u.0).collect()).collect();
        answer["length_ft"] = json!(film.length.0);
        answer["volume_ml"] = json!(film.volume().0 / 1000.0);
        answer["ratio"] = json!(film.ratio());
        answer["exit_board"] = json!(film.rule_of_31().0);
        answer["film"] = json!({ "feet": feet, "units": units });
    } else {
        let mu: Vec<Vec<f64>> = feet.iter().map(|&f| friction(&scene.lane, f).to_vec()).collect();
        answer["friction"] = json!({ "feet": feet, "mu": mu });
    }
    answer
}

/// Friction by board on a lane that is known by it.
fn friction(lane: &Lane, feet: f64) -> [f64; 39] {
    std::array::from_fn(|k| match lane.coat(Board((k + 1) as f64).to_metres(), Feet(feet).to_metres()) {
        Coat::Friction(mu) => mu,
        Coat::Oil(_) => f64::NAN,
    })
}

fn words(scene: &Scene, distances: &[f64]) -> String {
    let mut text = String::new();
    let film = scene.lane.film();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "{}; boards count from the {} gutter", scene.lane_name, scene.side());
    if let Some(film) = film {
        let _ = writeln!(text, "{}", summary(film));
    }
    let _ = writeln!(text, "\n{} by board, at feet from the foul line", film.map_or("Friction", |_| "Film in units"));
    let mut head = vec!["board".to_owned()];
    head.extend(distances.iter().map(|f| format!("{f}")));
    let mut rows = table(&head.iter().map(String::as_str).collect::<Vec<_>>(), 0);
    let columns: Vec<[String; 39]> = distances
        .iter()
        .map(|&f| match film {
            Some(film) => film.boards_at(Feet(f)).map(|u| format!("{:.1}", u.0)),
            None => friction(&scene.lane, f).map(|mu| format!("{mu:.3}")),
        })
        .collect();
    for board in 0..39 {
        let mut row = vec![(board + 1).to_string()];
        row.extend(columns.iter().map(|column| column[board].clone()));
        rows.add_row(row);
    }
    let _ = writeln!(text, "{rows}");
    text
}

fn summary(film: &Film) -> String {
    let ratio = film.ratio().map_or_else(|| "no oil outside".to_owned(), |r| format!("ratio {r:.1} : 1"));
    format!(
        "{:.0} ft, {:.1} mL, {ratio} (boards 18-22 to 3-7 of both sides)\nrule of 31: leaves the oil near board {:.0}",
        film.length.0,
        film.volume().0 / 1000.0,
        film.rule_of_31().0
    )
}
