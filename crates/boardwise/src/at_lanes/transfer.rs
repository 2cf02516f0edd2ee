//! `boardwise export` and `import`: the record as a file that others read.

use std::fs;
use std::path::Path;

use boardwise_record::{Key, Record};
use jiff::Timestamp;

use super::arguments::{Export, Import};
use crate::Failure;
use crate::output;
use crate::picture::existing;
use crate::place::{new_place, place, warn_read_only};
use boardwise_files::Fault;
use boardwise_files::whole;
use boardwise_session::at_lanes::desk;
use boardwise_session::view::{ExportAnswer, Form, ImportAnswer};

pub(crate) fn export(asked: &Export) -> Result<(), Failure> {
    let name = asked.file.display().to_string();
    let shots = asked.shots || is_named_csv(&asked.file);
    whole::check_new("FILE", &asked.file, existing(asked.force))?;
    let place = place(asked.desk.record.as_deref())?;
    let record = desk::open(&place)?;
    warn_read_only(&record);
    let mut bytes = Vec::new();
    if shots {
        record.export_csv(&mut bytes)?;
    } else {
        record.export_json(&mut bytes)?;
    }
    whole::save(&asked.file, &bytes, existing(asked.force))?;
    if asked.desk.json {
        return output::print_json(&ExportAnswer {
            schema: Form,
            record: place.display().to_string(),
            file: name,
            bytes: bytes.len(),
        });
    }
    let what = if shots { "the shots alone, as CSV, are in" } else { "everything is in" };
    output::print(&format!("{}: {what} {name}\n", place.display()))
}

/// Whether a file's name says that it holds shots: nobody looks for JSON in it.
fn is_named_csv(file: &Path) -> bool {
    file.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"))
}

pub(crate) fn import(asked: &Import) -> Result<(), Failure> {
    let name = asked.file.display().to_string();
    let bytes = fs::read(&asked.file).map_err(|source| Fault::Unreadable { name: name.clone(), source })?;
    let asked_place = asked.desk.record.as_deref();
    let shots = asked.shots || is_named_csv(&asked.file);
    let place = if shots { place(asked_place)? } else { new_place(asked_place)? };
    let in_file = |why: boardwise_record::Error| match why {
        boardwise_record::Error::Import { .. }
        | boardwise_record::Error::Json(_)
        | boardwise_record::Error::Entry(_)
        | boardwise_record::Error::Schema { .. }
        | boardwise_record::Error::NotAsExported
        | boardwise_record::Error::Csv(_)
        | boardwise_record::Error::NumberTwice { .. } => {
            Fault::Field { field: "FILE", value: name.clone(), allowed: why.to_string() }.into()
        }
        why => Failure::from(why),
    };
    let imported = if shots {
        let batch = batch(asked)?;
        // Shots need people and blocks that only a record has which is there.
        desk::open(&place)?.import_csv(bytes.as_slice(), &batch, Timestamp::now()).map_err(in_file)?
    } else {
        let text = std::str::from_utf8(&bytes).map_err(|why| Fault::Field {
            field: "FILE",
            value: name.clone(),
            allowed: format!("not text: byte {} is not UTF-8; an export is JSON", why.valid_up_to()),
        })?;
        import_json(&place, text).map_err(in_file)?
    };
    if asked.desk.json {
        return output::print_json(&ImportAnswer {
            schema: Form,
            record: place.display().to_string(),
            file: name,
            added: imported.added,
            again: imported.again,
        });
    }
    output::print(&format!(
        "{} new facts from {name} are in {}; {} were there before\n",
        imported.added,
        place.display(),
        imported.again
    ))
}

/// Into a record that may not be there yet; one that was made for nothing is taken away again.
fn import_json(place: &std::path::Path, text: &str) -> Result<boardwise_record::Imported, boardwise_record::Error> {
    let is_new = place.symlink_metadata().is_err();
    let mut record = Record::open(place)?;
    let imported = record.import_json(text);
    drop(record);
    if imported.is_err() && is_new {
        // It holds nothing; that it cannot be removed changes nothing.
        let _ = fs::remove_file(place);
    }
    imported
}

/// The name that shots without keys are known by.
fn batch(asked: &Import) -> Result<Key, Failure> {
    let stem = || asked.file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let typed = asked.batch.clone().unwrap_or_else(stem);
    Ok(desk::word("--batch", &typed)?)
}
