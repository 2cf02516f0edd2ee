//! The table of dependencies in ARCHITECTURE.md: a row for every library, and no row for one that is not used.

use std::collections::BTreeSet;

use super::Finding;
use super::arrows::Edge;

/// The page with the table.
const PAGE: &str = "ARCHITECTURE.md";

/// Names in the table that are no libraries of the workspace: its own crates, and what the browser tests take from npm.
const OTHERS: [&str; 9] =
    ["search", "belief", "tidy", "tsc", "playwright-core", "axe-core", "typescript", "pixelmatch", "pngjs"];

/// Libraries without a row, and rows without a library.
pub fn check(edges: &[Edge], page: &str) -> Vec<Finding> {
    let used: BTreeSet<&str> =
        edges.iter().filter(|edge| !edge.ours && !edge.to.is_empty()).map(|edge| edge.to.as_str()).collect();
    let rows: BTreeSet<&str> = chosen(page).collect();
    let without_row = used.difference(&rows).map(|name| {
        Finding::error(PAGE, format!("`{name}` has no row in the table of dependencies: say why it was chosen"))
    });
    let without_use = rows.difference(&used).filter(|name| !OTHERS.contains(*name));
    let without_use =
        without_use.map(|name| Finding::error(PAGE, format!("`{name}` has a row and nothing uses it: take it out")));
    without_row.chain(without_use).collect()
}

/// The names in the column of choices.
fn chosen(page: &str) -> impl Iterator<Item = &str> {
    let table = page.split("## Dependencies").nth(1).unwrap_or_default();
    let choices = table.lines().filter(|line| line.starts_with('|')).filter_map(|line| line.split('|').nth(2));
    choices.flat_map(|choice| choice.split('`').skip(1).step_by(2))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn whats(uses: &[&str], choices: &str) -> Vec<String> {
        let edge = |to: &&str| Edge { from: "web".to_owned(), to: (*to).to_owned(), ours: false, dev: false };
        let page =
            format!("| a | `before` | |\n\n## Dependencies\n\n| need | choice | rejected |\n|---|---|---|\n{choices}");
        check(&uses.iter().map(edge).collect::<Vec<_>>(), &page).into_iter().map(|finding| finding.what).collect()
    }

    #[test]
    fn law_a_library_without_a_row_is_found() {
        assert!(whats(&["glam"], "| vectors | `glam` (f64) | `nalgebra`: too much |\n").is_empty());
        let found = whats(&["glam", "axum"], "| vectors | `glam` | |\n");
        assert!(found.len() == 1 && found[0].starts_with("`axum` has no row"), "{found:?}");
    }

    #[test]
    fn law_a_row_for_a_library_no_longer_used_is_found() {
        let found = whats(&["glam"], "| vectors | `glam` | |\n| colour | `anstream` in `search` | |\n");
        assert!(found.len() == 1 && found[0].starts_with("`anstream` has a row"), "{found:?}");
    }
}
