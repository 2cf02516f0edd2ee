//! What people install: programs for each system, packed with their manual pages and completions, a Debian package,
//! installers, a list of parts and checksums. All of it goes into one folder.

mod archive;
mod debian;
mod pages;
mod parts;
mod sums;
mod target;
mod trial;

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, ensure};
use clap::Args;

use crate::chores::target_folder;
use crate::step::{root, step};
use target::{TARGETS, Target, VERSION, host};

/// What is to be built, or tried.
#[derive(Args)]
pub struct Asked {
    /// Only for these systems; left out, all that this machine can build for.
    #[arg(long = "target", value_name = "TRIPLE")]
    targets: Vec<String>,
    /// Pack this program, built in another way, instead of building it. Needs one target.
    #[arg(long, value_name = "FILE", requires = "targets")]
    program: Option<PathBuf>,
    /// The folder; left out, `release-files` where cargo builds.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Use the quick profile (`release`): good for trials. Left out, `dist`.
    #[arg(long)]
    quick: bool,
    /// The address that the files will have. The installers then fetch from there unless told otherwise.
    #[arg(long)]
    address: Option<String>,
    /// Build nothing: write the checksums of what lies in the folder, gathered from several machines.
    #[arg(long, conflicts_with_all = ["targets", "quick"])]
    sums: bool,
    /// Build nothing: install what lies in the folder in the bare system in this folder, use it, and take it away again.
    #[arg(long, value_name = "ROOT", conflicts_with_all = ["targets", "quick", "sums"])]
    r#try: Option<PathBuf>,
    /// How a command is run in that system.
    #[arg(long, value_name = "COMMAND", default_value = "chroot", requires = "try")]
    through: String,
    /// Build nothing: unpack the program for Windows, and use it through this command, such as `wine`.
    #[arg(long, value_name = "COMMAND", conflicts_with_all = ["targets", "quick", "sums", "try"])]
    try_windows: Option<String>,
}

/// Builds, or tries, what people install.
pub fn release(asked: &Asked) -> Result<()> {
    let out = match &asked.out {
        Some(out) => std::path::absolute(out)?,
        None => target_folder()?.join("release-files"),
    };
    if let Some(system) = &asked.r#try {
        return trial::in_system(&out, system, &asked.through);
    }
    if let Some(through) = &asked.try_windows {
        return trial::on_windows(&out, through);
    }
    fs::create_dir_all(&out).with_context(|| format!("cannot make {}", out.display()))?;
    if !asked.sums {
        build(asked, &out)?;
    }
    step("checksums", || sums::write(&out))?;
    println!("What to hand out is in {}", out.display());
    Ok(())
}

fn build(asked: &Asked, out: &Path) -> Result<()> {
    let known = || TARGETS.iter().map(|target| target.triple).collect::<Vec<_>>().join(", ");
    for name in &asked.targets {
        ensure!(TARGETS.iter().any(|target| target.triple == name), "no target {name}; there are {}", known());
    }
    let profile = if asked.quick { "release" } else { "dist" };
    let built = match (&asked.program, asked.targets.as_slice()) {
        (Some(program), [name]) => {
            let target = TARGETS.iter().find(|target| target.triple == name).context("a known target")?;
            vec![(target, program.clone())]
        }
        (Some(_), _) => anyhow::bail!("--program is for one target"),
        (None, names) => programs(names, profile)?,
    };
    ensure!(!built.is_empty(), "this machine can build for none of {}", known());
    let own = built.iter().find(|(target, _)| target.triple == host()).map(|(_, program)| program.clone());
    let pages = step("manual pages and completions", || pages::write(own, profile))?;
    for (target, program) in &built {
        step(&format!("files for {}", target.triple), || one(target, program, &pages, out))?;
    }
    step("list of parts", || parts::write(out))?;
    step("installers", || installers(out, asked.address.as_deref()))
}

/// The programs for these targets; for none, of all that this machine can build for.
fn programs(names: &[String], profile: &str) -> Result<Vec<(&'static Target, PathBuf)>> {
    let mut built = Vec::new();
    for target in TARGETS.iter().filter(|t| names.is_empty() || names.iter().any(|name| name == t.triple)) {
        match target.missing() {
            Some(what) if names.is_empty() => println!("    SKIPPED {}: {what}", target.triple),
            Some(what) => anyhow::bail!("cannot build for {}: {what}", target.triple),
            None => built.push((target, step(target.triple, || target.build(profile))?)),
        }
    }
    Ok(built)
}

/// The program for one system, as an archive and, where there is one, as a Debian package.
fn one(target: &Target, program: &Path, pages: &Path, out: &Path) -> Result<()> {
    let whole = archive::Contents::of(target, program, pages)?;
    archive::write(target, &whole, out)?;
    if let Some(architecture) = target.debian {
        debian::write(architecture, program, pages, out)?;
    }
    Ok(())
}

/// The installers and the recipe for a container. An address goes where the scripts name none.
fn installers(out: &Path, address: Option<&str>) -> Result<()> {
    let from = root().join("xtask/install");
    for (name, empty, filled) in
        [("install.sh", "address=''", "address='"), ("install.ps1", "$Address = ''", "$Address = '")]
    {
        let mut script = fs::read_to_string(from.join(name))?.replace("VERSION_HERE", VERSION);
        ensure!(script.contains(empty), "{name} has no place for an address");
        if let Some(address) = address {
            ensure!(!address.contains(['\'', '\\', '\n', ' ']), "{address} is no address");
            script = script.replace(empty, &format!("{filled}{}'", address.trim_end_matches('/')));
        }
        fs::write(out.join(name), script)?;
    }
    let recipe = fs::read_to_string(from.join("Containerfile"))?.replace("VERSION_HERE", VERSION);
    fs::write(out.join("Containerfile"), recipe)?;
    Ok(())
}

#[cfg(all(test, unix))]
mod tests {
    use std::process::{Command, Output};

    use super::*;

    /// A release for this machine whose program does nothing, in `files`.
    fn small_release(folder: &Path) -> Result<PathBuf> {
        let (files, pages, program) = (folder.join("files"), folder.join("pages"), folder.join("program"));
        for part in [&files, &pages.join("man"), &pages.join("completions")] {
            fs::create_dir_all(part)?;
        }
        fs::write(&program, "#!/bin/sh\n")?;
        fs::write(pages.join("man/boardwise.1"), "a page")?;
        for (_, file) in pages::SHELLS {
            fs::write(pages.join("completions").join(file), "words")?;
        }
        let own = TARGETS.iter().find(|target| target.triple == host()).context("a target")?;
        archive::write(own, &archive::Contents::of(own, &program, &pages)?, &files)?;
        installers(&files, None)?;
        sums::write(&files)?;
        Ok(files)
    }

    fn install(files: &Path, into: &Path, more: &[&str]) -> Output {
        let mut command = Command::new("sh");
        command.arg(files.join("install.sh")).arg("--into").arg(into).args(more);
        command.env("HOME", into).env_remove("BOARDWISE_FROM").output().expect("a shell")
    }

    #[test]
    fn law_the_installer_takes_away_all_that_it_brought_and_nothing_else() {
        let folder = tempfile::tempdir().expect("a folder");
        let files = small_release(folder.path()).expect("a release");
        let into = folder.path().join("a place");
        fs::create_dir_all(into.join("bin")).expect("a folder that was there before");
        for _ in 0..2 {
            let done = install(&files, &into, &[]);
            assert!(done.status.success(), "{done:?}");
        }
        assert!(into.join("bin/boardwise").is_file() && into.join("share/man/man1/boardwise.1").is_file());
        fs::create_dir_all(into.join("share/boardwise")).expect("a folder");
        fs::write(into.join("share/boardwise/boardwise.record"), "shots").expect("a record");
        let done = install(&files, &into, &["--uninstall"]);
        assert!(done.status.success(), "{done:?}");
        let names = |folder: &Path| {
            let found = fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").file_name());
            let mut found: Vec<_> = found.map(|name| name.to_string_lossy().into_owned()).collect();
            found.sort();
            found
        };
        assert_eq!(names(&into), ["bin", "share"]);
        assert_eq!((names(&into.join("bin")), names(&into.join("share"))), (vec![], vec!["boardwise".to_owned()]));
        assert!(into.join("share/boardwise/boardwise.record").is_file());
    }

    #[test]
    fn law_the_installer_refuses_what_is_damaged_and_changes_nothing() {
        let folder = tempfile::tempdir().expect("a folder");
        let files = small_release(folder.path()).expect("a release");
        let sums = fs::read_to_string(files.join(sums::FILE)).expect("sums");
        let into = folder.path().join("place");
        fs::create_dir(&into).expect("a folder");
        let archives = fs::read_dir(&files).expect("files").map(|entry| entry.expect("an entry").path());
        let archive =
            archives.into_iter().find(|path| path.to_string_lossy().ends_with(".tar.gz")).expect("an archive");
        let good = fs::read(&archive).expect("bytes");
        for (bytes, list) in [([&good[..], b"x"].concat(), sums), (good, String::from("nothing\n"))] {
            fs::write(&archive, bytes).and_then(|()| fs::write(files.join(sums::FILE), list)).expect("files");
            let refused = install(&files, &into, &[]);
            assert!(!refused.status.success(), "{refused:?}");
            assert!(String::from_utf8_lossy(&refused.stderr).contains("nothing was changed"), "{refused:?}");
            assert_eq!(fs::read_dir(&into).expect("the place").count(), 0);
        }
    }

    #[test]
    fn law_an_address_goes_into_both_installers() {
        let folder = tempfile::tempdir().expect("a folder");
        installers(folder.path(), Some("https://example.invalid/files/")).expect("installers");
        for name in ["install.sh", "install.ps1"] {
            let script = fs::read_to_string(folder.path().join(name)).expect("a script");
            assert!(script.contains("'https://example.invalid/files'") && script.contains(VERSION), "{name}");
        }
        assert!(installers(folder.path(), Some("it's")).is_err());
    }
}
