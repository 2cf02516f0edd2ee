//! `boardwise throw --batch`: rows of a CSV file in, the same rows with what came of them out.

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Write};
use std::path::Path;

use boardwise_files::whole::{self, Staged};
use boardwise_files::{Fault, nearest, plausible};
use boardwise_lane::{LaneError, Release};
use boardwise_record::defused;
use boardwise_session::batch::{Asked, Batch, Ended};
use boardwise_session::throw::side_word;
use boardwise_session::{ARROWS_FT, Scene};
use boardwise_units::{Board, Degrees, Feet, Mph, Rpm};
use csv::StringRecord;

use super::{arguments, output, scene, throw};
use crate::Failure;
use crate::picture::existing;

/// Rows that are held at a time.
const HELD: usize = 1 << 15;

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
/// Columns of what is answered.
const ANSWERED: [&str; 24] = [
    "id",
    "ball",
    "laydown",
    "launch_deg",
    "speed_mph",
    "rev_rate_rpm",
    "rotation_deg",
    "tilt_deg",
    "loft_ft",
    "entry_board",
    "entry_angle_deg",
    "entry_speed_mph",
    "first_pin",
    "gutter_feet",
    "gutter_side",
    "breakpoint_board",
    "breakpoint_feet",
    "exit_board",
    "exit_feet",
    "arrows_board",
    "time_s",
    "strike_pct",
    "lane",
    "bowler",
];

/// Throws every row of the file.
pub(super) fn run(asked: &arguments::Throw, from: &Path) -> Result<(), Failure> {
    if let Some(out) = &asked.out {
        whole::check_new("--out", out, existing(asked.output.force))?;
    }
    let table = File::open(from).map_err(|source| Fault::Unreadable { name: from.display().to_string(), source })?;
    let mut rows = csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(BufReader::new(table));
    let name = from.display().to_string();
    let columns = Columns::new(&name, rows.headers().map_err(|why| unreadable(&name, &why))?)?;
    let scene = scene::load(&asked.kit)?;
    let scene = if columns.names("ball") { scene.for_any_ball(&asked.kit.ball) } else { scene };
    let usual = throw::release(asked, &scene.bowler.release)?;
    let batch = Batch::new(&scene)?;
    let mut held = Vec::with_capacity(HELD);
    let mut questioned = [false; 2];
    let mut records = rows.records();
    let mut each = |out: &mut dyn Write| -> Result<(), Failure> {
        let mut answers = csv::Writer::from_writer(out);
        answers.write_record(ANSWERED).map_err(|why| Failure::Print(why.into()))?;
        loop {
            held.clear();
            for record in records.by_ref().take(HELD) {
                let record = record.map_err(|why| unreadable(&name, &why))?;
                let row = columns.row(&record, &scene, &usual)?;
                columns.question(&record, &row.release, &mut questioned);
                held.push((row, columns.id(&record)));
            }
            if held.is_empty() {
                return answers.flush().map_err(Failure::Print);
            }
            let thrown: Vec<Asked> = held.iter().map(|(row, _)| *row).collect();
            for ((row, id), end) in held.iter().zip(&batch.throw(&thrown)) {
                let cells = answer(id, row, end, &scene);
                answers.write_record(&cells).map_err(|why| Failure::Print(why.into()))?;
            }
        }
    };
    match &asked.out {
        Some(path) => {
            let mut staged = BufWriter::new(Staged::new(path)?);
            // What is no whole answer never stands in the place of one: the file laid ready goes again.
            let unwritten = |why| match why {
                Failure::Print(source) => Fault::Write { path: path.clone(), source }.into(),
                other => other,
            };
            each(&mut staged).map_err(unwritten)?;
            let staged = staged.into_inner().map_err(|why| unwritten(Failure::Print(why.into_error())))?;
            Ok(staged.keep(existing(asked.output.force))?)
        }
        None => match each(&mut BufWriter::new(io::stdout().lock())) {
            // A reader that has gone away is no failure.
            Err(Failure::Print(why)) if why.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            done => done,
        },
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

    fn id(&self, record: &StringRecord) -> String {
        self.cell(record, "id").unwrap_or_default().to_owned()
    }

    /// Questions the first speed and the first rev rate that look like a mistake of units: the others are the same mistake.
    fn question(&self, record: &StringRecord, release: &Release, questioned: &mut [bool; 2]) {
        let odd = [plausible::speed(release.speed), plausible::rev_rate(release.rev_rate)];
        for ((column, odd), questioned) in ["speed_mph", "rev_rate_rpm"].into_iter().zip(odd).zip(questioned) {
            let Some(odd) = odd.filter(|_| self.names(column) && !*questioned) else { continue };
            *questioned = true;
            let line = record.position().map_or(0, csv::Position::line);
            output::warn([format!("{}, line {line}, {column}: {odd}", self.file)]);
        }
    }

    /// What a record asks for; what it does not say is as usual.
    fn row(&self, record: &StringRecord, scene: &Scene, usual: &Release) -> Result<Asked, Fault> {
        let refuse = |column: &str, value: &str, allowed: String| Fault::Field {
            field: "--batch",
            value: format!(
                "{}, line {}, {column} \"{value}\"",
                self.file,
                record.position().map_or(0, csv::Position::line)
            ),
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

fn unreadable(name: &str, why: &csv::Error) -> Fault {
    Fault::Field { field: "--batch", value: name.to_owned(), allowed: format!("cannot be read as CSV: {why}") }
}

/// The cells of an answer, as precise as they are.
fn answer(id: &str, row: &Asked, end: &Ended, scene: &Scene) -> [String; ANSWERED.len()] {
    let Release { laydown, launch, speed: fast, rev_rate, rotation, tilt, loft } = row.release;
    let finish = &end.finish;
    let cell = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let touch = finish.touch.as_ref().filter(|_| finish.gutter.is_none());
    [
        defused(id.to_owned()),
        defused(scene.balls[row.ball].ball.id.clone()),
        laydown.0.to_string(),
        launch.0.to_string(),
        fast.0.to_string(),
        rev_rate.0.to_string(),
        rotation.0.to_string(),
        tilt.0.to_string(),
        loft.0.to_string(),
        cell(touch.map(|touch| touch.board().0)),
        cell(touch.map(|touch| touch.angle().0)),
        cell(touch.map(|touch| touch.speed().0)),
        touch.map_or_else(String::new, |touch| touch.pin.to_string()),
        cell(finish.gutter.map(|(feet, _)| feet.0)),
        finish.gutter.map_or_else(String::new, |(_, side)| side_word(side).to_owned()),
        finish.breakpoint.board.0.to_string(),
        finish.breakpoint.feet.0.to_string(),
        cell(finish.exit.as_ref().map(|place| place.board.0)),
        cell(finish.exit.as_ref().map(|place| place.feet.0)),
        finish.arrows.0.to_string(),
        finish.time_s.to_string(),
        (100.0 * end.strike).to_string(),
        defused(scene.lane_name.clone()),
        defused(scene.bowler.name.clone()),
    ]
}
