//! `boardwise block`.

use std::fmt::Write;

use super::table;
use super::watched::watched;
use super::{arguments, event, output, picture};
use crate::Failure;
use boardwise_files::KitEvent;
use boardwise_session::block::{Forecast, NOTE, OnPair, Question};
use boardwise_session::event::surface_cautions;

pub(super) fn run(asked: &arguments::Block) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let event = event::load(&asked.kit)?;
    let question = Question { ball: asked.ball.clone(), look: asked.look, runs: asked.runs, seed: asked.output.seed };
    let forecast = watched(|work| question.answer(event, work))?;
    draw_it(asked, &forecast)?;
    if asked.output.json {
        output::print_json(&forecast.view())
    } else {
        output::print(&forecast.pairs.iter().map(|one| words(&forecast.event, one)).collect::<String>())
    }
}

/// The first pair's picture.
fn draw_it(asked: &arguments::Block, forecast: &Forecast) -> Result<(), Failure> {
    let Some(first) = forecast.pairs.first() else { return Ok(()) };
    if !asked.oil {
        return picture::write(&asked.output, |theme| first.picture(&forecast.event.name, theme));
    }
    picture::write_if(&asked.output, |theme| first.oil_picture(theme))
}

fn words(event: &KitEvent, told: &OnPair) -> String {
    let mut text = event::heading(event, &told.pair);
    // Writing to a string cannot fail.
    let _ = writeln!(text, "runs     {}\n", told.work());
    for lane in 0..2 {
        let _ = writeln!(text, "Lane {}\n{}", told.pair.numbers[lane], table::of(&told.rows(lane)));
        text.push_str(&told.overtaking(lane));
        text.push_str(&told.pays(lane));
        text.push('\n');
    }
    text.push_str(NOTE);
    text.push_str(&surface_cautions(event.surface_changes));
    text.push('\n');
    text
}
