//! Where the record lies, and how what is logged is stamped.

use std::path::{Path, PathBuf};

use boardwise_files::text::visible;
use boardwise_files::{Fault, whole};
use boardwise_record::{Claim, Key, Record};
use boardwise_session::at_lanes::command::Stamp;
use etcetera::BaseStrategy;
use jiff::Timestamp;

use crate::{Failure, output};

/// Where the record lies: as asked, else in the user's own folder.
///
/// # Errors
/// If a record cannot be there, or the system names no folder for data.
pub fn place(asked: Option<&Path>) -> Result<PathBuf, Fault> {
    if let Some(asked) = asked {
        whole::check_place("--record", asked)?;
        return Ok(asked.to_owned());
    }
    let folders = etcetera::choose_base_strategy().map_err(|why| Fault::Field {
        field: "--record",
        value: "(left out)".to_owned(),
        allowed: format!("this system names no folder for your data ({why}); name a file"),
    })?;
    Ok(folders.data_dir().join("boardwise").join("boardwise.record"))
}

/// The same for what may begin a record: the user's own folder is made where there is none.
///
/// # Errors
/// As [`place`]; if the folder cannot be made.
pub fn new_place(asked: Option<&Path>) -> Result<PathBuf, Fault> {
    let place = place(asked)?;
    if let (None, Some(folder)) = (asked, place.parent()) {
        std::fs::create_dir_all(folder).map_err(|source| Fault::Write { path: folder.to_owned(), source })?;
    }
    Ok(place)
}

/// Says so where a record can be read and not written.
pub fn warn_read_only(record: &Record) {
    output::warn(record.read_only().map(|why| why.to_string()));
}

/// Says so where the app has the record open that is written into.
pub fn tell_of_app(place: &Path) {
    if let Some(who) = Claim::holder(place) {
        eprintln!("note: {} has this record open, and shows this too", visible(&who));
    }
}

/// Now, under this key; without one, under a key that nobody else makes.
///
/// # Errors
/// If the record takes no such key: a fault of the program.
pub fn stamp(key: Option<Key>) -> Result<Stamp, Failure> {
    let at = Timestamp::now();
    let key = match key {
        Some(key) => key,
        None => {
            format!("{}-{}", at.as_nanosecond(), std::process::id()).parse().map_err(boardwise_record::Error::from)?
        }
    };
    Ok(Stamp { key, at })
}
