//! `boardwise check`, `backup` and `restore`: what was written down, kept safe.

use std::path::PathBuf;

use clap::Args;
use jiff::Timestamp;

use super::output;
use crate::Failure;
use crate::place::{new_place, place};
use boardwise_session::keep::{self, Places};
use boardwise_session::view::{BackupAnswer, Form};

/// Where everything lies.
#[derive(Debug, Args)]
#[command(next_help_heading = "Record")]
pub struct Whole {
    /// The record; left out, `boardwise.record` in the folder where programs of this user keep their data.
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// Folder of your own lanes, bags, bowlers and events; left out, `kit` beside the record.
    #[arg(long, value_name = "FOLDER")]
    pub kit: Option<PathBuf>,
    /// Print one JSON object and nothing else.
    #[arg(long)]
    pub json: bool,
}

/// Flags of `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// What is checked.
    #[command(flatten)]
    pub whole: Whole,
}

/// Flags of `backup`.
#[derive(Debug, Args)]
pub struct Backup {
    /// The folder to make, on another disk if you can; it must not exist yet.
    #[arg(value_name = "FOLDER")]
    pub to: PathBuf,
    /// What is saved.
    #[command(flatten)]
    pub whole: Whole,
}

/// Flags of `restore`.
#[derive(Debug, Args)]
pub struct Restore {
    /// A backup's folder, or a record's file.
    #[arg(value_name = "FROM")]
    pub from: PathBuf,
    /// Where it goes.
    #[command(flatten)]
    pub whole: Whole,
}

impl Whole {
    fn places(&self, record: PathBuf) -> Places {
        let kit = self.kit.clone().unwrap_or_else(|| boardwise_files::kit_beside(&record));
        Places { record, kit }
    }
}

pub(super) fn check(asked: &Check) -> Result<(), Failure> {
    let places = asked.whole.places(place(asked.whole.record.as_deref())?);
    let found = keep::check(&places)?;
    let view = found.view(&places);
    if asked.whole.json {
        return output::print_json(&view);
    }
    output::warn(&found.read_only);
    output::print(&format!(
        "record   {}\nwhole    {} facts on {} sheets, the last of {}\ndigest   {}\nbackup   {}\n",
        view.record,
        view.facts,
        view.sheets,
        view.last.unwrap_or_else(|| "-".to_owned()),
        view.digest,
        view.backup.unwrap_or_else(|| "none beside it; `boardwise backup FOLDER` makes one".to_owned()),
    ))
}

pub(super) fn backup(asked: &Backup) -> Result<(), Failure> {
    let places = asked.whole.places(place(asked.whole.record.as_deref())?);
    let kept = keep::backup(&places, &asked.to, Timestamp::now())?;
    tell(asked.whole.json, &places, &kept, "is in")
}

pub(super) fn restore(asked: &Restore) -> Result<(), Failure> {
    let places = asked.whole.places(new_place(asked.whole.record.as_deref())?);
    let kept = keep::restore(&asked.from, &places)?;
    tell(asked.whole.json, &places, &kept, "comes from")
}

fn tell(json: bool, places: &Places, kept: &keep::BackupSaved, how: &str) -> Result<(), Failure> {
    let (record, folder) = (places.record.display().to_string(), kept.folder.display().to_string());
    if json {
        return output::print_json(&BackupAnswer {
            schema: Form,
            record,
            folder,
            facts: kept.facts,
            files: kept.files,
        });
    }
    output::print(&format!(
        "{record} {how} {folder}: {} facts and {} files of kit and devices, read again and compared\n",
        kept.facts, kept.files
    ))
}
