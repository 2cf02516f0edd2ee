//! The rules of the house that no compiler checks.
//!
//! [`arrows`] checks which crate may use which, [`circles`] that no two files of a crate need each other, [`pure`] what the core may not touch, [`folder`] that a crate's package is
//! whole, [`factors`] that nobody but `units` converts, [`text`] every file's words, [`prose`] the length of sentences, [`links`] that links between pages lead somewhere,
//! [`rows`] the table of dependencies, [`readme`] the front pages of the libraries, and
//! [`one_program`] that no file of tests is left out. Each rule is a function from text or metadata to findings, so that its test can show
//! it both quiet and loud.

mod arrows;
mod circles;
mod factors;
mod folder;
mod links;
mod one_program;
mod prose;
mod pure;
mod readme;
mod rows;
mod text;

use std::fmt;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};
use cargo_metadata::{Metadata, MetadataCommand, TargetKind};
use ignore::WalkBuilder;

use crate::step::root;

/// Something that breaks a rule (an error) or deserves a look (a notice).
#[derive(Debug, PartialEq)]
pub struct Finding {
    /// An error fails the check; a notice is only printed.
    pub error: bool,
    /// Where: a path relative to the root, with a line where one is known, or a crate's name.
    pub place: String,
    /// What is wrong and what to do.
    pub what: String,
}

impl Finding {
    fn error(place: impl Into<String>, what: impl Into<String>) -> Self {
        Self { error: true, place: place.into(), what: what.into() }
    }

    fn notice(place: impl Into<String>, what: impl Into<String>) -> Self {
        Self { error: false, place: place.into(), what: what.into() }
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}: {}", if self.error { "error" } else { "notice" }, self.place, self.what)
    }
}

/// Checks the whole repository; prints every finding and fails on the first kind.
pub fn check() -> Result<()> {
    let root = root();
    let metadata =
        MetadataCommand::new().current_dir(&root).no_deps().exec().context("cannot read the workspace's metadata")?;
    let edges = arrows::edges(&metadata);
    let mut findings = arrows::check(&edges);
    findings.extend(rows::check(&edges, &fs::read_to_string(root.join("ARCHITECTURE.md"))?));
    findings.extend(crate_docs(&metadata)?);
    findings.extend(readme::check(&metadata, &root)?);
    findings.extend(one_program::check(&metadata, &root)?);
    let mut files = 0;
    let mut count = prose::Count::default();
    let texts = texts(&root)?;
    findings.extend(circles::check(texts.iter().map(|(path, text)| (path.as_str(), text.as_str()))));
    for (path, content) in &texts {
        files += 1;
        findings.extend(text::check(path, content));
        if pure::covers(path) {
            findings.extend(pure::check(path, content));
        }
        if folder::covers(path) {
            findings.extend(folder::check(path, content));
        }
        if factors::covers(path) {
            findings.extend(factors::check(path, content));
        }
        if links::covers(path) {
            findings.extend(links::check(path, content, |file| root.join(file).exists()));
        }
        if prose::covers(path) {
            findings.extend(prose::check(path, content, &mut count));
        }
    }
    findings.extend(count.check());
    findings.sort_by_key(|finding| finding.error);
    for finding in &findings {
        println!("    {finding}");
    }
    let errors = findings.iter().filter(|finding| finding.error).count();
    let (sentences, mean, longest) = (count.sentences, count.mean(), count.longest);
    println!("    prose: {sentences} sentences, {mean:.1} words on the mean, {longest} the longest");
    println!("    {files} files, {} crates: {errors} errors, {} notices", metadata.workspace_members.len(), {
        findings.len() - errors
    });
    if errors > 0 {
        bail!("{errors} rules broken");
    }
    Ok(())
}

/// Writes the front page of each library from its guide.
pub fn write_readmes() -> Result<()> {
    readme::write(&MetadataCommand::new().current_dir(root()).no_deps().exec()?)
}

/// Every text file that git would track, as (path relative to the root with forward slashes, content).
fn texts(root: &Path) -> Result<Vec<(String, String)>> {
    let mut texts = Vec::new();
    let walk = WalkBuilder::new(root)
        .hidden(false)
        .require_git(false)
        .filter_entry(|entry| entry.file_name() != ".git")
        .sort_by_file_path(Path::cmp)
        .build();
    for entry in walk {
        let entry = entry?;
        if !entry.file_type().is_some_and(|kind| kind.is_file()) {
            continue;
        }
        // Pictures and other binary files have no words to check.
        if let Ok(content) = String::from_utf8(fs::read(entry.path())?) {
            let path = entry.path().strip_prefix(root)?.to_string_lossy().replace('\\', "/");
            texts.push((path, content));
        }
    }
    Ok(texts)
}

/// Every crate opens with a sentence on what it is.
fn crate_docs(metadata: &Metadata) -> Result<Vec<Finding>> {
    let mut findings = Vec::new();
    for package in metadata.workspace_packages() {
        let roots = package
            .targets
            .iter()
            .filter(|target| target.kind.iter().any(|kind| matches!(kind, TargetKind::Lib | TargetKind::Bin)));
        for target in roots {
            let content = fs::read_to_string(&target.src_path)?;
            findings.extend(text::crate_doc(&format!("{} ({})", package.name, target.name), &content));
        }
    }
    Ok(findings)
}
