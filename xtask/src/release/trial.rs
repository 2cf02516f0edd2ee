//! The release tried as a stranger would: in a bare system, installed by one command, used, and taken away again.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

use anyhow::{Context, Result, bail, ensure};

use super::sums;
use super::target::VERSION;
use crate::attack::{addresses, ask, launch};
use crate::chores::check_answer;
use crate::step::{output, run, step};

/// Where the release lies in the bare system, and where its only user keeps files.
const FILES: &str = "release-files";
const HOME: &str = "bowler";

/// The record: all that may stay.
const RECORD: &str = "bowler/.local/share/boardwise";

/// What Debian's own tools note of every package, whoever made it.
const NOTES: [&str; 4] = ["var/lib/dpkg", "var/log", "var/cache", "run"];

/// A bare system in a folder, and how commands run in it.
struct System<'a> {
    root: &'a Path,
    through: Vec<&'a str>,
}

impl System<'_> {
    fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(self.through[0]);
        command.args(&self.through[1..]).arg(self.root).args(words);
        command.env_clear().env("HOME", format!("/{HOME}"));
        command.env("PATH", "/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin");
        command
    }

    /// Every path in it, but for those of the release itself and of the kernel.
    fn paths(&self) -> Result<BTreeSet<PathBuf>> {
        let mut paths = BTreeSet::new();
        let mut folders = vec![self.root.to_owned()];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(&folder)? {
                let entry = entry?;
                let path = entry.path().strip_prefix(self.root)?.to_owned();
                let left_out = [FILES, "proc", "sys", "dev", "tmp"].iter().any(|name| path.starts_with(name));
                if !left_out {
                    if entry.file_type()?.is_dir() {
                        folders.push(entry.path());
                    }
                    paths.insert(path);
                }
            }
        }
        Ok(paths)
    }

    /// Fails if anything is there now that was not before, but for `may_stay`, or is gone.
    fn no_trace(&self, before: &BTreeSet<PathBuf>, may_stay: &[&str]) -> Result<()> {
        let now = self.paths()?;
        let allowed =
            |path: &PathBuf| may_stay.iter().any(|stay| path.starts_with(stay) || Path::new(stay).starts_with(path));
        let left: Vec<_> = now.difference(before).filter(|path| !allowed(path)).collect();
        let gone: Vec<_> = before.difference(&now).filter(|path| !allowed(path)).collect();
        ensure!(left.is_empty(), "left behind: {left:?}");
        ensure!(gone.is_empty(), "gone: {gone:?}");
        println!(
            "    {} new paths, all of them the record's or the system's own notes",
            now.difference(before).count()
        );
        Ok(())
    }
}

/// Tries the release in a bare Linux: by installer, as Debian package, and alone in an empty folder, as in a container.
pub fn in_system(out: &Path, root: &Path, through: &str) -> Result<()> {
    let system = System { root, through: through.split_whitespace().collect() };
    ensure!(!system.through.is_empty(), "--through names no command");
    let files = root.join(FILES);
    for place in [&files, &root.join(HOME)] {
        ensure!(!place.exists(), "{} is there already: an earlier trial left it", place.display());
    }
    fs::create_dir(&files)?;
    for entry in fs::read_dir(out)? {
        let entry = entry?;
        fs::copy(entry.path(), files.join(entry.file_name()))?;
    }
    fs::create_dir_all(root.join(HOME))?;
    let done = by_installer(&system).and_then(|()| by_package(&system));
    fs::remove_dir_all(&files)?;
    // Only what the trial itself made.
    fs::remove_dir_all(root.join(HOME))?;
    done
}

fn by_installer(system: &System) -> Result<()> {
    let before = system.paths()?;
    let install = ["sh", "/release-files/install.sh"];
    step("a damaged archive is refused", || {
        for name in archives(&system.root.join(FILES))? {
            let good = fs::read(&name)?;
            let mut bad = good.clone();
            bad[good.len() / 2] ^= 1;
            fs::write(&name, bad)?;
            let refused = system.command(&install).stderr(Stdio::piped()).output();
            fs::write(&name, good)?;
            let words = String::from_utf8_lossy(&refused?.stderr).into_owned();
            // Only the archive for this system is looked at.
            if words.contains("is damaged") {
                return system.no_trace(&before, &[]);
            }
        }
        bail!("no archive was refused")
    })?;
    let start = Instant::now();
    step("installed by one command", || run(&mut system.command(&install)))?;
    use_it(&mut |words| {
        let words: Vec<&str> = ["boardwise"].into_iter().chain(words.iter().copied()).collect();
        system.command(&words)
    })?;
    println!("    from nothing to everything used: {:.1} s", start.elapsed().as_secs_f64());
    step("alone in an empty folder", || {
        let empty = tempfile::tempdir()?;
        fs::copy(system.root.join("usr/local/bin/boardwise"), empty.path().join("boardwise"))?;
        let container = System { root: empty.path(), through: system.through.clone() };
        main_job(&mut container.command(&["/boardwise", "line", "--json"]))
    })?;
    step("taken away", || {
        run(&mut system.command(&["sh", "/release-files/install.sh", "--uninstall"]))?;
        system.no_trace(&before, &[RECORD])
    })
}

fn by_package(system: &System) -> Result<()> {
    let Ok(asked) = output(&mut system.command(&["dpkg", "--print-architecture"])) else {
        println!("    SKIPPED: the system has no dpkg");
        return Ok(());
    };
    let package = format!("/{FILES}/boardwise_{VERSION}_{}.deb", String::from_utf8_lossy(&asked).trim());
    let before = system.paths()?;
    step("installed as a Debian package", || {
        run(&mut system.command(&["dpkg", "--install", &package]))?;
        main_job(&mut system.command(&["boardwise", "line", "--json"]))?;
        let said = output(&mut system.command(&["boardwise", "update"]))?;
        println!("{}", String::from_utf8_lossy(&said).lines().take(1).collect::<String>());
        let listed = output(&mut system.command(&["dpkg", "--listfiles", "boardwise"]))?;
        for part in ["/man1/boardwise-line.1", "/completions/boardwise", "/doc/boardwise/copyright"] {
            ensure!(String::from_utf8_lossy(&listed).contains(part), "the package has no {part}");
        }
        run(&mut system.command(&["dpkg", "--purge", "boardwise"]))?;
        system.no_trace(&before, &NOTES)
    })
}

/// What everybody does first: a line, a block with a shot, the app.
fn use_it(boardwise: &mut dyn FnMut(&[&str]) -> Command) -> Result<()> {
    step("the main job", || main_job(&mut boardwise(&["line", "--json"])))?;
    step("a block with a shot", || {
        run(boardwise(&["start", "--json"]).stdout(Stdio::null()))?;
        run(boardwise(&["log", "3-10", "--json"]).stdout(Stdio::null()))
    })?;
    step("the app answers", || {
        let (mut child, said) = launch(boardwise(&["serve", "--port", "0"]).stderr(Stdio::null()))?;
        let answer =
            addresses(&said).next().context("it did not say where it is").and_then(|at| ask(at, "/lanes", None));
        child.kill()?;
        child.wait()?;
        let answer = answer?;
        ensure!(answer.status == 200 && answer.body.contains("</html>"), "it answered {}", answer.status);
        println!("    a page of {} bytes in {:.2} s", answer.body.len(), answer.took.as_secs_f64());
        Ok(())
    })
}

fn main_job(command: &mut Command) -> Result<()> {
    let answer = serde_json::from_slice(&output(command)?).context("`boardwise line --json` printed no JSON")?;
    check_answer(&answer)
}

fn archives(files: &Path) -> Result<Vec<PathBuf>> {
    let found: Vec<_> = fs::read_dir(files)?.collect::<std::io::Result<Vec<_>>>()?;
    Ok(found.into_iter().map(|e| e.path()).filter(|path| path.to_string_lossy().ends_with(".tar.gz")).collect())
}

/// Unpacks the program for Windows and uses it through another command; what it keeps must lie in one folder.
pub fn on_windows(out: &Path, through: &str) -> Result<()> {
    let name = format!("boardwise-{VERSION}-x86_64-pc-windows-gnu");
    ensure!(out.join(sums::FILE).is_file(), "there is no release in {}", out.display());
    let folder = tempfile::tempdir()?;
    let mut archive = zip::ZipArchive::new(fs::File::open(out.join(format!("{name}.zip")))?)?;
    archive.extract(folder.path())?;
    let program = folder.path().join(name).join("boardwise.exe");
    let record = folder.path().join("trial.record");
    let words: Vec<&str> = through.split_whitespace().collect();
    ensure!(!words.is_empty(), "--try-windows names no command");
    use_it(&mut |arguments| {
        let mut command = Command::new(words[0]);
        command.args(&words[1..]).arg(&program).args(arguments);
        // Only these keep something; the rest take no record.
        if ["start", "log", "serve"].contains(&arguments[0]) {
            command.arg("--record").arg(&record);
        }
        command
    })
}
