//! What the core may not touch: no clock, thread, file, network, printing, nor anything whose order is not fixed.
//!
//! The core runs in a browser and gives the same bits everywhere, so its crates are `no_std` and their results depend
//! on nothing but their arguments.

use super::Finding;

/// The crates of the core.
const CRATES: [&str; 5] = ["units", "ball", "score", "lane", "pins"];

/// What may not be named in them, and why.
const BARRED: &[(&str, &str)] = &[
    ("std::time", "no clock"),
    ("std::thread", "no threads"),
    ("std::sync", "no threads"),
    ("rayon", "no threads"),
    ("std::fs", "no files"),
    ("std::io", "no files"),
    ("std::env", "no settings"),
    ("std::process", "no processes"),
    ("std::net", "no network"),
    ("std::{", "import one path a line from std, so that this check can read it"),
    ("println!", "return warnings, never print"),
    ("print!", "return warnings, never print"),
    ("eprintln!", "return warnings, never print"),
    ("eprint!", "return warnings, never print"),
    ("dbg!", "return warnings, never print"),
    ("HashMap", "its order differs from run to run: use BTreeMap"),
    ("HashSet", "its order differs from run to run: use BTreeSet"),
];

/// Whether a path belongs to the sources of a core crate. Its tests and benches may read files.
pub fn covers(path: &str) -> bool {
    let in_core = CRATES.iter().any(|name| path.starts_with(&format!("crates/{name}/src/")));
    in_core && path.strip_suffix(".rs").is_some_and(|stem| !stem.ends_with("/tests") && !stem.contains("/tests/"))
}

/// Everything in one source file that the core may not touch.
pub fn check(path: &str, content: &str) -> Vec<Finding> {
    let mut findings = Vec::new();
    if path.ends_with("/src/lib.rs") && !content.contains("no_std") {
        findings.push(Finding::error(path, "a core crate is #![cfg_attr(not(feature = \"std\"), no_std)]"));
    }
    for (number, line) in code_lines(content) {
        for (word, reason) in BARRED.iter().filter(|(word, _)| names(line, word)) {
            findings.push(Finding::error(format!("{path}:{number}"), format!("{word} in the core: {reason}")));
        }
    }
    findings
}

/// Whether `line` names `word` as a whole: not as the end or the beginning of a longer name.
fn names(line: &str, word: &str) -> bool {
    let of_name = |c: char| c.is_alphanumeric() || c == '_';
    line.match_indices(word).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        let after = line[at + word.len()..].chars().next();
        let starts = !before.is_some_and(of_name);
        let ends = !word.ends_with(of_name) || !after.is_some_and(of_name);
        starts && ends
    })
}

/// The numbered lines of code outside comments and `#[cfg(test)]` items. Relies on rustfmt's layout: an item closes
/// with a brace at the indentation at which it opened.
pub(super) fn code_lines(content: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut opening = false;
    let mut until: Option<String> = None;
    content.lines().enumerate().filter_map(move |(index, line)| {
        let code = line.split("//").next().unwrap_or_default().trim_end();
        let indent = &line[..line.len() - line.trim_start().len()];
        if let Some(close) = &until {
            if code == close {
                until = None;
            }
            return None;
        }
        if code.trim() == "#[cfg(test)]" {
            opening = true;
            return None;
        }
        if opening && !code.trim().is_empty() && !code.trim().starts_with("#[") {
            opening = false;
            if code.ends_with('{') {
                until = Some(format!("{indent}}}"));
            }
            return None;
        }
        (!code.trim().is_empty()).then_some((index + 1, code))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(content: &str) -> Vec<String> {
        check("crates/lane/src/path.rs", content).into_iter().map(|finding| finding.place).collect()
    }

    #[test]
    fn law_each_barred_word_is_found() {
        for (word, _) in BARRED {
            let found = check("crates/lane/src/path.rs", &format!("fn f() {{\n    {word}\n}}\n"));
            assert!(found.iter().any(|finding| finding.what.starts_with(word)), "{word}: {found:?}");
        }
    }

    #[test]
    fn law_comments_and_tests_are_free() {
        assert_eq!(places("// std::time has no place here\n/// nor println!\nfn f() {}\n").len(), 0);
        let tests = "fn f() {}\n#[cfg(test)]\nmod tests {\n    fn g() {\n        println!();\n    }\n}\n";
        assert_eq!(places(tests).len(), 0);
        // What follows the tests is checked again, and so is what follows a module kept in another file.
        assert_eq!(places(&format!("{tests}fn h() {{\n    dbg!(1);\n}}\n")), ["crates/lane/src/path.rs:9"]);
        assert_eq!(places("#[cfg(test)]\nmod tests;\nuse std::fs;\n"), ["crates/lane/src/path.rs:3"]);
    }

    #[test]
    fn law_longer_names_are_other_names() {
        assert_eq!(places("let my_rayon_count = 1;\nlet crayon = 2;\nmy_print!();\n").len(), 0);
        assert_eq!(places("use std::time::Instant;\n").len(), 1);
    }

    #[test]
    fn law_a_core_crate_says_no_std() {
        assert_eq!(check("crates/lane/src/lib.rs", "//! Lane.\n").len(), 1);
        assert_eq!(check("crates/lane/src/lib.rs", "#![cfg_attr(not(feature = \"std\"), no_std)]\n").len(), 0);
    }

    #[test]
    fn law_only_the_core_is_covered() {
        assert!(covers("crates/pins/src/rack.rs"));
        assert!(!covers("crates/search/src/search.rs"));
        assert!(!covers("crates/pins/tests/rack.rs"));
        assert!(!covers("crates/pins/src/rack/tests.rs"));
        assert!(!covers("crates/pins/src/profile.csv"));
    }
}
