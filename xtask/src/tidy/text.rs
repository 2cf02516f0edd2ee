//! The words of every text file, merges left open, the names and lengths of modules, and the names of tests.

use super::Finding;

/// Lines of a source file above which it is mentioned, and above which it is an error: one idea a file.
const LONG: usize = 400;
const TOO_LONG: usize = 500;

/// Names that say nothing of what a module is about.
const VAGUE: [&str; 8] = ["util", "utils", "common", "helper", "helpers", "manager", "misc", "stuff"];

/// Words that never appear in the repository: folders of one machine. Kept in halves so that this file passes.
const FORBIDDEN: [&str; 4] =
    [concat!("/wo", "rk/"), concat!("/tm", "p/"), concat!("/ro", "ot/"), concat!("/ho", "me/")];

/// Marks of unfinished work, which need a reason beside them.
const MARKS: [&str; 3] = [concat!("TO", "DO"), concat!("FIX", "ME"), concat!("XX", "X")];

/// How the lines begin that git leaves around a conflict. Kept in halves so that this file passes.
const CONFLICT: [&str; 2] = [concat!("<<<<", "<<< "), concat!(">>>>", ">>> ")];

/// Everything in one file that breaks a rule of text.
pub fn check(path: &str, content: &str) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, line) in content.lines().enumerate() {
        let place = || format!("{path}:{}", index + 1);
        for word in FORBIDDEN.iter().filter(|word| line.contains(**word)) {
            findings.push(Finding::error(place(), format!("\"{word}\" is a folder of one machine")));
        }
        if CONFLICT.iter().any(|mark| line.starts_with(mark)) {
            findings.push(Finding::error(place(), "this merge was not finished: keep one side and take the marks out"));
        }
        if unreasoned(line) {
            findings.push(Finding::error(place(), "say what is missing and why, in three words or more"));
        }
    }
    if let Some(stem) = path.strip_suffix(".rs") {
        findings.extend(source(path, stem, content));
    }
    findings
}

/// The opening of a crate: a sentence in `//!`, and not the word that stood there before anything did.
pub fn crate_doc(place: &str, content: &str) -> Option<Finding> {
    let first = content.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    match first.strip_prefix("//!").map(str::trim) {
        None | Some("") => Some(Finding::error(place, "a crate opens with a //! sentence on what it is")),
        Some(doc) if doc.eq_ignore_ascii_case("placeholder") => {
            Some(Finding::error(place, "this crate is still empty: its //! line says placeholder"))
        }
        Some(_) => None,
    }
}

fn source(path: &str, stem: &str, content: &str) -> Vec<Finding> {
    let mut findings = Vec::new();
    let lines = content.lines().count();
    if lines > TOO_LONG {
        findings.push(Finding::error(path, format!("{lines} lines, at most {TOO_LONG}: one idea a file")));
    } else if lines > LONG {
        findings.push(Finding::notice(path, format!("{lines} lines, better at most {LONG}")));
    }
    if let Some(name) = stem.split('/').find(|name| VAGUE.contains(name)) {
        findings.push(Finding::error(path, format!("\"{name}\" names nothing: use a noun that a coach knows")));
    }
    for (number, name) in tests(content) {
        if !["law_", "truth_", "keep_"].iter().any(|prefix| name.starts_with(prefix)) {
            let what = format!("test {name}: begin with law_, truth_ or keep_");
            findings.push(Finding::notice(format!("{path}:{number}"), what));
        }
    }
    findings
}

/// Whether a line carries a mark of unfinished work with fewer than three words of reason after it.
fn unreasoned(line: &str) -> bool {
    let whole = |at: usize, mark: &str| {
        let of_name = |c: char| c.is_alphanumeric() || c == '_';
        !line[..at].ends_with(of_name) && !line[at + mark.len()..].starts_with(of_name)
    };
    MARKS.iter().any(|mark| {
        line.match_indices(mark)
            .any(|(at, _)| whole(at, mark) && line[at + mark.len()..].split_whitespace().count() < 3)
    })
}

/// The numbered names of test functions: the first `fn` after each `#[test]`.
fn tests(content: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut marked = false;
    content.lines().enumerate().filter_map(move |(index, line)| {
        let line = line.trim();
        marked |= line == "#[test]";
        let name = line.strip_prefix("fn ").filter(|_| marked)?.split(['(', '<']).next()?;
        marked = false;
        Some((index + 1, name))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn errors(path: &str, content: &str) -> usize {
        check(path, content).iter().filter(|finding| finding.error).count()
    }

    #[test]
    fn law_folders_of_one_machine_are_found() {
        for word in FORBIDDEN {
            assert_eq!(errors("README.md", &format!("see {word}notes\n")), 1, "{word}");
        }
        assert_eq!(errors("README.md", "networks and work/ are fine\n"), 0);
    }

    #[test]
    fn law_unfinished_work_needs_a_reason() {
        for mark in MARKS {
            assert_eq!(errors("a.md", &format!("{mark}\n")), 1);
            assert_eq!(errors("a.md", &format!("// {mark}: later\n")), 1);
            assert_eq!(errors("a.md", &format!("// {mark}: pins fall too late without this\n")), 0);
            assert_eq!(errors("a.md", &format!("M{mark}S\n")), 0);
        }
    }

    #[test]
    fn law_an_unfinished_merge_is_found() {
        for mark in CONFLICT {
            assert_eq!(errors("README.md", &format!("one\n{mark}main\ntwo\n")), 1, "{mark}");
            assert_eq!(errors("README.md", &format!("one {mark}main\n")), 0, "{mark}");
        }
    }

    #[test]
    fn law_files_stay_short() {
        assert_eq!(check("a.rs", &"\n".repeat(400)).len(), 0);
        assert_eq!(check("a.rs", &"\n".repeat(401)).len(), 1);
        assert_eq!(errors("a.rs", &"\n".repeat(500)), 0);
        assert_eq!(errors("a.rs", &"\n".repeat(501)), 1);
        assert_eq!(errors("a.md", &"\n".repeat(9999)), 0);
    }

    #[test]
    fn law_modules_have_names_that_mean_something() {
        assert_eq!(errors("crates/lane/src/utils.rs", ""), 1);
        assert_eq!(errors("crates/lane/src/common/film.rs", ""), 1);
        assert_eq!(errors("crates/lane/src/film.rs", ""), 0);
    }

    #[test]
    fn law_tests_say_of_which_kind_they_are() {
        let named = |name: &str| format!("#[test]\nfn {name}() {{}}\n");
        assert_eq!(check("a.rs", &named("rolls")).len(), 1);
        for name in ["law_rolls", "truth_rolls", "keep_rolls"] {
            assert_eq!(check("a.rs", &named(name)).len(), 0);
        }
        assert_eq!(check("a.rs", "fn rolls() {}\n").len(), 0);
    }

    #[test]
    fn law_a_crate_says_what_it_is() {
        assert!(crate_doc("lane", "//! Oil on a lane.\n").is_none());
        for empty in ["", "use core::fmt;\n", "//!\n", "//! placeholder\n"] {
            assert!(crate_doc("lane", empty).is_some(), "{empty:?}");
        }
    }
}
