//! What a crate's sources may include: files of the crate's own folder, because nothing else travels in its package.

use super::Finding;
use super::pure::code_lines;

/// Whether a path belongs to the sources of a crate that is published. Tests may read files of the whole repository.
pub fn covers(path: &str) -> bool {
    let Some((_, inside)) = path.strip_prefix("crates/").and_then(|rest| rest.split_once('/')) else { return false };
    let source = inside.strip_prefix("src/").and_then(|inside| inside.strip_suffix(".rs"));
    source.is_some_and(|stem| stem != "tests" && !stem.ends_with("/tests") && !stem.contains("tests/"))
}

/// Every path in one source file that leads out of its crate.
pub fn check(path: &str, content: &str) -> Vec<Finding> {
    // The folders from the crate's own down to the file's: as many steps up stay inside.
    let depth = path.split('/').count().saturating_sub(3);
    let leaves = |literal: &str| {
        let steps = literal.split('/').take_while(|step| *step == "..").count();
        steps > depth || literal.starts_with("/../")
    };
    let places = code_lines(content).filter(|(_, line)| line.split('"').skip(1).step_by(2).any(leaves));
    let what = "this path leads out of the crate's folder, so its package lacks the file: move the file into the crate";
    places.map(|(number, _)| Finding::error(format!("{path}:{number}"), what)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(path: &str, line: &str) -> usize {
        check(path, &format!("fn f() {{\n    {line}\n}}\n")).len()
    }

    #[test]
    fn law_a_path_out_of_the_crate_is_found() {
        assert_eq!(places("crates/files/src/tables.rs", "include_bytes!(\"../../../data/carry.bin\")"), 1);
        assert_eq!(places("crates/files/src/tables.rs", "include_bytes!(\"../../data/carry.bin\")"), 1);
        assert_eq!(places("crates/files/src/demo.rs", "text: include_str!(concat!(\"../../data/\", $path))"), 1);
        assert_eq!(places("crates/web/src/pages/home.rs", "#[path = \"../../../files/src/form.rs\"]"), 1);
        let read = "read(concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/../files/data/bag.toml\"))";
        assert_eq!(places("crates/web/src/pages/home.rs", read), 1);
    }

    #[test]
    fn law_a_path_inside_the_crate_passes() {
        assert_eq!(places("crates/files/src/tables.rs", "include_bytes!(\"../data/carry.bin\")"), 0);
        assert_eq!(places("crates/web/src/pages/home.rs", "include_str!(\"../../assets/home.js\")"), 0);
        assert_eq!(places("crates/web/src/pages/home.rs", "// see \"../../../../docs\""), 0);
    }

    #[test]
    fn law_tests_may_read_the_whole_repository() {
        let content =
            "#[cfg(test)]\nmod tests {\n    fn f() {\n        include_str!(\"../../../truth/a.csv\");\n    }\n}\n";
        assert_eq!(check("crates/files/src/tables.rs", content).len(), 0);
        assert!(covers("crates/files/src/form/mod.rs"));
        assert!(!covers("crates/web/src/state/tests.rs"));
        assert!(!covers("crates/lane/tests/robot/mod.rs"));
        assert!(!covers("tools/src/lib.rs"));
    }
}
