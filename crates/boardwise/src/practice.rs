//! `boardwise practice`.

use super::table;
use super::watched::watched;
use super::{arguments, event, output};
use crate::Failure;
use boardwise_session::practice::{NOTE, Plan, Question};

pub(super) fn run(asked: &arguments::Practice) -> Result<(), Failure> {
    let event = event::load(&asked.kit)?;
    let question = Question { shots: asked.shots, seed: asked.seed };
    let plan = watched(|work| question.answer(event, work))?;
    if asked.json { output::print_json(&plan.view()) } else { output::print(&words(&plan)) }
}

fn words(plan: &Plan) -> String {
    let heading = event::heading(&plan.event, plan.pair());
    format!("{heading}\n{}\n{NOTE}", table::of(&plan.rows()))
}
