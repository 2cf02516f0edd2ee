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
use target::{TARGETS, Target, VERSION};

/// What is to be built, or tried.
#[derive(Args)]
pub struct Asked {
    /// Only for these systems; left out, all that this machine can build for.
    #[arg(long = "target", value_name = "TRIPLE")]
    targets: Vec<String>,
    /// The folder; left out, `release` where cargo builds.
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
    let pages = step("manual pages and completions", || pages::write(profile))?;
    let mut built = 0;
    for target in TARGETS.iter().filter(|t| asked.targets.is_empty() || asked.targets.iter().any(|n| n == t.triple)) {
        match target.missing() {
            Some(what) if asked.targets.is_empty() => println!("    SKIPPED {}: {what}", target.triple),
            Some(what) => anyhow::bail!("cannot build for {}: {what}", target.triple),
            None => {
                step(target.triple, || one(target, profile, &pages, out))?;
                built += 1;
            }
        }
    }
    ensure!(built > 0, "this machine can build for none of {}", known());
    step("list of parts", || parts::write(out))?;
    step("installers", || installers(out, asked.address.as_deref()))
}

/// The program for one system, as an archive and, where there is one, as a Debian package.
fn one(target: &Target, profile: &str, pages: &Path, out: &Path) -> Result<()> {
    let program = target.build(profile)?;
    let whole = archive::Contents::of(target, &program, pages)?;
    archive::write(target, &whole, out)?;
    if let Some(architecture) = target.debian {
        debian::write(architecture, &program, pages, out)?;
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
