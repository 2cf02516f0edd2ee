//! Fuzzing with the stable compiler: the coverage that libFuzzer steers by comes from LLVM's own pass.

use std::fs;
use std::path::Path;
use std::process::Command;

use anyhow::{Context, Result, ensure};
use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;
use tar::{Archive, Builder, HeaderMode};

use crate::step::{cargo, output, root, run, step};

/// The targets, each with the file or folder that its first input comes from.
const TARGETS: [(&str, &str); 8] = [
    ("lane", "crates/files/data/demo/lanes"),
    ("bag", "crates/files/data/demo/bag.toml"),
    ("bowler", "crates/files/data/demo/bowlers"),
    ("event", "crates/files/data/demo/events"),
    ("record", "crates/record/examples"),
    ("throws", "fuzz/first/throws"),
    ("sheet", "fuzz/first/sheet"),
    ("film", "fuzz/first/film"),
];

/// What `cargo-fuzz` gives the compiler, less the address sanitizer, which needs a nightly one.
const FLAGS: &str = "--cfg fuzzing -Cdebug-assertions -Ccodegen-units=1 -Cpasses=sancov-module \
    -Cllvm-args=-sanitizer-coverage-level=4 -Cllvm-args=-sanitizer-coverage-inline-8bit-counters \
    -Cllvm-args=-sanitizer-coverage-pc-table -Cllvm-args=-sanitizer-coverage-trace-compares";

/// Runs each target for so many seconds, from the inputs that are kept. What reaches new code is kept too.
pub fn fuzz(only: Option<&str>, seconds: u32) -> Result<()> {
    let targets: Vec<_> = TARGETS.into_iter().filter(|(name, _)| only.is_none_or(|only| only == *name)).collect();
    ensure!(!targets.is_empty(), "no such target: there are {}", TARGETS.map(|(name, _)| name).join(", "));
    let host = host()?;
    let folder = root().join("fuzz");
    fs::create_dir_all(folder.join("corpus"))?;
    step("fuzz targets", || {
        // Programs that run while building are not instrumented, since a target is named.
        let build = format!("build --quiet --release --bins --manifest-path fuzz/Cargo.toml --target {host}");
        run(cargo(&build).env("RUSTFLAGS", FLAGS).env("CARGO_TARGET_DIR", folder.join("target")))
    })?;
    for (name, first) in targets {
        step(name, || {
            let program = folder.join("target").join(&host).join("release").join(name);
            let corpus = folder.join("corpus").join(format!("{name}.tar.gz"));
            let work = tempfile::tempdir()?;
            let [known, found, fewest] = ["known", "found", "fewest"].map(|part| work.path().join(part));
            for place in [&known, &found, &fewest] {
                fs::create_dir(place)?;
            }
            gather(&root().join(first), &known)?;
            if corpus.exists() {
                Archive::new(GzDecoder::new(fs::File::open(&corpus)?)).unpack(&known)?;
            }
            let mut fuzzer = Command::new(&program);
            fuzzer.current_dir(work.path()).args([&found, &known]);
            let limits = ["-max_len=4096", "-timeout=10", "-rss_limit_mb=2048", "-print_final_stats=1"];
            // What breaks the target stays beside the corpus, to be looked at.
            let breaks = format!("-artifact_prefix={}/{name}-", folder.join("corpus").display());
            run(fuzzer.args(limits).arg(breaks).arg(format!("-max_total_time={seconds}")))?;
            // Of all that is known now, few inputs that reach the same code.
            let mut merge = Command::new(&program);
            run(merge.args(["-set_cover_merge=1", "-max_len=1024"]).args([&fewest, &known, &found]))?;
            pack(&fewest, &corpus)
        })?;
    }
    Ok(())
}

/// Copies a file, or the files of a folder.
fn gather(from: &Path, to: &Path) -> Result<()> {
    if from.is_file() {
        fs::copy(from, to.join(from.file_name().context("a file has a name")?))?;
        return Ok(());
    }
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        if entry.file_type()?.is_file() {
            fs::copy(entry.path(), to.join(entry.file_name()))?;
        }
    }
    Ok(())
}

/// Packs the files of a folder, in the order of their names.
fn pack(folder: &Path, to: &Path) -> Result<()> {
    let mut names: Vec<_> =
        fs::read_dir(folder)?.map(|entry| entry.map(|one| one.file_name())).collect::<Result<_, _>>()?;
    names.sort();
    let mut archive = Builder::new(GzEncoder::new(fs::File::create(to)?, Compression::best()));
    archive.mode(HeaderMode::Deterministic);
    for name in &names {
        archive.append_path_with_name(folder.join(name), name)?;
    }
    archive.into_inner()?.finish()?;
    println!("    {} inputs kept", names.len());
    Ok(())
}

/// The machine that the compiler builds for by itself.
fn host() -> Result<String> {
    let about = String::from_utf8(output(Command::new("rustc").arg("-vV"))?)?;
    let host = about.lines().find_map(|line| line.strip_prefix("host: "));
    Ok(host.context("rustc does not say what machine this is")?.to_owned())
}
