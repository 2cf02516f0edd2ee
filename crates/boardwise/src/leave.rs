//! `boardwise leave`.

use std::fmt::Write;

use boardwise_figures::{deck, moving_deck};
use boardwise_lane::Path;
use boardwise_pins::{Constants, Rack};
use boardwise_score::{Leave, PinSet};
use boardwise_search::{Conditions, Remainder, Search, SpareGame, SpareLine, Story};

use super::arguments;
use super::carry::INTERVAL_S;
use super::scene;
use super::table::{degrees, table};
use super::throw::path;
use super::{output, picture};
use crate::Failure;
use boardwise_files::{Fault, KitBall};
use boardwise_session::Scene;
use boardwise_session::leaves::{kind, percent};
use boardwise_session::spread;
use boardwise_session::view::pin_numbers;
use boardwise_session::view::{Form, LeaveAnswer, LeaveEntry, LeaveLine, PinsShare};

/// A way to make the leave, with its ball.
struct Way<'a> {
    ball: &'a KitBall,
    spare: SpareLine,
}

pub(super) fn run(asked: &arguments::Leave) -> Result<(), Failure> {
    picture::check(&asked.output)?;
    let leave: Leave = asked.pins.parse().map_err(|error: boardwise_score::Error| Fault::Field {
        field: "PINS",
        value: asked.pins.clone(),
        allowed: error.to_string(),
    })?;
    let scene = scene::load(&asked.kit)?.for_spares(&asked.kit.ball);
    let (table, rack) = (boardwise_files::spares()?, Rack::new(Constants::default()));
    let search = Search { seed: asked.output.seed, ..Search::default() };
    let count = usize::from(asked.lines);
    let (mut ways, mut after): (Vec<Way>, Vec<Remainder>) = (Vec::new(), Vec::new());
    for one in &scene.balls {
        let conditions = Conditions::fresh(&scene.lane, &one.ball, &scene.unknowns, search.seed);
        let game = SpareGame::new(table, conditions, &one.ball, &scene.bowler, &search);
        let lines = game.lines(leave, count);
        let best = ways.iter().map(|way| way.spare.line.worth).fold(f64::NEG_INFINITY, f64::max);
        if let Some(first) = lines.first().filter(|first| first.line.worth > best) {
            after = game.after(&rack, leave, &first.line.release, asked.racks);
        }
        ways.extend(lines.into_iter().map(|spare| Way { ball: one, spare }));
    }
    ways.sort_by(|a, b| b.spare.line.worth.total_cmp(&a.spare.line.worth));
    ways.truncate(count);
    draw_it(asked, &scene, leave, &ways, &rack)?;
    if asked.output.json {
        output::print_json(&view(asked, &scene, leave, &ways, &after))
    } else {
        output::print(&words(asked, &scene, leave, &ways, &after))
    }
}

fn draw_it(asked: &arguments::Leave, scene: &Scene, leave: Leave, ways: &[Way], rack: &Rack) -> Result<(), Failure> {
    if !picture::wanted(&asked.output) {
        return Ok(());
    }
    let paths: Vec<Path> =
        ways.iter().map(|way| path(scene, &way.ball.ball, &way.spare.line.release)).collect::<Result<_, _>>()?;
    let title = format!("{leave} on {}", scene.lane_name);
    let best = ways.first().zip(paths.first());
    if (asked.deck || asked.moving)
        && let Some((way, path)) = best
        && let Some(touch) = path.touch
    {
        let (hand, seed) = (scene.bowler.hand, asked.output.seed);
        let story = Story::of(rack, leave.pins(), &touch.entry, &way.ball.ball, hand, seed, INTERVAL_S)
            .map_err(|error| Fault::Field { field: "--deck", value: String::new(), allowed: error.to_string() })?;
        let drawn = if asked.moving { moving_deck } else { deck };
        return picture::write(&asked.output, |theme| drawn(&story, hand, &title, theme));
    }
    let shots = best
        .map(|(way, _)| spread::shots(scene, &way.ball.ball, &way.spare.line.release, asked.output.seed))
        .unwrap_or_default();
    // The ball is named where there is a choice.
    let label = |way: &Way| match scene.balls.len() {
        1 => format!("{:.0}%", 100.0 * way.spare.line.worth),
        _ => format!("{} {:.0}%", way.ball.ball.id, 100.0 * way.spare.line.worth),
    };
    let named: Vec<(String, Path)> = ways.iter().map(label).zip(paths).collect();
    picture::write(&asked.output, |theme| picture::spares(scene, &title, &named, &shots, leave.pins(), theme))
}

fn view(asked: &arguments::Leave, scene: &Scene, leave: Leave, ways: &[Way], after: &[Remainder]) -> LeaveAnswer {
    let lines = ways.iter().map(|way| {
        let line = &way.spare.line;
        LeaveLine {
            laydown: line.release.laydown.0,
            launch_deg: line.release.launch.0,
            arrows_board: line.arrows.0,
            speed_mph: line.release.speed.0,
            ball: way.ball.ball.id.clone(),
            make_pct: 100.0 * line.worth,
            make_se_pct: 100.0 * line.worth_error,
            mean_pins: way.spare.down,
            entry: line
                .entry_board
                .map(|board| LeaveEntry { board: board.0, angle_deg: line.entry_angle.map(|angle| angle.0) }),
            miss_room: line.miss_room.into(),
            throws: line.throws,
        }
    });
    LeaveAnswer {
        schema: Form,
        lane: scene.lane_name.clone(),
        bowler: scene.bowler.name.clone(),
        boards_from: scene.bowler.hand.into(),
        pins: pin_numbers(leave.pins()),
        kind: kind(leave),
        split: leave.is_split(),
        washout: leave.is_washout(),
        lines: lines.collect(),
        make_pct: ways.first().map_or(0.0, |way| 100.0 * way.spare.line.worth),
        after: after.iter().map(|rest| PinsShare::of(rest.pins, rest.share)).collect(),
        racks: asked.racks,
    }
}

fn words(asked: &arguments::Leave, scene: &Scene, leave: Leave, ways: &[Way], after: &[Remainder]) -> String {
    let mut text = scene.heading();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "leave    {} ({})\n", leave.pins(), kind(leave));
    if ways.is_empty() {
        text.push_str("No throw of this bowler with this ball makes it in the model. Take what it gives.\n");
        return text;
    }
    let mut rows = table(&["", "ball", "laydown", "arrows", "launch", "entry", "angle", "made", "pins", "room"], 0);
    for (k, way) in ways.iter().enumerate() {
        let line = &way.spare.line;
        rows.add_row(vec![
            (k + 1).to_string(),
            way.ball.ball.id.clone(),
            format!("{:.1}", line.release.laydown.0),
            format!("{:.1}", line.arrows.0),
            degrees(line.release.launch),
            line.entry_board.map_or_else(|| "-".to_owned(), |board| format!("{:.1}", board.0)),
            line.entry_angle.map_or_else(|| "-".to_owned(), degrees),
            percent(line.worth, line.worth_error),
            format!("{:.2}", way.spare.down),
            format!("{:.1} / {:.1}", line.miss_room.hand_boards, line.miss_room.away_boards),
        ]);
    }
    let _ = writeln!(text, "{rows}\n");
    let left: Vec<String> = after
        .iter()
        .filter(|rest| !rest.pins.is_empty())
        .take(4)
        .map(|rest| format!("{} {:.0}%", remainder(rest.pins, leave), 100.0 * rest.share))
        .collect();
    let made = after.iter().find(|rest| rest.pins.is_empty()).map_or(0.0, |rest| rest.share);
    let _ = writeln!(
        text,
        "Line 1, {} racks thrown: made {:.0}%{}{}",
        asked.racks,
        100.0 * made,
        if left.is_empty() { "" } else { "; left " },
        left.join(", ")
    );
    text.push_str(
        "Launch is positive toward the hand side, the angle of entry away from it.\n\
         Room: boards by which the shot as meant may be off at the arrows, toward the hand / away from it, and still be\n\
         more likely made than not.\n",
    );
    text
}

/// What stands after a miss; if nothing fell, all of it.
fn remainder(pins: PinSet, leave: Leave) -> String {
    if pins == leave.pins() { "all of it".to_owned() } else { pins.to_string() }
}
