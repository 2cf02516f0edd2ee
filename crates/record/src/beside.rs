//! Files that lie beside a record and belong to it.

use std::path::{Path, PathBuf};

/// The file beside a record whose name is all of the record's, and this end: so no two records share one.
///
/// ```
/// use boardwise_record::beside;
/// # use std::path::Path;
/// assert_eq!(beside(Path::new("kept/a.record"), ".backups"), Path::new("kept/a.record.backups"));
/// assert_ne!(beside(Path::new("a.record"), ".x"), beside(Path::new("a.db"), ".x"));
/// ```
pub fn beside(record: &Path, end: &str) -> PathBuf {
    let mut name = record.as_os_str().to_owned();
    name.push(end);
    name.into()
}
