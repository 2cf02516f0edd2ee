//! Which crate may use which.
//!
//! ```text
//! boardwise -> session, web      web -> session      session -> belief, record, figures, files, film      belief -> search
//! figures -> search, belief      files -> search      record -> score      search -> lane, pins, score
//! film -> lane      lane -> ball      pins -> ball, score      ball, score -> units
//! ```
//!
//! A crate may also use whatever the crates it may use may use. `record` and `figures` never meet, `score` knows no
//! physics, and `lane` and `pins` meet only in `search`. Crates are named by their folders: the package of `lane` is
//! `boardwise-lane`.

use cargo_metadata::{DependencyKind, Metadata};

use super::Finding;

/// The arrows of the house, and of what stands beside it: programs, examples, chores.
const ARROWS: &[(&str, &[&str])] = &[
    ("boardwise", &["session", "web"]),
    ("web", &["session"]),
    ("session", &["belief", "record", "figures", "files", "film"]),
    ("film", &["lane"]),
    ("files", &["search"]),
    ("record", &["score"]),
    ("figures", &["search", "belief"]),
    ("belief", &["search"]),
    ("search", &["lane", "pins", "score"]),
    ("lane", &["ball"]),
    ("pins", &["ball", "score"]),
    ("ball", &["units"]),
    ("score", &["units"]),
    ("units", &[]),
    ("tools", &["session"]),
    ("examples", &["files", "belief", "record"]),
    ("xtask", &[]),
];

/// Libraries that only some crates may be built on, and why. Tests and benches are free to use them.
const KEPT: &[(&str, &[&str], &str)] = &[
    ("rayon", &["search", "belief", "web", "tools"], "threads are a feature of search and belief; web shares them out"),
    ("rusqlite", &["record"], "only record opens the record"),
    (
        "jiff",
        &["record", "session", "web", "boardwise", "tools", "examples"],
        "instants belong to the record and to what stands on it",
    ),
    ("axum", &["web"], "only the app knows the network"),
    ("tokio", &["web"], "only the app knows the network"),
    ("tower-http", &["web"], "only the app knows the network"),
    ("maud", &["web"], "only the app writes HTML"),
    ("clap", &["boardwise", "xtask"], "only the command line reads arguments"),
    ("miette", &["boardwise"], "libraries return plain errors; the command line presents them"),
    ("toml", &["files"], "only files reads what people write"),
    ("anyhow", &["xtask"], "libraries have one error enum each"),
    ("log", &[], "a core function returns values and warnings, it never logs"),
    ("tracing", &["web"], "a core function returns values and warnings, it never logs"),
];

/// One crate's use of another: who, whom, and whether only for its tests and benches.
#[derive(Debug)]
pub struct Edge {
    /// The crate that uses.
    pub from: String,
    /// The crate that is used, of this workspace or not.
    pub to: String,
    /// Whether `to` is a crate of this workspace.
    pub ours: bool,
    /// Whether the use is for tests and benches only.
    pub dev: bool,
}

/// The edges that leave each crate of the workspace; a crate without any appears once with an empty `to`.
pub fn edges(metadata: &Metadata) -> Vec<Edge> {
    let members = metadata.workspace_packages();
    let ours = |name: &str| members.iter().any(|member| member.name.as_str() == name);
    let mut edges = Vec::new();
    for member in &members {
        let from = room(&member.name);
        edges.push(Edge { from: from.clone(), to: String::new(), ours: false, dev: false });
        edges.extend(member.dependencies.iter().map(|dependency| Edge {
            from: from.clone(),
            to: room(&dependency.name),
            ours: dependency.path.is_some() && ours(&dependency.name),
            dev: dependency.kind == DependencyKind::Development,
        }));
    }
    edges
}

/// A crate's folder, by the name of its package.
fn room(package: &str) -> String {
    package.strip_prefix("boardwise-").unwrap_or(package).to_owned()
}

/// Everything that breaks the arrows.
pub fn check(edges: &[Edge]) -> Vec<Finding> {
    edges.iter().filter_map(broken).collect()
}

fn broken(edge: &Edge) -> Option<Finding> {
    let Edge { from, to, ours, dev } = edge;
    if !ARROWS.iter().any(|(name, _)| name == from) {
        return Some(Finding::error(from, "this crate has no arrows yet: add it to xtask/src/tidy/arrows.rs"));
    }
    if *ours {
        // Tests are held to the arrows too: a test of score that needs physics belongs in a crate above both.
        return (!may_use(from, to))
            .then(|| Finding::error(from, format!("may not use {to}: the arrows run the other way or not at all")));
    }
    let (_, owners, reason) = KEPT.iter().find(|(name, ..)| name == to)?;
    (!dev && !owners.contains(&from.as_str())).then(|| Finding::error(from, format!("may not use {to}: {reason}")))
}

fn may_use(from: &str, to: &str) -> bool {
    let below = ARROWS.iter().find(|(name, _)| *name == from).map_or(&[][..], |(_, below)| below);
    below.iter().any(|next| *next == to || may_use(next, to))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Made-up metadata in cargo's own format: one package with its dependencies, beside the packages they name.
    fn metadata(from: &str, dependencies: &[(&str, Option<&str>)], ours: &[&str]) -> Metadata {
        let package = |name: &str, dependencies: &[(&str, Option<&str>)]| {
            let dependencies: Vec<_> = dependencies
                .iter()
                .map(|(to, kind)| {
                    let path = ours.contains(to).then(|| format!("/house/{to}"));
                    serde_json::json!({"name": to, "source": null, "req": "*", "kind": kind, "rename": null, "optional": false,
                        "uses_default_features": true, "features": [], "target": null, "registry": null, "path": path})
                })
                .collect();
            serde_json::json!({"name": name, "version": "0.1.0", "id": name, "license": null, "license_file": null,
                "description": null, "source": null, "dependencies": dependencies, "targets": [], "features": {},
                "manifest_path": format!("/house/{name}/Cargo.toml"), "edition": "2024"})
        };
        let mut packages = vec![package(from, dependencies)];
        packages.extend(ours.iter().map(|name| package(name, &[])));
        let members: Vec<&str> = std::iter::once(from).chain(ours.iter().copied()).collect();
        let whole = serde_json::json!({"packages": packages, "workspace_members": members, "resolve": null,
            "workspace_root": "/house", "target_directory": "/house/target", "version": 1});
        serde_json::from_value(whole).expect("cargo's format")
    }

    fn whats(metadata: &Metadata) -> Vec<String> {
        check(&edges(metadata)).into_iter().map(|finding| finding.what).collect()
    }

    #[test]
    fn law_allowed_arrows_pass() {
        for (from, to) in
            [("search", "lane"), ("figures", "ball"), ("boardwise", "units"), ("pins", "score"), ("web", "figures")]
        {
            assert_eq!(whats(&metadata(from, &[(to, None)], &[to])), Vec::<String>::new(), "{from} -> {to}");
        }
    }

    #[test]
    fn law_forbidden_arrows_fail() {
        for (from, to) in [
            ("record", "figures"),
            ("figures", "record"),
            ("session", "web"),
            ("files", "record"),
            ("belief", "files"),
            ("score", "ball"),
            ("lane", "pins"),
            ("pins", "lane"),
            ("units", "ball"),
            ("xtask", "search"),
        ] {
            let found = whats(&metadata(from, &[(to, None)], &[to]));
            assert!(
                found.len() == 1 && found[0].starts_with(&format!("may not use {to}")),
                "{from} -> {to}: {found:?}"
            );
        }
    }

    #[test]
    fn law_a_test_is_held_to_the_arrows_too() {
        assert_eq!(whats(&metadata("score", &[("lane", Some("dev"))], &["lane"])).len(), 1);
    }

    #[test]
    fn law_an_unknown_crate_fails() {
        assert_eq!(whats(&metadata("attic", &[], &[])).len(), 1);
    }

    #[test]
    fn law_kept_libraries_stay_where_they_belong() {
        assert_eq!(whats(&metadata("search", &[("rayon", None)], &[])).len(), 0);
        assert_eq!(whats(&metadata("lane", &[("rayon", Some("dev"))], &[])).len(), 0);
        assert_eq!(whats(&metadata("lane", &[("rayon", None)], &[])).len(), 1);
        assert_eq!(whats(&metadata("figures", &[("rusqlite", None)], &[])).len(), 1);
        assert_eq!(whats(&metadata("session", &[("clap", None)], &[])).len(), 1);
        assert_eq!(whats(&metadata("boardwise", &[("axum", None)], &[])).len(), 1);
    }
}
