//! The systems that there are programs for, and what building for each takes.

use std::path::PathBuf;
use std::process::Command;

use anyhow::Result;

use crate::chores::target_folder;
use crate::step::{cargo, run};

/// The version of the program.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// A system.
pub struct Target {
    /// Rust's name of it.
    pub triple: &'static str,
    /// Debian's name of its architecture, where there is a package.
    pub debian: Option<&'static str>,
    /// Flags for the compiler.
    flags: &'static str,
    /// The C compiler that links for it from another architecture or system; none where only that system itself can build.
    linker: Option<&'static str>,
}

/// The C library is linked in, so that the program runs on every Linux, however old or small.
const WHOLE: &str = "-C target-feature=+crt-static";

/// All of them.
pub const TARGETS: [Target; 5] = [
    Target {
        triple: "x86_64-unknown-linux-gnu",
        debian: Some("amd64"),
        flags: WHOLE,
        linker: Some("x86_64-linux-gnu-gcc"),
    },
    Target {
        triple: "aarch64-unknown-linux-gnu",
        debian: Some("arm64"),
        flags: WHOLE,
        linker: Some("aarch64-linux-gnu-gcc"),
    },
    Target { triple: "x86_64-pc-windows-gnu", debian: None, flags: "", linker: Some("x86_64-w64-mingw32-gcc") },
    Target { triple: "aarch64-apple-darwin", debian: None, flags: "", linker: None },
    Target { triple: "x86_64-apple-darwin", debian: None, flags: "", linker: None },
];

impl Target {
    /// Whether its programs are for Windows.
    pub fn is_windows(&self) -> bool {
        self.triple.contains("windows")
    }

    fn is_apple(&self) -> bool {
        self.triple.contains("apple")
    }

    /// The name of its archive, without what comes after the dot.
    pub fn stem(&self) -> String {
        format!("boardwise-{}-{}", VERSION, self.triple)
    }

    /// What this machine lacks to build for it; none if nothing.
    pub fn missing(&self) -> Option<String> {
        if self.is_apple() && !cfg!(target_os = "macos") {
            return Some("only a Mac can link for macOS".to_owned());
        }
        // Whoever has cargo build the standard library needs none that is built.
        if std::env::var_os("CARGO_UNSTABLE_BUILD_STD").is_none() && !self.has_library() {
            return Some(format!("its standard library is not installed (rustup target add {})", self.triple));
        }
        let linker = self.cross_linker()?;
        let there = Command::new(linker).arg("--version").output().is_ok_and(|output| output.status.success());
        (!there).then(|| format!("{linker} is not installed"))
    }

    fn has_library(&self) -> bool {
        let asked = Command::new("rustc").args(["--print", "target-libdir", "--target", self.triple]).output();
        asked.is_ok_and(|output| PathBuf::from(String::from_utf8_lossy(&output.stdout).trim()).is_dir())
    }

    /// The C compiler that links for it, where this machine's own does not.
    fn cross_linker(&self) -> Option<&'static str> {
        let own = self.triple == host();
        self.linker.filter(|_| !own)
    }

    /// Builds the program; gives its place.
    pub fn build(&self, profile: &str) -> Result<PathBuf> {
        let triple = self.triple;
        let mut command = cargo(&format!("build --quiet --locked --profile {profile} -p boardwise --target {triple}"));
        let name = triple.to_uppercase().replace('-', "_");
        let unset = |variable: &String| std::env::var_os(variable).is_none();
        let linker = format!("CARGO_TARGET_{name}_LINKER");
        if let Some(cross) = self.cross_linker().filter(|_| unset(&linker)) {
            command.env(linker, cross);
        }
        let flags = format!("CARGO_TARGET_{name}_RUSTFLAGS");
        if !self.flags.is_empty() && unset(&flags) {
            command.env(flags, self.flags);
        }
        run(&mut command)?;
        let file = if self.is_windows() { "boardwise.exe" } else { "boardwise" };
        Ok(target_folder()?.join(triple).join(profile).join(file))
    }
}

/// This machine's own target: the one that xtask was built for.
pub fn host() -> &'static str {
    const { host_of(cfg!(target_arch = "aarch64")) }
}

const fn host_of(arm: bool) -> &'static str {
    match (cfg!(target_os = "linux"), cfg!(target_os = "macos"), arm) {
        (true, _, true) => "aarch64-unknown-linux-gnu",
        (true, _, false) => "x86_64-unknown-linux-gnu",
        (_, true, true) => "aarch64-apple-darwin",
        (_, true, false) => "x86_64-apple-darwin",
        _ => "x86_64-pc-windows-gnu",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_mac_alone_builds_for_macos() {
        for target in TARGETS.iter().filter(|target| target.is_apple()) {
            assert_eq!(target.missing().is_some(), !cfg!(target_os = "macos"), "{}", target.triple);
        }
    }

    #[test]
    fn law_this_machine_has_a_target_of_its_own() {
        let own = TARGETS.iter().find(|target| target.triple == host()).expect("a target");
        assert_eq!(own.cross_linker(), None);
    }
}
