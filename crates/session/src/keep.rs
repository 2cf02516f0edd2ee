//! What a bowler has written down, kept safe: whether it is whole, copies of all of it, and a copy put in place on another machine.
//!
//! A backup is a folder with the record, the kit of one's own files, the devices that are paired, and `contents.json`, which says what
//! belongs to it with a SHA-256 of each. It is checked against what it was made from before it gets its name. To move to another machine
//! is to make a backup here and to restore it there: the open block is in the record.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use boardwise_files::Fault;
use boardwise_files::whole::{self, Existing};
use boardwise_record::{Record, Seq, beside};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::Failure;
use crate::at_lanes::desk;
use crate::view::{CheckAnswer, Form};

/// Where everything of a bowler lies.
#[derive(Clone, Debug)]
pub struct Places {
    /// The record.
    pub record: PathBuf,
    /// The folder of one's own lanes, bags, bowlers and events; it need not be there.
    pub kit: PathBuf,
}

/// What is known of a record that was checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checked {
    /// Facts in it.
    pub facts: usize,
    /// Sheets in it.
    pub sheets: usize,
    /// The time of the last fact.
    pub last: Option<Timestamp>,
    /// The digest of all that is in it, the one that an export ends with.
    pub digest: String,
    /// Why it can be read and not written, if that is so.
    pub read_only: Option<String>,
    /// The latest backup that the program made by itself.
    pub backup: Option<PathBuf>,
}

impl Checked {
    /// As a view.
    pub fn view(&self, places: &Places) -> CheckAnswer {
        CheckAnswer {
            schema: Form,
            record: places.record.display().to_string(),
            facts: self.facts,
            sheets: self.sheets,
            last: self.last.map(|at| at.to_string()),
            digest: self.digest.clone(),
            read_only: self.read_only.clone(),
            backup: self.backup.as_ref().map(|folder| folder.display().to_string()),
        }
    }
}

/// A backup that was made or restored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BackupSaved {
    /// The folder.
    pub folder: PathBuf,
    /// Facts in its record.
    pub facts: u64,
    /// Files in it beside the record.
    pub files: usize,
}

/// What belongs to a backup.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Contents {
    schema: u32,
    made: Timestamp,
    facts: u64,
    /// Of the record: [`Record::digest`].
    digest: String,
    files: Vec<Entry>,
}

/// A file of a backup.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    path: String,
    sha256: String,
}

const SCHEMA: u32 = 1;
const RECORD: &str = "boardwise.record";
const DEVICES: &str = "devices.json";
const KIT: &str = "kit";
const CONTENTS: &str = "contents.json";

/// Backups of its own that the program keeps.
pub const KEPT: usize = 5;

/// The list of devices of a record, in a file beside it.
pub fn devices_beside(record: &Path) -> PathBuf {
    beside(record, ".devices.json")
}

/// Where an earlier version kept that list, under a name that two records could share.
pub fn devices_of_earlier(record: &Path) -> PathBuf {
    record.with_extension("devices.json")
}

impl Places {
    /// The list of devices; that of earlier versions where there is no other.
    fn devices(&self) -> PathBuf {
        let (ours, earlier) = (devices_beside(&self.record), devices_of_earlier(&self.record));
        if !ours.exists() && earlier.exists() { earlier } else { ours }
    }

    /// The folder of the backups that the program makes by itself.
    pub fn backups(&self) -> PathBuf {
        beside(&self.record, ".backups")
    }

    /// Everything but the record, by its path in a backup.
    fn files(&self) -> io::Result<Vec<(String, Vec<u8>)>> {
        let mut files = Vec::new();
        if self.devices().is_file() {
            files.push((DEVICES.to_owned(), fs::read(self.devices())?));
        }
        gather(&self.kit, KIT, &mut files)?;
        files.sort();
        Ok(files)
    }
}

/// Every plain file of a folder and of those in it. Links are not followed.
fn gather(folder: &Path, path: &str, files: &mut Vec<(String, Vec<u8>)>) -> io::Result<()> {
    let entries = match fs::read_dir(folder) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(()),
        entries => entries?,
    };
    for entry in entries {
        let entry = entry?;
        let (kind, name) = (entry.file_type()?, entry.file_name());
        // A name that is no text names no file of a kit.
        let Some(name) = name.to_str().map(|name| format!("{path}/{name}")) else { continue };
        if kind.is_dir() {
            gather(&entry.path(), &name, files)?;
        } else if kind.is_file() {
            files.push((name, fs::read(entry.path())?));
        }
    }
    Ok(())
}

fn sha256(bytes: &[u8]) -> String {
    hex::encode(Sha256::digest(bytes))
}

fn entries(files: &[(String, Vec<u8>)]) -> Vec<Entry> {
    files.iter().map(|(path, bytes)| Entry { path: path.clone(), sha256: sha256(bytes) }).collect()
}

/// Whether a record is whole.
///
/// # Errors
/// What is wrong with it.
pub fn check(places: &Places) -> Result<Checked, Failure> {
    let record = desk::open(&places.record)?;
    record.check()?;
    let facts = record.facts(Seq(0))?;
    Ok(Checked {
        facts: facts.len(),
        sheets: record.sheets()?.len(),
        last: facts.last().map(|fact| fact.at),
        digest: record.digest()?,
        read_only: record.read_only().map(|why| why.to_string()),
        backup: own_backups(places).pop(),
    })
}

/// Writes everything into a new folder. It gets its name once it was read again and compared.
///
/// # Errors
/// If there is something of that name, or it cannot be written; what is wrong with the record.
pub fn backup(places: &Places, to: &Path, now: Timestamp) -> Result<BackupSaved, Failure> {
    let record = desk::open(&places.record)?;
    record.check()?;
    if to.symlink_metadata().is_ok() {
        let allowed = "there is something of that name already; nothing was written. Give a new name".to_owned();
        return Err(Fault::Field { field: "FOLDER", value: to.display().to_string(), allowed }.into());
    }
    let written = |source| Fault::Write { path: to.to_owned(), source };
    let parent = to.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let beside = tempfile::Builder::new().prefix(".backup-").tempdir_in(parent).map_err(written)?;
    let folder = beside.path().join("backup");
    fs::create_dir(&folder).map_err(written)?;
    let saved = record.backup(folder.join(RECORD))?;
    let files = places.files().map_err(written)?;
    lay_out(&folder, &files)?;
    let contents =
        Contents { schema: SCHEMA, made: now, facts: saved.facts, digest: saved.digest, files: entries(&files) };
    let text = serde_json::to_string_pretty(&contents).map_err(Failure::Json)?;
    whole::save(&folder.join(CONTENTS), text.as_bytes(), Existing::Stays)?;
    let kept = Backup::read(&folder)?.kept(to);
    fs::rename(&folder, to).map_err(written)?;
    Ok(kept)
}

/// Writes files into a folder, none in the place of another.
fn lay_out(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), Fault> {
    for (path, bytes) in files {
        let place = folder.join(path);
        if let Some(parent) = place.parent() {
            fs::create_dir_all(parent).map_err(|source| Fault::Write { path: parent.to_owned(), source })?;
        }
        whole::save(&place, bytes, Existing::Stays)?;
    }
    Ok(())
}

/// A backup that was read and is whole.
struct Backup {
    record: Record,
    contents: Option<Contents>,
    files: Vec<(String, Vec<u8>)>,
}

impl Backup {
    /// Reads a backup, or a record alone.
    fn read(from: &Path) -> Result<Self, Failure> {
        let unreadable = |source| Fault::Unreadable { name: from.display().to_string(), source };
        let wrong = |what: String| Fault::Field { field: "FROM", value: from.display().to_string(), allowed: what };
        if !from.is_dir() {
            let record = desk::open(from)?;
            record.check()?;
            return Ok(Self { record, contents: None, files: Vec::new() });
        }
        let text = fs::read(from.join(CONTENTS)).map_err(unreadable)?;
        let contents: Contents = serde_json::from_slice(&text)
            .map_err(|_| wrong(format!("{CONTENTS} is not as it was written; take another backup")))?;
        if contents.schema != SCHEMA {
            return Err(wrong("a newer program made this backup; use a newer program".to_owned()).into());
        }
        let record = desk::open(&from.join(RECORD))?;
        record.check()?;
        let mut files = Vec::new();
        for Entry { path, sha256: sum } in &contents.files {
            // Nothing outside the folder belongs to it, whatever the list says.
            let inside = Path::new(path).components().all(|part| matches!(part, std::path::Component::Normal(_)));
            let bytes = if inside { fs::read(from.join(path)).map_err(unreadable)? } else { Vec::new() };
            if sha256(&bytes) != *sum {
                return Err(wrong(format!("{path} is not as it was written; take another backup")).into());
            }
            files.push((path.clone(), bytes));
        }
        if record.digest()? != contents.digest {
            return Err(wrong("its record is not the one that was saved; take another backup".to_owned()).into());
        }
        Ok(Self { record, contents: Some(contents), files })
    }

    fn kept(&self, folder: &Path) -> BackupSaved {
        let facts = self.contents.as_ref().map_or(0, |contents| contents.facts);
        BackupSaved { folder: folder.to_owned(), facts, files: self.files.len() }
    }
}

/// Takes in the record that another device sent, and gives all that is here then, as that device may take it in. Nothing sent is a device
/// that has no record yet.
///
/// # Errors
/// If what was sent is no whole record, or the two cannot be one: then nothing changes here. If the record here cannot be read or written.
pub fn exchange(places: &Places, sent: &[u8], now: Timestamp) -> Result<Vec<u8>, Failure> {
    let folder = tempfile::tempdir().map_err(|source| Fault::Write { path: std::env::temp_dir(), source })?;
    let mut here = Record::open(&places.record)?;
    if !sent.is_empty() {
        let came = folder.path().join("sent.record");
        fs::write(&came, sent).map_err(|source| Fault::Write { path: came.clone(), source })?;
        let came = Record::open(&came)?;
        if let Some(why) = came.read_only() {
            return Err(why.into());
        }
        came.check()?;
        // As it was, for whoever exchanged with the wrong one.
        rotate(places, now)?;
        here.join(&came)?;
    }
    let whole = folder.path().join(RECORD);
    here.backup(&whole)?;
    fs::read(&whole).map_err(|source| Fault::Unreadable { name: whole.display().to_string(), source }.into())
}

/// Puts a backup, or a record alone, in place. Nothing that is there is replaced.
///
/// # Errors
/// If the backup is not whole, or something is in its place already.
pub fn restore(from: &Path, places: &Places) -> Result<BackupSaved, Failure> {
    let backup = Backup::read(from)?;
    let devices = devices_beside(&places.record);
    for place in [&places.record, &places.kit, &devices] {
        let wanted = *place == places.record || !backup.files.is_empty();
        if wanted && place.symlink_metadata().is_ok() {
            let allowed = "there is one already, and it is not replaced; move it away first".to_owned();
            return Err(Fault::Field { field: "record", value: place.display().to_string(), allowed }.into());
        }
    }
    let put = || {
        for (path, bytes) in &backup.files {
            let (folder, path) = match path.strip_prefix("kit/") {
                Some(path) => (places.kit.clone(), path.to_owned()),
                None => (PathBuf::new(), devices.to_string_lossy().into_owned()),
            };
            lay_out(&folder, &[(path, bytes.clone())])?;
        }
        Ok(backup.record.backup(&places.record)?)
    };
    let saved = put().inspect_err(|_: &Failure| {
        // Neither was there before. What cannot be taken away again changes nothing.
        let _ = fs::remove_dir_all(&places.kit);
        let _ = fs::remove_file(&devices);
    })?;
    Ok(BackupSaved { facts: saved.facts, ..backup.kept(from) })
}

/// Makes a backup beside the record, unless the latest holds the same, and lets the oldest go.
///
/// # Errors
/// As [`backup`].
pub fn rotate(places: &Places, now: Timestamp) -> Result<Option<BackupSaved>, Failure> {
    if places.record.symlink_metadata().is_err() {
        return Ok(None);
    }
    let folder = places.backups();
    fs::create_dir_all(&folder).map_err(|source| Fault::Write { path: folder.clone(), source })?;
    let mut before = own_backups(places);
    if let Some(latest) = before.last()
        && holds_all_of(latest, places)
    {
        return Ok(None);
    }
    let to = folder.join(now.strftime("%Y-%m-%dT%H-%M-%SZ").to_string());
    let kept = backup(places, &to, now)?;
    before.push(to);
    for old in before.iter().rev().skip(KEPT) {
        // One too many does no harm.
        let _ = fs::remove_dir_all(old);
    }
    Ok(Some(kept))
}

/// Whether a backup is whole and holds all that there is.
fn holds_all_of(folder: &Path, places: &Places) -> bool {
    let same = || {
        let contents = Backup::read(folder)?.contents;
        let digest = desk::open(&places.record)?.digest()?;
        let files = places.files().map_err(|source| Fault::Write { path: folder.to_owned(), source })?;
        Ok::<_, Failure>(contents.is_some_and(|held| held.digest == digest && held.files == entries(&files)))
    };
    same().unwrap_or(false)
}

/// Those that the program made, the oldest first.
fn own_backups(places: &Places) -> Vec<PathBuf> {
    let mut all: Vec<PathBuf> = fs::read_dir(places.backups())
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.join(CONTENTS).is_file())
        .collect();
    all.sort();
    all
}
