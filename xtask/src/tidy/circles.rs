//! Files of a crate that need each other: none may, in any number of steps.
//!
//! Read are the names that a file takes from another by `use` or by path. A name that a module only hands on is looked up
//! where it is defined. Tests inside a file may use what they test with.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use syn::visit::{self, Visit};
use syn::{Attribute, File, Item, ItemMod, ItemUse, UseTree};

use super::Finding;

/// The crate's folder, and the file's place in it.
fn source(path: &str) -> Option<(&str, &str)> {
    let (folder, inside) = path.split_once("/src/")?;
    let rust = Path::new(inside).extension().is_some_and(|end| end == "rs");
    (rust && !folder.starts_with("fuzz")).then_some((folder, inside))
}

/// The circles of all crates. `files` are paths with their text.
pub fn check<'a>(files: impl IntoIterator<Item = (&'a str, &'a str)>) -> Vec<Finding> {
    let mut crates: BTreeMap<&str, Crate> = BTreeMap::new();
    let mut findings = Vec::new();
    for (path, text) in files {
        let Some((folder, inside)) = source(path) else { continue };
        match syn::parse_file(text) {
            Ok(file) => crates.entry(folder).or_default().add(inside, &file),
            Err(why) => findings.push(Finding::error(path, format!("is no Rust: {why}"))),
        }
    }
    for (folder, house) in &crates {
        for circle in house.circles() {
            findings.push(Finding::error(*folder, format!("these files need each other, cut the circle: {circle}")));
        }
    }
    findings
}

/// The files of a crate, by their modules' paths; the root's is empty.
#[derive(Default)]
struct Crate {
    defines: BTreeMap<String, BTreeSet<String>>,
    names: BTreeMap<String, Vec<Vec<String>>>,
}

impl Crate {
    fn add(&mut self, inside: &str, file: &File) {
        let module = inside.trim_end_matches(".rs");
        let module = module.strip_suffix("/mod").unwrap_or(module).replace('/', "::");
        // A program beside the library is a crate of its own, and a file of tests may use what it tests with.
        if module == "main" || module.starts_with("bin::") || module.ends_with("::tests") {
            return;
        }
        let module = if module == "lib" { String::new() } else { module };
        let mut taken = Taken::default();
        taken.visit_file(file);
        self.defines.insert(module.clone(), file.items.iter().filter_map(defined).collect());
        self.names.insert(module, taken.paths);
    }

    /// The file that a path written in `from` leads to.
    fn leads_to(&self, from: &str, path: &[String]) -> Option<&str> {
        let mut place: Vec<&str> = from.split("::").filter(|part| !part.is_empty()).collect();
        let mut parts = path.iter().map(String::as_str).peekable();
        match parts.next()? {
            "crate" => place.clear(),
            "super" => drop(place.pop()),
            "self" => {}
            _ => return None,
        }
        while parts.next_if_eq(&"super").is_some() {
            place.pop();
        }
        while let Some(part) = parts.peek() {
            let longer = place.iter().copied().chain([*part]).collect::<Vec<_>>().join("::");
            if !self.names.contains_key(&longer) {
                break;
            }
            place.push(part);
            parts.next();
        }
        let module = place.join("::");
        let (module, _) = self.names.get_key_value(&module)?;
        let Some(name) = parts.next().filter(|name| !self.defines[module].contains(*name)) else { return Some(module) };
        let within = |other: &str| {
            module.is_empty() || other.strip_prefix(module.as_str()).is_some_and(|rest| rest.starts_with("::"))
        };
        let mut homes = self.defines.iter().filter(|(other, names)| within(other) && names.contains(name));
        // Named twice, nobody can tell from here which is meant.
        homes.next().filter(|_| homes.next().is_none()).map(|(home, _)| home.as_str())
    }

    /// The files that a file needs, in one step.
    fn needs(&self, from: &str) -> BTreeSet<&str> {
        let to = self.names[from].iter().filter_map(|path| self.leads_to(from, path));
        // The root and a folder's face hand names on; their own arrows say nothing.
        to.filter(|to| *to != from && !from.is_empty() && !to.is_empty()).collect()
    }

    fn circles(&self) -> Vec<String> {
        let arrows: BTreeMap<&str, BTreeSet<&str>> =
            self.names.keys().map(|from| (from.as_str(), self.needs(from))).collect();
        let reached: BTreeMap<&str, BTreeSet<&str>> = arrows.keys().map(|from| (*from, reach(&arrows, from))).collect();
        let circles: BTreeSet<Vec<&str>> = arrows
            .keys()
            .map(|from| reached[from].iter().copied().filter(|to| reached[to].contains(from)).collect())
            .collect();
        circles.into_iter().filter(|files| !files.is_empty()).map(|files| files.join(", ")).collect()
    }
}

/// Every file that a file needs in any number of steps. A crate has some dozens of files.
fn reach<'a>(arrows: &BTreeMap<&'a str, BTreeSet<&'a str>>, from: &'a str) -> BTreeSet<&'a str> {
    let (mut found, mut next) = (BTreeSet::new(), vec![from]);
    while let Some(file) = next.pop() {
        next.extend(arrows[file].iter().filter(|to| found.insert(**to)));
    }
    found
}

/// The name that an item gives to the world.
fn defined(item: &Item) -> Option<String> {
    let name = match item {
        Item::Const(one) => &one.ident,
        Item::Enum(one) => &one.ident,
        Item::Fn(one) => &one.sig.ident,
        Item::Macro(one) => one.ident.as_ref()?,
        Item::Static(one) => &one.ident,
        Item::Struct(one) => &one.ident,
        Item::Trait(one) => &one.ident,
        Item::Type(one) => &one.ident,
        _ => return None,
    };
    Some(name.to_string())
}

/// The paths of a file that begin at a place in its crate.
#[derive(Default)]
struct Taken {
    paths: Vec<Vec<String>>,
}

impl Taken {
    fn use_tree(&mut self, before: &[String], tree: &UseTree) {
        let longer = |name: &syn::Ident| before.iter().cloned().chain([name.to_string()]).collect::<Vec<_>>();
        match tree {
            UseTree::Path(path) => self.use_tree(&longer(&path.ident), &path.tree),
            UseTree::Name(name) => self.paths.push(longer(&name.ident)),
            UseTree::Rename(name) => self.paths.push(longer(&name.ident)),
            UseTree::Glob(_) => self.paths.push(before.to_vec()),
            UseTree::Group(group) => group.items.iter().for_each(|tree| self.use_tree(before, tree)),
        }
    }
}

/// Whether something is there for tests alone: `test`, or `all(test, ...)`.
fn is_test(attributes: &[Attribute]) -> bool {
    let words = |one: &Attribute| one.meta.require_list().map(|list| list.tokens.to_string()).unwrap_or_default();
    let means_test = |words: &str| words == "test" || words.starts_with("all (test");
    attributes.iter().any(|one| one.path().is_ident("cfg") && means_test(&words(one)))
}

impl<'ast> Visit<'ast> for Taken {
    fn visit_item_mod(&mut self, module: &'ast ItemMod) {
        if !is_test(&module.attrs) {
            visit::visit_item_mod(self, module);
        }
    }

    fn visit_item_use(&mut self, item: &'ast ItemUse) {
        self.use_tree(&[], &item.tree);
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        self.paths.push(path.segments.iter().map(|part| part.ident.to_string()).collect());
        visit::visit_path(self, path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(files: &[(&str, &str)]) -> Vec<String> {
        let files = files.iter().map(|&(inside, text)| (format!("crates/a/src/{inside}"), text)).collect::<Vec<_>>();
        check(files.iter().map(|(path, text)| (path.as_str(), *text))).into_iter().map(|one| one.what).collect()
    }

    const ROOT: (&str, &str) = ("lib.rs", "mod ball; mod lane; pub use ball::Ball; pub use lane::Lane;");

    #[test]
    fn law_files_that_need_each_other_are_found() {
        let (lane, ball) = ("use crate::Ball; pub struct Lane(Ball);", "pub struct Ball(crate::lane::Lane);");
        let circle = found(&[ROOT, ("lane.rs", lane), ("ball.rs", ball)]);
        assert!(circle.len() == 1 && circle[0].ends_with("ball, lane"), "{circle:?}");
        assert!(found(&[ROOT, ("lane.rs", lane), ("ball.rs", "pub struct Ball;")]).is_empty());
    }

    #[test]
    fn law_a_folder_is_looked_into_and_tests_are_not() {
        let root = ("lib.rs", "mod ball; mod lane;");
        let face = ("lane/mod.rs", "mod oil; mod wood; pub use oil::Oil; pub use wood::Wood;");
        let (oil, wood) =
            (("lane/oil.rs", "use super::Wood; pub struct Oil(Wood);"), "use super::oil::Oil; pub struct Wood(Oil);");
        assert_eq!(found(&[root, face, oil, ("lane/wood.rs", wood)]).len(), 1);
        let tests = "pub struct Wood; #[cfg(test)] mod tests { use super::super::oil::Oil; }";
        assert!(found(&[root, face, oil, ("lane/wood.rs", tests)]).is_empty());
    }
}
