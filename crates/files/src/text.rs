//! Text that others wrote, made fit to be shown: what a terminal would obey becomes a sign that can be seen, and what a parser says
//! becomes plain words.

use std::borrow::Cow;
use std::fmt::Write;

/// A text with every character that is not seen, or that changes how others are seen, as a visible sign. Line breaks stay.
///
/// ```
/// use boardwise_files::text::visible;
/// assert_eq!(visible("dry \u{1b}[31mred"), "dry \u{241b}[31mred");
/// assert_eq!(visible("a\u{202e}b"), "a<U+202E>b");
/// assert_eq!(visible("Zoë, 3 × 10"), "Zoë, 3 × 10");
/// ```
pub fn visible(text: &str) -> Cow<'_, str> {
    shown(text, |c| c != '\n' && is_hidden(c))
}

/// The same for what stands in one line: line breaks become signs, too.
pub fn visible_line(text: &str) -> Cow<'_, str> {
    shown(text, is_hidden)
}

fn shown(text: &str, hidden: impl Fn(char) -> bool) -> Cow<'_, str> {
    if !text.contains(&hidden) {
        return text.into();
    }
    let mut seen = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        match u32::from(c) {
            _ if !hidden(c) => seen.push(c),
            // The pictures of the first control characters stand in their order.
            code @ 0..0x20 => seen.extend(char::from_u32(0x2400 + code)),
            0x7f => seen.push('\u{2421}'),
            code => {
                // Writing to a string cannot fail.
                let _ = write!(seen, "<U+{code:04X}>");
            }
        }
    }
    seen.into()
}

/// Whether a text is one line in which every character is seen.
pub(crate) fn is_line(text: &str) -> bool {
    !text.contains(is_hidden)
}

/// Whether a character steers a terminal, turns the direction of writing, or cannot be seen.
fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(u32::from(c), 0xad | 0x61c | 0x180e | 0x200b..=0x200f | 0x2028..=0x202e | 0x2060..=0x2069 | 0xfeff | 0xfff9..=0xfffb)
        || matches!(u32::from(c), 0xe0000..=0xe0fff)
}

/// What a parser says of a value, without the names that programmers have for types.
///
/// ```
/// use boardwise_files::text::plain;
/// let said = plain("invalid type: string \"20 mL\", expected f64");
/// assert_eq!(said, "the text \"20 mL\" stands where a number must stand");
/// ```
pub fn plain(message: &str) -> String {
    let stands =
        |found: &str, expected: &str| format!("{} stands where {} must stand", found_words(found), wanted(expected));
    let split = |start: &str| message.strip_prefix(start)?.split_once(", expected ");
    if let Some((found, expected)) = split("invalid type: ").or(split("invalid value: ")) {
        return stands(found, expected);
    }
    if let Some((length, expected)) = split("invalid length ") {
        return format!("the list has {length} entries; {} must stand here", wanted(expected));
    }
    if let Some(key) = message.strip_prefix("missing field `").and_then(|rest| rest.strip_suffix('`')) {
        return format!("the key \"{key}\" is missing");
    }
    if message.starts_with("data did not match any variant") {
        return "this is none of the forms that may stand here".to_owned();
    }
    message.to_owned()
}

fn found_words(found: &str) -> String {
    let number = |start: &str| found.strip_prefix(start).map(|rest| format!("the number {}", rest.trim_matches('`')));
    match found {
        "sequence" => "a list in [ ]".to_owned(),
        "map" => "a table in { }".to_owned(),
        "unit" | "unit value" | "null" => "nothing".to_owned(),
        _ => (number("integer ").or(number("floating point ")))
            .or(found.strip_prefix("string ").map(|text| format!("the text {text}")))
            .or(found.strip_prefix("boolean ").map(|word| format!("the word {}", word.trim_matches('`'))))
            .unwrap_or_else(|| found.to_owned()),
    }
}

fn wanted(expected: &str) -> String {
    let words = match expected {
        "f64" | "f32" => "a number",
        "u8" | "u16" | "u32" | "u64" | "usize" => "a whole number, 0 or more,",
        "i8" | "i16" | "i32" | "i64" => "a whole number",
        "a string" | "a borrowed string" | "a character" => "text in quotes",
        "a boolean" => "true or false",
        "a sequence" => "a list in [ ]",
        "a map" => "a table in { }",
        other if other.starts_with("struct ") => "a table in { }",
        other if other.starts_with("enum ") || other.contains("variant") => "one of the words allowed",
        other => match other.split_once(" of length ").or(other.split_once(" of size ")) {
            Some((_, length)) => return format!("a list of {length} in [ ]"),
            None => other,
        },
    };
    words.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn law_nothing_that_a_terminal_obeys_is_left() {
        for code in (0..=0x10_ffff).filter_map(char::from_u32) {
            let text = visible_line(&format!("a{code}b")).into_owned();
            assert!(!text.chars().any(char::is_control), "{code:?}");
            assert!(!text.contains(['\u{202e}', '\u{2066}', '\u{200f}', '\u{9b}']));
        }
        assert_eq!(visible("a\nb\tc\r\n"), "a\nb\u{2409}c\u{240d}\n");
        assert_eq!(visible_line("a\nb"), "a\u{240a}b");
    }

    #[test]
    fn law_no_message_speaks_the_programming_language() {
        for (said, ours) in [
            ("invalid type: integer `3`, expected a string", "the number 3 stands where text in quotes must stand"),
            (
                "invalid type: sequence, expected struct SurfaceTable",
                "a list in [ ] stands where a table in { } must stand",
            ),
            (
                "invalid value: integer `-1`, expected u16",
                "the number -1 stands where a whole number, 0 or more, must stand",
            ),
            (
                "invalid length 1, expected an array of length 2",
                "the list has 1 entries; a list of 2 in [ ] must stand here",
            ),
            ("missing field `rg_in`", "the key \"rg_in\" is missing"),
            (
                "data did not match any variant of untagged enum LaneRef",
                "this is none of the forms that may stand here",
            ),
        ] {
            assert_eq!(plain(said), ours);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn law_no_message_panics(message in "\\PC{0,60}") {
            let _ = plain(&message);
        }
    }
}
