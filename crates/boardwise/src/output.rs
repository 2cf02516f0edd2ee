//! What a command prints: answers on standard output, warnings on standard error.

use std::io::{self, IsTerminal, Write};

use boardwise_files::text::visible;

use serde::Serialize;

use crate::Failure;

/// Prints text. What others wrote into it cannot steer the terminal.
pub fn print(text: &str) -> Result<(), Failure> {
    print_bytes(visible(text).as_bytes())
}

/// Prints warnings, each on a line of its own.
pub fn warn(warnings: impl IntoIterator<Item = impl AsRef<str>>) {
    for warning in warnings {
        eprintln!("warning: {}", visible(warning.as_ref()));
    }
}

/// Whether colours are wanted on standard error: a terminal, and nobody said no (<https://no-color.org>).
pub fn in_colour() -> bool {
    let no_colour = std::env::var_os("NO_COLOR").is_some_and(|said| !said.is_empty());
    let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    io::stderr().is_terminal() && !no_colour && !dumb
}

/// Columns of the terminal that standard output goes to; none where it goes to a file or a program. `COLUMNS` says otherwise.
pub fn width() -> Option<u16> {
    let said = std::env::var("COLUMNS").ok().and_then(|said| said.parse().ok()).filter(|columns| *columns > 0);
    said.or_else(|| terminal_size::terminal_size_of(io::stdout()).map(|(columns, _)| columns.0))
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
