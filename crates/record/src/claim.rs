//! Who has a record open for long: told to others, who may use it all the same.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::Path;

use crate::beside::beside;

/// The end of the name of the file that says it.
const IN_USE: &str = ".in-use";

/// A word to other programs that this one has a record open; it ends with the program, however that ends.
///
/// It keeps nobody out: several may write into one record, and take turns.
///
/// ```
/// use boardwise_record::Claim;
/// # let folder = tempfile::tempdir()?;
/// # let path = folder.path().join("a.record");
/// assert_eq!(Claim::holder(&path), None);
/// let claim = Claim::take(&path, "the app").unwrap();
/// assert_eq!(Claim::holder(&path).unwrap(), "the app");
/// assert_eq!(Claim::take(&path, "another").unwrap_err(), "the app");
/// drop(claim);
/// assert_eq!(Claim::holder(&path), None);
/// # Ok::<(), std::io::Error>(())
/// ```
#[derive(Debug)]
pub struct Claim {
    _locked: Option<File>,
}

impl Claim {
    /// Says who has the record open. Where nothing can be written beside it, nobody is told.
    ///
    /// # Errors
    /// Who has it open already.
    pub fn take(record: &Path, who: &str) -> Result<Self, String> {
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let Ok(mut file) = options.open(beside(record, IN_USE)) else { return Ok(Self { _locked: None }) };
        if let Err(TryLockError::WouldBlock) = file.try_lock() {
            return Err(read(file));
        }
        // Who it is only helps to find it.
        let _ = file.set_len(0).and_then(|()| file.rewind()).and_then(|()| file.write_all(who.as_bytes()));
        Ok(Self { _locked: Some(file) })
    }

    /// Who has the record open.
    pub fn holder(record: &Path) -> Option<String> {
        let file = File::open(beside(record, IN_USE)).ok()?;
        match file.try_lock_shared() {
            Err(TryLockError::WouldBlock) => Some(read(file)),
            _ => None,
        }
    }
}

fn read(file: File) -> String {
    /// As long as anybody needs to say who it is.
    const MOST: u64 = 200;
    let mut who = String::new();
    match file.take(MOST).read_to_string(&mut who) {
        Ok(_) if !who.is_empty() => who,
        _ => "another program".to_owned(),
    }
}
