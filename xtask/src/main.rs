//! The project's chores, run as `cargo xtask NAME`.
//!
//! `ci` is exactly what continuous integration runs; `test` is the part of it that needs a Rust toolchain and nothing
//! else; `tidy` checks the rules of the house that no compiler checks; `attack` does to the app what strangers, crowds and
//! power cuts do; `bless` records snapshots and pictures anew.

mod attack;
mod chores;
mod fuzz;
mod python;
mod release;
mod step;
mod tidy;
mod wasm;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Chores of the boardwise workspace.
#[derive(Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Cli {
    #[command(subcommand)]
    chore: Chore,
}

#[derive(Subcommand)]
enum Chore {
    /// Check the arrows between crates, the purity of the core, and the text of the repository.
    Tidy,
    /// Run exactly what continuous integration runs.
    Ci {
        /// Also check security advisories; fetches their database, so it needs the network.
        #[arg(long)]
        advisories: bool,
    },
    /// Run what a fresh machine with a Rust toolchain and nothing else can run.
    Test,
    /// Pack each crate as a registry would get it, and build the core from its packages alone.
    Package,
    /// Fail if the engines have lost their speed.
    Speed,
    /// Open the app in a real browser; needs Node and Chromium.
    Browser,
    /// Build the app for browsers: `edges/wasm/target/boardwise.wasm`.
    Wasm,
    /// Open the app for browsers in a real one, alone; needs that build, Node and Chromium.
    Phone,
    /// Build the Python wheel, install it into a fresh environment, and run its tests, types and examples; needs Python.
    Python,
    /// Write the README of each library from the guide in its lib.rs.
    Readmes,
    /// Attack the app with slow clients, floods, wrong codes and kills, and count what breaks.
    Attack {
        /// The program; left out, it is built.
        #[arg(long)]
        program: Option<PathBuf>,
        /// Only attacks with this word in their name.
        only: Option<String>,
    },
    /// Build what people install, for every system that this machine can build for, or try what was built.
    Release(release::Asked),
    /// Feed random bytes to the parsers of files, steered by coverage, with the stable compiler.
    Fuzz {
        /// Seconds for each target.
        #[arg(long, default_value_t = 60)]
        seconds: u32,
        /// Only this target.
        only: Option<String>,
    },
    /// Record snapshots and pictures anew. Look at each changed one before committing it.
    Bless,
}

fn main() -> ExitCode {
    let done = match Cli::parse().chore {
        Chore::Tidy => chores::tidy(),
        Chore::Ci { advisories } => chores::ci(advisories),
        Chore::Test => chores::test(),
        Chore::Package => chores::package(),
        Chore::Speed => chores::speed(),
        Chore::Browser => chores::browser(),
        Chore::Wasm => wasm::build(),
        Chore::Phone => wasm::phone(),
        Chore::Python => python::python(),
        Chore::Readmes => chores::readmes(),
        Chore::Attack { program, only } => chores::attack(program, only.as_deref()),
        Chore::Release(asked) => release::release(&asked),
        Chore::Fuzz { seconds, only } => fuzz::fuzz(only.as_deref(), seconds),
        Chore::Bless => chores::bless(),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error:#}");
            ExitCode::FAILURE
        }
    }
}
