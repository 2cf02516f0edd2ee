//! `boardwise line`.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::io::{IsTerminal, stderr};
use std::time::Instant;

use ball::Ball;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use measure::Board;
use pins::spare::Second;
use play::{FirstBall, Line, Lines, Pocket, Search, SpareGame, Strikes, find_lines, rank_by_game};
use score::Leave;
use serde_json::{Value, json};

use super::arguments;
use super::scene;
use super::table::{degrees, table};
use super::throw::{path, place_words};
use super::{output, picture};
use crate::job::Scene;
use crate::job::leaves::{leave_json, likely, percent};
use crate::job::{Failure, place_json, spread};
use crate::kit::{self, Fault, KitBall};

pub(super) fn run(asked: &arguments::Line) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let pocket = pocket(&asked.pocket)?;
    let scene = scene::load(&asked.kit)?;
    let one = scene.only_ball("line")?;
    let ball = &one.ball;
    let search = Search { seed: asked.output.seed, lines: usize::from(asked.lines), ..Search::default() };
    let strikes = Strikes::new(kit::carry()?, ball, scene.bowler.hand, pocket);
    let start = Instant::now();
    let mut found = with_progress(|told| find_lines(&scene.lane, ball, &scene.bowler, &strikes, &search, told));
    let seconds = start.elapsed().as_secs_f64();
    let makes = makes(&scene, &found, &search)?;
    rank_by_game(&mut found, |leave| makes.get(&leave).copied().unwrap_or_default())?;
    if asked.map {
        let title = title(&scene, ball);
        picture::write(&asked.output, |theme| picture::map(&found, &title, theme))?;
    } else if picture::wanted(&asked.output) {
        let meant = found.lines.iter().map(|line| line.release);
        let paths = meant.map(|release| path(&scene, ball, &release)).collect::<Result<Vec<_>, _>>()?;
        let best = found.lines.first();
        let shots = best.map(|line| spread::shots(&scene, ball, &line.release, asked.output.seed)).unwrap_or_default();
        let title = title(&scene, ball);
        picture::write(&asked.output, |theme| picture::lines(&scene, &title, &paths, &shots, &pocket, theme))?;
    }
    if asked.output.json {
        output::print_json(&json(&scene, one, &found, &makes, &pocket, seconds))
    } else {
        output::print(&words(&scene, &found, &pocket, seconds))
    }
}

/// What the bowler's spare ball does to everything these lines leave. What is rare gets a glance.
fn makes(scene: &Scene, found: &Lines, search: &Search) -> Result<BTreeMap<Leave, Second>, Failure> {
    const WORTH_A_LOOK: f64 = 0.002;
    let Some(ball) = scene.spare_ball() else { return Ok(BTreeMap::new()) };
    let mut shares: BTreeMap<Leave, f64> = BTreeMap::new();
    for one in found.lines.iter().filter_map(|line| line.first_ball.as_ref()).flat_map(|first| &first.leaves) {
        let share = shares.entry(one.leave).or_default();
        *share = share.max(one.share);
    }
    let game = {
        let table = kit::spares()?;
        with_progress(|told| SpareGame::new(table, &scene.lane, ball, &scene.bowler, search, told))
    };
    let (often, rare): (Vec<_>, Vec<_>) = shares.into_iter().partition(|(_, share)| *share >= WORTH_A_LOOK);
    let often: Vec<Leave> = often.into_iter().map(|(leave, _)| leave).collect();
    let seconds = game.seconds(&often);
    let rare = rare.into_iter().map(|(leave, _)| (leave, game.glance(leave)));
    Ok(often.into_iter().zip(seconds).chain(rare).collect())
}

fn title(scene: &Scene, ball: &Ball) -> String {
    format!("{} on {}", ball.id, scene.lane_name)
}

/// Where the throw as meant comes in. The best line is not always aimed at the middle of the pocket: where misses to one
/// side lose less, it is aimed off on purpose.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Aim {
    Pocket,
    Light,
    High,
    NoPin,
}

impl Aim {
    fn of(line: &Line, pocket: &Pocket) -> Self {
        match line.entry_board {
            None => Self::NoPin,
            Some(board) if board.0 < pocket.light.0 => Self::Light,
            Some(board) if board.0 > pocket.high.0 => Self::High,
            Some(_) => Self::Pocket,
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Pocket => "pocket",
            Self::Light => "light",
            Self::High => "high",
            Self::NoPin => "no pin",
        }
    }
}

fn pocket(asked: &[f64]) -> Result<Pocket, Fault> {
    match *asked {
        [light, high] if light < high && Board(light).on_lane() && high <= 20.0 => {
            Ok(Pocket { light: Board(light), high: Board(high) })
        }
        _ => Err(Fault::Flag {
            flag: "--pocket".to_owned(),
            value: asked.iter().map(f64::to_string).collect::<Vec<_>>().join(" "),
            allowed: "two boards, the lighter (lower) first, 0.5 to 20".to_owned(),
        }),
    }
}

/// Does something long, with a bar on standard error if somebody watches.
pub(super) fn with_progress<T>(work: impl FnOnce(&(dyn Fn(f64) + Sync)) -> T) -> T {
    let target = if stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(Some(1000), target);
    if let Ok(style) = ProgressStyle::with_template("throwing {bar:40} {percent}%") {
        bar.set_style(style);
    }
    let done = work(&|share| bar.set_position((share * 1000.0) as u64));
    bar.finish_and_clear();
    done
}

fn json(
    scene: &Scene,
    one: &KitBall,
    found: &Lines,
    makes: &BTreeMap<Leave, Second>,
    pocket: &Pocket,
    seconds: f64,
) -> Value {
    json!({
        "schema": 1,
        "lane": scene.lane_name,
        "bowler": scene.bowler.name,
        "ball": one.ball.id,
        "finish": one.finish,
        "boards_from": scene.side(),
        "lines": found.lines.iter().map(|line| line_json(line, makes, pocket)).collect::<Vec<_>>(),
        "spare_ball": scene.spare_ball().map(|ball| &ball.id),
        "throws": found.throws,
        "seconds": seconds,
    })
}

fn line_json(line: &Line, makes: &BTreeMap<Leave, Second>, pocket: &Pocket) -> Value {
    let entry = line.entry_board.map(|board| {
        json!({
            "board": board.0,
            "angle_deg": line.entry_angle.map(|a| a.0),
            "speed_mph": line.entry_speed.map(|s| s.0),
            "mean_board": line.entry_spread.0.0,
            "sd_boards": line.entry_spread.1,
            "mean_angle_deg": line.angle_spread.0.0,
            "sd_angle_deg": line.angle_spread.1,
        })
    });
    let first = line.first_ball.as_ref();
    let leaves = |first: &FirstBall| -> Vec<Value> {
        first.leaves.iter().map(|one| leave_json(one, makes.get(&one.leave).map(|second| second.make))).collect()
    };
    json!({
        "rank": line.rank,
        "laydown": line.release.laydown.0,
        "launch_deg": line.release.launch.0,
        "arrows_board": line.arrows.0,
        "breakpoint": place_json(&line.breakpoint),
        "exit": line.exit.as_ref().map(place_json),
        "entry": entry,
        "aim": Aim::of(line, pocket).word(),
        "speed_mph": line.release.speed.0,
        "rotation_deg": line.release.rotation.0,
        "pocket_pct": 100.0 * line.pocket,
        "pocket_error_pct": 100.0 * line.pocket_error,
        "strike_pct": first.map(|first| 100.0 * first.strike),
        "strike_se_pct": first.map(|first| 100.0 * first.strike_error),
        "leaves": first.map(leaves),
        "split_pct": first.map(|first| 100.0 * first.split()),
        "mean_pins": first.map(FirstBall::pins),
        "beyond_table_pct": first.map(|first| 100.0 * first.beyond_table),
        "conversion_pct": line.game.map(|game| 100.0 * game.conversion),
        "expected_score": line.game.map(|game| game.mean),
        "expected_score_se": line.game.map(|game| game.error),
        "score_sd": line.game.map(|game| game.sd),
        "throws": line.throws,
        "misses": {
            "high_pct": 100.0 * line.misses.high,
            "light_pct": 100.0 * line.misses.light,
            "other_side_pct": 100.0 * line.misses.other_side,
            "gutter_pct": 100.0 * line.misses.gutter,
        },
        "miss_room": { "hand_boards": line.miss_room.hand_boards, "away_boards": line.miss_room.away_boards },
    })
}

fn words(scene: &Scene, found: &Lines, pocket: &Pocket, seconds: f64) -> String {
    let mut text = scene.heading();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "search   {} throws in {seconds:.1} s\n", found.throws);
    if found.lines.is_empty() {
        text.push_str("No line of this bowler with this ball strikes on this lane. Try another ball.\n");
        return text;
    }
    let head = ["", "laydown", "arrows", "breakpoint", "entry", "angle", "mph", "rotation", "pocket", "room", "misses"];
    let mut rows = table(&head, 0);
    let head = ["", "strikes", "score", "splits", "spares made", "likely leaves"];
    let mut outcome = table(&head, 0);
    for (k, line) in found.lines.iter().enumerate() {
        let number = (k + 1).to_string();
        rows.add_row([vec![number.clone()], summary(line, pocket).to_vec()].concat());
        outcome.add_row([vec![number], comes_to(line).to_vec()].concat());
    }
    let _ = writeln!(text, "{rows}\n{outcome}\n");
    let level: Vec<String> = (1..found.lines.len())
        .filter(|&k| found.lines[k].rank == found.lines[k - 1].rank)
        .map(|k| format!("{} and {}", k, k + 1))
        .collect();
    if !level.is_empty() {
        let _ = writeln!(text, "Level within their error: lines {}", level.join(", "));
    }
    for aim in [Aim::Light, Aim::High, Aim::NoPin] {
        let of_it = found.lines.iter().enumerate().filter(|(_, line)| Aim::of(line, pocket) == aim);
        let numbers: Vec<String> = of_it.map(|(k, _)| (k + 1).to_string()).collect();
        if !numbers.is_empty() {
            let _ = writeln!(text, "Aimed {}: line {}", on_purpose(aim), numbers.join(", "));
        }
    }
    let _ = writeln!(
        text,
        "Score: mean of a game on this line, spares with {}; strikes and score are estimates (docs/spares.md).\n\
         Pocket: share of shots that touch the head pin first, on boards {} to {}.\n\
         Room: boards by which the shot as meant may be off at the arrows, toward the hand / away from it.",
        scene.spare_ball().map_or("no ball", |ball| ball.id.as_str()),
        pocket.light.0,
        pocket.high.0
    );
    text
}

/// What a line's balls come to.
fn comes_to(line: &Line) -> [String; 5] {
    let none = || "-".to_owned();
    let (first, game) = (line.first_ball.as_ref(), line.game);
    [
        first.map_or_else(none, |first| percent(first.strike, first.strike_error)),
        game.map_or_else(none, |game| format!("{:.0} ± {:.0}", game.mean, game.error.max(1.0))),
        first.map_or_else(none, |first| format!("{:.1}%", 100.0 * first.split())),
        game.map_or_else(none, |game| format!("{:.0}%", 100.0 * game.conversion)),
        first.map_or_else(none, |first| likely(first, 4)),
    ]
}

/// Why a line may be aimed beside the pocket.
fn on_purpose(aim: Aim) -> &'static str {
    match aim {
        Aim::Light => "light on purpose, so that the misses find the pocket (and no room as meant)",
        Aim::High => "high on purpose, so that the misses find the pocket (and no room as meant)",
        _ => "past every pin; only the misses find the pocket",
    }
}

fn summary(line: &Line, pocket: &Pocket) -> [String; 10] {
    let none = || "-".to_owned();
    let aim = Aim::of(line, pocket);
    let mark = match aim {
        Aim::Light | Aim::High => format!(" {}", aim.word()),
        _ => String::new(),
    };
    [
        format!("{:.1}", line.release.laydown.0),
        format!("{:.1}", line.arrows.0),
        place_words(&line.breakpoint),
        line.entry_board.map_or_else(none, |board| format!("{:.1}{mark}", board.0)),
        line.entry_angle.map_or_else(none, degrees),
        format!("{:.1}", line.release.speed.0),
        format!("{:.0}°", line.release.rotation.0),
        format!("{:.0}% ± {:.0}", 100.0 * line.pocket, (100.0 * line.pocket_error).max(1.0)),
        match aim {
            Aim::Pocket => format!("{:.1} / {:.1}", line.miss_room.hand_boards, line.miss_room.away_boards),
            _ => none(),
        },
        misses(line),
    ]
}

/// The two commonest misses.
fn misses(line: &Line) -> String {
    let m = &line.misses;
    let mut all = [(m.high, "high"), (m.light, "light"), (m.other_side, "other side"), (m.gutter, "gutter")];
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    let said: Vec<String> =
        all.iter().take(2).filter(|m| m.0 >= 0.005).map(|m| format!("{:.0}% {}", 100.0 * m.0, m.1)).collect();
    if said.is_empty() { "none".to_owned() } else { said.join(", ") }
}
