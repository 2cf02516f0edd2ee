//! `boardwise line`.

use std::fmt::Write;
use std::io::{IsTerminal, stderr};

use boardwise_search::{Line, Pocket, Search};
use boardwise_units::Board;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::arguments;
use super::scene;
use super::table::{degrees, table};
use super::throw::path;
use super::{output, picture};
use crate::Failure;
use boardwise_files::Fault;
use boardwise_session::Scene;
use boardwise_session::leaves::{likely, percent};
use boardwise_session::line::{Aim, Found, misses, title};
use boardwise_session::spread;
use boardwise_session::throw::place_words;

pub(super) fn run(asked: &arguments::Line) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let pocket = pocket(&asked.pocket)?;
    let scene = scene::load(&asked.kit)?;
    let one = scene.only_ball("line")?;
    let ball = &one.ball;
    let search = Search { seed: asked.output.seed, lines: usize::from(asked.lines), ..Search::default() };
    let mut found = with_progress(|told| Found::search(&scene, ball, pocket, &search, told))?;
    with_progress(|told| found.weigh_spares(&scene, &search, told))?;
    if asked.map {
        let title = title(&scene, ball);
        picture::write(&asked.output, |theme| picture::map(&found.lines, &title, theme))?;
    } else if picture::wanted(&asked.output) {
        let meant = found.lines.lines.iter().map(|line| line.release);
        let paths = meant.map(|release| path(&scene, ball, &release)).collect::<Result<Vec<_>, _>>()?;
        let best = found.lines.lines.first();
        let shots = best.map(|line| spread::shots(&scene, ball, &line.release, asked.output.seed)).unwrap_or_default();
        let title = title(&scene, ball);
        picture::write(&asked.output, |theme| picture::lines(&scene, &title, &paths, &shots, &pocket, theme))?;
    }
    if asked.output.json { output::print_json(&found.json(&scene, one)) } else { output::print(&words(&scene, &found)) }
}

fn pocket(asked: &[f64]) -> Result<Pocket, Fault> {
    match *asked {
        [light, high] if light < high && Board(light).on_lane() && high <= 20.0 => {
            Ok(Pocket { light: Board(light), high: Board(high) })
        }
        _ => Err(Fault::Field {
            field: "--pocket",
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

fn words(scene: &Scene, found: &Found) -> String {
    let Found { lines: found, pocket, seconds, .. } = found;
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
