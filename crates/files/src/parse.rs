//! From text to the types of a file, with errors that point.

use std::fmt::Display;

use serde::de::DeserializeOwned;

use super::fault::nearest;
use super::locate::{Step, locate};
use super::{Fault, Mistake, source, text};

/// A file's text with its name, for pointing into it.
#[derive(Clone, Copy, Debug)]
pub struct Page<'a> {
    name: &'a str,
    text: &'a str,
}

impl<'a> Page<'a> {
    /// The page in these bytes.
    pub fn new(name: &'a str, bytes: &'a [u8]) -> Result<Self, Fault> {
        Ok(Self { name, text: source::text(name, bytes)? })
    }

    /// Reads the page as a value of a file's type.
    pub fn parse<T: DeserializeOwned>(&self) -> Result<T, Fault> {
        toml::from_str(self.text).map_err(|error| {
            let (what, help) = explain(error.message());
            let span = error.span().unwrap_or(0..0);
            Fault::InFile(Box::new(Mistake::new(self.name, self.text, span, what, help)))
        })
    }

    /// A mistake at a path.
    pub fn fault(&self, path: &[Step<'_>], what: &(impl Display + ?Sized)) -> Fault {
        let span = locate(self.text, path);
        Fault::InFile(Box::new(Mistake::new(self.name, self.text, span, what.to_string(), None)))
    }

    /// A sentence for something possible but outside the rules.
    pub fn warning(&self, path: &[Step<'_>], what: &(impl Display + ?Sized)) -> String {
        Mistake::new(self.name, self.text, locate(self.text, path), what.to_string(), None).to_string()
    }

    /// Refuses a name that is not one line of characters that are seen: it stands in tables, pictures and pages, and could fake a line there.
    pub fn name(&self, path: &[Step<'_>], name: &str) -> Result<(), Fault> {
        if text::is_line(name) {
            return Ok(());
        }
        let seen = text::visible_line(name);
        Err(self.fault(path, &format!("\"{seen}\": give it words in one line, without characters that are not seen")))
    }

    /// Checks that a value lies in a range; refuses what is not a number.
    pub fn within(&self, path: &[Step<'_>], key: &str, value: f64, low: f64, high: f64) -> Result<f64, Fault> {
        if (low..=high).contains(&value) {
            Ok(value)
        } else {
            Err(self.fault(path, &format!("{key} = {value}: must be {low} to {high}")))
        }
    }
}

/// A parser's message in our words, with a guess at what was meant.
fn explain(message: &str) -> (String, Option<String>) {
    let message = message.trim_end();
    let mut quoted = message.split('`').skip(1).step_by(2);
    let known: Vec<&str> = match message {
        m if m.starts_with("unknown field") || m.starts_with("unknown variant") => quoted.by_ref().collect(),
        _ => return (text::plain(message), None),
    };
    let Some((&given, allowed)) = known.split_first() else {
        return (text::plain(message), None);
    };
    let kind = if message.starts_with("unknown field") { "key" } else { "value" };
    let what = format!("unknown {kind} \"{given}\"; allowed here: {}", allowed.join(", "));
    let help = nearest(given, allowed.iter().copied()).map(|near| format!("did you mean \"{near}\"?"));
    (what, help)
}
