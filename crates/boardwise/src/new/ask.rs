//! Questions at a terminal. Where nobody can be asked, a flag answers, or the usual value does.

use std::fmt;
use std::io::{IsTerminal, stderr, stdin};

use boardwise_files::start::StartRow;
use boardwise_files::{Fault, nearest};
use dialoguer::console::Term;
use dialoguer::theme::Theme;
use dialoguer::{Input, Select};

use crate::Failure;

/// Who asks.
pub struct Asker {
    asks: bool,
}

/// A question is a sentence, with the usual answer behind it.
struct Sentences;

impl Theme for Sentences {
    fn format_prompt(&self, to: &mut dyn fmt::Write, question: &str) -> fmt::Result {
        write!(to, "{question}")
    }

    fn format_input_prompt(&self, to: &mut dyn fmt::Write, question: &str, usual: Option<&str>) -> fmt::Result {
        match usual {
            Some(usual) => write!(to, "{question} [{usual}] "),
            None => write!(to, "{question} "),
        }
    }

    fn format_input_prompt_selection(&self, to: &mut dyn fmt::Write, question: &str, answer: &str) -> fmt::Result {
        write!(to, "{question} {answer}")
    }

    fn format_select_prompt_selection(&self, to: &mut dyn fmt::Write, question: &str, answer: &str) -> fmt::Result {
        write!(to, "{question} {answer}")
    }

    fn format_error(&self, to: &mut dyn fmt::Write, why: &str) -> fmt::Result {
        write!(to, "{why}")
    }
}

/// A number as people type it, with a point or a comma.
fn read_number(text: &str) -> Result<f64, String> {
    let number: Option<f64> = text.trim().replace(',', ".").parse().ok();
    number.filter(|number| number.is_finite()).ok_or_else(|| format!("{text:?} is no number. Type one such as 17.5."))
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
                let input = Input::<String>::with_theme(&Sentences).with_prompt(question).default(usual.to_owned());
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
                let input = Input::<String>::with_theme(&Sentences)
                    .with_prompt(question)
                    .default(usual.to_string())
                    .validate_with(|text: &String| read_number(text).map(|_| ()));
                let text = input.interact_text_on(&Term::stderr()).map_err(broken)?;
                Ok(read_number(&text).unwrap_or(usual))
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
        let select = Select::with_theme(&Sentences).with_prompt(question).items(&words).default(0);
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
            let input = Input::<String>::with_theme(&Sentences).with_prompt(question).allow_empty(true).validate_with(
                |words: &String| {
                    if words.trim().is_empty() {
                        Ok(())
                    } else {
                        StartRow::read(words).map(|_| ()).map_err(|fault| fault.to_string())
                    }
                },
            );
            let words = input.interact_text_on(&Term::stderr()).map_err(broken)?;
            if words.trim().is_empty() {
                return Ok(rows);
            }
            rows.push(StartRow::read(&words)?);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::read_number;

    #[test]
    fn law_a_number_is_read_with_point_or_comma_and_anything_else_is_told() {
        assert_eq!((read_number("17.5"), read_number(" 17,5 ")), (Ok(17.5), Ok(17.5)));
        for wrong in ["abc", "", "inf", "1 2"] {
            let why = read_number(wrong).unwrap_err();
            assert!(why.contains(wrong) && why.contains("such as 17.5"), "{why}");
        }
    }
}
