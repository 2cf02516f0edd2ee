//! Manual pages and completions: the program writes them itself, from the definition of its commands.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result};

use super::target::{TARGETS, host};
use crate::chores::target_folder;
use crate::step::{output, run};

/// Shells, and the names under which they look for completions.
pub const SHELLS: [(&str, &str); 4] =
    [("bash", "boardwise.bash"), ("zsh", "_boardwise"), ("fish", "boardwise.fish"), ("powershell", "boardwise.ps1")];

/// Writes them with the program of this machine's own system, which is built where there is none; gives the folder with `man` and
/// `completions`.
pub fn write(program: Option<PathBuf>, profile: &str) -> Result<PathBuf> {
    let own = TARGETS.iter().find(|target| target.triple == host()).context("this system has no target")?;
    let program = program.map_or_else(|| own.build(profile), Ok)?;
    let folder = target_folder()?.join("release-pages");
    let (man, completions) = (folder.join("man"), folder.join("completions"));
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    fs::create_dir_all(&man)?;
    fs::create_dir_all(&completions)?;
    run(Command::new(&program).args(["man", "--into"]).arg(&man))?;
    for (shell, file) in SHELLS {
        fs::write(completions.join(file), output(Command::new(&program).args(["completions", shell]))?)?;
    }
    Ok(folder)
}

/// The files of a folder by name, in order.
pub fn files(folder: &Path) -> Result<Vec<(String, Vec<u8>)>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).with_context(|| format!("cannot read {}", folder.display()))? {
        let entry = entry?;
        if entry.file_type()?.is_file() {
            files.push((entry.file_name().to_string_lossy().into_owned(), fs::read(entry.path())?));
        }
    }
    files.sort();
    Ok(files)
}
