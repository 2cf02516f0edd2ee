//! `boardwise throw --batch`.

use std::borrow::Cow;
use std::path::Path;

use boardwise_files::rows::{Block, Cells, Kind, Table};
use boardwise_files::{Fault, nearest};
use boardwise_lane::{Finish, LaneError, PinTouch, Release};
use boardwise_session::batch::{Asked, Batch, Ended};
use boardwise_session::throw::side_word;
use boardwise_session::{ARROWS_FT, Scene};
use boardwise_units::{Board, Degrees, Feet, Mph, Rpm};

use super::asked::Asked as Columns;
use super::{Answers, Column, answer, check, open};
use crate::{Failure, arguments, output, scene, throw};

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

/// Throws every row of the file.
pub fn run(asked: &arguments::Throw, from: &Path) -> Result<(), Failure> {
    check(asked.out.as_deref(), asked.output.force)?;
    let mut rows = ThrowRows::new(&from.display().to_string(), open(from)?)?;
    let scene = scene::load(&asked.kit)?;
    let scene = if rows.name_balls() { scene.for_any_ball(&asked.kit.ball) } else { scene };
    let usual = throw::release(asked, &scene.bowler.release)?;
    let batch = Batch::new(&scene)?;
    answer(asked.out.as_deref(), asked.output.force, &answered(rows.columns.id_kind()), |answers, watch| {
        while let Some(held) = rows.next(&scene, &usual, HELD)? {
            output::warn(&held.doubts);
            write(answers, &held, &batch.throw(&held.asked), &scene)?;
            watch.report(rows.table.share(), 1.0).map_err(boardwise_session::Failure::from)?;
        }
        Ok(())
    })
}

/// The rows of a table, each a throw that is asked for.
#[derive(Debug)]
pub struct ThrowRows {
    columns: Columns,
    table: Table,
}

/// Some of them.
#[derive(Debug)]
pub struct Throws {
    /// The throws. They are possible ([`Release::check`]).
    pub asked: Vec<Asked>,
    /// What the table calls them; nothing where it does not.
    pub ids: Cells<'static>,
    /// Values that look like a mistake of units, in words.
    pub doubts: Vec<String>,
}

impl ThrowRows {
    /// Looks at the columns. Messages call the file by this name.
    ///
    /// # Errors
    /// If a column is none of those that can be asked for.
    pub fn new(name: &str, table: Table) -> Result<Self, Fault> {
        let columns = Columns::new(name, &table, &ASKED)?;
        if columns.has("launch_deg") && columns.has("arrows") {
            let allowed = "a throw has launch_deg or arrows; leave one out".to_owned();
            return Err(columns.no_column("arrows", allowed));
        }
        Ok(Self { columns, table })
    }

    /// Whether they say which ball.
    pub fn name_balls(&self) -> bool {
        self.columns.has("ball")
    }

    /// At most so many rows more; none after the last. What they do not say is as usual.
    ///
    /// # Errors
    /// If one cannot be read, or asks for what cannot be.
    pub fn next(&mut self, scene: &Scene, usual: &Release, most: usize) -> Result<Option<Throws>, Fault> {
        let Some(block) = self.table.next(most)? else { return Ok(None) };
        let mut throws =
            Throws { asked: Vec::with_capacity(block.rows()), ids: self.columns.ids(&block), doubts: Vec::new() };
        for row in 0..block.rows() {
            let asked = throw_of(&self.columns, &block, row, scene, usual)?;
            self.columns.question(&block, row, &asked.release, &mut throws.doubts);
            throws.asked.push(asked);
        }
        Ok(Some(throws))
    }
}

/// What a row asks for; what it does not say is as usual.
fn throw_of(columns: &Columns, block: &Block, row: usize, scene: &Scene, usual: &Release) -> Result<Asked, Fault> {
    let refuse = |column: &str, value: &str, allowed: String| columns.refuse(block, row, column, value, allowed);
    let number = |column: &str, usual: f64| Ok(columns.number(block, row, column)?.unwrap_or(usual));
    let ball = match columns.words(block, row, "ball")? {
        None => 0,
        Some(id) => scene.balls.iter().position(|one| one.ball.id == id).ok_or_else(|| {
            let known: Vec<&str> = scene.balls.iter().map(|one| one.ball.id.as_str()).collect();
            let near = nearest(&id, known.iter().copied()).map(|near| format!("did you mean \"{near}\"? "));
            refuse("ball", &id, format!("{}the balls are {}", near.unwrap_or_default(), known.join(", ")))
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
    let release = match columns.number(block, row, "arrows")?.map(Board) {
        None => release,
        Some(at) if at.on_lane() => release.aimed_at(at, Feet(ARROWS_FT)),
        Some(at) => {
            return Err(refuse("arrows", &at.0.to_string(), "must be 0.5 to 39.5, a board of the lane".to_owned()));
        }
    };
    release.check().map_err(|why| match why {
        LaneError::Range { key, value, low, high } => {
            refuse(key, &value.to_string(), format!("must be {low} to {high}"))
        }
        other => refuse("throw", "", other.to_string()),
    })?;
    Ok(Asked { ball, release })
}

/// Columns of what is answered.
fn answered(id: Kind) -> [Column; 24] {
    [
        ("id", id),
        ("ball", Kind::Words),
        ("laydown", Kind::Numbers),
        ("launch_deg", Kind::Numbers),
        ("speed_mph", Kind::Numbers),
        ("rev_rate_rpm", Kind::Numbers),
        ("rotation_deg", Kind::Numbers),
        ("tilt_deg", Kind::Numbers),
        ("loft_ft", Kind::Numbers),
        ("entry_board", Kind::Numbers),
        ("entry_angle_deg", Kind::Numbers),
        ("entry_speed_mph", Kind::Numbers),
        ("first_pin", Kind::Whole),
        ("gutter_feet", Kind::Numbers),
        ("gutter_side", Kind::Words),
        ("breakpoint_board", Kind::Numbers),
        ("breakpoint_feet", Kind::Numbers),
        ("exit_board", Kind::Numbers),
        ("exit_feet", Kind::Numbers),
        ("arrows_board", Kind::Numbers),
        ("time_s", Kind::Numbers),
        ("strike_pct", Kind::Numbers),
        ("lane", Kind::Words),
        ("bowler", Kind::Words),
    ]
}

/// Writes what came of throws, as precise as it is.
fn write(answers: &mut Answers<'_>, held: &Throws, ended: &[Ended], scene: &Scene) -> Result<(), Failure> {
    let thrown =
        |of: fn(&Release) -> f64| Cells::Numbers(held.asked.iter().map(|asked| Some(of(&asked.release))).collect());
    let came = |of: fn(&Finish) -> Option<f64>| Cells::Numbers(ended.iter().map(|end| of(&end.finish)).collect());
    let balls = held.asked.iter().map(|asked| Some(Cow::Borrowed(scene.balls[asked.ball].ball.id.as_str())));
    let sides = ended.iter().map(|end| end.finish.gutter.map(|(_, side)| Cow::Borrowed(side_word(side))));
    let columns = [
        held.ids.clone(),
        Cells::Words(balls.collect()),
        thrown(|release| release.laydown.0),
        thrown(|release| release.launch.0),
        thrown(|release| release.speed.0),
        thrown(|release| release.rev_rate.0),
        thrown(|release| release.rotation.0),
        thrown(|release| release.tilt.0),
        thrown(|release| release.loft.0),
        came(|finish| Some(met(finish)?.board().0)),
        came(|finish| Some(met(finish)?.angle().0)),
        came(|finish| Some(met(finish)?.speed().0)),
        Cells::Whole(ended.iter().map(|end| Some(i64::from(met(&end.finish)?.pin))).collect()),
        came(|finish| Some(finish.gutter?.0.0)),
        Cells::Words(sides.collect()),
        came(|finish| Some(finish.breakpoint.board.0)),
        came(|finish| Some(finish.breakpoint.feet.0)),
        came(|finish| Some(finish.exit?.board.0)),
        came(|finish| Some(finish.exit?.feet.0)),
        came(|finish| Some(finish.arrows.0)),
        came(|finish| Some(finish.time_s)),
        Cells::Numbers(ended.iter().map(|end| Some(100.0 * end.strike)).collect()),
        everywhere(&scene.lane_name, ended.len()),
        everywhere(&scene.bowler.name, ended.len()),
    ];
    answers.write(&columns).map_err(Failure::Print)
}

/// The first touch of a pin, unless it went into the gutter.
fn met(finish: &Finish) -> Option<PinTouch> {
    finish.touch.filter(|_| finish.gutter.is_none())
}

/// The same words in so many rows.
fn everywhere(words: &str, rows: usize) -> Cells<'_> {
    Cells::Words(vec![Some(Cow::Borrowed(words)); rows])
}
