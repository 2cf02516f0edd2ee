//! The Debian package. `dpkg-deb` puts it together from a folder laid out as the system will have it.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::Command;

use anyhow::{Context, Result};
use flate2::{Compression, GzBuilder};

use super::pages;
use super::target::VERSION;
use crate::chores::target_folder;
use crate::step::{root, run};

/// Where Debian keeps completions: file of ours, place of theirs.
const COMPLETIONS: [(&str, &str); 3] = [
    ("boardwise.bash", "usr/share/bash-completion/completions/boardwise"),
    ("_boardwise", "usr/share/zsh/vendor-completions/_boardwise"),
    ("boardwise.fish", "usr/share/fish/vendor_completions.d/boardwise.fish"),
];

/// Writes the package into the folder; says so where `dpkg-deb` is missing.
pub fn write(architecture: &str, program: &Path, pages: &Path, out: &Path) -> Result<()> {
    if Command::new("dpkg-deb").arg("--version").output().is_err() {
        println!("    SKIPPED: no Debian package, because dpkg-deb is not installed");
        return Ok(());
    }
    let name = format!("boardwise_{VERSION}_{architecture}");
    let tree = target_folder()?.join("release-debian").join(&name);
    if tree.exists() {
        fs::remove_dir_all(&tree)?;
    }
    put(&tree, "usr/bin/boardwise", &fs::read(program)?, 0o755)?;
    for (file, page) in pages::files(&pages.join("man"))? {
        put(&tree, &format!("usr/share/man/man1/{file}.gz"), &gzip(&page)?, 0o644)?;
    }
    for (file, place) in COMPLETIONS {
        put(&tree, place, &fs::read(pages.join("completions").join(file))?, 0o644)?;
    }
    let papers = "usr/share/doc/boardwise";
    put(&tree, &format!("{papers}/copyright"), copyright()?.as_bytes(), 0o644)?;
    put(&tree, &format!("{papers}/changelog.gz"), &gzip(&fs::read(root().join("CHANGELOG.md"))?)?, 0o644)?;
    let installed_kib = size(&tree)?.div_ceil(1024);
    put(&tree, "DEBIAN/control", control(architecture, installed_kib).as_bytes(), 0o644)?;
    let file = out.join(format!("{name}.deb"));
    run(Command::new("dpkg-deb").args(["--root-owner-group", "--build"]).arg(&tree).arg(&file))?;
    println!("    {name}.deb: {:.1} MB", fs::metadata(&file)?.len() as f64 / 1e6);
    Ok(())
}

/// The program needs nothing: even the C library is linked in.
fn control(architecture: &str, installed_kib: u64) -> String {
    format!(
        "Package: boardwise\n\
         Version: {VERSION}\n\
         Architecture: {architecture}\n\
         Maintainer: The boardwise authors <nobody@boardwise.invalid>\n\
         Installed-Size: {installed_kib}\n\
         Section: science\n\
         Priority: optional\n\
         Description: find the line to play on a bowling lane\n \
         Computes how a ball moves on an oiled lane, how often each line strikes, and\n \
         how the lane changes; keeps a record at the lanes, and needs no network.\n"
    )
}

fn copyright() -> Result<String> {
    let read = |name: &str| fs::read_to_string(root().join(name)).with_context(|| format!("cannot read {name}"));
    Ok(format!(
        "boardwise is under the MIT licence or the Apache licence 2.0, as you prefer.\n\
         The Apache licence is in /usr/share/common-licenses/Apache-2.0 on Debian systems.\n\n{}\n{}",
        read("LICENSE-MIT")?,
        read("THIRD-PARTY.md")?
    ))
}

fn put(tree: &Path, place: &str, bytes: &[u8], mode: u32) -> Result<()> {
    let path = tree.join(place);
    let folder = path.parent().context("a place in a folder")?;
    fs::create_dir_all(folder)?;
    fs::write(&path, bytes)?;
    set_mode(&path, mode)?;
    Ok(())
}

#[cfg(unix)]
fn set_mode(path: &Path, mode: u32) -> Result<()> {
    use std::os::unix::fs::PermissionsExt;
    Ok(fs::set_permissions(path, fs::Permissions::from_mode(mode))?)
}

/// Where there are no modes there is no `dpkg-deb` either.
#[cfg(not(unix))]
fn set_mode(_: &Path, _: u32) -> Result<()> {
    Ok(())
}

/// Compressed without a name or a time, so that the same text gives the same bytes.
fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    let mut encoder = GzBuilder::new().mtime(0).write(Vec::new(), Compression::best());
    encoder.write_all(bytes)?;
    Ok(encoder.finish()?)
}

/// Bytes of all files below a folder.
fn size(folder: &Path) -> Result<u64> {
    let mut sum = 0;
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        sum += if entry.file_type()?.is_dir() { size(&entry.path())? } else { entry.metadata()?.len() };
    }
    Ok(sum)
}
