//! `boardwise line --batch`: each row a question, its answer the best line and its chances.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;

use boardwise_files::rows::{Block, Cells, Kind, Table};
use boardwise_files::{Fault, KitBag, KitBall, KitLane, Loaded};
use boardwise_search::{Bowler, BowlerError, Pocket, Search};
use boardwise_session::line::Found;
use boardwise_session::view::LineView;
use boardwise_session::{Scene, Work, bag};
use boardwise_units::{Degrees, Feet, Mph, Rpm};

use super::asked::Asked;
use super::{Answers, Column, answer, check, open};
use crate::line::{LINES, pocket};
use crate::{Failure, arguments, flags, output, scene};

/// Columns of what is asked. All may be left out, in which case the flags and the bowler's file say it.
const ASKED: [&str; 10] =
    ["id", "lane", "bowler", "ball", "surface", "speed_mph", "rev_rate_rpm", "rotation_deg", "tilt_deg", "loft_ft"];

/// Most questions of a table: each takes about a second.
const MOST: usize = 100_000;

/// Answers every row of the file. All are read, and found possible, before the first is answered.
pub fn run(asked: &arguments::Line, from: &Path) -> Result<(), Failure> {
    check(asked.out.as_deref(), asked.output.force)?;
    let pocket = pocket(&asked.pocket)?;
    let mut table = open(from)?;
    let columns = Asked::new(&from.display().to_string(), &table, &ASKED)?;
    let id = columns.id_kind();
    let questions = Questions::read(columns, &mut table, &asked.kit)?;
    let search = Search { seed: asked.output.seed, lines: usize::from(asked.lines), ..Search::default() };
    answer(asked.out.as_deref(), asked.output.force, &answered(id), |answers, watch| {
        for (k, one) in questions.all.iter().enumerate() {
            let share = |done: f64| (k as f64 + done) / questions.all.len() as f64;
            let scene = questions.scene(one);
            let progress = watch.progress.part(share(0.0), share(1.0));
            let best = best(&scene, pocket, &search, Work { progress: &progress, ..watch })?;
            write(answers, one, &scene, best.as_ref())?;
            watch.report(share(1.0), 1.0).map_err(boardwise_session::Failure::from)?;
        }
        Ok(())
    })
}

/// The line that `boardwise line` lists first, if any line strikes.
fn best(scene: &Scene, pocket: Pocket, search: &Search, work: Work<'_>) -> Result<Option<LineView>, Failure> {
    let one = scene.only_ball("line")?;
    let lines = Work { progress: &work.progress.part(0.0, LINES), ..work };
    let mut found = Found::search(scene, &one.ball, pocket, search, lines)?;
    found.weigh_spares(scene, search, &work.progress.part(LINES, 1.0))?;
    Ok(found.view(scene, one).lines.into_iter().next())
}

/// Everything that is asked, with each file that a row names read once.
struct Questions {
    lanes: BTreeMap<String, KitLane>,
    bag: KitBag,
    all: Vec<Question>,
}

/// A question.
struct Question {
    /// What the table calls it: one cell.
    id: Cells<'static>,
    lane: String,
    ball: KitBall,
    /// What its surface was changed to, in the words of the table.
    surface: Option<String>,
    /// As changed by the row.
    bowler: Bowler,
}

impl Questions {
    fn read(mut columns: Asked, table: &mut Table, kit: &flags::Kit) -> Result<Self, Failure> {
        let bag = heard(scene::find("bag", &kit.bag, &boardwise_files::BAGS, boardwise_files::parse_bag)?);
        let mut read = Self { lanes: BTreeMap::new(), bag, all: Vec::new() };
        let mut bowlers = BTreeMap::new();
        while let Some(block) = table.next(1000)? {
            for row in 0..block.rows() {
                if read.all.len() == MOST {
                    let allowed = format!("has more than {MOST} rows, each of which takes about a second; split it");
                    return Err(columns.no_column("id", allowed).into());
                }
                let question = read.question(&mut columns, &block, row, kit, &mut bowlers)?;
                read.all.push(question);
            }
        }
        Ok(read)
    }

    fn question(
        &mut self,
        columns: &mut Asked,
        block: &Block,
        row: usize,
        kit: &flags::Kit,
        bowlers: &mut BTreeMap<String, Bowler>,
    ) -> Result<Question, Failure> {
        let words = |column, usual: &str| {
            Ok::<_, Fault>(columns.words(block, row, column)?.map_or_else(|| usual.to_owned(), Cow::into_owned))
        };
        // A name that stands for nothing is a fault of the row; what is wrong in a file is a fault of the file.
        let of_row = |column: &str, fault: Fault| match fault {
            Fault::Missing { ref name, .. } => {
                let help = fault.help().unwrap_or_default();
                columns.refuse(block, row, column, name, help)
            }
            fault => fault,
        };
        let lane = words("lane", &kit.lane)?;
        if !self.lanes.contains_key(&lane) {
            let found = scene::find("lane", &lane, &boardwise_files::LANES, boardwise_files::parse_lane);
            self.lanes.insert(lane.clone(), heard(found.map_err(|fault| of_row("lane", fault))?));
        }
        let bowler = words("bowler", &kit.bowler)?;
        if !bowlers.contains_key(&bowler) {
            let found = scene::find("bowler", &bowler, &boardwise_files::BOWLERS, boardwise_files::parse_bowler);
            bowlers.insert(bowler.clone(), heard(found.map_err(|fault| of_row("bowler", fault))?));
        }
        let ball = match (columns.words(block, row, "ball")?, kit.ball.as_slice()) {
            (Some(id), _) => scene::ball(&id, &self.bag).map_err(|fault| of_row("ball", fault))?,
            (None, [named]) => scene::ball(named, &self.bag)?,
            (None, []) => {
                let usual = Scene::usual_ball(&self.bag).ok_or_else(|| Fault::Empty { name: kit.bag.clone() })?;
                Loaded { value: usual, warnings: Vec::new() }
            }
            (None, several) => {
                let (field, value) = ("ball", several.join(", "));
                return Err(
                    Fault::Field { field, value, allowed: "name one, or give the rows a ball".to_owned() }.into()
                );
            }
        };
        let ball = heard(ball);
        let surface = columns.words(block, row, "surface")?.filter(|word| word != "as it is");
        let ball = match &surface {
            None => ball,
            Some(word) => {
                let surface = bag::surface(word).ok_or_else(|| {
                    let allowed = "give a grit from 50 to 20000, `polished`, or `as it is`".to_owned();
                    columns.refuse(block, row, "surface", word, allowed)
                })?;
                KitBall { ball: ball.ball.resurfaced(surface), finish: None, ..ball }
            }
        };
        let surface = surface.map(Cow::into_owned);
        let bowler = changed(columns, block, row, &bowlers[&bowler])?;
        let mut doubts = Vec::new();
        columns.question(block, row, &bowler.release, &mut doubts);
        output::warn(doubts);
        Ok(Question { id: columns.id(block, row), lane, ball, surface, bowler })
    }

    fn scene(&self, one: &Question) -> Scene {
        Scene::new(self.lanes[&one.lane].clone(), self.bag.clone(), vec![one.ball.clone()], one.bowler.clone())
    }
}

/// What was read, with what is odd about it said.
fn heard<T>(loaded: Loaded<T>) -> T {
    output::warn(loaded.warnings);
    loaded.value
}

/// The bowler as a row changes them. What they can do on purpose moves along.
fn changed(columns: &Asked, block: &Block, row: usize, usual: &Bowler) -> Result<Bowler, Fault> {
    let own = &usual.release;
    let number = |column: &str, usual: f64| Ok(columns.number(block, row, column)?.unwrap_or(usual));
    let mut bowler = usual.clone();
    bowler.release.speed = Mph(number("speed_mph", own.speed.0)?);
    bowler.release.rev_rate = Rpm(number("rev_rate_rpm", own.rev_rate.0)?);
    bowler.release.rotation = Degrees(number("rotation_deg", own.rotation.0)?);
    bowler.release.tilt = Degrees(number("tilt_deg", own.tilt.0)?);
    bowler.release.loft = Feet(number("loft_ft", own.loft.0)?);
    let (faster, rounder) = (bowler.release.speed.0 - own.speed.0, bowler.release.rotation.0 - own.rotation.0);
    bowler.range.speed = (Mph(usual.range.speed.0.0 + faster), Mph(usual.range.speed.1.0 + faster));
    bowler.range.rotation = (Degrees(usual.range.rotation.0.0 + rounder), Degrees(usual.range.rotation.1.0 + rounder));
    bowler.check().map_err(|why| match why {
        BowlerError::Release(boardwise_lane::LaneError::Range { key, value, low, high })
        | BowlerError::Value { key, value, low, high } => {
            columns.refuse(block, row, key, &value.to_string(), format!("must be {low} to {high}"))
        }
        other => columns.refuse(block, row, "bowler", "", other.to_string()),
    })?;
    Ok(bowler)
}

/// A number of a line.
type Number = (&'static str, fn(&LineView) -> Option<f64>);

/// What is said of a line, in the words of `line --json`.
const SAID: [Number; 32] = [
    ("slide_board", |line| Some(line.slide_board)),
    ("laydown", |line| Some(line.laydown)),
    ("launch_deg", |line| Some(line.launch_deg)),
    ("arrows_board", |line| Some(line.arrows_board)),
    ("breakpoint_board", |line| Some(line.breakpoint.board)),
    ("breakpoint_feet", |line| Some(line.breakpoint.feet)),
    ("exit_board", |line| Some(line.exit?.board)),
    ("exit_feet", |line| Some(line.exit?.feet)),
    ("entry_board", |line| Some(line.entry?.board)),
    ("entry_angle_deg", |line| line.entry?.angle_deg),
    ("entry_speed_mph", |line| line.entry?.speed_mph),
    ("mean_entry_board", |line| Some(line.entry?.mean_board)),
    ("sd_entry_boards", |line| Some(line.entry?.sd_boards)),
    ("pocket_pct", |line| Some(line.pocket_pct)),
    ("pocket_error_pct", |line| Some(line.pocket_error_pct)),
    ("strike_pct", |line| line.strike_pct),
    ("strike_se_pct", |line| line.strike_se_pct),
    ("strike_sd_over_worlds_pct", |line| Some(line.strike_sd_over_worlds_pct)),
    ("split_pct", |line| line.split_pct),
    ("mean_pins", |line| line.mean_pins),
    ("beyond_table_pct", |line| line.beyond_table_pct),
    ("conversion_pct", |line| line.conversion_pct),
    ("expected_score", |line| line.expected_score),
    ("expected_score_se", |line| line.expected_score_se),
    ("score_sd", |line| line.score_sd),
    ("high_pct", |line| Some(line.misses.high_pct)),
    ("light_pct", |line| Some(line.misses.light_pct)),
    ("other_side_pct", |line| Some(line.misses.other_side_pct)),
    ("gutter_pct", |line| Some(line.misses.gutter_pct)),
    ("miss_room_hand_boards", |line| Some(line.miss_room.hand_boards)),
    ("miss_room_away_boards", |line| Some(line.miss_room.away_boards)),
    ("throws", |line| Some(f64::from(line.throws))),
];

/// What is said of a question.
const OF_QUESTION: [Column; 9] = [
    ("lane", Kind::Words),
    ("bowler", Kind::Words),
    ("ball", Kind::Words),
    ("surface", Kind::Words),
    ("speed_mph", Kind::Numbers),
    ("rev_rate_rpm", Kind::Numbers),
    ("rotation_deg", Kind::Numbers),
    ("tilt_deg", Kind::Numbers),
    ("loft_ft", Kind::Numbers),
];

/// Columns of what is answered.
fn answered(id: Kind) -> Vec<Column> {
    let said = SAID.iter().map(|(name, _)| (*name, Kind::Numbers));
    [("id", id)].into_iter().chain(OF_QUESTION).chain(said).collect()
}

/// Writes an answer. Where no line strikes, what is said of one is left empty.
fn write(answers: &mut Answers<'_>, one: &Question, scene: &Scene, line: Option<&LineView>) -> Result<(), Failure> {
    let (words, release) = (|words: &'_ str| Cells::Words(vec![Some(words.to_owned().into())]), &one.bowler.release);
    let number = |number: f64| Cells::Numbers(vec![Some(number)]);
    let mut columns = vec![
        one.id.clone(),
        words(&scene.lane_name),
        words(&one.bowler.name),
        words(&one.ball.ball.id),
        words(one.surface.as_deref().unwrap_or("as it is")),
        number(release.speed.0),
        number(release.rev_rate.0),
        number(release.rotation.0),
        number(release.tilt.0),
        number(release.loft.0),
    ];
    columns.extend(SAID.iter().map(|(_, of)| Cells::Numbers(vec![line.and_then(of)])));
    answers.write(&columns).map_err(Failure::Print)
}
