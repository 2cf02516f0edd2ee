//! A block forecast: how the lanes of each pair change, the lines, and the moves they ask for.

use std::fmt::Write;
use std::ops::RangeInclusive;
use std::time::Instant;

use boardwise_figures::{Drawing, Theme, Trace, block_picture, wear_picture};
use boardwise_lane::{ContactLaw, Fineness, throw};
use boardwise_search::{Block, BlockPlan, Follow, LaneStage, Outlook, Wear, forecast_block};
use serde_json::{Value, json};

use super::event::{plan, side};
use super::rows::Rows;
use super::{Failure, place_json};
use boardwise_files::{Fault, KitEvent, KitPair};

/// What is asked of an event.
#[derive(Clone, Debug)]
pub struct Question {
    /// Ball to start with; left out, the one that strikes most on the fresh lane.
    pub ball: Option<String>,
    /// Frames after which the line is looked for anew.
    pub look: u32,
    /// Times to run the block, each with other throws.
    pub runs: u32,
    /// Seed of everything random.
    pub seed: u64,
}

/// Frames from one look to the next that may be asked for.
pub const LOOK: RangeInclusive<i64> = 1..=1000;
/// Runs that may be asked for.
pub const RUNS: RangeInclusive<i64> = 1..=100;

/// What the columns of a forecast say.
pub const NOTE: &str = "Moves: feet & eyes in boards, away from the hand (in) or toward it (out), mean of the runs that move there.\n\
     Strikes: mean over the runs, ± from run to run. If you stay: on the line of the row before. First line: of the fresh lane.\n\
     Room: boards by which a shot may be off, both sides together. Oil gone: from the heads / the rest of the pattern, two boards to each side\n\
     of the first line. A forecast is an estimate and no promise.\n";

/// The answer.
#[derive(Debug)]
pub struct Forecast {
    /// The event.
    pub event: KitEvent,
    /// Its pairs in order; at least one.
    pub pairs: Vec<OnPair>,
    runs: u32,
}

/// A pair with its forecast.
#[derive(Debug)]
pub struct OnPair {
    /// The pair.
    pub pair: KitPair,
    /// What was bowled on it.
    pub plan: BlockPlan,
    /// How it went.
    pub block: Block,
    /// Time it took.
    pub seconds: f64,
}

impl Question {
    /// Forecasts every pair, followed by `follow`.
    ///
    /// # Errors
    /// If the bag has no ball of that name, or it was stopped.
    pub fn answer(&self, event: KitEvent, follow: Follow<'_>) -> Result<Forecast, Failure> {
        let event = with_ball(event, self.ball.as_deref())?;
        let carry = boardwise_files::carry()?;
        let mut pairs = Vec::new();
        let all = event.pairs.len() as f64;
        for (before, pair) in event.pairs.iter().enumerate() {
            let plan = plan(&event, pair, self.look, self.runs, self.seed);
            let start = Instant::now();
            let block = forecast_block(&plan, carry, &|share| follow((before as f64 + share) / all))?;
            pairs.push(OnPair { pair: pair.clone(), plan, block, seconds: start.elapsed().as_secs_f64() });
        }
        Ok(Forecast { event, pairs, runs: self.runs })
    }
}

impl Forecast {
    /// The answer as JSON.
    pub fn json(&self) -> Value {
        let pairs: Vec<Value> = self.pairs.iter().map(OnPair::json).collect();
        json!({
            "schema": 1,
            "event": self.event.name,
            "bowler": self.event.seats[0].bowler.name,
            "boards_from": side(&self.event),
            "pairs": pairs,
            "runs": self.runs,
        })
    }
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

impl OnPair {
    /// The block as it goes.
    pub fn picture(&self, title: &str, theme: Theme) -> Drawing {
        let balls: Vec<&str> = self.plan.our_seat().balls.iter().map(|ball| ball.id.as_str()).collect();
        block_picture(&self.block, self.pair.numbers, &balls, title, theme)
    }

    /// The oil of the first lane, fresh and at the end; None where a line cannot be thrown.
    pub fn oil_picture(&self, theme: Theme) -> Option<Drawing> {
        let seat = self.plan.our_seat();
        let stages = &self.block.runs[0].stages;
        let ends = [&stages[0], &stages[stages.len() - 1]].map(|stage| &stage.lanes[0]);
        let paths = ends.map(|stage| {
            let ball = &seat.balls[stage.ball];
            throw(&stage.lane, ball, &stage.line.release, &ContactLaw::default(), Fineness::default())
        });
        let [Ok(first), Ok(last)] = paths else { return None };
        let traces = [Trace { label: "first line", path: &first }, Trace { label: "last line", path: &last }];
        let title = format!("lane {} after {} games", self.pair.numbers[0], self.plan.games);
        Some(wear_picture(&ends[0].lane, &ends[1].lane, seat.bowler.hand, &traces, &title, theme))
    }

    fn ball(&self, place: usize) -> &str {
        &self.plan.our_seat().balls[place].id
    }

    fn wear(&self, stage: usize, lane: usize) -> Option<Wear> {
        self.block.wear(stage, lane, &self.plan.our_seat().balls)
    }

    /// How often it was run, with how much work.
    pub fn work(&self) -> String {
        let runs = &self.block.runs;
        let throws: u64 = runs.iter().map(|run| run.throws).sum();
        format!("{} with {throws} throws in all, {:.1} s", runs.len(), self.seconds)
    }

    /// A lane of the pair from fresh to the end.
    pub fn rows(&self, lane: usize) -> Rows {
        let head =
            ["when", "ball", "move", "laydown", "arrows", "strikes", "if you stay", "first line", "room", "oil gone"];
        let stages = self.block.outlook(lane);
        Rows {
            cells: stages.iter().enumerate().map(|(k, one)| self.row(lane, k, one)).collect(),
            ..Rows::under(head, 3)
        }
    }

    fn json(&self) -> Value {
        let lanes: Vec<Value> = (0..2)
            .map(|lane| {
                let stages = self.block.outlook(lane);
                let stages: Vec<Value> =
                    stages.iter().enumerate().map(|(k, one)| self.stage_json(lane, k, one)).collect();
                json!({
                    "number": self.pair.numbers[lane],
                    "lane": self.pair.lanes[lane].name,
                    "stages": stages,
                    "first_line_pays_games": self.block.pays_until(lane),
                })
            })
            .collect();
        json!({
            "games": self.plan.games,
            "games_before": self.plan.games_before,
            "practice_shots": self.plan.practice_shots,
            "lanes": lanes,
            "throws": self.block.runs.iter().map(|run| run.throws).sum::<u64>(),
            "seconds": self.seconds,
        })
    }

    fn stage_json(&self, lane: usize, stage: usize, outlook: &Outlook) -> Value {
        let film = self.wear(stage, lane).map(|wear| {
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
            all.iter().map(|&(ball, share)| json!({ "ball": self.ball(ball), "runs_pct": 100.0 * share })).collect()
        };
        let forms: Vec<Value> = outlook
            .forms
            .iter()
            .map(|&(ball, mean, sd)| json!({ "ball": self.ball(ball), "strike_pct": 100.0 * mean, "sd": 100.0 * sd }))
            .collect();
        json!({
            "games": outlook.games,
            "practised": outlook.practised,
            "film": film,
            "line": self.line_json(&self.block.runs[0].stages[stage].lanes[lane]),
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
    fn line_json(&self, stage: &LaneStage) -> Value {
        let line = &stage.line;
        json!({
            "ball": self.ball(stage.ball),
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

    /// A stage in cells.
    fn row(&self, lane: usize, stage: usize, outlook: &Outlook) -> Vec<String> {
        let pm = |(mean, sd): (f64, f64)| format!("{:.0}% ± {:.0}", 100.0 * mean, 100.0 * sd);
        let (ball, share) = outlook.balls[0];
        let ball = match share {
            s if s > 0.99 => self.ball(ball).to_owned(),
            s => format!("{} ({:.0}% of runs)", self.ball(ball), 100.0 * s),
        };
        let gone = self.wear(stage, lane);
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

    /// When another ball takes over.
    pub fn overtaking(&self, lane: usize) -> String {
        let stages = self.block.outlook(lane);
        let mut text = String::new();
        for pair in stages.windows(2) {
            let (was, is) = (pair[0].balls[0].0, pair[1].balls[0]);
            if was != is.0 {
                let _ = writeln!(
                    text,
                    "At {}: {} overtakes {} in {:.0}% of the runs.",
                    when(&pair[1]),
                    self.ball(is.0),
                    self.ball(was),
                    100.0 * is.1
                );
            }
        }
        text
    }

    /// How long the first line pays.
    pub fn pays(&self, lane: usize) -> String {
        let mut ends: Vec<f64> =
            self.block.pays_until(lane).into_iter().map(|end| end.unwrap_or(f64::INFINITY)).collect();
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
        // (Nothing added makes a zero with a minus one without.)
        let boards = |moved: f64| (sign * moved).round() + 0.0;
        format!("{:.0} & {:.0} {way}", boards(feet), boards(eyes))
    };
    if outlook.moves > 0.99 { size } else { format!("{size} ({:.0}% of runs)", 100.0 * outlook.moves) }
}
