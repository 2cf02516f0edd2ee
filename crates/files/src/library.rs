//! Lanes, bags, bowlers and events by name: those of the demo kit, and those a user keeps in a folder.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::bag_file::{KitBag, parse_bag};
use crate::bowler_file::parse_bowler;
use crate::demo::{BAGS, BOWLERS, EVENTS, Entry, LANES};
use crate::event_file::parse_event;
use crate::event_files::{EventFiles, Sources};
use crate::lane_file::parse_lane;
use crate::{Fault, source, whole};

/// A kind of file that is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shelf {
    /// Lanes.
    Lane,
    /// Bags.
    Bag,
    /// Bowlers.
    Bowler,
    /// Events.
    Event,
}

/// A file on a shelf.
#[derive(Clone, Debug)]
pub struct OnShelf {
    /// Its name.
    pub id: String,
    /// Whether it is the demo kit's, which nothing changes.
    pub demo: bool,
}

impl Shelf {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Lane, Self::Bag, Self::Bowler, Self::Event];

    /// As it is written, for one.
    pub fn word(self) -> &'static str {
        match self {
            Self::Lane => "lane",
            Self::Bag => "bag",
            Self::Bowler => "bowler",
            Self::Event => "event",
        }
    }

    /// The shelf of this word.
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|shelf| shelf.word() == word)
    }

    fn demo(self) -> &'static [Entry] {
        match self {
            Self::Lane => &LANES,
            Self::Bag => &BAGS,
            Self::Bowler => &BOWLERS,
            Self::Event => &EVENTS,
        }
    }
}

/// The shelves.
#[derive(Clone, Debug)]
pub struct Library {
    folder: PathBuf,
}

impl Library {
    /// Longest name, in characters.
    const LONGEST: usize = 40;

    /// Kept in a folder, which need not be there yet.
    pub fn new(folder: PathBuf) -> Self {
        Self { folder }
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// What is on a shelf: the user's first, what was kept last before the rest, then the demo kit's. So whoever has a kit of their
    /// own is never offered the demo first.
    pub fn all(&self, shelf: Shelf) -> Vec<OnShelf> {
        let demo = shelf.demo().iter().map(|entry| OnShelf { id: entry.id.to_owned(), demo: true });
        // A folder that is not there, or cannot be read, holds nothing.
        let folder = fs::read_dir(self.folder.join(shelf.word())).into_iter().flatten().flatten();
        let mut own: Vec<(Option<SystemTime>, String)> = folder
            .filter_map(|entry| {
                let id = entry.file_name().to_str()?.strip_suffix(".toml")?.to_owned();
                Some((entry.metadata().and_then(|about| about.modified()).ok(), id))
            })
            .filter(|(_, id)| Self::is_name(id))
            .collect();
        own.sort_by(|(when, id), (other_when, other)| other_when.cmp(when).then(id.cmp(other)));
        own.into_iter().map(|(_, id)| OnShelf { id, demo: false }).chain(demo).collect()
    }

    /// A file: its name for people and its bytes.
    ///
    /// # Errors
    /// [`Fault::Missing`] if there is none of that name.
    pub fn fetch(&self, shelf: Shelf, id: &str) -> Result<(String, Vec<u8>), Fault> {
        if let Some(entry) = shelf.demo().iter().find(|entry| entry.id == id) {
            return Ok((entry.path.to_owned(), entry.text.as_bytes().to_vec()));
        }
        // Only names lead to files, so that nothing outside the folder is ever read.
        let known = self.all(shelf);
        if !known.iter().any(|kept| kept.id == id) {
            let known = known.into_iter().map(|kept| kept.id).collect();
            return Err(Fault::Missing { what: shelf.word(), name: id.to_owned(), known });
        }
        Ok((format!("{id}.toml"), source::read(&self.place(shelf, id).to_string_lossy())?))
    }

    /// Keeps a file, in place of one of that name. What cannot be read as what it is stays out.
    ///
    /// # Errors
    /// A name that is none or the demo kit's; what is wrong with the text; [`Fault::Write`].
    pub fn keep(&self, shelf: Shelf, id: &str, text: &str) -> Result<Vec<String>, Fault> {
        let refuse = |allowed: String| Fault::Field { field: "name", value: id.to_owned(), allowed };
        if !Self::is_name(id) {
            let most = Self::LONGEST;
            return Err(refuse(format!(
                "small letters, digits and -, at most {most} of them, a letter or digit first"
            )));
        }
        if shelf.demo().iter().any(|entry| entry.id == id) {
            return Err(refuse("the demo kit has that name and stays as it is; take another".to_owned()));
        }
        let warnings = self.check(shelf, &format!("{id}.toml"), text)?;
        let place = self.place(shelf, id);
        let folder = self.folder.join(shelf.word());
        fs::create_dir_all(&folder).map_err(|source| Fault::Write { path: folder, source })?;
        whole::write(&place, text.as_bytes())?;
        Ok(warnings)
    }

    /// Keeps a file under this name, or with a number behind it where another has the name; one that says the same already is not
    /// kept twice. Gives the name.
    ///
    /// # Errors
    /// As [`Library::keep`].
    pub fn keep_new(&self, shelf: Shelf, id: &str, text: &str) -> Result<String, Fault> {
        let known = self.all(shelf);
        let same = |name: &str| self.fetch(shelf, name).is_ok_and(|(_, bytes)| bytes == text.as_bytes());
        let mut name = id.to_owned();
        for again in 2.. {
            match known.iter().find(|kept| kept.id == name) {
                Some(kept) if kept.demo || !same(&name) => name = format!("{id}-{again}"),
                Some(_) => return Ok(name),
                None => break,
            }
        }
        self.keep(shelf, &name, text)?;
        Ok(name)
    }

    /// Reads a text as what its shelf holds; gives what is possible but outside the rules.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn check(&self, shelf: Shelf, name: &str, text: &str) -> Result<Vec<String>, Fault> {
        let bytes = text.as_bytes();
        Ok(match shelf {
            Shelf::Lane => parse_lane(name, bytes)?.warnings,
            Shelf::Bag => parse_bag(name, bytes)?.warnings,
            Shelf::Bowler => parse_bowler(name, bytes)?.warnings,
            Shelf::Event => parse_event(name, bytes, &|what, id| self.named(what, id))?.warnings,
        })
    }

    /// The files of an event.
    ///
    /// # Errors
    /// What is wrong with it or with a file it names.
    pub fn event(&self, id: &str) -> Result<EventFiles, Fault> {
        EventFiles::gather(&Sources {
            event: self.fetch(Shelf::Event, id)?,
            fetch: &|what, id| self.named(what, id),
            lane: None,
            bag: None,
            bowler: None,
            games: None,
        })
    }

    /// A bag.
    ///
    /// # Errors
    /// A name that is not there, or what is wrong with the file.
    pub fn bag(&self, id: &str) -> Result<KitBag, Fault> {
        let (name, bytes) = self.fetch(Shelf::Bag, id)?;
        Ok(parse_bag(&name, &bytes)?.value)
    }

    fn named(&self, what: &'static str, id: &str) -> Result<(String, Vec<u8>), Fault> {
        self.fetch(Shelf::of(what).unwrap_or(Shelf::Bowler), id)
    }

    fn place(&self, shelf: Shelf, id: &str) -> PathBuf {
        self.folder.join(shelf.word()).join(Path::new(id).with_extension("toml"))
    }

    fn is_name(id: &str) -> bool {
        id.chars().count() <= Self::LONGEST
            && id.starts_with(|c: char| c.is_ascii_lowercase() || c.is_ascii_digit())
            && id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
    }
}

/// The folder beside a record where the user's own files are kept.
pub fn kit_beside(record: &Path) -> PathBuf {
    record.with_file_name("kit")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_only_names_lead_to_files() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::new(folder.path().join("kit"));
        let text = LANES[0].text;
        std::fs::write(folder.path().join("outside.toml"), text).unwrap();
        for bad in ["../outside", "..", "", "/etc/passwd", "a/b", "A", "-a", "a.b", "\u{e9}", &"a".repeat(41)] {
            assert!(matches!(library.fetch(Shelf::Lane, bad), Err(Fault::Missing { .. })), "{bad}");
            assert!(library.keep(Shelf::Lane, bad, text).is_err(), "{bad}");
        }
        assert!(library.keep(Shelf::Lane, LANES[0].id, text).is_err(), "the demo kit stays");
        assert!(!folder.path().join("kit").exists(), "nothing was written");
    }

    #[test]
    fn law_what_is_kept_comes_back_and_what_is_wrong_stays_out() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::new(folder.path().to_owned());
        let text = LANES[0].text;
        library.keep(Shelf::Lane, "my-house", text).unwrap();
        assert_eq!(library.fetch(Shelf::Lane, "my-house").unwrap().1, text.as_bytes());
        assert!(library.keep(Shelf::Lane, "my-house", "name = 3").is_err());
        assert_eq!(library.fetch(Shelf::Lane, "my-house").unwrap().1, text.as_bytes(), "the old one is still there");
        assert!(library.all(Shelf::Lane).iter().any(|kept| kept.id == "my-house" && !kept.demo));
        assert!(library.event("short-32-squad").unwrap().parse().is_ok());
    }
}
