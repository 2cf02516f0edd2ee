//! Bytes of a file to text.

use std::fs::File;
use std::io::Read;

use super::Fault;

/// Largest file taken; a lane with a reading every foot has a fiftieth of this.
pub const MOST_BYTES: u64 = 1_000_000;

/// Reads a file of at most [`MOST_BYTES`].
///
/// # Errors
/// If it cannot be read or is larger.
pub fn read(name: &str) -> Result<Vec<u8>, Fault> {
    let unreadable = |source| Fault::Unreadable { name: name.to_owned(), source };
    let mut bytes = Vec::new();
    let file = File::open(name).map_err(unreadable)?;
    file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    Ok(bytes)
}

/// The text in these bytes.
pub(super) fn text<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, Fault> {
    let name = || name.to_owned();
    if bytes.len() as u64 > MOST_BYTES {
        return Err(Fault::TooLarge { name: name(), bytes: bytes.len() as u64, most: MOST_BYTES });
    }
    let text = std::str::from_utf8(bytes).map_err(|e| Fault::NotText { name: name(), at: e.valid_up_to() })?;
    if let Some(at) = text.find('\0') {
        return Err(Fault::NotText { name: name(), at });
    }
    if text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}').is_empty() {
        return Err(Fault::Empty { name: name() });
    }
    Ok(text)
}
