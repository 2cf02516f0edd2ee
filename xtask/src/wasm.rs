//! The app for browsers: built, and opened alone.

use std::process::Command;

use anyhow::Result;

use crate::step::{cargo, root, run, step};

/// Builds the module. `edges/wasm/build` says what that needs, and takes the compiler that is there.
pub fn build() -> Result<()> {
    step("the app for browsers", || run(Command::new("bash").arg("edges/wasm/build").current_dir(root())))
}

/// Opens the module in Node and in a browser whose network is cut, and kills that.
pub fn phone() -> Result<()> {
    step("the program", || run(&mut cargo("build --quiet --locked -p boardwise")))?;
    let tests = root().join("edges/wasm/tests");
    step("what the tests need", || {
        run(Command::new("npm").args(["ci", "--no-audit", "--no-fund", "--loglevel=error"]).current_dir(&tests))
    })?;
    step("a phone alone", || {
        run(Command::new("node").args(["--test", "--test-concurrency=1", "--test-reporter=spec"]).current_dir(&tests))
    })
}
