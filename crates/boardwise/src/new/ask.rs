//! Questions at a terminal. Where nobody can be asked, a flag answers, or the usual value does.

use std::io::{IsTerminal, stderr, stdin};

use boardwise_files::start::StartRow;
use boardwise_files::{Fault, nearest};
use dialoguer::console::Term;
use dialoguer::{Input, Select};

use crate::Failure;

/// Who asks.
pub struct Asker {
    asks: bool,
}

fn broken(error: dialoguer::Error) -> Failure {
    let dialoguer::Error::IO(error) = error;
    Failure::Print(error)
}

impl Asker {
    /// Asks where somebody sits at the terminal, unless they want the usual values.
    pub fn new(defaults: bool) -> Self {
        Self { asks: !defaults && stdin().is_terminal() && stderr().is_terminal() }
    }

    /// Whether it asks at all.
    pub fn asks(&self) -> bool {
        self.asks
    }

    /// Words: as given, else as answered.
    pub fn words(&self, question: &str, given: Option<&str>, usual: &str) -> Result<String, Failure> {
        match given {
            Some(given) => Ok(given.to_owned()),
            None if !self.asks => Ok(usual.to_owned()),
            None => {
                let input = Input::<String>::new().with_prompt(question).default(usual.to_owned());
                input.interact_text_on(&Term::stderr()).map_err(broken)
            }
        }
    }

    /// A number: as given, else as answered.
    pub fn number(&self, question: &str, given: Option<f64>, usual: f64) -> Result<f64, Failure> {
        match given {
            Some(given) => Ok(given),
            None if !self.asks => Ok(usual),
            None => {
                let input = Input::<f64>::new().with_prompt(question).default(usual);
                input.interact_text_on(&Term::stderr()).map_err(broken)
            }
        }
    }

    /// One of these: the word that was given, else the one chosen; the first where nobody can be asked.
    pub fn choice(
        &self,
        field: &'static str,
        question: &str,
        given: Option<&str>,
        of: &[(&str, String)],
    ) -> Result<String, Failure> {
        if let Some(given) = given {
            let known = of.iter().map(|(word, _)| *word);
            if known.clone().any(|word| word == given) {
                return Ok(given.to_owned());
            }
            let near = nearest(given, known.clone());
            let near = near.map_or_else(String::new, |near| format!("; did you mean {near}?"));
            let allowed = format!("{}{near}", known.collect::<Vec<_>>().join(", "));
            return Err(Fault::Field { field, value: given.to_owned(), allowed }.into());
        }
        if !self.asks {
            return Ok(of[0].0.to_owned());
        }
        let words: Vec<&str> = of.iter().map(|(_, words)| words.as_str()).collect();
        let select = Select::new().with_prompt(question).items(&words).default(0);
        Ok(of[select.interact_on(&Term::stderr()).map_err(broken)?].0.to_owned())
    }

    /// Rows of a sheet, until an empty one.
    pub fn rows(&self) -> Result<Vec<StartRow>, Failure> {
        if !self.asks {
            let allowed = "give its rows with --row, one for each".to_owned();
            return Err(Fault::Field { field: "pattern", value: "sheet".to_owned(), allowed }.into());
        }
        let mut rows = Vec::new();
        loop {
            let question = format!(
                "Row {}: from, to, loads, µL a board, start ft, end ft, out or back (empty: done)",
                rows.len() + 1
            );
            let input =
                Input::<String>::new().with_prompt(question).allow_empty(true).validate_with(|words: &String| {
                    if words.trim().is_empty() {
                        Ok(())
                    } else {
                        StartRow::read(words).map(|_| ()).map_err(|fault| fault.to_string())
                    }
                });
            let words = input.interact_text_on(&Term::stderr()).map_err(broken)?;
            if words.trim().is_empty() {
                return Ok(rows);
            }
            rows.push(StartRow::read(&words)?);
        }
    }
}
