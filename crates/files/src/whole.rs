//! Files out: whole, or not there, and never in the place of what nobody said should go.

#[cfg(any(unix, test))]
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::Fault;

/// What becomes of a file that is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Existing {
    /// It stays, and writing is refused.
    Stays,
    /// The new one takes its place.
    Goes,
}

/// Whether the folder that is to hold a path exists.
///
/// # Errors
/// If there is no such folder.
pub fn check_parent(path: &Path) -> io::Result<()> {
    if folder_of(path).is_dir() { Ok(()) } else { Err(io::ErrorKind::NotFound.into()) }
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Refuses a place that cannot be written, before any work.
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

/// Refuses a place for a new file, before any work: as [`check_place`], and what must not be replaced.
///
/// # Errors
/// [`Fault::Field`] if there is a link, a device or another thing that is no file; or a file that stays.
pub fn check_new(field: &'static str, path: &Path, existing: Existing) -> Result<(), Fault> {
    check_place(field, path)?;
    let refuse = |allowed: &str| Fault::Field { field, value: path.display().to_string(), allowed: allowed.to_owned() };
    match path.symlink_metadata() {
        Ok(there) if !there.is_file() => Err(refuse(
            "is a link, a device or another thing that is no plain file, and is not replaced; give another name",
        )),
        Ok(_) if existing == Existing::Stays => Err(refuse(
            "there is something of that name already; nothing was written. Give a new name, or replace it by force",
        )),
        _ => Ok(()),
    }
}

/// Writes a file beside its place, then moves it there, so that it is whole or not there. A file of that name goes.
///
/// # Errors
/// [`Fault::Write`] if the system refuses, or there is something else than a file.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Fault> {
    save(path, bytes, Existing::Goes)
}

/// The same; a file of that name goes or stays.
///
/// # Errors
/// [`Fault::Write`], also if there is a file that stays.
pub fn save(path: &Path, bytes: &[u8], existing: Existing) -> Result<(), Fault> {
    let mut staged = Staged::new(path)?;
    staged.write_all(bytes).map_err(|source| Fault::Write { path: path.to_owned(), source })?;
    staged.keep(existing)
}

/// A file laid ready beside its place, under a name that nobody else has; gone again unless it is kept. What is written to it
/// stands in its place only once all of it is there.
#[derive(Debug)]
pub struct Staged {
    beside: NamedTempFile,
    path: PathBuf,
}

impl Write for Staged {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.beside.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.beside.flush()
    }
}

impl Staged {
    /// An empty one.
    ///
    /// # Errors
    /// [`Fault::Write`] if the system refuses.
    pub fn new(path: &Path) -> Result<Self, Fault> {
        let refused = |source| Fault::Write { path: path.to_owned(), source };
        new_beside(path).map(|beside| Self { beside, path: path.to_owned() }).map_err(refused)
    }

    /// Moves it to its place.
    ///
    /// # Errors
    /// [`Fault::Write`] if the system refuses, there is something else than a file, or a file that stays.
    pub fn keep(self, existing: Existing) -> Result<(), Fault> {
        let Self { beside, path } = self;
        // On disk before it takes its place: a power cut leaves the old file or the new one.
        beside.as_file().sync_all().map_err(|source| Fault::Write { path: path.clone(), source })?;
        let kept = match path.symlink_metadata() {
            Ok(there) if !there.is_file() => Err(io::Error::other("it is no plain file, and is not replaced")),
            _ if existing == Existing::Stays => beside.persist_noclobber(&path).map_err(|why| why.error),
            _ => beside.persist(&path).map_err(|why| why.error),
        };
        kept.map(drop).map_err(|source| Fault::Write { path, source })
    }
}

/// With the rights that a new file of the user has.
fn new_beside(path: &Path) -> io::Result<NamedTempFile> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let prefix = format!(".{name}.partial-");
    let mut new = tempfile::Builder::new();
    #[cfg(unix)]
    new.permissions(std::os::unix::fs::PermissionsExt::from_mode(rights_of(path)));
    new.prefix(&prefix).tempfile_in(folder_of(path))
}

/// Those of the file that it replaces, so that a list which only its owner may read stays so.
#[cfg(unix)]
fn rights_of(path: &Path) -> u32 {
    use std::os::unix::fs::PermissionsExt;
    fs::metadata(path).map_or(0o666, |there| there.permissions().mode() & 0o777)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Saves at once. `cargo xtask attack` uses more.
    const SAVES: usize = 60;

    fn names(folder: &Path) -> Vec<String> {
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
    }

    #[test]
    fn law_saves_at_once_never_mix() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.svg");
        let save = |letter: u8| {
            let path = path.clone();
            std::thread::spawn(move || {
                for size in 1..=SAVES {
                    write(&path, &vec![letter; 1000 * size]).unwrap();
                }
            })
        };
        let saving = [save(b'a'), save(b'b'), save(b'c'), save(b'd')];
        while !saving.iter().all(std::thread::JoinHandle::is_finished) {
            if let Ok(bytes) = fs::read(&path) {
                assert!(bytes.len() % 1000 == 0 && bytes.iter().all(|byte| *byte == bytes[0]), "two saves in one file");
            }
        }
        for one in saving {
            one.join().unwrap();
        }
        assert_eq!(names(folder.path()), ["a.svg"], "nothing is left behind");
    }

    #[test]
    fn law_a_new_file_never_replaces_one_that_came_meanwhile() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.json");
        let mut staged = Staged::new(&path).unwrap();
        staged.write_all(b"ours").unwrap();
        fs::write(&path, "theirs").unwrap();
        assert!(staged.keep(Existing::Stays).is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "theirs");
        assert!(check_new("FILE", &path, Existing::Stays).is_err());
        check_new("FILE", &path, Existing::Goes).unwrap();
        write(&path, b"ours").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "ours");
    }

    #[cfg(unix)]
    #[test]
    fn law_links_and_devices_are_never_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let (target, link) = (folder.path().join("letter.txt"), folder.path().join("link.svg"));
        fs::write(&target, "dear").unwrap();
        std::os::unix::fs::symlink(&target, &link).unwrap();
        for place in [link.as_path(), Path::new("/dev/null")] {
            assert!(check_new("--svg", place, Existing::Goes).is_err(), "{}", place.display());
            assert!(write(place, b"drawn").is_err(), "{}", place.display());
        }
        assert!(link.is_symlink());
        assert_eq!(fs::read_to_string(&target).unwrap(), "dear");
        assert!(!Path::new("/dev/null").is_file());
    }

    #[cfg(unix)]
    #[test]
    fn law_a_file_keeps_its_rights() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("devices.json");
        write(&path, b"1").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
        write(&path, b"2").unwrap();
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
    }
}
