//! `boardwise bag`.

use std::fmt::Write;

use super::table;
use super::watched::watched;
use super::{arguments, event, output, picture};
use crate::Failure;
use boardwise_session::bag::{NOTE, Question, Weighing};
use boardwise_session::event::surface_cautions;

pub(super) fn run(asked: &arguments::Bag) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let event = event::load(&asked.kit)?;
    let (take, surfaces) = (asked.take, asked.surfaces.clone());
    let question = Question { take, surfaces, worlds: asked.worlds, seed: asked.output.seed };
    let weighing = watched(|work| question.answer(event, work))?;
    picture::write(&asked.output, |theme| weighing.picture(theme))?;
    if asked.output.json { output::print_json(&weighing.view()) } else { output::print(&words(&weighing)) }
}

fn words(weighing: &Weighing) -> String {
    let mut text = event::heading(&weighing.event, weighing.pair());
    // Writing to a string cannot fail.
    let _ = writeln!(text, "weighed  {}\n", weighing.work());
    let _ = writeln!(text, "{}\n{}", table::of(&weighing.set()), weighing.worth());
    if let Some(spare) = weighing.spare() {
        let _ = writeln!(text, "For spares: {spare}.");
    }
    let home = weighing.at_home();
    if !home.is_empty() {
        let _ = writeln!(text, "Leave at home: {}.", home.join(", "));
    }
    let _ = writeln!(text, "\n{}", table::of(&weighing.ranking()));
    text.push_str(NOTE);
    text.push_str(&surface_cautions(weighing.event.surface_changes));
    text
}
