//! What a command prints on standard output.

use std::io::{self, Write};

use serde::Serialize;

use crate::Failure;

/// Prints text.
pub fn print(text: &str) -> Result<(), Failure> {
    print_bytes(text.as_bytes())
}

/// Prints bytes; a reader that has gone away is no failure.
pub fn print_bytes(bytes: &[u8]) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => Err(Failure::Print(e)),
        _ => Ok(()),
    }
}

/// Prints one JSON object.
pub fn print_json(answer: &impl Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string(answer).map_err(Failure::Json)?;
    print(&(text + "\n"))
}
