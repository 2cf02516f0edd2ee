//! The lane file.

use std::slice::from_ref;

use boardwise_lane::{Coating, Field, Film, Lane, LaneError, Reading, Stroke};
use boardwise_search::Unknowns;
use boardwise_units::{Feet, Hand, Microlitres, OilUnits};
use schemars::JsonSchema;
use serde::Deserialize;

use super::locate::Step;
use super::parse::Page;
use super::shape::ShapeTable;
use super::sheet_rows::{self, SheetRow};
use super::sides::{Gutter, Way};
use super::{Fault, Loaded, plausible};

/// A lane: its oil or its friction, and how it lies.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LaneFile {
    /// What to call it.
    name: String,
    /// Gutter from which the boards in this file count.
    #[serde(default)]
    boards_from: Gutter,
    /// Whether the lane is taken to be just as this file says, for teaching; else answers count with what a sheet leaves open.
    #[serde(default)]
    known: bool,
    /// The lane's own surface.
    surface: Option<LaneSurface>,
    /// How far the buffer draws oil on, feet; for strokes and rows.
    smear_ft: Option<f64>,
    /// Where the oil ends, feet; for readings (else at the last one).
    length_ft: Option<f64>,
    /// Oil of all rows together, as the sheet states it, microlitres: rows that miss it are doubted.
    total_microlitres: Option<f64>,
    /// How the lane departs from level.
    shape: Option<ShapeTable>,
    /// Oil laid on. Strokes that overlap add up.
    #[serde(default)]
    strokes: Vec<StrokeTable>,
    /// Rows of a printed sheet, in the order travelled. Rows that overlap add up.
    #[serde(default)]
    rows: Vec<SheetRow>,
    /// Film measured across the lane, from the foul line on.
    #[serde(default)]
    readings: Vec<ReadingTable>,
    /// Friction given outright, zone after zone from the foul line.
    #[serde(default)]
    friction: Vec<ZoneTable>,
    /// Friction given outright as a smooth step along the lane.
    friction_curve: Option<CurveTable>,
}

/// The lane's own surface.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LaneSurface {
    /// Roughness Ra, micrometres.
    ra_um: f64,
}

/// Oil laid evenly over a rectangle.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StrokeTable {
    /// First and last board covered.
    boards: [f64; 2],
    /// Where it starts and ends.
    feet: [f64; 2],
    /// Oil of the whole stroke.
    microlitres: f64,
    /// Which way the machine travels: `out` from the foul line, `back` toward it.
    direction: Way,
}

/// Film measured across the lane at one distance.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReadingTable {
    /// Distance from the foul line.
    feet: f64,
    /// Film in units: 39 numbers, or one for each of `boards`.
    units: Vec<f64>,
    /// Boards measured, increasing.
    boards: Option<Vec<f64>>,
}

/// A zone of friction.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ZoneTable {
    /// Where the zone ends, feet; it starts where the one before it ends.
    to_feet: f64,
    /// Friction coefficient of the zone.
    mu: Option<f64>,
    /// Friction coefficient by board, 39 numbers, instead of `mu`.
    mu_by_board: Option<Vec<f64>>,
}

/// Friction as a smooth step: low + (high - low) (1 + tanh((feet - middle) / width)) / 2.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CurveTable {
    /// Near the foul line.
    low: f64,
    /// Near the pins.
    high: f64,
    /// Where it is halfway.
    middle_ft: f64,
    /// Its half width.
    width_ft: f64,
}

/// A lane from a file.
#[derive(Clone, Debug, PartialEq)]
pub struct KitLane {
    /// What to call it.
    pub name: String,
    /// Gutter from which the boards in its file count.
    pub boards_from: Gutter,
    /// Whether it is taken to be just as the file says.
    pub known: bool,
    /// As a right-hander sees it.
    lane: Lane,
}

impl KitLane {
    /// The lane as a bowler of this hand sees it.
    pub fn seen_by(&self, hand: Hand) -> Lane {
        self.lane.seen_by(hand)
    }

    /// What is not known where these lanes are played: less where each file declares its lane as known, for teaching.
    pub fn unknowns<'a>(lanes: impl IntoIterator<Item = &'a Self>) -> Unknowns {
        let usual = Unknowns::default();
        if lanes.into_iter().all(|lane| lane.known) { usual.with_known_lanes() } else { usual }
    }
}

/// Reads a lane file.
///
/// # Errors
/// If anything in it cannot be; the error points at it.
pub fn parse_lane(name: &str, bytes: &[u8]) -> Result<Loaded<KitLane>, Fault> {
    let page = Page::new(name, bytes)?;
    let file: LaneFile = page.parse()?;
    page.name(&[Step::Key("name")], &file.name)?;
    let mut warnings = Vec::new();
    let mut lane = Lane::new(file.coating(&page, &mut warnings)?);
    if let Some(surface) = &file.surface {
        let path = [Step::Key("surface"), Step::Key("ra_um")];
        lane.surface_ra_m = page.within(&path, "ra_um", surface.ra_um, 0.01, 20.0)? * 1e-6;
    }
    if let Some(shape) = &file.shape {
        lane.shape = Some(shape.build(&page, &mut warnings)?);
    }
    if let Coating::Oil(film) = &lane.coating {
        let odd = |key, words: Option<String>| words.map(|words| page.warning(&[Step::Key(key)], &words));
        let oil = match (file.strokes.is_empty(), file.rows.is_empty()) {
            (false, _) => "strokes",
            (_, false) => "rows",
            _ => "readings",
        };
        warnings.extend(odd(oil, plausible::oil(film.volume().0 / 1000.0)));
        let end = if file.length_ft.is_some() { "length_ft" } else { oil };
        warnings.extend(odd(end, plausible::length(film.length.0)));
    }
    if file.boards_from == Gutter::Left {
        // The file's shape always rises toward the right gutter; only its boards count from the left.
        lane = lane.mirrored();
        if let Some(shape) = &mut lane.shape {
            shape.across = shape.across.map(|rise| -rise);
        }
    }
    Ok(Loaded { value: KitLane { name: file.name, boards_from: file.boards_from, known: file.known, lane }, warnings })
}

impl LaneFile {
    fn coating(&self, page: &Page<'_>, warnings: &mut Vec<String>) -> Result<Coating, Fault> {
        let ways = [
            ("strokes", !self.strokes.is_empty()),
            ("rows", !self.rows.is_empty()),
            ("readings", !self.readings.is_empty()),
            ("friction", !self.friction.is_empty()),
            ("friction_curve", self.friction_curve.is_some()),
        ];
        let given: Vec<&str> = ways.iter().filter(|(_, is)| *is).map(|(key, _)| *key).collect();
        let &[way] = given.as_slice() else {
            let what = match given.last() {
                None => LaneError::NoOil.to_string() + " (strokes, rows, readings, friction or friction_curve)",
                Some(_) => format!("{} are both given: a lane has one of them", given.join(" and ")),
            };
            return Err(page.fault(&given.last().map(|key| Step::Key(key)).into_iter().collect::<Vec<_>>(), &what));
        };
        let belonging: [(&str, bool, &[&str]); 3] = [
            ("smear_ft", self.smear_ft.is_some(), &["strokes", "rows"]),
            ("length_ft", self.length_ft.is_some(), &["readings"]),
            ("total_microlitres", self.total_microlitres.is_some(), &["rows"]),
        ];
        for (key, given, belongs) in belonging {
            if given && !belongs.contains(&way) {
                let what = format!("{key} only means something with {}", belongs.join(" or "));
                return Err(page.fault(&[Step::Key(key)], &what));
            }
        }
        match (way, &self.friction_curve) {
            ("strokes", _) => {
                self.laid("strokes", &self.strokes.iter().map(StrokeTable::stroke).collect::<Vec<_>>(), page)
            }
            ("rows", _) => {
                let strokes =
                    sheet_rows::strokes(&self.rows, self.total_microlitres, self.boards_from, page, warnings)?;
                self.laid("rows", &strokes, page)
            }
            ("readings", _) => self.readings_coating(page),
            (_, Some(curve)) => curve.coating(page),
            _ => self.zones_coating(page),
        }
    }

    /// What strokes come to that stand in the file under a key.
    fn laid(&self, key: &str, strokes: &[Stroke], page: &Page<'_>) -> Result<Coating, Fault> {
        for (k, stroke) in strokes.iter().enumerate() {
            Film::from_strokes(from_ref(stroke), 0.0)
                .map_err(|e| page.fault(&[Step::Key(key), Step::At(k), Step::Key(key_of(&e))], &e))?;
        }
        let film = Film::from_strokes(strokes, self.smear_ft.unwrap_or(3.0));
        film.map(Coating::Oil).map_err(|e| page.fault(&[Step::Key(key_of(&e))], &e))
    }

    fn readings_coating(&self, page: &Page<'_>) -> Result<Coating, Fault> {
        let mut readings = Vec::new();
        for (k, table) in self.readings.iter().enumerate() {
            let at = |key| [Step::Key("readings"), Step::At(k), Step::Key(key)];
            let boards = match &table.boards {
                Some(boards) => boards.clone(),
                None => (1..=39).map(f64::from).collect(),
            };
            if boards.len() != table.units.len() {
                let what = format!("units has {} numbers: give {}, one a board", table.units.len(), boards.len());
                return Err(page.fault(&at("units"), &what));
            }
            let film = boards.into_iter().zip(table.units.iter().map(|&u| OilUnits(u))).collect();
            let reading = Reading { feet: table.feet, film };
            Film::from_readings(from_ref(&reading), Some(Feet(60.0))).map_err(|e| page.fault(&at(key_of(&e)), &e))?;
            if readings.last().is_some_and(|last: &Reading| last.feet >= reading.feet) {
                return Err(page.fault(&at("feet"), &LaneError::ReadingsOutOfOrder { feet: reading.feet }));
            }
            readings.push(reading);
        }
        let film = Film::from_readings(&readings, self.length_ft.map(Feet));
        film.map(Coating::Oil).map_err(|e| page.fault(&[Step::Key(key_of(&e))], &e))
    }

    fn zones_coating(&self, page: &Page<'_>) -> Result<Coating, Fault> {
        let mut start = 0.0;
        for (k, zone) in self.friction.iter().enumerate() {
            let at = |key| [Step::Key("friction"), Step::At(k), Step::Key(key)];
            page.within(&at("to_feet"), "to_feet", zone.to_feet, start, 60.0)?;
            start = zone.to_feet;
            match (zone.mu, &zone.mu_by_board) {
                (Some(mu), None) => {
                    page.within(&at("mu"), "mu", mu, 0.0, 1.0)?;
                }
                (None, Some(boards)) if boards.len() == 39 => {
                    for &mu in boards {
                        page.within(&at("mu_by_board"), "mu_by_board", mu, 0.0, 1.0)?;
                    }
                }
                (None, Some(boards)) => {
                    let what = format!("mu_by_board has {} numbers: give 39", boards.len());
                    return Err(page.fault(&at("mu_by_board"), &what));
                }
                _ => return Err(page.fault(&at("mu"), "give a zone either mu or mu_by_board")),
            }
        }
        Ok(Coating::Friction(Field::from_fn(|board, feet| {
            let zone = self.friction.iter().find(|zone| feet.0 < zone.to_feet).or(self.friction.last());
            zone.map_or(0.0, |zone| zone.at(board.0))
        })))
    }
}

impl StrokeTable {
    fn stroke(&self) -> Stroke {
        Stroke {
            boards: self.boards.into(),
            feet: self.feet.into(),
            oil: Microlitres(self.microlitres),
            direction: self.direction.into(),
        }
    }
}

impl ZoneTable {
    /// Friction on a board, linear between the middles of boards.
    fn at(&self, board: f64) -> f64 {
        match &self.mu_by_board {
            Some(boards) => {
                let place = (board - 1.0).clamp(0.0, 38.0);
                let low = (place as usize).min(37);
                let t = place - low as f64;
                boards[low] * (1.0 - t) + boards[low + 1] * t
            }
            None => self.mu.unwrap_or(0.0),
        }
    }
}

impl CurveTable {
    fn coating(&self, page: &Page<'_>) -> Result<Coating, Fault> {
        let check =
            |key, value, low, high| page.within(&[Step::Key("friction_curve"), Step::Key(key)], key, value, low, high);
        Ok(Coating::Step {
            low: check("low", self.low, 0.0, 1.0)?,
            high: check("high", self.high, 0.0, 1.0)?,
            middle: Feet(check("middle_ft", self.middle_ft, 0.0, 60.0)?),
            width: Feet(check("width_ft", self.width_ft, 0.1, 60.0)?),
        })
    }
}

/// The key an error is about, as it stands in a lane file.
fn key_of(error: &LaneError) -> &'static str {
    match error {
        LaneError::Range { key, .. } | LaneError::Backwards { key, .. } => key,
        LaneError::ReadingsOutOfOrder { .. } => "feet",
        LaneError::NoOil => "units",
    }
}
