//! The length of sentences in the pages that bowlers and contributors read.
//!
//! Counted are paragraphs and list items, as a Markdown parser sees them: no tables, code blocks or headings. A link
//! counts by its text, a piece of code in a sentence as one word. A sentence ends at `.`, `!` or `?` before a blank, or
//! with its paragraph; a colon or a semicolon does not end it.

use std::path::Path;

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use super::Finding;

/// Words above which a sentence is an error.
const LONGEST: usize = 35;
/// Words that a sentence may have on the mean of all pages.
const MEAN: usize = 18;

/// The page of which only the newest part is held to the limit, and which does not count in the mean.
const CHANGELOG: &str = "CHANGELOG.md";

/// How many words of a sentence a finding quotes.
const QUOTED: usize = 8;

/// Letters that stand before a full stop within a sentence.
const ABBREVIATIONS: [&str; 5] = ["e.g", "i.e", "vs", "cf", "al"];

/// Sentences and words counted.
#[derive(Debug, Default, PartialEq)]
pub struct Count {
    /// Sentences of all pages but the changelog.
    pub sentences: usize,
    /// Their words.
    pub words: usize,
    /// Words of the longest one.
    pub longest: usize,
}

impl Count {
    /// Mean words a sentence, 0 without sentences.
    pub fn mean(&self) -> f64 {
        if self.sentences == 0 { 0.0 } else { self.words as f64 / self.sentences as f64 }
    }

    /// A finding if the mean is above the limit.
    pub fn check(&self) -> Option<Finding> {
        let what = format!("{:.1} words a sentence on the mean of all pages, at most {MEAN}", self.mean());
        (self.words > MEAN * self.sentences).then(|| Finding::error("docs", what))
    }
}

/// Whether a page is prose that this check reads.
pub fn covers(path: &str) -> bool {
    let (folder, name) = path.rsplit_once('/').unwrap_or(("", path));
    let below = |root: &str| folder == root || folder.strip_prefix(root).is_some_and(|rest| rest.starts_with('/'));
    match folder {
        "" => ["README.md", "ARCHITECTURE.md", "CONTRIBUTING.md", CHANGELOG].contains(&name),
        "docs" | "examples" => Path::new(name).extension().is_some_and(|end| end == "md"),
        _ => name == "README.md" && (below("crates/files/data") || below("truth")),
    }
}

/// Sentences of a page that are too long. Adds its sentences to `count`.
pub fn check(path: &str, content: &str, count: &mut Count) -> Vec<Finding> {
    let log = path == CHANGELOG;
    let content = if log { newest(content) } else { content };
    let mut findings = Vec::new();
    for sentence in sentences(content) {
        let words = sentence.words;
        if !log {
            count.sentences += 1;
            count.words += words;
            count.longest = count.longest.max(words);
        }
        if words > LONGEST {
            let line = 1 + content[..sentence.at].matches('\n').count();
            let what = format!("{words} words in a sentence, at most {LONGEST}: \"{} ...\"", sentence.opening);
            findings.push(Finding::error(format!("{path}:{line}"), what));
        }
    }
    findings
}

/// A changelog up to the end of its newest release: what is unreleased, and the release below it.
fn newest(content: &str) -> &str {
    let mut sections = content.match_indices("\n## ").map(|(at, _)| at);
    sections.nth(2).map_or(content, |end| &content[..end])
}

/// A sentence: where it starts in the page, in bytes, how many words it has, and its first ones.
#[derive(Debug, PartialEq)]
struct Sentence {
    at: usize,
    words: usize,
    opening: String,
}

/// The sentences of a page, in order.
fn sentences(content: &str) -> Vec<Sentence> {
    let mut found = Vec::new();
    let mut block = Block::default();
    // Headings, tables, code blocks and raw HTML have no sentences; how deep we are in such.
    let mut outside = 0_usize;
    for (event, range) in Parser::new_ext(content, Options::ENABLE_TABLES).into_offset_iter() {
        match event {
            Event::Start(Tag::Heading { .. } | Tag::Table(_) | Tag::CodeBlock(_) | Tag::HtmlBlock) => {
                block.end(&mut found);
                outside += 1;
            }
            Event::End(TagEnd::Heading(_) | TagEnd::Table | TagEnd::CodeBlock | TagEnd::HtmlBlock) => outside -= 1,
            Event::Start(Tag::Paragraph | Tag::Item | Tag::List(_) | Tag::BlockQuote(_))
            | Event::End(TagEnd::Paragraph | TagEnd::Item | TagEnd::List(_) | TagEnd::BlockQuote(_)) => {
                block.end(&mut found);
            }
            _ if outside > 0 => {}
            Event::Text(text) => block.text(&text, range.start, &mut found),
            Event::Code(code) => block.code(&code, range.start),
            Event::SoftBreak | Event::HardBreak => block.word(&mut found),
            _ => {}
        }
    }
    block.end(&mut found);
    found
}

/// The paragraph being read: its present word, and the words of its present sentence.
#[derive(Default)]
struct Block {
    word: String,
    words: Vec<String>,
    at: Option<usize>,
}

impl Block {
    fn text(&mut self, text: &str, at: usize, found: &mut Vec<Sentence>) {
        for (offset, letter) in text.char_indices() {
            if letter.is_whitespace() {
                self.word(found);
            } else {
                self.at.get_or_insert(at + offset);
                self.word.push(letter);
            }
        }
    }

    /// Code is a part of one word, whatever blanks it holds.
    fn code(&mut self, code: &str, at: usize) {
        self.at.get_or_insert(at);
        self.word.extend(["`", code, "`"]);
    }

    /// Ends the present word, and the sentence if the word does.
    fn word(&mut self, found: &mut Vec<Sentence>) {
        let word = std::mem::take(&mut self.word);
        // A dash or a sign alone is no word.
        if word.contains(char::is_alphanumeric) {
            self.words.push(word.clone());
        }
        if ends(&word) {
            self.sentence(found);
        }
    }

    fn sentence(&mut self, found: &mut Vec<Sentence>) {
        if let (Some(at), false) = (self.at, self.words.is_empty()) {
            let opening = self.words[..self.words.len().min(QUOTED)].join(" ");
            found.push(Sentence { at, words: self.words.len(), opening });
        }
        self.words.clear();
        self.at = None;
    }

    fn end(&mut self, found: &mut Vec<Sentence>) {
        self.word(found);
        self.sentence(found);
    }
}

/// Whether a sentence ends with this word. An initial ("C. Hu") and an abbreviation do not end it.
fn ends(word: &str) -> bool {
    let bare = word.trim_end_matches(['"', '\'', ')', ']', '”', '’']);
    let Some(stem) = bare.strip_suffix('.') else { return bare.ends_with(['!', '?']) };
    let stem = stem.trim_start_matches(['"', '(', '[', '“']);
    let mut letters = stem.chars();
    let initial = letters.next().is_some_and(char::is_uppercase) && letters.next().is_none();
    !initial && !ABBREVIATIONS.contains(&stem)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sentence of so many words.
    fn sentence(words: usize) -> String {
        vec!["word"; words].join(" ") + "."
    }

    fn counts(content: &str) -> Vec<usize> {
        sentences(content).iter().map(|sentence| sentence.words).collect()
    }

    fn findings(path: &str, content: &str) -> Vec<Finding> {
        check(path, content, &mut Count::default())
    }

    #[test]
    fn law_a_sentence_of_36_words_is_found_with_its_line_and_start() {
        assert_eq!(findings("docs/a.md", &sentence(35)), vec![]);
        let page = format!("# A page\n\nShort one. First then {}\n", sentence(34));
        let found = findings("docs/a.md", &page);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].place, "docs/a.md:3");
        let start = "36 words in a sentence, at most 35: \"First then word word word word word word ...\"";
        assert_eq!(found[0].what, start);
        // The line is that of the sentence, not of its paragraph.
        let found = findings("docs/a.md", &format!("Short one.\nAnother.\n{}\n", sentence(40)));
        assert_eq!(found[0].place, "docs/a.md:3");
    }

    #[test]
    fn law_tables_code_headings_and_targets_are_not_prose() {
        let long = sentence(50);
        for quiet in [
            format!("# {long}\n"),
            format!("| a | b |\n|---|---|\n| {long} | {long} |\n"),
            format!("```sh\n{long}\n```\n"),
            format!("    {long}\n"),
            format!("<!-- {long} -->\n"),
        ] {
            assert_eq!(findings("README.md", &quiet), vec![], "{quiet}");
        }
        assert_eq!(counts("See [the page](https://example.org/a_b \"c d e\") now."), [4]);
        assert_eq!(counts("Type `one two three` now."), [3]);
        assert_eq!(findings("README.md", &long).len(), 1, "the same words in a paragraph are loud");
    }

    #[test]
    fn law_sentences_end_where_a_reader_ends_them() {
        assert_eq!(counts("One two. Three four five? \"Six.\" Seven (eight.) Nine!"), [2, 3, 1, 2, 1]);
        assert_eq!(counts("**Bold.** Then [a link.](x.md) End"), [1, 3, 1]);
        assert_eq!(counts("Half of 0.5 boards; C. Brewer, e.g. in 2002: docs.rs."), [10]);
        assert_eq!(counts("One − two = three."), [3]);
        assert_eq!(counts("- one two\n- three\n  four\n\n  five six. Seven\n"), [2, 2, 2, 1]);
        assert_eq!(counts("Each:\n\n1. one\n2. two three\n"), [1, 1, 2]);
    }

    #[test]
    fn law_the_mean_is_over_all_pages_but_the_changelog() {
        let mut count = Count::default();
        check("docs/a.md", &sentence(19), &mut count);
        assert!(count.check().is_some());
        check("docs/b.md", &sentence(17), &mut count);
        check(CHANGELOG, &sentence(30), &mut count);
        assert_eq!(count, Count { sentences: 2, words: 36, longest: 19 });
        assert!(count.check().is_none());
    }

    #[test]
    fn law_the_changelog_counts_from_its_newest_release_on() {
        let long = sentence(40);
        let log = |unreleased: &str, newest: &str, older: &str| {
            format!(
                "# Changelog\n\n## Unreleased\n\n- {unreleased}\n\n## 0.2.0\n\n- {newest}\n\n## 0.1.0\n\n- {older}\n"
            )
        };
        assert_eq!(findings(CHANGELOG, &log("a", "b", &long)).len(), 0);
        assert_eq!(findings(CHANGELOG, &log("a", &long, "c")).len(), 1);
        assert_eq!(findings(CHANGELOG, &log(&long, "b", "c")).len(), 1);
    }

    #[test]
    fn law_the_pages_that_people_read_are_covered() {
        for path in [
            "README.md",
            "CHANGELOG.md",
            "docs/a.md",
            "examples/a.md",
            "crates/files/data/README.md",
            "crates/files/data/a/README.md",
            "truth/a/b/README.md",
        ] {
            assert!(covers(path), "{path}");
        }
        for path in [
            "THIRD-PARTY.md",
            "docs/a.svg",
            "docs/a/b.md",
            "crates/files/data/a/b.md",
            "crates/files/README.md",
            "a/README.md",
        ] {
            assert!(!covers(path), "{path}");
        }
    }
}
