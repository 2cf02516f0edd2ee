//! What keeps a record safe while it is written: the file must be the one that was opened, and it says so where the log beside it
//! may hold what it lacks.
//!
//! New facts go into `FILE-wal` first. Before the first of them the file itself is marked as in use, and once nothing has been written
//! for a while all of the log is carried into the file and the mark is taken out. So a copy of the file alone either holds
//! everything, or carries the mark without the log.

use std::fs::{self, Metadata};
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Transaction, TransactionBehavior};

use crate::Error;
use crate::store::Store;

/// Which file a path led to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FileMark(u64, u64);

impl FileMark {
    /// Of the file at a path, if there is one.
    pub fn of(path: &Path) -> Option<Self> {
        fs::metadata(path).ok().map(|file| Self::of_file(&file))
    }

    #[cfg(unix)]
    fn of_file(file: &Metadata) -> Self {
        use std::os::unix::fs::MetadataExt;
        Self(file.dev(), file.ino())
    }

    /// Elsewhere an open file cannot be deleted or replaced: all are the same.
    #[cfg(not(unix))]
    fn of_file(_: &Metadata) -> Self {
        Self(0, 0)
    }
}

/// Why a record is only read, and from where.
#[derive(Debug)]
pub struct ReadOnly {
    /// Why.
    pub why: Why,
    /// The folder of the copy that is read; it goes with the record.
    pub _copy: tempfile::TempDir,
}

/// Why a record is only read.
#[derive(Clone, Debug)]
pub enum Why {
    /// The file or its folder may not be written.
    NotWritable,
    /// It was copied without its log.
    Lone {
        /// Facts that it holds.
        facts: i64,
        /// The time of the last of them.
        last: String,
    },
}

impl Why {
    pub fn error(&self, path: &Path) -> Error {
        let path = path.to_owned();
        match self {
            Self::NotWritable => Error::ReadOnly { path },
            Self::Lone { facts, last } => Error::Lone { path, facts: *facts, last: last.clone() },
        }
    }
}

/// The log beside a file.
pub(crate) fn log_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    name.into()
}

/// Whether there is anything in the log beside a file.
pub(crate) fn has_log(path: &Path) -> bool {
    fs::metadata(log_of(path)).is_ok_and(|log| log.len() > 0)
}

impl Store {
    /// Begins to write into a file that is marked as in use.
    pub(crate) fn begin_writing(&self) -> Result<Transaction<'_>, Error> {
        /// Whoever settles at the same moment takes the mark out again.
        const TRIES: usize = 5;
        if let Some(read_only) = &self.read_only {
            return Err(read_only.why.error(&self.place.path));
        }
        self.is_in_place()?;
        for _ in 1..TRIES {
            let transaction = self.transaction(TransactionBehavior::Immediate)?;
            if self.in_use()? {
                return Ok(transaction);
            }
            self.ask(|| self.db.execute("UPDATE seal SET in_use = 1", []))?;
            transaction.commit().map_err(|why| self.place.error(why))?;
            self.checkpoint("PASSIVE")?;
        }
        self.transaction(TransactionBehavior::Immediate)
    }

    /// Keeps other writers out until [`Store::release`].
    pub fn hold(&self) -> Result<(), Error> {
        // The transaction is ended there.
        self.begin_writing().map(std::mem::forget)
    }

    /// Ends what [`Store::hold`] began, and keeps what was done or takes it back.
    pub fn release(&self, keep: bool) -> Result<(), Error> {
        let end = |sql| self.ask(|| self.db.execute_batch(sql));
        if keep && let Err(why) = end("COMMIT") {
            let _ = end("ROLLBACK");
            return Err(why);
        }
        if keep { self.is_in_place() } else { end("ROLLBACK") }
    }

    /// Whether the file is marked as in use.
    pub(crate) fn in_use(&self) -> Result<bool, Error> {
        let sql = "SELECT in_use FROM seal";
        self.ask(|| self.db.prepare_cached(sql)?.query_row([], |row| row.get(0)))
    }

    /// Carries all of the log into the file and takes the mark out. If others are reading or writing, that is left to them.
    pub fn settle(&self) -> Result<(), Error> {
        if self.is_writing() || self.read_only.is_some() || !self.in_use()? {
            return Ok(());
        }
        let cleared = self.at_once(|| {
            let transaction = self.transaction(TransactionBehavior::Immediate)?;
            self.ask(|| self.db.execute("UPDATE seal SET in_use = 0", []))?;
            transaction.commit().map_err(|why| self.place.error(why))?;
            self.checkpoint("TRUNCATE")
        });
        match cleared {
            Ok(()) | Err(Error::Busy { .. }) => Ok(()),
            Err(why) => Err(why),
        }
    }

    /// Without waiting for others.
    fn at_once<T>(&self, work: impl FnOnce() -> Result<T, Error>) -> Result<T, Error> {
        self.ask(|| self.db.busy_timeout(Duration::ZERO))?;
        let done = work();
        self.ask(|| self.db.busy_timeout(self.place.wait))?;
        done
    }

    fn checkpoint(&self, how: &str) -> Result<(), Error> {
        self.ask(|| self.db.query_row(&format!("PRAGMA wal_checkpoint({how})"), [], |_| Ok(())))
    }

    /// Says so if the path no longer leads to the file that was opened.
    pub fn is_in_place(&self) -> Result<(), Error> {
        let path = &self.place.path;
        if self.read_only.is_some() || FileMark::of(path) == self.file {
            return Ok(());
        }
        let rescued = if fs::symlink_metadata(path).is_err() { self.rescue() } else { None };
        Err(Error::Gone { path: path.clone(), rescued })
    }

    /// Writes what a deleted file held to a new one beside its place.
    fn rescue(&self) -> Option<PathBuf> {
        let mut name = self.place.path.clone().into_os_string();
        name.push(".rescued");
        let path = PathBuf::from(name);
        if !self.is_writing() && !path.exists() {
            // Where this fails the error tells of no copy.
            let _ = self.copy_to(&path);
        }
        path.exists().then_some(path)
    }
}

impl Drop for Store {
    fn drop(&mut self) {
        if self.file.is_some() && FileMark::of(&self.place.path) == self.file {
            // What cannot be carried over now stays in the log, and the mark says so.
            let _ = self.settle();
        }
    }
}
