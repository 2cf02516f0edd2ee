//! `boardwise schema`: the form of the files that people write, and of the answers of `--json`.

use boardwise_files::{Fault, Shelf};
use boardwise_session::view::{self, schema_of};
use schemars::Schema;

use super::arguments::SchemaOf;
use super::output;
use crate::Failure;

/// A command, and the schema of what it answers.
type Answer = (&'static str, fn() -> Schema);

/// Every command that answers with `--json`, and the schema of its answer.
const ANSWERS: [Answer; 23] = [
    ("read", schema_of::<view::ReadAnswer>),
    ("throw", schema_of::<view::ThrowAnswer>),
    ("watch", schema_of::<view::WatchAnswer>),
    ("line", schema_of::<view::LineAnswer>),
    ("carry", schema_of::<view::CarryAnswer>),
    ("leave", schema_of::<view::LeaveAnswer>),
    ("block", schema_of::<view::BlockAnswer>),
    ("bag", schema_of::<view::BagAnswer>),
    ("practice", schema_of::<view::PracticeAnswer>),
    ("brief", schema_of::<view::BriefAnswer>),
    ("start", schema_of::<view::StartAnswer>),
    ("log", schema_of::<view::DoneAnswer>),
    ("undo", schema_of::<view::DoneAnswer>),
    ("fix", schema_of::<view::DoneAnswer>),
    ("sheet", schema_of::<view::SheetAnswer>),
    ("move", schema_of::<view::MoveAnswer>),
    ("next", schema_of::<view::NextAnswer>),
    ("after", schema_of::<view::AfterAnswer>),
    ("export", schema_of::<view::ExportAnswer>),
    ("import", schema_of::<view::ImportAnswer>),
    ("check", schema_of::<view::CheckAnswer>),
    ("backup", schema_of::<view::BackupAnswer>),
    ("restore", schema_of::<view::BackupAnswer>),
];

pub(super) fn run(asked: &SchemaOf) -> Result<(), Failure> {
    let schema = match asked {
        SchemaOf::Lane => boardwise_files::schema(Shelf::Lane),
        SchemaOf::Bag => boardwise_files::schema(Shelf::Bag),
        SchemaOf::Bowler => boardwise_files::schema(Shelf::Bowler),
        SchemaOf::Event => boardwise_files::schema(Shelf::Event),
        SchemaOf::Answer { command: None } => {
            return output::print(&ANSWERS.map(|(name, _)| format!("{name}\n")).concat());
        }
        SchemaOf::Answer { command: Some(command) } => answer(command)?,
    };
    let text = serde_json::to_string_pretty(&schema).map_err(Failure::Json)?;
    output::print(&(text + "\n"))
}

/// The schema of a command's answer.
fn answer(command: &str) -> Result<Schema, Fault> {
    let known = ANSWERS.iter().find(|(name, _)| *name == command);
    let (_, schema) = known.ok_or_else(|| Fault::Missing {
        what: "command",
        name: command.to_owned(),
        known: ANSWERS.iter().map(|(name, _)| (*name).to_owned()).collect(),
    })?;
    Ok(schema())
}
