//! `boardwise line`.

use std::fmt::Write;
use std::io::{IsTerminal, stderr};
use std::time::Instant;

use ball::Ball;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use measure::Board;
use play::{Line, Lines, Pocket, Search, find_lines};
use serde_json::{Value, json};

use super::arguments;
use super::scene::Scene;
use super::table::table;
use super::throw::{path, place_json, place_words};
use super::{Failure, output, picture, spread};
use crate::kit::{Fault, KitBall};

pub(super) fn run(asked: &arguments::Line) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let pocket = pocket(&asked.pocket)?;
    let scene = Scene::load(&asked.kit)?;
    let [one] = scene.balls.as_slice() else {
        let allowed = "a search is for one ball: give --ball once".to_owned();
        return Err(Fault::Flag { flag: "--ball".to_owned(), value: asked.kit.ball.join(" --ball "), allowed }.into());
    };
    let ball = &one.ball;
    let search = Search { seed: asked.output.seed, lines: usize::from(asked.lines), ..Search::default() };
    let start = Instant::now();
    let found = with_progress(|told| find_lines(&scene.lane, ball, &scene.bowler, &pocket, &search, told));
    let seconds = start.elapsed().as_secs_f64();
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
        output::print_json(&json(&scene, one, &found, &pocket, seconds))
    } else {
        output::print(&words(&scene, &found, &pocket, seconds))
    }
}

fn title(scene: &Scene, ball: &Ball) -> String {
    format!("{} on {}", ball.id, scene.lane_name)
}

/// Where the throw as meant comes in. The line that finds the pocket most often is not always aimed at its middle: where
/// misses to one side lose less, it is aimed off on purpose.
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
fn with_progress<T>(work: impl FnOnce(&(dyn Fn(f64) + Sync)) -> T) -> T {
    let target = if stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(Some(1000), target);
    if let Ok(style) = ProgressStyle::with_template("throwing {bar:40} {percent}%") {
        bar.set_style(style);
    }
    let done = work(&|share| bar.set_position((share * 1000.0) as u64));
    bar.finish_and_clear();
    done
}

fn json(scene: &Scene, one: &KitBall, found: &Lines, pocket: &Pocket, seconds: f64) -> Value {
    json!({
        "schema": 1,
        "lane": scene.lane_name,
        "bowler": scene.bowler.name,
        "ball": one.ball.id,
        "finish": one.finish,
        "boards_from": scene.side(),
        "lines": found.lines.iter().map(|line| line_json(line, pocket)).collect::<Vec<_>>(),
        "throws": found.throws,
        "seconds": seconds,
    })
}

fn line_json(line: &Line, pocket: &Pocket) -> Value {
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
    json!({
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
        // Until the pins' table is plugged in, nobody knows.
        "strike_pct": null,
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
        text.push_str("No line of this bowler with this ball finds the pocket on this lane. Try another ball.\n");
        return text;
    }
    let head = ["", "laydown", "arrows", "breakpoint", "entry", "angle", "mph", "rotation", "pocket", "room", "misses"];
    let mut rows = table(&head, 0);
    for (k, line) in found.lines.iter().enumerate() {
        let mut row = vec![(k + 1).to_string()];
        row.extend(summary(line, pocket));
        rows.add_row(row);
    }
    let _ = writeln!(text, "{rows}\n");
    for aim in [Aim::Light, Aim::High, Aim::NoPin] {
        let of_it = found.lines.iter().enumerate().filter(|(_, line)| Aim::of(line, pocket) == aim);
        let numbers: Vec<String> = of_it.map(|(k, _)| (k + 1).to_string()).collect();
        if !numbers.is_empty() {
            let _ = writeln!(text, "Aimed {}: line {}", on_purpose(aim), numbers.join(", "));
        }
    }
    let _ = writeln!(
        text,
        "Pocket: share of shots that touch the head pin first, on boards {} to {}; not a strike percentage.\n\
         Room: boards by which the shot as meant may be off at the arrows, toward the hand / away from it.",
        pocket.light.0, pocket.high.0
    );
    text
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
        line.entry_angle.map_or_else(none, |angle| format!("{:.1}°", angle.0)),
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
