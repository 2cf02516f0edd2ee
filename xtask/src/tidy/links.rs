//! Links from one page to another: each leads to a file.

use std::path::Path;

use pulldown_cmark::{Event, Parser, Tag};

use super::Finding;

/// Whether a file is a page.
pub fn covers(path: &str) -> bool {
    Path::new(path).extension().is_some_and(|end| end == "md")
}

/// Links of a page to files that are not there. Whether a path of the repository leads to one is asked of `there`.
pub fn check(path: &str, content: &str, there: impl Fn(&Path) -> bool) -> Vec<Finding> {
    let folder = Path::new(path).parent().unwrap_or(Path::new(""));
    let mut findings = Vec::new();
    for (event, at) in Parser::new(content).into_offset_iter() {
        let Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) = event else { continue };
        let file = dest_url.split('#').next().unwrap_or_default();
        // A link with a scheme leads out of the repository, one that is a part of the page alone stays on it.
        if file.is_empty() || file.contains(':') || there(&folder.join(file)) {
            continue;
        }
        let line = 1 + content[..at.start].matches('\n').count();
        findings.push(Finding::error(format!("{path}:{line}"), format!("the link to {file} leads nowhere")));
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_link_that_leads_nowhere_is_found_with_its_line() {
        let there = |path: &Path| path == Path::new("docs/app.md") || path == Path::new("docs/../README.md");
        let page =
            "# A\n\n[a](app.md#cards), [b](../README.md), [c](https://example.org), [d](#here)\n\n![e](gone.svg)\n";
        let found = check("docs/block.md", page, there);
        assert_eq!(found, [Finding::error("docs/block.md:5", "the link to gone.svg leads nowhere")]);
    }
}
