//! What keeps a record safe while it is written: the file must be the one that was opened, and it says so where the log beside it
//! may hold what it lacks.
//!
//! New facts go into `FILE-wal` first. Before the first of them the file itself is marked as in use. Once nothing has been written
//! for a while, all of the log is carried into the file, and the mark is taken out. So a copy of the file alone either holds
//! everything, or carries the mark without the log.

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::PathBuf;
use std::time::Duration;

use rusqlite::{Transaction, TransactionBehavior};

use crate::Error;
use crate::beside::beside;
use crate::file_mark::{FileMark, WRITE_AHEAD, has_log};
use crate::record::Record;
use crate::store::Store;

impl AsMut<Self> for Record {
    fn as_mut(&mut self) -> &mut Self {
        self
    }
}

impl Record {
    /// Why this record can be read and not written, if that is so: its file may not be written, or it was copied without its log.
    pub fn read_only(&self) -> Option<Error> {
        self.store.read_only.as_ref().map(|read_only| read_only.why.error(&self.store.place.path))
    }

    /// Whether the file was deleted or replaced since it was opened. What is logged then is refused ([`Error::Gone`]), and what a
    /// deleted file held is saved beside its place (`FILE.rescued`).
    pub fn is_gone(&self) -> bool {
        self.store.is_in_place().is_err()
    }

    /// Carries everything into the file itself, so that a copy of the file alone holds it. Call it when nothing has been logged for a
    /// while; closing does it too. If others are at work, it is left to them.
    ///
    /// # Errors
    /// If the file cannot be written.
    pub fn settle(&self) -> Result<(), Error> {
        self.store.settle()
    }

    /// Does `work` with no other writer beside it, all of it or nothing: what it reads stays true until what it logs is on disk. What
    /// it works with holds the record. Work within such work is a part of it: hand its errors on.
    ///
    /// ```
    /// # use boardwise_record::{Error, Record, Shot};
    /// # let folder = tempfile::tempdir()?;
    /// # let mut record = Record::open(folder.path().join("a.record"))?;
    /// # record.import_json(include_str!("../examples/people.json"))?;
    /// # let (block, anna, at) = ("qualifying".parse()?, "anna".parse()?, "2026-04-11T09:30:00Z".parse()?);
    /// // Nobody else can log a ball between the look at the sheet and the shot.
    /// Record::alone(&mut record, |record| {
    ///     let none_yet = record.sheet(&block, &anna)?.deliveries.is_empty();
    ///     let pins = if none_yet { "10" } else { "none" };
    ///     record.log(Shot::standing(&block, &anna, pins.parse()?), &"k1".parse()?, at)
    /// })?;
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// What the work fails with; as [`Record::log`].
    ///
    /// # Panics
    /// If the work does; nothing is written then.
    pub fn alone<C: AsMut<Self>, T, E: From<Error>>(
        context: &mut C,
        work: impl FnOnce(&mut C) -> Result<T, E>,
    ) -> Result<T, E> {
        if context.as_mut().store.is_writing() {
            // A part of other such work, which fails with it.
            return work(context);
        }
        context.as_mut().store.hold()?;
        // Who panics must not leave the record held.
        let done = catch_unwind(AssertUnwindSafe(|| work(context)));
        let released = context.as_mut().store.release(matches!(done, Ok(Ok(_))));
        match done {
            Ok(done) => done.and_then(|done| released.map(|()| done).map_err(E::from)),
            Err(panic) => resume_unwind(panic),
        }
    }
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
        for _ in 1..if WRITE_AHEAD { TRIES } else { 1 } {
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
        if self.is_writing() || self.read_only.is_some() {
            return Ok(());
        }
        let in_use = self.in_use()?;
        // Where others were reading when the mark was taken out, that lies in the log too, and no file alone is whole.
        if !in_use && !has_log(&self.place.path) {
            return Ok(());
        }
        let cleared = self.at_once(|| {
            if in_use {
                let transaction = self.transaction(TransactionBehavior::Immediate)?;
                self.ask(|| self.db.execute("UPDATE seal SET in_use = 0", []))?;
                transaction.commit().map_err(|why| self.place.error(why))?;
            }
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
        let path = beside(&self.place.path, ".rescued");
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
