//! The app for a phone alone. One module holds session, engines, record and pages; the scripts in `site/` give it a disk and pass
//! questions on.
//!
//! The module is a WASI reactor: files, clock and random numbers are the host's. A question comes on standard input and its answer
//! leaves on standard output, so that nothing here touches raw memory.

use std::cell::RefCell;
use std::io::{Read, Write};
use std::path::Path;

use boardwise_record::{Joined, Record};
use boardwise_web::{Alone, Asked, Told};
use serde::Serialize;

/// Where the disk keeps the record.
const RECORD: &str = "/mine.record";
/// Where it keeps the user's own lanes, bags, bowlers and events.
const KIT: &str = "/kit";
/// Where copies are made.
const COPIES: &str = "/copies";

thread_local! {
    static APP: RefCell<Option<Alone>> = const { RefCell::new(None) };
}

/// Makes the app ready. Gives 0, or 1 where it cannot be opened; why stands on standard output.
#[unsafe(no_mangle)]
pub extern "C" fn start() -> u32 {
    let _ = tempfile::env::override_temp_dir(Path::new(COPIES));
    match Alone::new(RECORD.into(), KIT.into()) {
        Ok(app) => {
            APP.replace(Some(app));
            0
        }
        Err(why) => {
            say(why.to_string().as_bytes());
            1
        }
    }
}

/// Answers the question on standard input: a line with method and address, then the body. The answer begins with a line of JSON
/// (`status` and `headers`), then comes its body.
#[unsafe(no_mangle)]
pub extern "C" fn ask() {
    let told = APP.with_borrow(|app| app.as_ref().zip(question()).map(|(app, asked)| app.answer(asked)));
    let Some(Told { status, headers, body }) = told else { return };
    #[derive(Serialize)]
    struct Head {
        status: u16,
        headers: Vec<(String, String)>,
    }
    let mut all = serde_json::to_vec(&Head { status, headers }).unwrap_or_default();
    all.push(b'\n');
    all.extend(body);
    say(&all);
}

/// How many questions were put off that take long.
#[unsafe(no_mangle)]
pub extern "C" fn behind() -> u32 {
    APP.with_borrow(|app| app.as_ref().map_or(0, |app| app.behind() as u32))
}

/// Answers what was put off. How far it has come stands on standard error: a line each with the share done, 0 to 1.
#[unsafe(no_mangle)]
pub extern "C" fn catch_up() {
    // Nobody hears of it where the host takes nothing.
    let hears = |share: f64| drop(std::io::stderr().write_all(format!("{share}\n").as_bytes()));
    APP.with_borrow(|app| app.as_ref().map(|app| app.catch_up(&hears)));
}

/// Learns what has been logged and throws ahead. Call it while nobody asks.
#[unsafe(no_mangle)]
pub extern "C" fn look_ahead() {
    APP.with_borrow(|app| app.as_ref().map(Alone::look_ahead));
}

/// Writes a whole copy of the record to standard output, once it was restored and compared; nothing where nothing was logged yet.
/// Gives 0, or 1 with the reason there.
#[unsafe(no_mangle)]
pub extern "C" fn take_out() -> u32 {
    told(copied())
}

/// Puts the record on standard input in the place of the one here. Gives 0, or 1 with the reason on standard output: then the one here
/// stays as it was.
#[unsafe(no_mangle)]
pub extern "C" fn bring_in() -> u32 {
    let done = came(|came, folder| {
        let whole = folder.join("whole.record");
        let saved = came.backup(&whole).map_err(words)?;
        // What is open is the old file.
        APP.replace(None);
        std::fs::rename(&whole, RECORD).map_err(|why| why.to_string())?;
        Ok(format!("{} entries are here now", saved.facts))
    });
    if APP.with_borrow(Option::is_none) && start() != 0 {
        return 1;
    }
    told(done)
}

/// Adds everything of the record on standard input to the one here. Gives 0, or 1 with the reason on standard output: then the one here
/// stays as it was.
#[unsafe(no_mangle)]
pub extern "C" fn join_in() -> u32 {
    told(came(|came, _| {
        // Where nothing was logged yet this begins a record.
        let Joined { facts, new, lacks } = Record::open(RECORD).and_then(|mut here| here.join(came)).map_err(words)?;
        Ok(format!("{new} entries are new here, {lacks} are not yet there, {facts} are here now"))
    }))
}

/// Does `work` with the record on standard input, once it was opened and checked, and with a folder that goes then.
fn came(work: impl FnOnce(&Record, &Path) -> Result<String, String>) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    std::io::stdin().lock().read_to_end(&mut bytes).map_err(|why| why.to_string())?;
    let folder = tempfile::tempdir().map_err(|why| why.to_string())?;
    let record = opened(bytes, &folder.path().join("came.record"))?;
    work(&record, folder.path()).map(String::into_bytes)
}

fn told(done: Result<Vec<u8>, String>) -> u32 {
    let failed = u32::from(done.is_err());
    say(&done.unwrap_or_else(String::into_bytes));
    failed
}

fn copied() -> Result<Vec<u8>, String> {
    if !Path::new(RECORD).exists() {
        return Ok(Vec::new());
    }
    let folder = tempfile::tempdir().map_err(|why| why.to_string())?;
    let copy = folder.path().join("mine.record");
    Record::open(RECORD).and_then(|record| record.backup(&copy)).map_err(|why| why.to_string())?;
    std::fs::read(copy).map_err(|why| why.to_string())
}

/// A record that came as bytes, in a file of its own.
fn opened(mut bytes: Vec<u8>, path: &Path) -> Result<Record, String> {
    /// Where a file says that it is written with a log beside it, and how it says that it is not
    /// (<https://www.sqlite.org/fileformat2.html#file_format_version_numbers>).
    const BY_LOG: std::ops::Range<usize> = 18..20;
    const ALONE: [u8; 2] = [1, 1];
    if let Some(mode) = bytes.get_mut(BY_LOG).filter(|mode| **mode == [2, 2]) {
        mode.copy_from_slice(&ALONE);
    }
    std::fs::write(path, bytes).map_err(|why| why.to_string())?;
    let record = Record::open(path).map_err(words)?;
    if let Some(why) = record.read_only() {
        return Err(why.to_string());
    }
    record.check().map_err(words)?;
    Ok(record)
}

fn words(why: boardwise_record::Error) -> String {
    why.to_string()
}

fn question() -> Option<Asked> {
    let mut all = Vec::new();
    std::io::stdin().lock().read_to_end(&mut all).ok()?;
    let end = all.iter().position(|byte| *byte == b'\n')?;
    let line = std::str::from_utf8(&all[..end]).ok()?;
    let (method, address) = line.split_once(' ')?;
    Some(Asked { method: method.to_owned(), address: address.to_owned(), body: all[end + 1..].to_vec() })
}

fn say(words: &[u8]) {
    let mut out = std::io::stdout().lock();
    // Nobody hears of it where the host takes nothing.
    let _ = out.write_all(words).and_then(|()| out.flush());
}
