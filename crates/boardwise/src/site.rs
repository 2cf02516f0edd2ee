//! `boardwise site`.

use std::path::{Path, PathBuf};

use boardwise_files::Fault;

use super::{arguments, output};
use crate::Failure;

/// What every module for browsers begins with (<https://webassembly.github.io/spec/core/binary/modules.html#binary-module>).
const MAGIC: &[u8] = b"\0asm";

pub(super) fn run(asked: &arguments::Site) -> Result<(), Failure> {
    let path = asked.module.clone().or_else(built);
    let Some(path) = path else {
        let why = "the app for browsers is not in this program, nor beside it: build it with `cargo xtask wasm`, or name its file";
        return Err(refused("boardwise.wasm", why).into());
    };
    let name = path.display().to_string();
    let module = std::fs::read(&path).map_err(|source| Fault::Unreadable { name: name.clone(), source })?;
    if !module.starts_with(MAGIC) {
        return Err(refused(&name, "must be the app built for browsers: `cargo xtask wasm` makes it").into());
    }
    let version = boardwise_web::write_site(&asked.folder, &module)?;
    output::print(&format!(
        "Version {version} is in {}. Put it at the top of a host that serves https, and open it on the phone.\n",
        asked.folder.display()
    ))
}

fn refused(value: &str, allowed: &str) -> Fault {
    Fault::Field { field: "module", value: value.to_owned(), allowed: allowed.to_owned() }
}

/// Where a module may be: beside the program, as in a release, or where the sources build it.
fn built() -> Option<PathBuf> {
    let beside = std::env::current_exe().ok().map(|program| program.with_file_name("boardwise.wasm"));
    let here = Path::new("edges/wasm/target/boardwise.wasm").to_owned();
    beside.into_iter().chain([here]).find(|path| path.is_file())
}
