//! What the terminal can show.

use std::io::{self, IsTerminal};

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
