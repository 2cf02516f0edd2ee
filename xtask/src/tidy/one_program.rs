//! Where all tests of a crate are one program, each file of tests must be in it: a file left out would be silent.

use std::fs;
use std::path::Path;

use anyhow::Result;
use cargo_metadata::{Metadata, TargetKind};

use super::Finding;

/// Every file of tests that no program of tests takes in.
pub fn check(metadata: &Metadata, root: &Path) -> Result<Vec<Finding>> {
    let mut findings = Vec::new();
    for package in metadata.workspace_packages() {
        let programs: Vec<_> = package.targets.iter().filter(|one| one.kind.contains(&TargetKind::Test)).collect();
        let Some(folder) = package.manifest_path.parent().map(|folder| folder.join("tests")) else { continue };
        let mut known = String::new();
        for program in &programs {
            known += &fs::read_to_string(&program.src_path)?;
        }
        for entry in fs::read_dir(&folder).into_iter().flatten() {
            let path = entry?.path();
            let Some(stem) = path.file_stem().and_then(|stem| stem.to_str()) else { continue };
            let source = path.extension().is_some_and(|end| end == "rs");
            if source && !programs.iter().any(|one| one.src_path.as_std_path() == path) && !takes_in(&known, stem) {
                let place = path.strip_prefix(root).unwrap_or(&path).display().to_string();
                findings
                    .push(Finding::error(place, format!("no program of tests has `mod {stem};`: nobody runs these")));
            }
        }
    }
    Ok(findings)
}

fn takes_in(program: &str, stem: &str) -> bool {
    program.lines().any(|line| line == format!("mod {stem};"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_file_is_taken_in_by_its_own_name_alone() {
        let program = "//! All.\n\nmod law_batch;\n// mod law_wear;\nmod law_wear_two;\n";
        assert!(takes_in(program, "law_batch"));
        assert!(!takes_in(program, "law_wear") && !takes_in(program, "batch"));
    }
}
