//! Any bytes give a value or an error, never a panic.

use boardwise_files::{Fault, Loaded};
use proptest::prelude::*;

/// Parses as every kind of file, and shows the error where there is one.
fn parse_all(bytes: &[u8]) {
    fn look<T>(parsed: Result<Loaded<T>, Fault>) {
        if let Err(fault) = parsed {
            let line = match &fault {
                Fault::InFile(mistake) => mistake.line,
                _ => 1,
            };
            assert!(line >= 1 && !fault.to_string().is_empty());
            let _ = fault.help();
            assert!(boardwise::Failure::from(fault).shown(false).starts_with("error:"));
        }
    }
    look(boardwise_files::parse_lane("any", bytes));
    look(boardwise_files::parse_bag("any", bytes));
    look(boardwise_files::parse_bowler("any", bytes));
    look(boardwise_files::parse_event("any", bytes, &of_the_kit));
}

/// Finds what an event names by its path in the demo kit.
fn of_the_kit(what: &'static str, name: &str) -> Result<(String, Vec<u8>), Fault> {
    let file = boardwise_files::files().find(|entry| entry.id == name || name.ends_with(entry.path));
    let missing = || Fault::Missing { what, name: name.to_owned(), known: Vec::new() };
    file.map(|entry| (entry.path.to_owned(), entry.text.as_bytes().to_vec())).ok_or_else(missing)
}

#[test]
fn law_the_event_of_the_kit_is_read_so() {
    let text = boardwise_files::EVENTS[0].text;
    boardwise_files::parse_event("event", text.as_bytes(), &of_the_kit).expect("the kit's own");
}

/// A demo file with some bytes changed, some text put in, and an end cut off.
fn mutated() -> impl Strategy<Value = Vec<u8>> {
    let texts: Vec<&'static str> = boardwise_files::files().map(|entry| entry.text).collect();
    let words = prop::sample::select(vec![
        "nan",
        "-inf",
        "1e400",
        "-0.0",
        "[",
        "]",
        "{}",
        "[]",
        "\"",
        "\n",
        "[[strokes]]\n",
        "[shape]\nfeet=[]\n",
        "= 1\n",
        "9999999999",
        "é",
        "\u{feff}",
        "mu_by_board = []\n",
        "boards = []\n",
        "true",
    ]);
    let edits = prop::collection::vec((any::<prop::sample::Index>(), words), 0..4);
    let flips = prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..3);
    (prop::sample::select(texts), edits, flips, any::<prop::sample::Index>(), any::<bool>()).prop_map(
        |(text, edits, flips, end, cut)| {
            let mut bytes = text.as_bytes().to_vec();
            for (at, word) in edits {
                let at = at.index(bytes.len());
                let over = (at + word.len()).min(bytes.len());
                bytes.splice(at..over, word.bytes());
            }
            for (at, byte) in flips {
                let at = at.index(bytes.len());
                bytes[at] = byte;
            }
            if cut {
                bytes.truncate(end.index(bytes.len()));
            }
            bytes
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn law_random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        parse_all(&bytes);
    }

    #[test]
    fn law_random_text_never_panics(text in "\\PC{0,200}") {
        parse_all(text.as_bytes());
    }

    #[test]
    fn law_mutated_files_never_panic(bytes in mutated()) {
        parse_all(&bytes);
    }
}

#[test]
fn law_deep_nesting_is_an_error_and_no_overflow() {
    for text in ["[".repeat(100_000), format!("a = {}", "[".repeat(100_000)), format!("a = {}", "{a=".repeat(50_000))] {
        assert!(boardwise_files::parse_lane("deep", text.as_bytes()).is_err());
    }
}
