//! Files out: whole, or not there.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::Fault;

/// Whether the folder that is to hold a path exists.
///
/// # Errors
/// If there is no such folder.
pub fn check_parent(path: &Path) -> io::Result<()> {
    let parent = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if parent.is_dir() { Ok(()) } else { Err(io::ErrorKind::NotFound.into()) }
}

/// Refuses a picture's place that cannot be written, before any work.
///
/// # Errors
/// [`Fault::Field`] if the path is a folder, or is in no folder.
pub fn check_place(field: &'static str, path: &Path) -> Result<(), Fault> {
    let refuse = |allowed: &str| Fault::Field { field, value: path.display().to_string(), allowed: allowed.to_owned() };
    if path.file_name().is_none() || path.is_dir() {
        return Err(refuse("names a folder; give the file's name too"));
    }
    check_parent(path).map_err(|_| refuse("the folder does not exist; make it first"))
}

/// Writes a file beside its place, then moves it there, so that it is whole or not there.
///
/// # Errors
/// [`Fault::Write`] if the system refuses.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Fault> {
    Staged::write(path, bytes)?.keep()
}

/// A file laid ready beside its place; gone again unless it is kept.
pub struct Staged {
    beside: PathBuf,
    path: PathBuf,
}

impl Staged {
    /// Lays it ready.
    ///
    /// # Errors
    /// [`Fault::Write`] if the system refuses.
    pub fn write(path: &Path, bytes: &[u8]) -> Result<Self, Fault> {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let beside = path.with_file_name(format!(".{name}.partial-{}", std::process::id()));
        let staged = Self { beside, path: path.to_owned() };
        let written = File::create(&staged.beside).and_then(|mut file| {
            file.write_all(bytes)?;
            // On disk before it takes its place: a power cut leaves the old file or the new one.
            file.sync_all()
        });
        written.map(|()| staged).map_err(|source| Fault::Write { path: path.to_owned(), source })
    }

    /// Moves it to its place.
    ///
    /// # Errors
    /// [`Fault::Write`] if the system refuses.
    pub fn keep(self) -> Result<(), Fault> {
        fs::rename(&self.beside, &self.path).map_err(|source| Fault::Write { path: self.path.clone(), source })
    }
}

impl Drop for Staged {
    fn drop(&mut self) {
        // Nothing is left once it was kept; what is left of a failed write is ours and of no use.
        let _ = fs::remove_file(&self.beside);
    }
}
