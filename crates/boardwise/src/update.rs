//! `boardwise update`: which version this is, what is new in it, and how to get a newer one. It never uses the network.

use std::path::Path;

use crate::{Failure, output};

/// What each version brought, newest first, in a bowler's words.
const NEWS: &str = include_str!("news.md");

/// How this program came onto the machine. That decides how a newer one comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Debian,
    Installer,
    Cargo,
    Unknown,
}

pub(super) fn run() -> Result<(), Failure> {
    let program = std::env::current_exe().unwrap_or_default();
    output::print(&words(&program, way(&program)))
}

/// The way is told by where the program lies, and by what the installer leaves beside it.
fn way(program: &Path) -> Way {
    let folder = program.parent().unwrap_or(program);
    // install.sh keeps its list in `lib` beside `bin`, install.ps1 beside the program.
    let lists = [folder.join("../lib/boardwise/installed"), folder.join("installed")];
    if lists.iter().any(|list| list.is_file()) {
        Way::Installer
    } else if program == Path::new("/usr/bin/boardwise") {
        Way::Debian
    } else if folder.ends_with(".cargo/bin") {
        Way::Cargo
    } else {
        Way::Unknown
    }
}

fn words(program: &Path, way: Way) -> String {
    let version = env!("CARGO_PKG_VERSION");
    let installer = if cfg!(windows) {
        "    install.ps1 -From FOLDER_OR_ADDRESS\n"
    } else {
        "    sh install.sh --from FOLDER_OR_ADDRESS\n"
    };
    let debian = "    sudo apt install ./boardwise_VERSION_ARCHITECTURE.deb\n";
    let source = "    cargo install --locked --path crates/boardwise      (in the newer source)\n";
    let how = match way {
        Way::Debian => debian.to_owned(),
        Way::Installer => installer.to_owned(),
        Way::Cargo => source.to_owned(),
        Way::Unknown => [installer, debian, source].concat(),
    };
    format!(
        "boardwise {version}, at {}\n\n{NEWS}\nTo update, get the newer files where you got these. Then:\n\n{how}\n\
         Your record stays where it is; a newer program brings it up to date and keeps a copy of the old one first.\n\
         boardwise never looks for a newer version by itself.\n",
        program.display()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_the_news_are_of_this_version_and_the_changelog_knows_each() {
        let changelog = include_str!("../../../CHANGELOG.md");
        let told: Vec<&str> = NEWS.lines().filter_map(|line| line.strip_prefix("New in ")).collect();
        assert_eq!(told.first(), Some(&concat!(env!("CARGO_PKG_VERSION"), ":")), "news.md begins with this version");
        for version in told {
            let heading = format!("\n## {} (", version.trim_end_matches(':'));
            assert!(changelog.contains(&heading), "CHANGELOG.md has no version {version}");
        }
    }

    #[test]
    fn law_the_way_of_updating_is_the_way_of_installing() {
        let folder = tempfile::tempdir().expect("a folder");
        let (bin, list) = (folder.path().join("bin"), folder.path().join("lib/boardwise"));
        std::fs::create_dir_all(&bin).and_then(|()| std::fs::create_dir_all(&list)).expect("folders");
        let program = bin.join("boardwise");
        assert_eq!(way(&program), Way::Unknown);
        std::fs::write(list.join("installed"), "bin/boardwise\n").expect("a list");
        assert_eq!(way(&program), Way::Installer);
        assert_eq!(way(Path::new("/usr/bin/boardwise")), Way::Debian);
        assert_eq!(way(Path::new("/a/.cargo/bin/boardwise")), Way::Cargo);
        assert!(!words(&program, Way::Debian).contains("install.sh"));
        assert!(words(&program, Way::Unknown).contains("install."));
    }
}
