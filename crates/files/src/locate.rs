//! Where in a file a value stands.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

/// One step from the top of a file to a value.
#[derive(Clone, Copy, Debug)]
pub enum Step<'a> {
    /// Into a table, by key.
    Key(&'a str),
    /// Into a list, by place from 0.
    At(usize),
}

/// The bytes of the key and value at a path, or of the innermost thing on the way there that exists.
pub fn locate(text: &str, path: &[Step<'_>]) -> Range<usize> {
    let Ok(top) = DeTable::parse(text) else {
        return 0..0;
    };
    let mut found = 0..0;
    let mut table = Some(top.get_ref());
    let mut list = None;
    for step in path {
        let value = match *step {
            Step::Key(key) => {
                let Some((k, v)) = table.and_then(|t| t.iter().find(|(k, _)| k.get_ref().as_ref() == key)) else {
                    break;
                };
                // A table's own span may lie far from its key; a plain value's never does.
                let end = if matches!(v.get_ref(), DeValue::Table(_)) { k.span().end } else { v.span().end };
                found = k.span().start..end.max(k.span().end);
                v.get_ref()
            }
            Step::At(index) => {
                let Some(v) = list.and_then(|l: &toml::de::DeArray<'_>| l.get(index)) else {
                    break;
                };
                found = v.span();
                v.get_ref()
            }
        };
        table = if let DeValue::Table(t) = value { Some(t) } else { None };
        list = if let DeValue::Array(a) = value { Some(a) } else { None };
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_paths_lead_to_their_values() {
        let text = "a = 1\n[[b]]\nc = [1, 2]\n[[b]]\nd = { e = 5 }\nc = [3, 40]\n";
        let at = |path: &[Step<'_>]| &text[locate(text, path)];
        assert_eq!(at(&[Step::Key("a")]), "a = 1");
        assert_eq!(at(&[Step::Key("b"), Step::At(1), Step::Key("c")]), "c = [3, 40]");
        assert_eq!(at(&[Step::Key("b"), Step::At(1), Step::Key("c"), Step::At(1)]), "40");
        assert_eq!(at(&[Step::Key("b"), Step::At(1), Step::Key("d"), Step::Key("e")]), "e = 5");
        assert!(at(&[Step::Key("b"), Step::At(1), Step::Key("none")]).starts_with("[[b]]"));
    }
}
