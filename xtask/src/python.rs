//! The Python package: its wheel built, installed into a fresh environment, and tested there.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, ensure};

use crate::chores::{program, target_folder};
use crate::step::{cargo, root, run, step};

/// What the tests and examples need beside the package.
const EXTRAS: &str = "[test,sweep,example]";

/// A fresh environment of Python.
struct Fresh {
    bin: PathBuf,
    package: PathBuf,
}

impl Fresh {
    fn new(place: &Path) -> Result<Self> {
        run(Command::new("python3").args(["-m", "venv", "--clear"]).arg(place)).context(
            "a virtual environment needs Python 3.10 or later with venv (Debian: apt-get install python3-venv)",
        )?;
        Ok(Self { bin: place.join("bin"), package: root().join("edges/python") })
    }

    /// One of its programs, ready to run in the folder of the package.
    fn command(&self, program: &str, arguments: &str) -> Command {
        let mut command = Command::new(self.bin.join(program));
        command.args(arguments.split_whitespace()).current_dir(&self.package);
        command
    }

    fn pip(&self, arguments: &str) -> Command {
        let mut command = self.command("pip", arguments);
        command.args(["--quiet", "--disable-pip-version-check"]);
        command
    }
}

/// Builds the wheel, and tests what whoever installs it gets.
pub fn python() -> Result<()> {
    let place = target_folder()?.join("python");
    let fresh = step("a fresh Python environment", || Fresh::new(&place))?;
    let wheel = step("the wheel", || {
        let wheels = place.join("wheels");
        let built = target_folder()?.join("edges");
        run(fresh.pip("wheel --no-deps .").arg("--wheel-dir").arg(&wheels).env("CARGO_TARGET_DIR", built))?;
        only_wheel(&wheels)
    })?;
    step("the wheel, installed", || run(fresh.pip("install").arg(format!("{}{EXTRAS}", wheel.display()))))?;
    step("the program to compare with", || {
        run(&mut cargo("build --quiet --locked -p boardwise --no-default-features"))
    })?;
    let program = program()?;
    step("tests from Python", || {
        run(fresh.command("pytest", "-q -p no:cacheprovider tests").env("BOARDWISE", program))
    })?;
    step("types of the Python package", || {
        run(&mut fresh.command("mypy", "--no-incremental"))?;
        run(&mut fresh.command("stubtest", "boardwise._boardwise"))
    })?;
    step("the Python examples, small", || {
        run(&mut fresh.command("python", "examples/sweep.py /dev/null"))?;
        let results = place.join("results");
        run(fresh.command("python", "examples/which_pattern.py --games 1 --small --workers 2").arg(results))
    })
}

/// The one wheel in a folder.
fn only_wheel(folder: &Path) -> Result<PathBuf> {
    let entries: Vec<_> = fs::read_dir(folder)?.collect::<Result<_, _>>()?;
    let wheels: Vec<PathBuf> = entries
        .iter()
        .map(fs::DirEntry::path)
        .filter(|path| path.extension().is_some_and(|end| end == "whl"))
        .collect();
    ensure!(wheels.len() == 1, "{} wheels in {}, not one", wheels.len(), folder.display());
    Ok(wheels[0].clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_one_wheel_is_found_and_two_are_refused() {
        let folder = tempfile::tempdir().unwrap();
        assert!(only_wheel(folder.path()).is_err());
        fs::write(folder.path().join("a.whl"), "").unwrap();
        fs::write(folder.path().join("notes.txt"), "").unwrap();
        assert_eq!(only_wheel(folder.path()).unwrap(), folder.path().join("a.whl"));
        fs::write(folder.path().join("b.whl"), "").unwrap();
        assert!(only_wheel(folder.path()).is_err());
    }
}
