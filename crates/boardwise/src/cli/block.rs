//! `boardwise block`.

use std::fmt::Write;
use std::time::Instant;

use draw::{Trace, block_picture, wear_picture};
use lane::{ContactLaw, Fineness, throw};
use play::{Block, BlockPlan, LaneStage, Outlook, Wear, forecast_block};
use serde_json::{Value, json};

use super::line::with_progress;
use super::table::table;
use super::{arguments, event, output, picture};
use crate::job::Failure;
use crate::job::event::{plan, side, surface_cautions};
use crate::job::throw::place_json;
use crate::kit::{self, Fault, KitEvent, KitPair};

/// A pair with its forecast.
struct Told<'a> {
    pair: &'a KitPair,
    plan: BlockPlan,
    block: Block,
    seconds: f64,
}

pub(super) fn run(asked: &arguments::Block) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let event = with_ball(event::load(&asked.kit)?, asked.ball.as_deref())?;
    let carry = kit::carry()?;
    let mut told = Vec::new();
    for pair in &event.pairs {
        let plan = plan(&event, pair, asked.look, asked.runs, asked.output.seed);
        let start = Instant::now();
        let block = with_progress(|share| forecast_block(&plan, carry, share))?;
        told.push(Told { pair, plan, block, seconds: start.elapsed().as_secs_f64() });
    }
    draw_it(asked, &event, &told)?;
    if asked.output.json {
        let pairs: Vec<Value> = told.iter().map(pair_json).collect();
        output::print_json(&json!({
            "schema": 1,
            "event": event.name,
            "bowler": event.seats[0].bowler.name,
            "boards_from": side(&event),
            "pairs": pairs,
            "runs": asked.runs,
        }))
    } else {
        let mut text = String::new();
        for one in &told {
            text.push_str(&words(&event, one));
        }
        output::print(&text)
    }
}

/// The first pair's picture.
fn draw_it(asked: &arguments::Block, event: &KitEvent, told: &[Told<'_>]) -> Result<(), Failure> {
    let Some(told) = told.first().filter(|_| picture::wanted(&asked.output)) else { return Ok(()) };
    let seat = told.plan.our_seat();
    if !asked.oil {
        let balls: Vec<&str> = seat.balls.iter().map(|ball| ball.id.as_str()).collect();
        let numbers = told.pair.numbers;
        return picture::write(&asked.output, |theme| block_picture(&told.block, numbers, &balls, &event.name, theme));
    }
    let stages = &told.block.runs[0].stages;
    let ends = [&stages[0], &stages[stages.len() - 1]].map(|stage| &stage.lanes[0]);
    let paths = ends.map(|stage| {
        throw(&stage.lane, &seat.balls[stage.ball], &stage.line.release, &ContactLaw::default(), Fineness::default())
    });
    let [Ok(first), Ok(last)] = paths else { return Ok(()) };
    let traces = [Trace { label: "first line", path: &first }, Trace { label: "last line", path: &last }];
    let title = format!("lane {} after {} games", told.pair.numbers[0], told.plan.games);
    let hand = seat.bowler.hand;
    picture::write(&asked.output, |theme| wear_picture(&ends[0].lane, &ends[1].lane, hand, &traces, &title, theme))
}

/// The event with another ball for us to start with.
fn with_ball(mut event: KitEvent, asked: Option<&str>) -> Result<KitEvent, Fault> {
    if let Some(id) = asked {
        let seat = &mut event.seats[0];
        let balls = seat.bag.bag.balls();
        let place = balls.iter().position(|ball| ball.id == id).ok_or_else(|| Fault::Missing {
            what: "ball",
            name: id.to_owned(),
            known: balls.iter().map(|ball| ball.id.clone()).collect(),
        })?;
        seat.ball = Some(place);
    }
    Ok(event)
}

impl Told<'_> {
    fn ball(&self, place: usize) -> &str {
        &self.plan.our_seat().balls[place].id
    }

    fn wear(&self, stage: usize, lane: usize) -> Option<Wear> {
        self.block.wear(stage, lane, &self.plan.our_seat().balls)
    }
}

fn pair_json(told: &Told<'_>) -> Value {
    let lanes: Vec<Value> = (0..2)
        .map(|lane| {
            let stages = told.block.outlook(lane);
            let stages: Vec<Value> = stages.iter().enumerate().map(|(k, one)| stage_json(told, lane, k, one)).collect();
            json!({
                "number": told.pair.numbers[lane],
                "lane": told.pair.lanes[lane].name,
                "stages": stages,
                "first_line_pays_games": told.block.pays_until(lane),
            })
        })
        .collect();
    json!({
        "games": told.plan.games,
        "games_before": told.plan.games_before,
        "practice_shots": told.plan.practice_shots,
        "lanes": lanes,
        "throws": told.block.runs.iter().map(|run| run.throws).sum::<u64>(),
        "seconds": told.seconds,
    })
}

fn stage_json(told: &Told<'_>, lane: usize, stage: usize, outlook: &Outlook) -> Value {
    let film = told.wear(stage, lane).map(|wear| {
        json!({
            "gone_pct": 100.0 * wear.gone,
            "heads_gone_pct": 100.0 * wear.heads_gone,
            "middle_gone_pct": 100.0 * wear.middle_gone,
            "carried_down_ml": wear.beyond.0 / 1000.0,
        })
    });
    let spread = |(mean, sd): (f64, f64)| json!({ "mean": mean, "sd": sd });
    let pct = |(mean, sd): (f64, f64)| json!({ "mean": 100.0 * mean, "sd": 100.0 * sd });
    let balls = |all: &[(usize, f64)]| -> Vec<Value> {
        all.iter().map(|&(ball, share)| json!({ "ball": told.ball(ball), "runs_pct": 100.0 * share })).collect()
    };
    let forms: Vec<Value> = outlook
        .forms
        .iter()
        .map(|&(ball, mean, sd)| json!({ "ball": told.ball(ball), "strike_pct": 100.0 * mean, "sd": 100.0 * sd }))
        .collect();
    json!({
        "games": outlook.games,
        "practised": outlook.practised,
        "film": film,
        "line": line_json(told, &told.block.runs[0].stages[stage].lanes[lane]),
        "strike_pct": pct(outlook.strike),
        "stay_strike_pct": pct(outlook.stay),
        "first_line_strike_pct": pct(outlook.first),
        "laydown": spread(outlook.laydown),
        "arrows_board": spread(outlook.arrows),
        "miss_room_boards": spread(outlook.room),
        "moves": {
            "feet_boards": spread(outlook.feet_moved),
            "eyes_boards": spread(outlook.eyes_moved),
            "runs_pct": 100.0 * outlook.moves,
        },
        "ball": balls(&outlook.balls),
        "balls": forms,
    })
}

/// The line of the first run.
fn line_json(told: &Told<'_>, stage: &LaneStage) -> Value {
    let line = &stage.line;
    json!({
        "ball": told.ball(stage.ball),
        "laydown": line.release.laydown.0,
        "launch_deg": line.release.launch.0,
        "arrows_board": line.arrows.0,
        "breakpoint": place_json(&line.breakpoint),
        "exit": line.exit.as_ref().map(place_json),
        "speed_mph": line.release.speed.0,
        "rotation_deg": line.release.rotation.0,
        "strike_pct": 100.0 * line.worth,
        "pocket_pct": 100.0 * line.pocket,
        "miss_room": { "hand_boards": line.miss_room.hand_boards, "away_boards": line.miss_room.away_boards },
    })
}

fn words(event: &KitEvent, told: &Told<'_>) -> String {
    let mut text = event::heading(event, told.pair);
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "runs     {} of {} throws each, {:.1} s\n",
        told.block.runs.len(),
        told.block.runs[0].throws,
        told.seconds
    );
    for lane in 0..2 {
        let head =
            ["when", "ball", "move", "laydown", "arrows", "strikes", "if you stay", "first line", "room", "oil gone"];
        let mut rows = table(&head, 3);
        for (k, outlook) in told.block.outlook(lane).iter().enumerate() {
            rows.add_row(row(told, lane, k, outlook));
        }
        let _ = writeln!(text, "Lane {}\n{rows}", told.pair.numbers[lane]);
        text.push_str(&overtaking(told, lane));
        text.push_str(&pays(told, lane));
        text.push('\n');
    }
    text.push_str(
        "Moves: feet & eyes in boards, away from the hand (in) or toward it (out), mean of the runs that move there.\n\
         Strikes: mean over the runs, ± from run to run. If you stay: on the line of the row before. First line: of the fresh lane.\n\
         Room: boards by which a shot may be off, both sides together. Oil gone: from the heads / the rest of the pattern, two boards to each side\n\
         of the first line. A forecast is an estimate and no promise.\n",
    );
    text.push_str(&surface_cautions(event.surface_changes));
    text.push('\n');
    text
}

/// A stage in a few words.
fn when(outlook: &Outlook) -> String {
    if !outlook.practised {
        "fresh".to_owned()
    } else if outlook.games == 0.0 {
        "first frame".to_owned()
    } else {
        format!("game {}, frame {}", (outlook.games - 0.05).floor() as u32 + 1, frame_of(outlook.games))
    }
}

/// The frame just bowled, 1 to 10.
fn frame_of(games: f64) -> u32 {
    let frames = (games * 10.0).round() as u32;
    (frames + 9) % 10 + 1
}

fn row(told: &Told<'_>, lane: usize, stage: usize, outlook: &Outlook) -> Vec<String> {
    let pm = |(mean, sd): (f64, f64)| format!("{:.0}% ± {:.0}", 100.0 * mean, 100.0 * sd);
    let (ball, share) = outlook.balls[0];
    let ball = match share {
        s if s > 0.99 => told.ball(ball).to_owned(),
        s => format!("{} ({:.0}% of runs)", told.ball(ball), 100.0 * s),
    };
    let gone = told.wear(stage, lane);
    vec![
        when(outlook),
        ball,
        move_words(outlook),
        format!("{:.1} ± {:.1}", outlook.laydown.0, outlook.laydown.1),
        format!("{:.1} ± {:.1}", outlook.arrows.0, outlook.arrows.1),
        pm(outlook.strike),
        format!("{:.0}%", 100.0 * outlook.stay.0),
        format!("{:.0}%", 100.0 * outlook.first.0),
        format!("{:.1}", outlook.room.0),
        gone.map_or_else(
            || "-".to_owned(),
            |w| format!("{:.0}% / {:.0}%", 100.0 * w.heads_gone, 100.0 * w.middle_gone),
        ),
    ]
}

/// What the runs that move here do, as a bowler says it.
fn move_words(outlook: &Outlook) -> String {
    if outlook.moves == 0.0 {
        return "stay".to_owned();
    }
    let (feet, eyes) = (outlook.feet_moved.0 / outlook.moves, outlook.eyes_moved.0 / outlook.moves);
    let way = if feet + eyes < 0.0 { "out" } else { "in" };
    let sign = if feet + eyes < 0.0 { -1.0 } else { 1.0 };
    let size = if feet.abs().max(eyes.abs()) < 0.25 {
        "other ball".to_owned()
    } else {
        format!("{:.0} & {:.0} {way}", sign * feet, sign * eyes)
    };
    if outlook.moves > 0.99 { size } else { format!("{size} ({:.0}% of runs)", 100.0 * outlook.moves) }
}

/// When another ball takes over.
fn overtaking(told: &Told<'_>, lane: usize) -> String {
    let stages = told.block.outlook(lane);
    let mut text = String::new();
    for pair in stages.windows(2) {
        let (was, is) = (pair[0].balls[0].0, pair[1].balls[0]);
        if was != is.0 {
            let _ = writeln!(
                text,
                "At {}: {} overtakes {} in {:.0}% of the runs.",
                when(&pair[1]),
                told.ball(is.0),
                told.ball(was),
                100.0 * is.1
            );
        }
    }
    text
}

/// How long the first line pays.
fn pays(told: &Told<'_>, lane: usize) -> String {
    let mut ends: Vec<f64> = told.block.pays_until(lane).into_iter().map(|end| end.unwrap_or(f64::INFINITY)).collect();
    ends.sort_by(f64::total_cmp);
    let middle = ends[(ends.len() - 1) / 2];
    let range = match (ends[0], ends[ends.len() - 1]) {
        (first, last) if last - first < 1e-9 || first.is_infinite() => String::new(),
        (first, last) if last.is_infinite() => {
            format!(" (from {first:.1} games on in some runs, to the end in others)")
        }
        (first, last) => format!(" ({first:.1} to {last:.1} over the runs)"),
    };
    if middle.is_infinite() {
        format!("The first line pays to the end{range}.\n")
    } else {
        format!("The first line falls ten points of strikes behind after {middle:.1} games{range}.\n")
    }
}
