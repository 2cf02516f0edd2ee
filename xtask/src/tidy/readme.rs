//! The front page of each library: its guide, as a registry shows it.
//!
//! A package travels with its own README. It is written from the guide at the head of the crate's `lib.rs`, so that there is
//! one guide and not two. `cargo xtask bless` writes it anew.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use cargo_metadata::{Metadata, Package, TargetKind};

use super::Finding;

/// What follows each guide.
const FOOT: &str = "\
## Licence

MIT or Apache 2.0, as you prefer. This crate is a part of boardwise, a program for tenpin bowlers. The pages in `docs` that
it names are in the program's sources.
";

/// The front page of a crate, from its name and the text of its `lib.rs`.
pub fn written(name: &str, source: &str) -> String {
    let mut page = format!("# {name}\n\n");
    let mut code = false;
    for line in source.lines().map_while(|line| line.strip_prefix("//!")) {
        let line = line.strip_prefix(' ').unwrap_or(line);
        if let Some(kind) = line.strip_prefix("```") {
            code = !code;
            page.push_str(if code { "```rust" } else { "```" });
            page.push_str(if code && !kind.is_empty() { "," } else { "" });
            page.push_str(kind);
        } else if code && (line == "#" || line.starts_with("# ")) {
            // A line that the documentation runs and does not show.
            continue;
        } else if !code && line.starts_with('#') {
            page.push('#');
            page.push_str(line);
        } else if code {
            page.push_str(line);
        } else {
            page.push_str(&without_links(line));
        }
        page.push('\n');
    }
    page.push('\n');
    page + FOOT
}

/// A line with the text of its links alone: they lead to items of the crate, which only the documentation knows.
fn without_links(line: &str) -> String {
    let mut rest = line;
    let mut text = String::new();
    while let Some((before, link)) = rest.split_once('[') {
        text.push_str(before);
        let Some((words, after)) = link.split_once(']') else {
            text.push('[');
            rest = link;
            continue;
        };
        text.push_str(words);
        let target = after.strip_prefix('(').and_then(|after| after.split_once(')'));
        rest = target.map_or(after, |(_, after)| after);
    }
    text + rest
}

/// Where the front page of a library belongs, and what it should say; none for programs and for what is not published.
fn page(package: &Package) -> Result<Option<(PathBuf, String)>> {
    let library = package.targets.iter().find(|target| target.kind.contains(&TargetKind::Lib));
    let program = package.targets.iter().any(|target| target.kind.contains(&TargetKind::Bin));
    let published = package.publish.as_ref().is_none_or(|registries| !registries.is_empty());
    let Some(library) = library.filter(|_| published && !program) else { return Ok(None) };
    let source = fs::read_to_string(&library.src_path)?;
    let folder = package.manifest_path.parent().context("a manifest lies in a folder")?;
    Ok(Some((folder.join("README.md").into_std_path_buf(), written(&package.name, &source))))
}

/// Every front page that is missing or out of date.
pub fn check(metadata: &Metadata, root: &Path) -> Result<Vec<Finding>> {
    let mut findings = Vec::new();
    for package in metadata.workspace_packages() {
        let Some((path, text)) = page(package)? else { continue };
        if fs::read_to_string(&path).unwrap_or_default() != text {
            let place = path.strip_prefix(root).unwrap_or(&path).display().to_string();
            findings.push(Finding::error(place, "this is not the guide of lib.rs: run `cargo xtask readmes`"));
        }
    }
    Ok(findings)
}

/// Writes every front page.
pub fn write(metadata: &Metadata) -> Result<()> {
    for package in metadata.workspace_packages() {
        if let Some((path, text)) = page(package)? {
            fs::write(&path, text).with_context(|| format!("cannot write {}", path.display()))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_front_page_is_the_guide_without_links_and_hidden_lines() {
        let source = "\
//! Balls, as [`Ball`]s and [in a bag](Bag).
//!
//! # Units
//!
//! ```no_run
//! # use a::b;
//! let all = [1, 2];
//! #[derive(Debug)]
//! ```
#![no_std]
//! not of it
";
        let page = written("balls", source);
        let guide = page.strip_suffix(FOOT).unwrap();
        let shown = "let all = [1, 2];\n#[derive(Debug)]\n";
        assert_eq!(
            guide,
            format!("# balls\n\nBalls, as `Ball`s and in a bag.\n\n## Units\n\n```rust,no_run\n{shown}```\n\n")
        );
    }

    #[test]
    fn law_a_bracket_that_opens_no_link_stays() {
        assert_eq!(
            without_links("boards [1, and `a[2]` of [`B::c`](d::B::c), then [e]"),
            "boards [1, and `a[2]` of `B::c`, then e"
        );
    }
}
