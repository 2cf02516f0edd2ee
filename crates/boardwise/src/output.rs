//! What a command prints: answers on standard output, warnings on standard error.

use std::io::{self, Write};

use boardwise_files::text::{visible, visible_line};

use serde::Serialize;

use crate::Failure;

/// Prints text. What others wrote into it cannot steer the terminal.
pub fn print(text: &str) -> Result<(), Failure> {
    print_bytes(visible(text).as_bytes())
}

/// Prints warnings, each on a line of its own.
pub fn warn(warnings: impl IntoIterator<Item = impl AsRef<str>>) {
    for warning in warnings {
        eprintln!("warning: {}", visible_line(warning.as_ref()));
    }
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
    print_bytes((text + "\n").as_bytes())
}
