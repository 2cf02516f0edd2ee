//! `boardwise throw --batch`: rows of a CSV file in, the same rows with what came of them out.

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Write};
use std::path::Path;

use boardwise_files::Fault;
use boardwise_files::whole::{self, Staged};
use boardwise_lane::Release;
use boardwise_record::defused;
use boardwise_session::Scene;
use boardwise_session::batch::{Asked, Batch, Ended};
use boardwise_session::throw::side_word;

use super::throw_rows::ThrowRows;
use super::{arguments, output, scene, throw};
use crate::Failure;
use crate::picture::existing;

/// Rows that are held at a time.
const HELD: usize = 1 << 15;

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
    let mut rows = ThrowRows::new(&from.display().to_string(), BufReader::new(table))?;
    let scene = scene::load(&asked.kit)?;
    let scene = if rows.name_balls() { scene.for_any_ball(&asked.kit.ball) } else { scene };
    let usual = throw::release(asked, &scene.bowler.release)?;
    let batch = Batch::new(&scene)?;
    let mut held = Vec::with_capacity(HELD);
    let mut each = |out: &mut dyn Write| -> Result<(), Failure> {
        let mut answers = csv::Writer::from_writer(out);
        answers.write_record(ANSWERED).map_err(|why| Failure::Print(why.into()))?;
        loop {
            held.clear();
            while held.len() < HELD
                && let Some(row) = rows.next(&scene, &usual)?
            {
                output::warn(row.doubts);
                held.push((row.asked, row.id));
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
