//! Files that commands read.

use std::fs;
use std::path::Path;

use boardwise_files::Fault;

/// The bytes of a file.
///
/// # Errors
/// If it cannot be read, or is larger than a file of its kind.
pub fn bytes(path: &Path, most: u64) -> Result<Vec<u8>, Fault> {
    let name = path.display().to_string();
    let unreadable = |source| Fault::Unreadable { name: name.clone(), source };
    let bytes = fs::metadata(path).map_err(unreadable)?.len();
    if bytes > most {
        return Err(Fault::TooLarge { name, bytes, most });
    }
    fs::read(path).map_err(unreadable)
}

/// The text of a file.
///
/// # Errors
/// As [`bytes`], and if it is no text.
pub fn text(path: &Path, most: u64) -> Result<String, Fault> {
    let not_text = |e: std::string::FromUtf8Error| Fault::NotText {
        name: path.display().to_string(),
        at: e.utf8_error().valid_up_to(),
    };
    String::from_utf8(bytes(path, most)?).map_err(not_text)
}
