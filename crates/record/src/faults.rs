//! What is wrong with a file, line by line.

use std::fmt;

use crate::Error;

/// Everything that is wrong with a file, as far as it is told.
#[derive(Debug, Default)]
pub struct Faults {
    /// What is wrong, by line; the first [`Faults::TOLD`].
    pub told: Vec<Fault>,
    /// How many there are in all.
    pub count: usize,
}

/// One thing wrong in a file.
#[derive(Debug)]
pub struct Fault {
    /// The line, from 1 on.
    pub line: u64,
    /// What is wrong in it.
    pub why: Error,
}

impl Faults {
    /// How many are told.
    pub const TOLD: usize = 100;

    pub(crate) fn push(&mut self, line: u64, why: Error) {
        self.count += 1;
        if self.told.len() < Self::TOLD {
            self.told.push(Fault { line, why });
        }
    }

    pub(crate) fn into_result(mut self) -> Result<(), Error> {
        self.told.sort_by_key(|fault| fault.line);
        if self.count == 0 { Ok(()) } else { Err(Error::Import { faults: self }) }
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, Fault { line, why }) in self.told.iter().enumerate() {
            let ends = if i == 0 { "" } else { "\n" };
            write!(f, "{ends}line {line}: {why}")?;
        }
        match self.count - self.told.len() {
            0 => Ok(()),
            more => write!(f, "\nand {more} more"),
        }
    }
}
