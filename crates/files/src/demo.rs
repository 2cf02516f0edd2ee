//! The demo kit, built in.

use std::fs;
use std::io;
use std::path::Path;

/// A file of the demo kit.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// Its id on the command line.
    pub id: &'static str,
    /// Its place in the kit's folder.
    pub path: &'static str,
    /// What it holds.
    pub text: &'static str,
}

macro_rules! entry {
    ($id:literal, $path:literal) => {
        Entry { id: $id, path: $path, text: include_str!(concat!("../data/demo/", $path)) }
    };
}

/// The lanes, by id: `house-40-walled`, `house-40-flat`, `short-32-walled`,
/// `short-32-flat`, `long-45-walled`, `long-45-flat`. The first is the default.
pub const LANES: [Entry; 6] = [
    entry!("house-40-walled", "lanes/house-40-walled.toml"),
    entry!("house-40-flat", "lanes/house-40-flat.toml"),
    entry!("short-32-walled", "lanes/short-32-walled.toml"),
    entry!("short-32-flat", "lanes/short-32-flat.toml"),
    entry!("long-45-walled", "lanes/long-45-walled.toml"),
    entry!("long-45-flat", "lanes/long-45-flat.toml"),
];

/// The bowlers, by id: `right-straighter`, `right-rev-dominant`, `left-handed`, `two-handed`. The first is the
/// default.
pub const BOWLERS: [Entry; 4] = [
    entry!("right-straighter", "bowlers/right-straighter.toml"),
    entry!("right-rev-dominant", "bowlers/right-rev-dominant.toml"),
    entry!("left-handed", "bowlers/left-handed.toml"),
    entry!("two-handed", "bowlers/two-handed.toml"),
];

/// The events; the first is the default.
pub const EVENTS: [Entry; 1] = [entry!("short-32-squad", "events/short-32-squad.toml")];

const BAG: Entry = entry!("demo", "bag.toml");
const README: Entry = entry!("readme", "README.md");

/// Every file of the kit.
pub fn files() -> impl Iterator<Item = Entry> {
    LANES.into_iter().chain(BOWLERS).chain(EVENTS).chain([BAG, README])
}

/// The bags.
pub const BAGS: [Entry; 1] = [BAG];

/// Ids of the lanes.
pub fn lane_ids() -> Vec<&'static str> {
    LANES.iter().map(|entry| entry.id).collect()
}

/// Copies the kit to a folder that does not exist yet: written beside it, then moved into place, so that there is
/// either the whole kit or nothing.
///
/// # Errors
/// If the folder exists, or something cannot be written.
pub fn write_to(folder: &Path) -> io::Result<()> {
    if folder.symlink_metadata().is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    let name = folder.file_name().ok_or(io::ErrorKind::InvalidInput)?;
    let parent = folder.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    // What is left of a failed copy goes with the folder beside.
    let beside = tempfile::Builder::new().prefix(".partial-").tempdir_in(parent)?;
    let kit = beside.path().join(name);
    write_all(&kit)?;
    fs::rename(kit, folder)
}

fn write_all(folder: &Path) -> io::Result<()> {
    fs::create_dir(folder)?;
    for entry in files() {
        let path = folder.join(entry.path);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent)?;
        }
        fs::write(path, entry.text)?;
    }
    Ok(())
}
