//! Copies of a record: restored and compared before they are called good.

use std::fs::{self, File};
use std::path::Path;

use rusqlite::{Connection, TransactionBehavior};

use crate::Error;
use crate::record::Record;
use crate::store::Store;

/// What a copy holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Saved {
    /// Facts in it.
    pub facts: u64,
    /// The digest of everything in it ([`Record::digest`]).
    pub digest: String,
}

impl Record {
    /// Writes a whole copy of the record to a new file, also while it is in use: others wait to write. The copy is opened, checked, and compared
    /// with the record; only then it gets its name.
    ///
    /// A copy of a copy is how a record is restored: open the one and copy it to where the record should be.
    ///
    /// ```
    /// # let folder = tempfile::tempdir()?;
    /// # let mut record = boardwise_record::Record::open(folder.path().join("a.record"))?;
    /// # record.import_json(include_str!("../examples/people.json"))?;
    /// let copy = folder.path().join("copy.record");
    /// let saved = record.backup(&copy)?;
    /// assert_eq!(boardwise_record::Record::open(copy)?.digest()?, saved.digest);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::NoCopy`], also where there is such a file already; [`Error::BadCopy`]; [`Error::DiskFull`]; [`Error::Busy`].
    pub fn backup(&self, path: impl AsRef<Path>) -> Result<Saved, Error> {
        let path = path.as_ref();
        let no_copy = |source| Error::NoCopy { path: path.to_owned(), source };
        if path.symlink_metadata().is_ok() {
            return Err(no_copy(std::io::ErrorKind::AlreadyExists.into()));
        }
        let folder = path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
        // On the same disk, so that the name is all that is still to be given.
        let beside = tempfile::Builder::new().prefix(".copy").tempdir_in(folder).map_err(no_copy)?;
        let copy = beside.path().join("copy.record");
        let here = self.store.while_nobody_writes(|| {
            // A copy is made from the rows, with new indexes: it would hide that those here lie.
            self.store.read(Store::is_whole)?;
            self.store.copy_to(&copy)?;
            self.digest()
        })?;
        let saved = Self::open(&copy).and_then(|copy| copy.check().and_then(|()| copy.saved()));
        let saved = saved.map_err(|why| why.of_file(path))?;
        if saved.digest != here {
            return Err(Error::BadCopy { path: path.to_owned() });
        }
        let named = tempfile::TempPath::try_from_path(&copy).map_err(no_copy)?;
        named.persist_noclobber(path).map_err(|why| no_copy(why.error))?;
        sync_folder(folder).map_err(no_copy)?;
        Ok(saved)
    }

    fn saved(&self) -> Result<Saved, Error> {
        Ok(Saved { facts: self.store.last()?.0.unsigned_abs(), digest: self.digest()? })
    }
}

/// The name of a new file is on disk once its folder is.
fn sync_folder(folder: &Path) -> std::io::Result<()> {
    // Elsewhere folders are not opened.
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

impl Store {
    /// Does `work` while others can read and not write.
    fn while_nobody_writes<T>(&self, work: impl FnOnce() -> Result<T, Error>) -> Result<T, Error> {
        if self.read_only.is_some() {
            return work();
        }
        // Copies are not made within a transaction, so another connection keeps the others out.
        let beside = self.beside()?;
        let held = beside.transaction(TransactionBehavior::Immediate)?;
        let done = work();
        drop(held);
        done
    }

    /// Writes a whole copy to a new file, and waits until it is on disk.
    pub fn copy_to(&self, path: &Path) -> Result<(), Error> {
        let no_copy = |source| Error::NoCopy { path: path.to_owned(), source };
        if path.exists() {
            return Err(no_copy(std::io::ErrorKind::AlreadyExists.into()));
        }
        let target = path.to_str().ok_or_else(|| no_copy(std::io::ErrorKind::InvalidFilename.into()))?;
        self.ask(|| self.db.execute("VACUUM INTO ?1", [target]))?;
        self.ask(|| {
            let copy = Connection::open(path)?;
            // The copy has all of the log in it. Records of earlier versions have no such mark.
            if copy.table_exists(None, "seal")? {
                copy.execute("UPDATE seal SET in_use = 0", [])?;
            }
            Ok(())
        })?;
        // Windows writes a file through to the disk only for who may write it.
        let through = || File::options().write(true).open(path)?.sync_all();
        owner_alone(path).and_then(|()| through()).map_err(no_copy)
    }
}

#[cfg(unix)]
fn owner_alone(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(0o600))
}

#[cfg(not(unix))]
fn owner_alone(path: &Path) -> std::io::Result<()> {
    fs::metadata(path).map(drop)
}
