//! An event, and the blocks it is made of.

use std::cell::RefCell;

use boardwise_ball::{Ball, CoverKind};
use boardwise_lane::Release;
use boardwise_search::{BlockPlan, Pocket, Seat, Unknowns, spare_ball};
use boardwise_units::{Feet, Hand};
use serde::{Deserialize, Serialize};

use super::{ARROWS_FT, gutter};
use crate::kit::{self, Fault, Fetch, KitEvent, KitPair, KitSeat, Loaded, SurfaceRule, parse_event};

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
            let lane = lane.parse(kit::parse_lane, warnings)?;
            for pair in &mut event.pairs {
                pair.lanes = [lane.clone(), lane.clone()];
            }
        }
        if let Some(bowler) = &self.bowler {
            let bowler = bowler.parse(kit::parse_bowler, warnings)?;
            // Another bowler's line would say nothing.
            event.seats[0] = KitSeat { bowler, line: None, ..event.seats[0].clone() };
        }
        if let Some(bag) = &self.bag {
            let bag = bag.parse(kit::parse_bag, warnings)?;
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

/// The block on one pair, ours in the first seat. Whoever brings a plastic ball beside others keeps it for spares.
pub fn plan(event: &KitEvent, pair: &KitPair, frames_a_look: u32, runs: u32, seed: u64) -> BlockPlan {
    BlockPlan {
        pair: pair.lanes.each_ref().map(|lane| lane.seen_by(Hand::Right)),
        seats: event.seats.iter().map(seat).collect(),
        ours: 0,
        practice_shots: event.practice_shots,
        games_before: pair.games_before,
        games: pair.games,
        frames_a_look,
        runs,
        seed,
        pocket: Pocket::default(),
        unknowns: Unknowns::default(),
    }
}

/// A seat of the block: who bowls with which balls.
pub fn seat(seat: &KitSeat) -> Seat {
    let bag = seat.bag.bag.balls();
    let spare = spare_ball(bag);
    let asked = seat.ball.map(|place| &bag[place]);
    let only_spares = |ball: &Ball| {
        bag.len() > 1 && Some(ball) == spare && ball.cover.kind == CoverKind::Plastic && Some(ball) != asked
    };
    let balls: Vec<Ball> = bag.iter().filter(|ball| !only_spares(ball)).cloned().collect();
    Seat {
        bowler: seat.bowler.clone(),
        starts_with: asked.and_then(|asked| balls.iter().position(|ball| ball == asked)),
        line: seat
            .line
            .map(|(laydown, arrows)| Release { laydown, ..seat.bowler.release }.aimed_at(arrows, Feet(ARROWS_FT))),
        spare_ball: spare.cloned(),
        balls,
    }
}

/// The gutter that our boards count from.
pub fn side(event: &KitEvent) -> &'static str {
    gutter(event.seats[0].bowler.hand)
}

/// Who bowls where, for how long: what it is, and in words.
pub fn heading(event: &KitEvent, pair: &KitPair) -> [(&'static str, String); 3] {
    let ours = &event.seats[0].bowler;
    let others = match event.seats.len() - 1 {
        0 => "alone on the pair".to_owned(),
        1 => "with one other on the pair".to_owned(),
        n => format!("with {n} others on the pair"),
    };
    let names = pair.lanes.each_ref().map(|lane| lane.name.as_str());
    let lanes = if names[0] == names[1] { names[0].to_owned() } else { names.join(" and ") };
    let before = match pair.games_before {
        0 => String::new(),
        n => format!(", after {n} games of the others"),
    };
    let [left, right] = pair.numbers;
    let where_to = format!("{left} and {right}: {lanes}{before}; boards count from the {} gutter", side(event));
    [("event", event.name.clone()), ("bowler", format!("{}, {others}", ours.name)), ("lanes", where_to)]
}

/// What whoever works on a surface takes care of.
pub const SURFACE_WORK: &str = "Wear eye protection and a dust mask,\n\
     keep hands clear of a running spinner, follow the maker's sheet.";

/// What the trade and the rules ask of whoever works on a surface.
pub fn surface_cautions(rule: SurfaceRule) -> String {
    let when = match rule {
        SurfaceRule::BeforePractice => "before practice begins",
        SurfaceRule::UntilPracticeEnds => "until practice ends",
        SurfaceRule::BetweenGames => "also between games",
        SurfaceRule::AnyTime => "at any time",
    };
    format!("Surfaces: this event's file lets them be changed {when}; its rules and officials decide. {SURFACE_WORK}\n")
}
