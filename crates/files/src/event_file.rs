//! The event file.

use boardwise_search::Bowler;
use boardwise_units::Board;
use schemars::JsonSchema;
use serde::Deserialize;

use super::locate::Step;
use super::parse::Page;
use super::{Fault, KitBag, KitLane, Loaded, parse_bag, parse_bowler, parse_lane};

/// An event: the pairs of lanes, how long it goes, and who shares the pair.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EventFile {
    /// What to call it; left out, the file's name.
    name: Option<String>,
    /// Practice throws of each bowler on each lane before the first frame.
    #[serde(default = "usual_practice")]
    practice_shots: u32,
    /// When the rules of the event let a bowler change the surface of a ball; shown with advice, not computed with.
    #[serde(default)]
    surface_changes: SurfaceRule,
    /// A cut, if there is one; shown, not computed with.
    cut: Option<CutTable>,
    /// The pairs in the order they are bowled on.
    #[serde(default)]
    pair: Vec<PairTable>,
    /// Everybody on the pair, in bowling order. The first is the one the forecast is for.
    #[serde(default)]
    bowler: Vec<SeatTable>,
}

fn usual_practice() -> u32 {
    6
}

/// When surfaces may be changed.
#[derive(Clone, Copy, Debug, Default, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum SurfaceRule {
    /// Only before practice begins.
    #[default]
    BeforePractice,
    /// Until practice ends.
    UntilPracticeEnds,
    /// Also between games.
    BetweenGames,
    /// At any time.
    AnyTime,
}

/// A cut.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CutTable {
    /// After how many games of the event.
    pub after_games: u32,
    /// Pins that are expected to make it.
    pub pins: u32,
}

/// A pair of lanes.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PairTable {
    /// The numbers of its two lanes.
    lanes: Vec<u32>,
    /// A lane file for each, beside this file, or a lane of the demo kit.
    patterns: Vec<String>,
    /// Games bowled on it.
    games: u32,
    /// Games that the others have bowled on it before, on the same oil.
    #[serde(default)]
    games_before: u32,
}

/// A bowler on the pair.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SeatTable {
    /// What to call them here; left out, the name in their file. No two alike.
    name: Option<String>,
    /// Their file, beside this file, or a bowler of the demo kit.
    file: String,
    /// Their bag's file, or the demo kit's bag.
    #[serde(default = "demo_bag")]
    bag: String,
    /// The ball they start with; left out, found for the first bowler, and for the others their bag's first.
    ball: Option<String>,
    /// The line they start on; left out, found.
    line: Option<LineTable>,
}

fn demo_bag() -> String {
    "demo".to_owned()
}

/// A line as a bowler would say it.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LineTable {
    /// Board under the ball at the foul line.
    laydown: f64,
    /// Board aimed at, 15 ft down.
    arrows: f64,
}

/// An event, checked.
#[derive(Clone, Debug)]
pub struct KitEvent {
    /// What to call it.
    pub name: String,
    /// Practice throws of each bowler on each lane.
    pub practice_shots: u32,
    /// When surfaces may be changed.
    pub surface_changes: SurfaceRule,
    /// A cut.
    pub cut: Option<CutTable>,
    /// The pairs in order; at least one.
    pub pairs: Vec<KitPair>,
    /// Everybody in bowling order, ours first; at least one.
    pub seats: Vec<KitSeat>,
}

/// A pair of an event.
#[derive(Clone, Debug)]
pub struct KitPair {
    /// Numbers of the lanes.
    pub numbers: [u32; 2],
    /// The lanes.
    pub lanes: [KitLane; 2],
    /// Games bowled on it.
    pub games: u32,
    /// Games that others bowled on it before.
    pub games_before: u32,
}

/// A bowler of an event.
#[derive(Clone, Debug)]
pub struct KitSeat {
    /// The bowler, by the name of the event.
    pub bowler: Bowler,
    /// Their bag.
    pub bag: KitBag,
    /// The ball they start with, by its place in the bag.
    pub ball: Option<usize>,
    /// Board of laydown, and board aimed at at the arrows.
    pub line: Option<(Board, Board)>,
}

/// Finds the file that an event names: what kind of thing, and the name; gives the name to tell in errors, and the bytes.
pub type Fetch<'a> = dyn Fn(&'static str, &str) -> Result<(String, Vec<u8>), Fault> + 'a;

/// Most games of an event on one pair, and bowlers on a pair.
const MOST_GAMES: u32 = 100;
const MOST_BOWLERS: usize = 20;

/// Reads an event file and the files it names.
///
/// # Errors
/// If anything in it cannot be; the error points at it. Mistakes in a file that it names point into that file.
pub fn parse_event(name: &str, bytes: &[u8], fetch: &Fetch<'_>) -> Result<Loaded<KitEvent>, Fault> {
    let page = Page::new(name, bytes)?;
    let file: EventFile = page.parse()?;
    file.name.iter().try_for_each(|name| page.name(&[Step::Key("name")], name))?;
    let mut warnings = Vec::new();
    if file.pair.is_empty() {
        return Err(page.fault(&[], "no lanes: give at least one [[pair]] with lanes, patterns and games"));
    }
    if file.bowler.is_empty() {
        return Err(page.fault(&[], "no bowlers: give at least one [[bowler]] with a file"));
    }
    if file.bowler.len() > MOST_BOWLERS {
        let what = format!("{} bowlers: a pair takes at most {MOST_BOWLERS}", file.bowler.len());
        return Err(page.fault(&[Step::Key("bowler"), Step::At(MOST_BOWLERS)], &what));
    }
    whole(&page, &[Step::Key("practice_shots")], "practice_shots", file.practice_shots, 0)?;
    let mut pairs = Vec::new();
    for (k, table) in file.pair.iter().enumerate() {
        pairs.push(table.pair(&page, k, fetch, &mut warnings)?);
    }
    let mut seats: Vec<KitSeat> = Vec::new();
    for (k, table) in file.bowler.iter().enumerate() {
        let seat = table.seat(&page, k, fetch, &mut warnings)?;
        if let Some(first) = seats.iter().position(|other| other.bowler.name == seat.bowler.name) {
            let key = if table.name.is_some() { "name" } else { "file" };
            let what =
                format!("{} twice: bowler {} is called so too; give each their own name", seat.bowler.name, first + 1);
            return Err(page.fault(&[Step::Key("bowler"), Step::At(k), Step::Key(key)], &what));
        }
        seats.push(seat);
    }
    let event = KitEvent {
        name: file.name.unwrap_or_else(|| super::bowler_file::stem(name)),
        practice_shots: file.practice_shots,
        surface_changes: file.surface_changes,
        cut: file.cut,
        pairs,
        seats,
    };
    Ok(Loaded { value: event, warnings })
}

fn whole(page: &Page<'_>, path: &[Step<'_>], key: &str, value: u32, least: u32) -> Result<u32, Fault> {
    page.within(path, key, f64::from(value), f64::from(least), f64::from(MOST_GAMES)).map(|_| value)
}

/// What is wrong with a name in the event, told where it stands there.
fn named<T>(page: &Page<'_>, path: &[Step<'_>], found: Result<T, Fault>) -> Result<T, Fault> {
    found.map_err(|fault| match &fault {
        Fault::Missing { known, .. } => page.fault(path, &format!("{fault}; the names are: {}", known.join(", "))),
        Fault::Unreadable { source, .. } => page.fault(path, &format!("{fault}: {source}")),
        _ => fault,
    })
}

impl PairTable {
    fn pair(&self, page: &Page<'_>, k: usize, fetch: &Fetch<'_>, warnings: &mut Vec<String>) -> Result<KitPair, Fault> {
        let at = |key: &'static str| [Step::Key("pair"), Step::At(k), Step::Key(key)];
        let Ok(numbers) = <[u32; 2]>::try_from(self.lanes.as_slice()) else {
            let what = format!("lanes: {} given; a pair has two", self.lanes.len());
            return Err(page.fault(&at("lanes"), &what));
        };
        if numbers[0] == numbers[1] {
            return Err(page.fault(&at("lanes"), &format!("lane {} twice: a pair has two lanes", numbers[0])));
        }
        let [left, right] = self.patterns.as_slice() else {
            let what = format!(
                "patterns: {} given for two lanes; give one for each, the same twice if they are alike",
                self.patterns.len()
            );
            return Err(page.fault(&at("patterns"), &what));
        };
        let mut lane = |index: usize, pattern: &str| {
            let path = [Step::Key("pair"), Step::At(k), Step::Key("patterns"), Step::At(index)];
            let (name, bytes) = named(page, &path, fetch("lane", pattern))?;
            let loaded = parse_lane(&name, &bytes)?;
            warnings.extend(loaded.warnings);
            Ok(loaded.value)
        };
        let lanes = [lane(0, left)?, lane(1, right)?];
        Ok(KitPair {
            numbers,
            lanes,
            games: whole(page, &at("games"), "games", self.games, 1)?,
            games_before: whole(page, &at("games_before"), "games_before", self.games_before, 0)?,
        })
    }
}

impl SeatTable {
    fn seat(&self, page: &Page<'_>, k: usize, fetch: &Fetch<'_>, warnings: &mut Vec<String>) -> Result<KitSeat, Fault> {
        let at = |key: &'static str| [Step::Key("bowler"), Step::At(k), Step::Key(key)];
        let (name, bytes) = named(page, &at("file"), fetch("bowler", &self.file))?;
        let mut bowler = parse_bowler(&name, &bytes)?;
        warnings.append(&mut bowler.warnings);
        if let Some(name) = &self.name {
            page.name(&at("name"), name)?;
            bowler.value.name.clone_from(name);
        }
        let (name, bytes) = named(page, &at("bag"), fetch("bag", &self.bag))?;
        let mut bag = parse_bag(&name, &bytes)?;
        warnings.append(&mut bag.warnings);
        let ball = match &self.ball {
            None => None,
            Some(id) => {
                let balls = bag.value.bag.balls();
                let place = balls.iter().position(|ball| ball.id == *id);
                let known = || balls.iter().map(|ball| ball.id.as_str()).collect::<Vec<_>>().join(", ");
                let missing = || page.fault(&at("ball"), &format!("ball = \"{id}\": the bag has {}", known()));
                Some(place.ok_or_else(missing)?)
            }
        };
        let line = match self.line {
            None => None,
            Some(line) => {
                let on_lane = |key: &'static str, value: f64| {
                    let path = [Step::Key("bowler"), Step::At(k), Step::Key("line"), Step::Key(key)];
                    page.within(&path, key, value, 0.5, 39.5)
                };
                Some((Board(on_lane("laydown", line.laydown)?), Board(on_lane("arrows", line.arrows)?)))
            }
        };
        Ok(KitSeat { bowler: bowler.value, bag: bag.value, ball, line })
    }
}
