//! The rows of a file for `throw --batch`, read.

use std::io::Read;

use boardwise_files::{Fault, nearest, plausible};
use boardwise_lane::{LaneError, Release};
use boardwise_session::batch::Asked;
use boardwise_session::{ARROWS_FT, Scene};
use boardwise_units::{Board, Degrees, Feet, Mph, Rpm};
use csv::{StringRecord, StringRecordsIntoIter};

/// Columns of what is asked. All may be left out, in which case the flags and the bowler's file say it.
const ASKED: [&str; 10] = [
    "id",
    "ball",
    "laydown",
    "launch_deg",
    "arrows",
    "speed_mph",
    "rev_rate_rpm",
    "rotation_deg",
    "tilt_deg",
    "loft_ft",
];

/// The rows of a CSV file, each a throw that is asked for.
pub struct ThrowRows<R> {
    columns: Columns,
    records: StringRecordsIntoIter<R>,
    /// Whether a speed and a rev rate were questioned already.
    questioned: [bool; 2],
}

/// One of them.
#[derive(Debug)]
pub struct ThrowRow {
    /// The throw. It is possible ([`Release::check`]).
    pub asked: Asked,
    /// What the file calls it; empty where it does not.
    pub id: String,
    /// Values that look like a mistake of units, in words.
    pub doubts: Vec<String>,
}

impl<R: Read> ThrowRows<R> {
    /// Reads the first line. Messages call the file by this name.
    ///
    /// # Errors
    /// If it is no CSV, or a column is none of those that can be asked for.
    pub fn new(name: &str, from: R) -> Result<Self, Fault> {
        let mut rows = csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(from);
        let columns = match rows.headers() {
            Ok(headers) => Columns::new(name, headers)?,
            Err(why) => return Err(unreadable(name, &why)),
        };
        Ok(Self { columns, records: rows.into_records(), questioned: [false; 2] })
    }

    /// Whether they say which ball.
    pub fn name_balls(&self) -> bool {
        self.columns.names("ball")
    }

    /// The next row; none after the last. What it does not say is as usual.
    ///
    /// # Errors
    /// If it is no row of CSV, or asks for what cannot be.
    pub fn next(&mut self, scene: &Scene, usual: &Release) -> Result<Option<ThrowRow>, Fault> {
        let Some(record) = self.records.next() else { return Ok(None) };
        let record = record.map_err(|why| unreadable(&self.columns.file, &why))?;
        let asked = self.columns.row(&record, scene, usual)?;
        let doubts = self.columns.doubts(&record, &asked.release, &mut self.questioned);
        let id = self.columns.cell(&record, "id").unwrap_or_default().to_owned();
        Ok(Some(ThrowRow { asked, id, doubts }))
    }
}

/// Where each column of the file stands.
struct Columns {
    file: String,
    places: Vec<(&'static str, usize)>,
}

impl Columns {
    fn new(file: &str, headers: &StringRecord) -> Result<Self, Fault> {
        let refuse = |column: &str, allowed: String| Fault::Field {
            field: "--batch",
            value: format!("{file}, line 1, column \"{column}\""),
            allowed,
        };
        let mut places: Vec<(&'static str, usize)> = Vec::new();
        for (place, header) in headers.iter().enumerate() {
            let Some(name) = ASKED.into_iter().find(|name| *name == header) else {
                let near = nearest(header, ASKED.into_iter()).map(|near| format!("did you mean \"{near}\"? "));
                return Err(refuse(header, format!("{}columns are {}", near.unwrap_or_default(), ASKED.join(", "))));
            };
            if places.iter().any(|(known, _)| *known == name) {
                return Err(refuse(header, "is there twice; leave one out".to_owned()));
            }
            places.push((name, place));
        }
        let columns = Self { file: file.to_owned(), places };
        if columns.names("launch_deg") && columns.names("arrows") {
            return Err(refuse("arrows", "a throw has launch_deg or arrows; leave one out".to_owned()));
        }
        Ok(columns)
    }

    fn names(&self, column: &str) -> bool {
        self.places.iter().any(|(name, _)| *name == column)
    }

    fn cell<'r>(&self, record: &'r StringRecord, column: &str) -> Option<&'r str> {
        self.places.iter().find(|(name, _)| *name == column).and_then(|(_, place)| record.get(*place))
    }

    /// Questions the first speed and the first rev rate that look like a mistake of units: the others are the same mistake.
    fn doubts(&self, record: &StringRecord, release: &Release, questioned: &mut [bool; 2]) -> Vec<String> {
        let odd = [plausible::speed(release.speed), plausible::rev_rate(release.rev_rate)];
        let mut doubts = Vec::new();
        for ((column, odd), questioned) in ["speed_mph", "rev_rate_rpm"].into_iter().zip(odd).zip(questioned) {
            let Some(odd) = odd.filter(|_| self.names(column) && !*questioned) else { continue };
            *questioned = true;
            doubts.push(format!("{}, line {}, {column}: {odd}", self.file, line(record)));
        }
        doubts
    }

    /// What a record asks for; what it does not say is as usual.
    fn row(&self, record: &StringRecord, scene: &Scene, usual: &Release) -> Result<Asked, Fault> {
        let refuse = |column: &str, value: &str, allowed: String| Fault::Field {
            field: "--batch",
            value: format!("{}, line {}, {column} \"{value}\"", self.file, line(record)),
            allowed,
        };
        let number = |column: &str, usual: f64| match self.cell(record, column) {
            None => Ok(usual),
            Some(text) => match text.parse::<f64>() {
                Ok(number) if number.is_finite() => Ok(number),
                _ => Err(refuse(column, text, "give a number".to_owned())),
            },
        };
        let ball = match self.cell(record, "ball") {
            None => 0,
            Some(id) => scene.balls.iter().position(|one| one.ball.id == id).ok_or_else(|| {
                let known: Vec<&str> = scene.balls.iter().map(|one| one.ball.id.as_str()).collect();
                refuse("ball", id, format!("the balls are {}", known.join(", ")))
            })?,
        };
        let release = Release {
            laydown: Board(number("laydown", usual.laydown.0)?),
            launch: Degrees(number("launch_deg", usual.launch.0)?),
            speed: Mph(number("speed_mph", usual.speed.0)?),
            rev_rate: Rpm(number("rev_rate_rpm", usual.rev_rate.0)?),
            rotation: Degrees(number("rotation_deg", usual.rotation.0)?),
            tilt: Degrees(number("tilt_deg", usual.tilt.0)?),
            loft: Feet(number("loft_ft", usual.loft.0)?),
        };
        let release = match self.cell(record, "arrows") {
            None => release,
            Some(text) => match Board(number("arrows", 0.0)?) {
                at if at.on_lane() => release.aimed_at(at, Feet(ARROWS_FT)),
                _ => return Err(refuse("arrows", text, "must be 0.5 to 39.5, a board of the lane".to_owned())),
            },
        };
        release.check().map_err(|why| match why {
            LaneError::Range { key, value, low, high } => {
                refuse(key, &value.to_string(), format!("must be {low} to {high}"))
            }
            other => refuse("throw", "", other.to_string()),
        })?;
        Ok(Asked { ball, release })
    }
}

/// The line of the file that a record begins in.
fn line(record: &StringRecord) -> u64 {
    record.position().map_or(0, csv::Position::line)
}

fn unreadable(name: &str, why: &csv::Error) -> Fault {
    Fault::Field { field: "--batch", value: name.to_owned(), allowed: format!("cannot be read as CSV: {why}") }
}
