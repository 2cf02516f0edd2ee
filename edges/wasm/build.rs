//! Where the system keeps what SQLite's C asks of wasi-libc beyond what comes with the compiler. `WASI_LIB` names another folder.

use std::path::{Path, PathBuf};

fn main() {
    println!("cargo::rerun-if-env-changed=WASI_LIB");
    let named = std::env::var_os("WASI_LIB").map(PathBuf::from);
    let usual = ["/usr/lib/wasm32-wasip1", "/usr/lib/wasm32-wasi", "/usr/share/wasi-sysroot/lib/wasm32-wasip1"];
    for folder in named.into_iter().chain(usual.map(PathBuf::from)).filter(|folder| holds(folder)) {
        println!("cargo::rustc-link-search=native={}", folder.display());
    }
}

fn holds(folder: &Path) -> bool {
    folder.join("libwasi-emulated-mman.a").is_file()
}
