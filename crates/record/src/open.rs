//! Opening a file: what it is, whether it is whole, of which version, and bringing it to ours.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

use crate::Error;
use crate::earlier::carry_over;
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
];

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
    let place = Place { path, wait };
    let flags = FLAGS | OpenFlags::SQLITE_OPEN_CREATE;
    let db = Connection::open_with_flags(&place.path, flags).map_err(|why| place.error(why))?;
    let store = Store { db, place };
    store.ask(|| store.db.busy_timeout(wait))?;
    let version = store.identify(i64::try_from(steps.len()).unwrap_or(i64::MAX))?;
    // A file that may be read and not written is opened by the database without a word.
    if store.ask(|| store.db.is_readonly("main"))? {
        return Err(Error::ReadOnly { path: store.place.path });
    }
    if version > 0 {
        store.quick_check()?;
    }
    store.settle_in()?;
    store.migrate(steps)?;
    store.ask(|| store.db.pragma_update(None, "foreign_keys", true))?;
    Ok(store)
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

    /// Reads every page once and checks that it is sound; not that each index says what its table says.
    fn quick_check(&self) -> Result<(), Error> {
        self.checked("quick_check")
    }

    /// The thorough check: quick, and every index against its table, and every reference.
    pub fn full_check(&self) -> Result<(), Error> {
        self.checked("integrity_check")?;
        let sql = "SELECT count(*) FROM pragma_foreign_key_check";
        match self.ask(|| self.db.query_row(sql, [], |row| row.get::<_, i64>(0)))? {
            0 => Ok(()),
            astray => {
                let what = format!("{astray} references lead nowhere");
                Err(Error::Damaged { path: self.place.path.clone(), what })
            }
        }
    }

    fn checked(&self, check: &str) -> Result<(), Error> {
        let found: Vec<String> = self.ask(|| {
            let mut query = self.db.prepare(&format!("PRAGMA {check}(3)"))?;
            query.query_map([], |row| row.get(0))?.collect()
        })?;
        if found == ["ok"] {
            return Ok(());
        }
        Err(Error::Damaged { path: self.place.path.clone(), what: found.join("; ") })
    }

    /// How the file is written, so that what is logged stays logged.
    fn settle_in(&self) -> Result<(), Error> {
        // The write-ahead log takes one sync for each fact where a rollback journal takes five, and readers never wait
        // for a writer. FULL syncs at every commit; the default of this mode would not.
        let mode = self.patiently(|| self.db.pragma_update_and_check(None, "journal_mode", "wal", |row| row.get(0)))?;
        if mode != "wal" {
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
            self.write(|store| {
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
                store.ask(|| {
                    store.db.pragma_update(None, "application_id", MARK)?;
                    store.db.pragma_update(None, "user_version", i64::try_from(after).unwrap_or(i64::MAX))
                })
            })?;
        }
        Ok(())
    }

    fn steps_taken(&self) -> Result<usize, Error> {
        // Versions below nothing are no records, and were not opened.
        self.pragma::<i64>("user_version").map(|version| usize::try_from(version).unwrap_or_default())
    }

    /// The file opened once more, for copies are not made within a transaction.
    fn beside(&self) -> Result<Self, Error> {
        let db = self.ask(|| Connection::open_with_flags(&self.place.path, FLAGS))?;
        self.ask(|| db.busy_timeout(self.place.wait))?;
        Ok(Self { db, place: self.place.clone() })
    }

    /// A free name beside the file for a copy of this version.
    fn backup_path(&self, version: usize) -> PathBuf {
        let name = |more: &str| {
            let mut name = self.place.path.clone().into_os_string();
            name.push(format!(".v{version}{more}.backup"));
            PathBuf::from(name)
        };
        let numbered = (2..).map(|n| name(&format!("-{n}")));
        std::iter::once(name("")).chain(numbered).find(|path| !path.exists()).unwrap_or_else(|| name(""))
    }

    /// Writes a whole copy to a new file, and waits until it is on disk.
    pub fn copy_to(&self, path: &Path) -> Result<(), Error> {
        let no_copy = |source| Error::NoCopy { path: path.to_owned(), source };
        if path.exists() {
            return Err(no_copy(std::io::ErrorKind::AlreadyExists.into()));
        }
        let target = path.to_str().ok_or_else(|| no_copy(std::io::ErrorKind::InvalidFilename.into()))?;
        self.ask(|| self.db.execute("VACUUM INTO ?1", [target]))?;
        std::fs::File::open(path).and_then(|copy| copy.sync_all()).map_err(no_copy)
    }
}

#[cfg(test)]
mod tests;
