//! The list of parts (SBOM): every crate in the program with its version, source and licence, as CycloneDX.

use std::fs;
use std::path::Path;

use anyhow::{Result, ensure};

use super::target::VERSION;
use crate::step::{cargo, has_extension, root, run};

/// Writes the list into the folder; says so where the tool is missing, which fails in continuous integration.
pub fn write(out: &Path) -> Result<()> {
    if !has_extension("cyclonedx") {
        let in_ci = std::env::var_os("CI").is_some_and(|said| !said.is_empty());
        ensure!(!in_ci, "cargo-cyclonedx is missing: cargo install --locked cargo-cyclonedx");
        println!("    SKIPPED: cargo-cyclonedx is not installed (cargo install --locked cargo-cyclonedx)");
        return Ok(());
    }
    // The tool writes a list beside the manifest of each package of the workspace.
    let name = "release-parts";
    let flags = "--format json --spec-version 1.5 --no-build-deps --target all";
    let written = run(&mut cargo(&format!(
        "cyclonedx --quiet --manifest-path crates/boardwise/Cargo.toml {flags} --override-filename {name}"
    )));
    let lists: Vec<_> = folders()?.into_iter().map(|folder| folder.join(format!("{name}.json"))).collect();
    let own = root().join("crates/boardwise").join(format!("{name}.json"));
    let kept = written.and_then(|()| Ok(fs::copy(&own, out.join(format!("boardwise-{VERSION}.cdx.json")))?));
    for list in lists.iter().filter(|list| list.is_file()) {
        fs::remove_file(list)?;
    }
    println!("    {:.0} kB", kept? as f64 / 1e3);
    Ok(())
}

/// The folder of each package.
fn folders() -> Result<Vec<std::path::PathBuf>> {
    let metadata = cargo_metadata::MetadataCommand::new().current_dir(root()).no_deps().exec()?;
    let manifests = metadata.packages.into_iter().map(|package| package.manifest_path.into_std_path_buf());
    Ok(manifests.filter_map(|manifest| manifest.parent().map(Path::to_path_buf)).collect())
}
