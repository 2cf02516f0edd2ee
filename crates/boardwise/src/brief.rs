//! `boardwise brief`.

use std::fmt::Write;

use super::picture::existing;
use super::table;
use super::watched::watched;
use super::{arguments, event, output, picture};
use crate::Failure;
use boardwise_files::whole;
use boardwise_session::brief::{Brief, CAUTION, Question};
use boardwise_session::event::surface_cautions;

#[cfg(feature = "pdf")]
use boardwise_session::brief::page;

const NO_PDF: Failure = Failure::LeftOut("handouts as PDF");

#[cfg(not(feature = "pdf"))]
fn page(_: &Brief) -> Result<Vec<u8>, Failure> {
    Err(NO_PDF)
}

pub(super) fn run(asked: &arguments::Brief) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    if let Some(pdf) = &asked.pdf {
        if cfg!(not(feature = "pdf")) {
            return Err(NO_PDF);
        }
        whole::check_new("--pdf", pdf, existing(asked.output.force))?;
    }
    let event = event::load(&asked.kit)?;
    let question = Question { pair: asked.pair, seed: asked.output.seed };
    let brief = watched(|work| question.answer(event, work))?;
    picture::write(&asked.output, |theme| brief.picture(0, true, theme))?;
    if let Some(pdf) = &asked.pdf {
        whole::save(pdf, &page(&brief)?, existing(asked.output.force))?;
    }
    if asked.output.json { output::print_json(&brief.view()) } else { output::print(&words(&brief)) }
}

fn words(brief: &Brief) -> String {
    let mut text = format!("{}.\n{}\n", brief.verdict(), brief.doubt());
    for reason in brief.reasons() {
        text.push_str(&reason);
        text.push('\n');
    }
    text.push('\n');
    text.push_str(&event::heading(&brief.event, brief.on()));
    for (title, rows) in brief.tables() {
        if !rows.cells.is_empty() {
            // Writing to a string cannot fail.
            let _ = writeln!(text, "\n{title}\n{}", table::of(&rows));
        }
    }
    let _ = writeln!(text, "{CAUTION}\n{}", surface_cautions(brief.event.surface_changes));
    text
}
