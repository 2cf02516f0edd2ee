//! The chores themselves: which steps each one takes, in which order.

use std::path::PathBuf;
use std::process::Command;

use anyhow::{Context, Result, ensure};
use serde_json::Value;

use crate::attack;
use crate::step::{cargo, has_extension, output, root, run, step};
use crate::tidy as rules;

/// The crates that must build without the standard library.
const PURE: &str = "-p boardwise-units -p boardwise-ball -p boardwise-score -p boardwise-lane -p boardwise-pins";

/// Checks what no compiler checks, and that the core builds without the standard library.
pub fn tidy() -> Result<()> {
    step("tidy: arrows, purity, text", rules::check)?;
    step("tidy: the core without std", || run(&mut cargo(&format!("check --locked {PURE} --no-default-features"))))
}

/// The packages of the workspace that are not published.
const OURS_ALONE: &str = "--exclude boardwise-tools --exclude boardwise-examples --exclude xtask";

/// Packs each crate as a registry would get it. The core is also unpacked and built from its packages alone.
pub fn package() -> Result<()> {
    pack()?;
    step("the core, built from its packages", || run(&mut cargo(&format!("package {PACKING} {PURE}"))))
}

/// Flags for packing: what is not committed yet may be tried too, and the repository has no public address to name.
const PACKING: &str = "--quiet --locked --allow-dirty --no-metadata";

fn pack() -> Result<()> {
    step("packages", || run(&mut cargo(&format!("package {PACKING} --no-verify --workspace {OURS_ALONE}"))))
}

/// Everything that continuous integration runs, cheapest first. Clippy checks the benches, too: they are built where they are run.
///
/// Each crate is checked once and built twice. Clippy and the documentation share the checks: the documentation names the same
/// features and, by `--examples`, the dev-dependencies. Doctests, tests, examples and browser share one build of the profile for
/// development, the main job and the speed one of the release profile.
pub fn ci(advisories: bool) -> Result<()> {
    step("format", || run(&mut cargo("fmt --all -- --check")))?;
    tidy()?;
    pack()?;
    step("clippy", || run(&mut cargo("clippy --locked --workspace --all-targets --all-features -- -D warnings")))?;
    step("documentation", || {
        let arguments = "doc --locked --workspace --no-deps --all-features --lib --bins --examples";
        run(cargo(arguments).env("RUSTDOCFLAGS", "-D warnings"))
    })?;
    step("licences, bans, sources", || licences(advisories))?;
    step("the main job, as README gives it", main_job)?;
    speed()?;
    doctests()?;
    browser()?;
    tests()
}

/// The engines have the speed they were written for: build settings can take it without changing an answer.
pub fn speed() -> Result<()> {
    // The program is named too, so that the crates below are those that the main job has built: they depend on who asks.
    let build = "build --quiet --locked --release --no-default-features -p boardwise -p boardwise-tools --bin speed";
    step("speed of the engines", || {
        run(&mut cargo(build))?;
        run(Command::new(target_folder()?.join("release/speed")).current_dir(root()))
    })
}

/// The app in a real browser: types of its scripts, then its flows and looks. Needs Node and Chromium.
pub fn browser() -> Result<()> {
    browser_ready()?;
    step("types of the scripts", || run(&mut in_browser_tests("npx", "tsc -p .")))?;
    let program = program()?;
    step("the app in a browser", || {
        run(in_browser_tests("node", "--test --test-concurrency=2 --test-reporter=spec").env("BOARDWISE", program))
    })
}

/// What strangers, crowds and power cuts do to the app, with counts of what broke.
pub fn attack(program: Option<PathBuf>, only: Option<&str>) -> Result<()> {
    let program = if let Some(program) = program {
        program
    } else {
        step("the program", || run(&mut cargo("build --quiet --locked --release -p boardwise")))?;
        self::program()?
    };
    match only {
        None => attack::all(&program),
        Some(word) => attack::some(&program, word),
    }
}

fn in_browser_tests(program: &str, arguments: &str) -> Command {
    let mut command = Command::new(program);
    command.args(arguments.split_whitespace()).current_dir(root().join("crates/web/tests/browser"));
    command
}

fn browser_ready() -> Result<()> {
    // Tests of the program build it with all its features, and share it with everything else that is tested.
    step("the program", || run(&mut cargo("test --quiet --locked --workspace --no-run --test program")))?;
    step("what the browser tests need", || {
        run(&mut in_browser_tests("npm", "ci --no-audit --no-fund --loglevel=error"))
    })
}

/// The program as tests and browsers take it.
pub fn program() -> Result<PathBuf> {
    Ok(target_folder()?.join("debug/boardwise"))
}

/// Where cargo builds.
pub fn target_folder() -> Result<PathBuf> {
    let metadata = cargo_metadata::MetadataCommand::new().current_dir(root()).no_deps().exec()?;
    Ok(metadata.target_directory.into_std_path_buf())
}

/// What runs on a machine with a Rust toolchain and nothing else, not even rustfmt and clippy.
pub fn test() -> Result<()> {
    tidy()?;
    doctests()?;
    step("the main job, as README gives it", main_job)?;
    tests()
}

/// Writes the README of each library.
pub fn readmes() -> Result<()> {
    step("READMEs of the libraries", rules::write_readmes)
}

/// Records snapshots and pictures anew.
pub fn bless() -> Result<()> {
    step("bless", || {
        run(cargo("test --workspace --lib --bins --tests").env("INSTA_UPDATE", "always").env("BOARDWISE_BLESS", "1"))
    })?;
    browser_ready()?;
    let program = program()?;
    step("bless the screens", || {
        let mut command = in_browser_tests("node", "--test --test-concurrency=1 pictures.test.mjs");
        run(command.env("BOARDWISE", program).env("BOARDWISE_BLESS", "1"))
    })?;
    println!("Blessing a picture means having looked at it: see `git status` and open each changed one.");
    Ok(())
}

fn doctests() -> Result<()> {
    step("doctests", || run(&mut cargo("test --locked --workspace --doc")))
}

/// The tests come last, so that their summary is the last thing printed. nextest runs them where it is installed.
fn tests() -> Result<()> {
    step("tests", || {
        if has_extension("nextest") {
            run(&mut cargo("nextest run --locked --workspace --profile ci"))
        } else {
            run(&mut cargo("test --locked --workspace --lib --bins --tests"))
        }
    })
}

/// `boardwise line` on the demo kit must find at least one line.
fn main_job() -> Result<()> {
    let printed =
        output(&mut cargo("run --quiet --locked --release -p boardwise --no-default-features -- line --json"))?;
    let answer: Value = serde_json::from_slice(&printed).context("`boardwise line --json` printed no JSON")?;
    check_answer(&answer)
}

/// An answer of `boardwise line --json` must hold a line.
pub fn check_answer(answer: &Value) -> Result<()> {
    ensure!(answer["schema"] == 1, "`boardwise line --json` answers with schema {}, not 1", answer["schema"]);
    let lines = answer["lines"].as_array().map_or(0, Vec::len);
    ensure!(lines > 0, "`boardwise line --json` found no line on the demo kit");
    println!("    {lines} lines from {} throws", answer["throws"]);
    Ok(())
}

fn licences(advisories: bool) -> Result<()> {
    if !has_extension("deny") {
        ensure!(std::env::var_os("CI").is_none(), "cargo-deny is missing: cargo install --locked cargo-deny");
        println!("    SKIPPED: cargo-deny is not installed (cargo install --locked cargo-deny)");
        return Ok(());
    }
    run(&mut cargo("deny --locked check bans licenses sources"))?;
    if advisories {
        run(&mut cargo("deny --locked check advisories"))
    } else {
        println!("    advisories were NOT checked: their database is on a git host, which not every machine reaches.");
        println!("    Where it can be fetched: cargo xtask ci --advisories");
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn law_the_main_job_must_find_a_line() {
        assert!(check_answer(&json!({"schema": 1, "lines": [{"laydown": 9}], "throws": 7})).is_ok());
        assert!(check_answer(&json!({"schema": 1, "lines": []})).is_err());
        assert!(check_answer(&json!({"schema": 2, "lines": [{"laydown": 9}]})).is_err());
        assert!(check_answer(&json!({})).is_err());
    }
}
