//! `boardwise line`.

use std::fmt::Write;

use boardwise_search::{Line, Pocket, Search};
use boardwise_units::Board;

use super::arguments;
use super::scene;
use super::table::{degrees, table};
use super::throw::path;
use super::watched::watched;
use super::{output, picture};
use crate::Failure;
use boardwise_files::Fault;
use boardwise_session::leaves::{likely, percent};
use boardwise_session::line::{Found, misses, title};
use boardwise_session::spread;
use boardwise_session::throw::place_words;
use boardwise_session::{Scene, Work};

/// Share of the work that goes into looking for lines; the rest goes into their spares.
pub(super) const LINES: f64 = 0.8;

pub(super) fn run(asked: &arguments::Line) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let pocket = pocket(&asked.pocket)?;
    let scene = scene::load(&asked.kit)?;
    let one = scene.only_ball("line")?;
    let ball = &one.ball;
    let search = Search { seed: asked.output.seed, lines: usize::from(asked.lines), ..Search::default() };
    let found = watched(|work| {
        let lines = Work { progress: &work.progress.part(0.0, LINES), ..work };
        let mut found = Found::search(&scene, ball, pocket, &search, lines)?;
        found.weigh_spares(&scene, &search, &work.progress.part(LINES, 1.0))?;
        Ok::<_, boardwise_session::Failure>(found)
    })?;
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
    if asked.output.json { output::print_json(&found.view(&scene, one)) } else { output::print(&words(&scene, &found)) }
}

/// The pocket that the flag says.
pub(super) fn pocket(asked: &[f64]) -> Result<Pocket, Fault> {
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

fn words(scene: &Scene, found: &Found) -> String {
    let Found { lines: found, pocket, seconds, .. } = found;
    let mut text = scene.heading();
    // Writing to a string cannot fail.
    let hand = &scene.bowler.release;
    let _ = writeln!(text, "hand     the usual one: {:.1} mph, {:.0}° rotation", hand.speed.0, hand.rotation.0);
    let _ = writeln!(text, "search   {} throws in {seconds:.1} s\n", found.throws);
    if found.lines.is_empty() {
        text.push_str("No line of this bowler with this ball strikes on this lane. Try another ball.\n");
        return text;
    }
    let head = ["", "slide", "look at", "laydown", "breakpoint", "entry", "angle", "pocket", "room", "misses"];
    let mut rows = table(&head, 0);
    let head = ["", "strikes", "score", "splits", "spares made", "likely leaves"];
    let mut outcome = table(&head, 0);
    for (k, line) in found.lines.iter().enumerate() {
        let number = (k + 1).to_string();
        rows.add_row([vec![number.clone()], summary(scene, line).to_vec()].concat());
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
    if let Some(best) = found.other_hands.first() {
        let _ = writeln!(text, "{}", another_hand(scene, best));
    }
    let _ = writeln!(
        text,
        "Score: mean of a game on this line, spares with {}; strikes and score are estimates (docs/spares.md).\n\
         Pocket: share of shots that touch the head pin first, on boards {} to {}.\n\
         Slide: board under the inner edge of the slide foot. Look at: board aimed at, at the arrows (15 ft).\n\
         Room: boards by which a shot may be off at the arrows while it strikes half as often as at best, toward the hand / away\n\
         from it. Strikes are means over all that is not known of lane, cover, day and pins.",
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

/// A change of hand: a choice of its own, with its price and its caution.
fn another_hand(scene: &Scene, line: &Line) -> String {
    let own = &scene.bowler.release;
    let speed = line.release.speed.0 - own.speed.0;
    let hand = line.release.rotation.0 - own.rotation.0;
    let change = match (speed < 0.0, speed > 0.0, hand < 0.0) {
        (true, ..) => format!("{:.1} mph slower", -speed),
        (_, true, _) => format!("{speed:.1} mph faster"),
        (.., true) => format!("{:.0}° less rotation", -hand),
        _ => format!("{hand:.0}° more rotation"),
    };
    format!(
        "Another hand: {change}, slide {:.0}, look at {:.1}, strikes {:.0}%, with the lost consistency taken off.\n{OF_HANDS}",
        scene.bowler.slide_board(line.release.laydown).0,
        line.arrows.0,
        100.0 * line.worth
    )
}

/// What to mind with a change of hand.
const OF_HANDS: &str = "A change of hand: build up slowly, stop at pain, ask a coach or a physician.";

fn summary(scene: &Scene, line: &Line) -> [String; 9] {
    let none = || "-".to_owned();
    [
        format!("{:.1}", scene.bowler.slide_board(line.release.laydown).0),
        format!("{:.1}", line.arrows.0),
        format!("{:.1}", line.release.laydown.0),
        place_words(&line.breakpoint),
        line.entry_board.map_or_else(none, |board| format!("{:.1}", board.0)),
        line.entry_angle.map_or_else(none, degrees),
        format!("{:.0}% ± {:.0}", 100.0 * line.pocket, (100.0 * line.pocket_error).max(1.0)),
        format!("{:.1} / {:.1}", line.miss_room.hand_boards, line.miss_room.away_boards),
        misses(line),
    ]
}
