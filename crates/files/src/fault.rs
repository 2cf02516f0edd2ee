//! What can be wrong with what a person typed or wrote into a file, or with a file to be written.

use std::fmt;
use std::io;
use std::ops::Range;
use std::path::PathBuf;

use thiserror::Error;

/// Bad input, or a file that cannot be written.
#[derive(Debug, Error)]
pub enum Fault {
    /// Neither a file nor something in the demo kit.
    #[error("{what} \"{name}\": {}", looked_for(what))]
    Missing {
        /// Kind of thing asked for.
        what: &'static str,
        /// As it was typed.
        name: String,
        /// Names that would have worked.
        known: Vec<String>,
    },
    /// A file that cannot be read.
    #[error("{name}: cannot be read")]
    Unreadable {
        /// The file.
        name: String,
        /// The system's reason.
        source: io::Error,
    },
    /// A file too large to be one of ours.
    #[error("{name}: {bytes} bytes; a file of this kind has at most {most} bytes")]
    TooLarge {
        /// The file.
        name: String,
        /// Its size, or as much of it as was looked at.
        bytes: u64,
        /// Most allowed.
        most: u64,
    },
    /// A file that is not text.
    #[error("{name}: not a text file: byte {at} is not UTF-8 text; a file of this kind is TOML")]
    NotText {
        /// The file.
        name: String,
        /// First byte that cannot be text, counted from 0.
        at: usize,
    },
    /// A file with nothing in it.
    #[error("{name}: the file is empty")]
    Empty {
        /// The file.
        name: String,
    },
    /// Something in a file that cannot be.
    #[error("{0}")]
    InFile(Box<Mistake>),
    /// A value that cannot be.
    #[error("{field} {value}: {allowed}")]
    Field {
        /// What it was given for. Each face has its own word for it: a flag at the command line, an input on a page.
        field: &'static str,
        /// The value as it was given.
        value: String,
        /// What is allowed.
        allowed: String,
    },
    /// A file that cannot be written.
    #[error("{path}: cannot be written: {source}", path = path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        source: io::Error,
    },
}

/// Where a name was looked for in vain.
fn looked_for(what: &str) -> String {
    match what {
        "command" => "there is no such command".to_owned(),
        "ball" => "there is no such file, and the bag has no ball of that name".to_owned(),
        _ => format!("there is no such file, and the demo kit has no {what} of that name"),
    }
}

/// A place in a file with what is wrong there.
#[derive(Debug)]
pub struct Mistake {
    /// The file.
    pub file: String,
    /// Line, counted from 1.
    pub line: usize,
    /// What is wrong and what is allowed.
    pub what: String,
    /// What to do, where that can be guessed.
    pub help: Option<String>,
    /// The bytes of `text` that are wrong.
    pub span: Range<usize>,
    /// The whole text of the file.
    pub text: String,
}

impl Mistake {
    /// A mistake at these bytes of a text.
    pub fn new(file: &str, text: &str, span: Range<usize>, what: String, help: Option<String>) -> Self {
        let start = floor(text, span.start);
        let end = floor(text, span.end).max(start);
        let line = 1 + text[..start].bytes().filter(|&b| b == b'\n').count();
        Self { file: file.to_owned(), line, what, help, span: start..end, text: text.to_owned() }
    }
}

/// The nearest start of a character at or before a byte.
fn floor(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, line {}: {}", self.file, self.line, self.what)
    }
}

impl Fault {
    /// Whether what was asked or written is at fault, rather than the machine.
    pub fn is_bad_input(&self) -> bool {
        !matches!(self, Self::Write { .. })
    }

    /// What to do, where that can be guessed.
    pub fn help(&self) -> Option<String> {
        match self {
            Self::InFile(mistake) => mistake.help.clone(),
            Self::Empty { .. } => Some("the demo kit has commented examples to start from".to_owned()),
            Self::Missing { name, known, .. } => {
                let names = known.join(", ");
                Some(match nearest(name, known.iter().map(String::as_str)) {
                    Some(near) => format!("did you mean \"{near}\"? The names are: {names}"),
                    None => format!("the names are: {names}"),
                })
            }
            _ => None,
        }
    }
}

/// The known word most like the one given, if any is like it at all.
pub fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    known
        .map(|k| (strsim::jaro_winkler(&word.to_lowercase(), k), k))
        .filter(|&(score, _)| score > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, k)| k)
}
