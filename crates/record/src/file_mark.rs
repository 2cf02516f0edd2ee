//! Which file a path led to, why it may only be read, and the log beside it.

use std::fs::{self, Metadata};
use std::path::{Path, PathBuf};

use crate::Error;
use crate::beside::beside;

/// Whether new facts go into a log beside the file first. That needs memory that connections share, which the private file system of
/// a browser does not have. A rollback journal does there: the file alone is whole after every fact, and never marked as in use.
pub(crate) const WRITE_AHEAD: bool = !cfg!(target_os = "wasi");

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
    beside(path, "-wal")
}

/// Whether there is anything in the log beside a file.
pub(crate) fn has_log(path: &Path) -> bool {
    fs::metadata(log_of(path)).is_ok_and(|log| log.len() > 0)
}
