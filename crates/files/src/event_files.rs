//! An event with every file that it names: enough to have the event again anywhere.

use std::cell::RefCell;

use serde::{Deserialize, Serialize};

use crate::bag_file::parse_bag;
use crate::bowler_file::parse_bowler;
use crate::event_file::{Fetch, KitEvent, KitSeat, parse_event};
use crate::lane_file::parse_lane;
use crate::{Fault, Loaded};

/// A file as it was read: its name for people and what it holds.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Text {
    name: String,
    text: String,
}

/// A file that the event names, with what it is and the name by which the event knows it.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Named {
    what: String,
    id: String,
    file: Text,
}

/// An event with every file that it names or that replaces one of them, as they were read: enough to have the event again anywhere.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EventFiles {
    event: Text,
    named: Vec<Named>,
    lane: Option<Text>,
    bag: Option<Text>,
    bowler: Option<Text>,
    games: Option<u32>,
}

/// Where an event starts from: files by name, and what is to stand in for parts of it.
pub struct Sources<'a> {
    /// The event's own file.
    pub event: (String, Vec<u8>),
    /// How the files it names are got.
    pub fetch: &'a Fetch<'a>,
    /// A lane instead of the event's patterns.
    pub lane: Option<(String, Vec<u8>)>,
    /// A bag instead of the first bowler's.
    pub bag: Option<(String, Vec<u8>)>,
    /// A bowler instead of the event's first.
    pub bowler: Option<(String, Vec<u8>)>,
    /// Games on each pair instead of the event's.
    pub games: Option<u32>,
}

impl EventFiles {
    /// The event that starts from these files.
    ///
    /// # Errors
    /// What is wrong with the event or with a file that it names.
    pub fn gather(from: &Sources<'_>) -> Result<Self, Fault> {
        let named = RefCell::new(Vec::new());
        let fetch = |what: &'static str, id: &str| {
            let (name, bytes) = (from.fetch)(what, id)?;
            let file = Text::of(&name, bytes.clone())?;
            named.borrow_mut().push(Named { what: what.to_owned(), id: id.to_owned(), file });
            Ok((name, bytes))
        };
        let (name, bytes) = &from.event;
        // What cannot be is told here already.
        parse_event(name, bytes, &fetch)?;
        let instead = |file: &Option<(String, Vec<u8>)>| {
            file.as_ref().map(|(name, bytes)| Text::of(name, bytes.clone())).transpose()
        };
        Ok(Self {
            event: Text::of(name, bytes.clone())?,
            lane: instead(&from.lane)?,
            bag: instead(&from.bag)?,
            bowler: instead(&from.bowler)?,
            games: from.games,
            named: named.into_inner(),
        })
    }

    /// The event in them.
    ///
    /// # Errors
    /// What is wrong with one of the files.
    pub fn parse(&self) -> Result<Loaded<KitEvent>, Fault> {
        let fetch = |what: &'static str, id: &str| {
            let known = || self.named.iter().map(|named| named.id.clone()).collect();
            let found = self.named.iter().find(|named| named.what == what && named.id == id);
            let found = found.ok_or_else(|| Fault::Missing { what, name: id.to_owned(), known: known() })?;
            Ok((found.file.name.clone(), found.file.text.as_bytes().to_vec()))
        };
        let mut loaded = parse_event(&self.event.name, self.event.text.as_bytes(), &fetch)?;
        let Loaded { value: event, warnings } = &mut loaded;
        if let Some(lane) = &self.lane {
            let lane = lane.parse(parse_lane, warnings)?;
            for pair in &mut event.pairs {
                pair.lanes = [lane.clone(), lane.clone()];
            }
        }
        if let Some(bowler) = &self.bowler {
            let bowler = bowler.parse(parse_bowler, warnings)?;
            // Another bowler's line would say nothing.
            event.seats[0] = KitSeat { bowler, line: None, ..event.seats[0].clone() };
        }
        if let Some(bag) = &self.bag {
            let bag = bag.parse(parse_bag, warnings)?;
            event.seats[0] = KitSeat { bag, ball: None, line: None, ..event.seats[0].clone() };
        }
        for pair in &mut event.pairs {
            pair.games = self.games.unwrap_or(pair.games);
        }
        Ok(loaded)
    }
}

impl Text {
    fn of(name: &str, bytes: Vec<u8>) -> Result<Self, Fault> {
        let name = name.to_owned();
        match String::from_utf8(bytes) {
            Ok(text) => Ok(Self { name, text }),
            Err(why) => Err(Fault::NotText { name, at: why.utf8_error().valid_up_to() }),
        }
    }

    fn parse<T>(
        &self,
        parse: impl Fn(&str, &[u8]) -> Result<Loaded<T>, Fault>,
        warnings: &mut Vec<String>,
    ) -> Result<T, Fault> {
        let loaded = parse(&self.name, self.text.as_bytes())?;
        warnings.extend(loaded.warnings);
        Ok(loaded.value)
    }
}
