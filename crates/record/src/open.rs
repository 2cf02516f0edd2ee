//! Opening a file: what it is, whether it is whole, of which version, and bringing it to ours.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use crate::Error;
use crate::beside::beside;
use crate::earlier::carry_over;
use crate::file_mark::{FileMark, ReadOnly, WRITE_AHEAD, Why, has_log, log_of};
use crate::store::{Place, Store};

/// A step from one version of the tables to the next.
#[derive(Clone, Copy)]
struct Step {
    /// What changes of the tables.
    sql: &'static str,
    /// What is then done with the rows.
    rows: Option<Rows>,
}

/// What is done with the rows of a record.
type Rows = fn(&Store) -> Result<(), Error>;

impl Step {
    const fn of(sql: &'static str) -> Self {
        Self { sql, rows: None }
    }

    fn take(self, store: &Store) -> Result<(), Error> {
        store.ask(|| store.db.execute_batch(self.sql))?;
        self.rows.map_or(Ok(()), |rows| rows(store))
    }
}

/// The steps from an empty file to the tables of today. A file's version is how many of them it has seen.
const STEPS: &[Step] = &[
    Step::of(include_str!("../migrations/001_record.sql")),
    Step::of(include_str!("../migrations/002_beginning.sql")),
    Step { sql: include_str!("../migrations/003_facts.sql"), rows: Some(carry_over) },
    Step { sql: include_str!("../migrations/004_sums.sql"), rows: Some(|store| store.sum_all(SEALED)) },
    Step::of(include_str!("../migrations/005_tally.sql")),
    Step { sql: include_str!("../migrations/006_measured.sql"), rows: Some(|store| store.sum_all(MEASURED)) },
];

/// The first version with a seal.
const SEALED: usize = 4;

/// The first version with a tally.
const TALLIED: usize = 5;

/// The first version that keeps what a film measured.
pub(crate) const MEASURED: usize = 6;

/// Marks a file as a record, in the header field that databases have for it: "bkrc".
const MARK: i64 = 0x626b_7263;

/// One connection is used by one thread at a time.
const FLAGS: OpenFlags = OpenFlags::SQLITE_OPEN_READ_WRITE.union(OpenFlags::SQLITE_OPEN_NO_MUTEX);

/// Opens the record in a file, or begins one where there is no file.
pub(crate) fn open(path: &Path, wait: Duration) -> Result<Store, Error> {
    open_with(path, wait, STEPS)
}

fn open_with(path: &Path, wait: Duration, steps: &[Step]) -> Result<Store, Error> {
    // Made absolute so that no path is taken for one of the database's special names.
    let path = std::path::absolute(path).map_err(|_| Error::CannotOpen { path: path.to_owned() })?;
    let why = match open_to_write(&path, wait, steps, Logs::Needed) {
        Ok(store) => return Ok(store),
        Err(Error::Lone { facts, last, .. }) => Why::Lone { facts, last },
        Err(Error::ReadOnly { .. } | Error::CannotOpen { .. } | Error::NoWriteAhead { .. }) if path.is_file() => {
            Why::NotWritable
        }
        Err(why) => return Err(why),
    };
    open_to_read(&path, wait, steps, why)
}

/// Whether a record that was in use is opened where its log is missing.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Logs {
    Needed,
    Left,
}

/// Reads a record that cannot be written: a copy of it is opened, which may be brought up to date like any other.
fn open_to_read(path: &Path, wait: Duration, steps: &[Step], why: Why) -> Result<Store, Error> {
    let cannot = |_| Error::CannotOpen { path: path.to_owned() };
    let folder = tempfile::tempdir().map_err(cannot)?;
    let copy = folder.path().join("copy.record");
    // The bytes alone: what may be done with the file stays behind.
    std::fs::write(&copy, std::fs::read(path).map_err(cannot)?).map_err(cannot)?;
    if has_log(path) {
        std::fs::write(log_of(&copy), std::fs::read(log_of(path)).map_err(cannot)?).map_err(cannot)?;
    }
    let mut store = open_to_write(&copy, wait, steps, Logs::Left).map_err(|why| why.of_file(path))?;
    path.clone_into(&mut store.place.path);
    store.file = None;
    store.read_only = Some(ReadOnly { why, _copy: folder });
    Ok(store)
}

fn open_to_write(path: &Path, wait: Duration, steps: &[Step], logs: Logs) -> Result<Store, Error> {
    let place = Place { path: path.to_owned(), wait, had_log: has_log(path) };
    begin(path);
    let flags = FLAGS | OpenFlags::SQLITE_OPEN_CREATE;
    let db = Connection::open_with_flags(path, flags).map_err(|why| place.error(why))?;
    let mut store = Store { db, place, file: None, read_only: None };
    store.ask(|| store.db.busy_timeout(wait))?;
    let version = store.identify(i64::try_from(steps.len()).unwrap_or(i64::MAX))?;
    // A file that may be read and not written is opened by the database without a word.
    if store.ask(|| store.db.is_readonly("main"))? {
        return Err(Error::ReadOnly { path: store.place.path.clone() });
    }
    if store.place.had_log {
        store.log_is_whole()?;
    }
    match usize::try_from(version).unwrap_or_default() {
        0 => {}
        // What is made new of all rows is made of sound ones.
        earlier if earlier < steps.len() => store.read(Store::is_whole)?,
        _ => store.read(Store::opens_whole)?,
    }
    if logs == Logs::Needed && usize::try_from(version).is_ok_and(|version| version >= SEALED) {
        store.has_its_log()?;
    }
    store.settle_in()?;
    store.migrate(steps)?;
    store.ask(|| store.db.pragma_update(None, "foreign_keys", true))?;
    store.file = FileMark::of(path);
    Ok(store)
}

/// A new file is its owner's alone. Where it cannot be made, opening says why.
fn begin(path: &Path) {
    let mut new = std::fs::OpenOptions::new();
    new.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut new, 0o600);
    let _ = new.open(path);
}

impl Store {
    /// The version of the file, 0 for an empty one.
    fn identify(&self, ours: i64) -> Result<i64, Error> {
        // All three of one state: somebody else may be beginning the record at this moment.
        let (mark, version, tables) = self.read(|store| {
            let sql = "SELECT count(*) FROM sqlite_schema";
            let tables: i64 = store.ask(|| store.db.query_row(sql, [], |row| row.get(0)))?;
            Ok((store.pragma::<i64>("application_id")?, store.pragma::<i64>("user_version")?, tables))
        })?;
        let path = || self.place.path.clone();
        match (mark, version, tables) {
            (0, 0, 0) => Ok(0),
            (MARK, 1.., 1..) if version <= ours => Ok(version),
            (MARK, 1.., _) if version > ours => Err(Error::Newer { path: path(), found: version, ours }),
            (MARK, ..) => Err(Error::Damaged { path: path(), what: format!("version {version}, {tables} tables") }),
            _ => Err(Error::NotARecord { path: path() }),
        }
    }

    fn pragma<T: rusqlite::types::FromSql>(&self, name: &str) -> Result<T, Error> {
        self.ask(|| self.db.pragma_query_value(None, name, |row| row.get(0)))
    }

    /// Whether the file is what it says it is, as far as one can see without reading every fact. Each fact is looked at when it is read.
    fn opens_whole(&self) -> Result<(), Error> {
        let sealed = self.ask(|| self.db.table_exists(None, "seal"))?;
        let version = self.steps_taken()?;
        if sealed != (version >= SEALED) {
            return Err(self.damaged(format!("its tables are not those of version {version}")));
        }
        self.is_not_cut_short()?;
        if sealed { self.seal_agrees(version) } else { Ok(()) }
    }

    /// Says so if the file ends before its last page, as a copy does that was cut short.
    fn is_not_cut_short(&self) -> Result<(), Error> {
        let path = &self.place.path;
        let pages = self.pragma::<i64>("page_count")?.saturating_mul(self.pragma("page_size")?);
        let bytes = std::fs::metadata(path).map_or(i64::MAX, |file| file.len().try_into().unwrap_or(i64::MAX));
        // What is in the log need not be in the file yet.
        if bytes >= pages || self.place.had_log || has_log(path) {
            return Ok(());
        }
        Err(self.damaged(format!("it has {bytes} of {pages} bytes")))
    }

    /// Whether the file is whole: every page is sound, every index says what its table says, and every row is as it was written.
    pub fn is_whole(&self) -> Result<(), Error> {
        self.opens_whole()?;
        self.checked("integrity_check")?;
        let version = self.steps_taken()?;
        if version >= SEALED {
            self.sums_agree(version)?;
        }
        if version >= TALLIED { self.tally_agrees() } else { Ok(()) }
    }

    /// The thorough check: all that, and every reference.
    pub fn full_check(&self) -> Result<(), Error> {
        self.is_whole()?;
        let sql = "SELECT count(*) FROM pragma_foreign_key_check";
        match self.ask(|| self.db.query_row(sql, [], |row| row.get::<_, i64>(0)))? {
            0 => Ok(()),
            astray => Err(self.damaged(format!("{astray} references lead nowhere"))),
        }
    }

    /// Says so if this is a copy that was made without the log beside the file, while that was in use.
    fn has_its_log(&self) -> Result<(), Error> {
        let path = &self.place.path;
        // Where there is a log now and was none, somebody else has opened the file in between.
        if self.place.had_log || !self.in_use()? || has_log(path) {
            return Ok(());
        }
        let facts = self.last()?.0;
        let last = self.latest()?.map_or_else(|| "-".to_owned(), |at| at.to_string());
        Err(Error::Lone { path: path.clone(), facts, last })
    }

    /// Whether one of the database's own checks finds nothing.
    pub(crate) fn checked(&self, check: &str) -> Result<(), Error> {
        /// So many say enough.
        const TOLD: usize = 3;
        let found: Vec<String> = self.ask(|| {
            let mut query = self.db.prepare(&format!("PRAGMA {check}"))?;
            query.query_map([], |row| row.get(0))?.collect()
        })?;
        if found == ["ok"] {
            return Ok(());
        }
        Err(self.damaged(found.into_iter().take(TOLD).collect::<Vec<_>>().join("; ")))
    }

    /// How the file is written, so that what is logged stays logged.
    fn settle_in(&self) -> Result<(), Error> {
        // The write-ahead log takes one sync for each fact where a rollback journal takes five, and readers never wait
        // for a writer. FULL syncs at every commit; the default of this mode would not.
        let wanted = if WRITE_AHEAD { "wal" } else { "persist" };
        let mode =
            self.patiently(|| self.db.pragma_update_and_check(None, "journal_mode", wanted, |row| row.get(0)))?;
        if mode != wanted {
            return Err(Error::NoWriteAhead { path: self.place.path.clone(), mode });
        }
        self.ask(|| {
            self.db.pragma_update(None, "synchronous", "full")?;
            // Only where a plain sync does not reach the disk is there a fuller one; elsewhere this says nothing.
            self.db.pragma_update(None, "fullfsync", true)?;
            self.db.pragma_update(None, "checkpoint_fullfsync", true)
        })
    }

    /// Asks again while others write, for what the database does not itself wait for.
    fn patiently(&self, question: impl Fn() -> rusqlite::Result<String>) -> Result<String, Error> {
        const PAUSE: Duration = Duration::from_millis(5);
        let mut waited = Duration::ZERO;
        loop {
            match self.ask(&question) {
                Err(Error::Busy { .. }) if waited < self.place.wait => {
                    std::thread::sleep(PAUSE);
                    waited += PAUSE;
                }
                answer => return answer,
            }
        }
    }

    /// Takes the steps the file has not seen: each wholly or not at all, each after a copy of the file as it was. An empty file takes all of
    /// them together, since there is nothing in it to copy.
    fn migrate(&self, steps: &[Step]) -> Result<(), Error> {
        while self.steps_taken()? < steps.len() {
            // Nobody else writes from the copy to the end of the step, so that the copy lacks nothing.
            self.step(|store| {
                let before = store.steps_taken()?;
                // Somebody else may have taken the step since.
                if before >= steps.len() {
                    return Ok(());
                }
                let after = if before == 0 { steps.len() } else { before + 1 };
                if before > 0 {
                    store.beside()?.copy_to(&store.backup_path(before))?;
                }
                steps[before..after].iter().try_for_each(|step| step.take(store))?;
                if after >= SEALED {
                    store.seal_tables(after)?;
                }
                store.ask(|| {
                    store.db.pragma_update(None, "application_id", MARK)?;
                    store.db.pragma_update(None, "user_version", i64::try_from(after).unwrap_or(i64::MAX))
                })
            })?;
        }
        Ok(())
    }

    /// Does `work` wholly or not at all. The file has no seal yet, or not the one it will have.
    fn step(&self, work: impl FnOnce(&Self) -> Result<(), Error>) -> Result<(), Error> {
        let transaction = self.transaction(TransactionBehavior::Immediate)?;
        work(self)?;
        transaction.commit().map_err(|why| self.place.error(why))
    }

    fn steps_taken(&self) -> Result<usize, Error> {
        // Versions below nothing are no records, and were not opened.
        self.pragma::<i64>("user_version").map(|version| usize::try_from(version).unwrap_or_default())
    }

    /// The file opened once more, for copies are not made within a transaction.
    pub(crate) fn beside(&self) -> Result<Self, Error> {
        let db = self.ask(|| Connection::open_with_flags(&self.place.path, FLAGS))?;
        self.ask(|| db.busy_timeout(self.place.wait))?;
        Ok(Self { db, place: self.place.clone(), file: None, read_only: None })
    }

    /// A free name beside the file for a copy of this version.
    fn backup_path(&self, version: usize) -> PathBuf {
        let name = |more: &str| beside(&self.place.path, &format!(".v{version}{more}.backup"));
        let numbered = (2..).map(|n| name(&format!("-{n}")));
        std::iter::once(name("")).chain(numbered).find(|path| !path.exists()).unwrap_or_else(|| name(""))
    }
}

#[cfg(test)]
mod tests;
