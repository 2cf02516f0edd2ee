//! `boardwise read`.

use std::fmt::Write;

use boardwise_lane::Film;

use super::arguments;
use super::scene;
use super::table;
use super::{output, picture};
use crate::Failure;
use boardwise_session::read::Reading;

pub(super) fn run(asked: &arguments::Read) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let reading = Reading::of(&scene::load(&asked.kit)?);
    picture::write(&asked.output, |theme| reading.picture(theme))?;
    if asked.output.json { output::print_json(&reading.view()) } else { output::print(&words(&reading)) }
}

fn words(reading: &Reading) -> String {
    let mut text = String::new();
    let film = reading.film();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "{}; boards count from the {} gutter", reading.name, reading.side());
    if let Some(film) = film {
        let _ = writeln!(text, "{}", summary(film));
    }
    let _ = writeln!(text, "\n{} by board, at feet from the foul line", film.map_or("Friction", |_| "Film in units"));
    let _ = writeln!(text, "{}", table::of(&reading.rows()));
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
