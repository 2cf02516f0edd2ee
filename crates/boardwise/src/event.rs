//! The event that a command is about.

use std::path::Path;

use super::arguments::EventKit;
use super::output;
use super::scene::bytes_of;
use boardwise_files::{EventFiles, Fault, KitEvent, KitPair, Sources};
use boardwise_session::event;

/// Reads an event and what it names; what is possible but outside the rules is said on standard error.
pub fn load(asked: &EventKit) -> Result<KitEvent, Fault> {
    let loaded = files(asked)?.parse()?;
    output::warn(loaded.warnings);
    Ok(loaded.value)
}

/// Reads the files of an event.
pub fn files(asked: &EventKit) -> Result<EventFiles, Fault> {
    let fetch = fetch(Path::new(&asked.event).parent().filter(|_| Path::new(&asked.event).is_file()));
    let instead =
        |what, asked: &Option<String>, demo| asked.as_ref().map(|asked| bytes_of(what, asked, demo)).transpose();
    EventFiles::gather(&Sources {
        event: bytes_of("event", &asked.event, &boardwise_files::EVENTS)?,
        fetch: &fetch,
        lane: instead("lane", &asked.lane, &boardwise_files::LANES)?,
        bag: instead("bag", &asked.bag, &boardwise_files::BAGS)?,
        bowler: instead("bowler", &asked.bowler, &boardwise_files::BOWLERS)?,
        games: asked.games,
    })
}

/// Finds the files that an event in this folder names: a file beside it wins over one of the same name elsewhere.
pub fn fetch(beside: Option<&Path>) -> impl Fn(&'static str, &str) -> Result<(String, Vec<u8>), Fault> {
    move |what, id| {
        let demo: &[boardwise_files::Entry] = match what {
            "lane" => &boardwise_files::LANES,
            "bag" => &boardwise_files::BAGS,
            _ => &boardwise_files::BOWLERS,
        };
        match beside.map(|folder| folder.join(id)).filter(|path| path.is_file()) {
            Some(path) => {
                let name = path.to_string_lossy();
                Ok((name.clone().into_owned(), boardwise_files::read(&name)?))
            }
            None => bytes_of(what, id, demo),
        }
    }
}

/// Who bowls where, for how long: the heading of an answer for people.
pub fn heading(event: &KitEvent, pair: &KitPair) -> String {
    event::heading(event, pair).map(|(what, words)| format!("{what:<8} {words}\n")).concat()
}
