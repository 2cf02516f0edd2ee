//! `boardwise watch`.

use std::fmt::Write;
use std::path::Path;

#[cfg(feature = "png")]
use boardwise_figures::DrawError;
use boardwise_files::whole;
use boardwise_session::view::EstimateView;
use boardwise_session::watch::{Measured, Watch};

use super::arguments;
use super::input;
use super::output;
use super::picture::existing;
use super::scene::find;
use super::table::table;
use crate::Failure;
use boardwise_files::Fault;

/// Largest film that is read, bytes: some minutes of it.
const MOST_BYTES: u64 = 2 << 30;
/// Largest file of points, bytes.
const MOST_POINTS: u64 = 1 << 16;

pub(super) fn run(asked: &arguments::Watch) -> Result<(), Failure> {
    let bowler = find("bowler", &asked.bowler, &boardwise_files::BOWLERS, boardwise_files::parse_bowler)?;
    let lane = asked.lane.as_ref().map(|name| find("lane", name, &boardwise_files::LANES, boardwise_files::parse_lane));
    let lane = lane.transpose()?;
    let slowed = asked.slowed.unwrap_or(1.0);
    if !(1.0..=40.0).contains(&slowed) {
        let allowed = "must be 1 to 40: how many times slower the film is than what happened".to_owned();
        return Err(Fault::Field { field: "--slowed", value: slowed.to_string(), allowed }.into());
    }
    check(asked)?;
    let points = points(&asked.points)?;
    let film = input::bytes(&asked.film, MOST_BYTES)?;
    let hand = bowler.value.hand;
    let pattern = lane.and_then(|lane| lane.value.seen_by(hand).pattern_end());
    let watch = Watch { film: &film, points: &points, hand, pattern, slowed };
    let measured = watch.measured().map_err(Failure::from)?;
    draw(&watch, &measured, asked)?;
    let view = watch.view(&measured);
    if asked.json { output::print_json(&view) } else { output::print(&words(&view)) }
}

/// Refuses pictures that cannot be drawn or written, before any work.
fn check(asked: &arguments::Watch) -> Result<(), Failure> {
    if (asked.png.is_some() || asked.overlay.is_some()) && cfg!(not(feature = "png")) {
        return Err(Failure::LeftOut("pictures as PNG"));
    }
    if let Some(path) = &asked.png {
        whole::check_new("--png", path, existing(asked.force))?;
    }
    if let Some(folder) = &asked.overlay {
        whole::check_new("--overlay", &folder.join(frame(0)), existing(asked.force))?;
    }
    Ok(())
}

/// Name of the picture that is laid over the film's one of this number.
fn frame(index: usize) -> String {
    format!("{index:05}.png")
}

#[cfg(feature = "png")]
fn draw(watch: &Watch, measured: &Measured, asked: &arguments::Watch) -> Result<(), Failure> {
    let undrawn = |error: DrawError| boardwise_session::Failure::Picture(Box::new(error));
    if let Some(path) = &asked.png {
        let (picture, drawing) = watch.still(measured)?;
        whole::save(path, &drawing.png_over(Some(&picture.luma)).map_err(undrawn)?, existing(asked.force))?;
    }
    if let Some(folder) = &asked.overlay {
        watch.over_all(measured, |index, drawing| {
            let bytes = drawing.png_over(None).map_err(undrawn)?;
            Ok(whole::save(&folder.join(frame(index)), &bytes, existing(asked.force))?)
        })?;
    }
    Ok(())
}

#[cfg(not(feature = "png"))]
fn draw(_: &Watch, _: &Measured, _: &arguments::Watch) -> Result<(), Failure> {
    Ok(())
}

/// Points as typed, or from a file of that name.
fn points(text: &str) -> Result<String, Failure> {
    if text.contains(':') && !Path::new(text).is_file() {
        return Ok(text.to_owned());
    }
    Ok(input::text(Path::new(text), MOST_POINTS)?)
}

fn words(view: &boardwise_session::view::WatchAnswer) -> String {
    let mut rows = table(&["measured", "value", "error", "80% of such lie from", "to"], 1);
    let mut row = |name: &str, estimate: Option<&EstimateView>, digits: usize| {
        if let Some(EstimateView { value, error, low, high }) = estimate {
            let text = |x: &f64| format!("{x:.digits$}");
            rows.add_row(vec![name.to_owned(), text(value), text(error), text(low), text(high)]);
        }
    };
    row("laydown, board", view.laydown_board.as_ref(), 1);
    row("launch toward the hand, degrees", view.launch_deg.as_ref(), 2);
    row("at the arrows (15 ft), board", view.arrows_board.as_ref(), 1);
    row("breakpoint, board", Some(&view.breakpoint_board), 1);
    row("breakpoint, feet", Some(&view.breakpoint_feet), 1);
    row("exit from the oil, board", view.exit_board.as_ref(), 1);
    row("entry, board", view.entry_board.as_ref(), 1);
    row("entry, degrees", view.entry_deg.as_ref(), 1);
    row("speed at release, mph", Some(&view.release_mph), 1);
    row("speed at the pins, mph", view.pins_mph.as_ref(), 1);
    row("rev rate at release, rpm", view.rev_rate_rpm.as_ref(), 0);
    row("axis rotation, degrees", view.rotation_deg.as_ref(), 0);
    row("axis tilt, degrees", view.tilt_deg.as_ref(), 0);
    let mut text = format!("{rows}\n");
    let [from, to] = view.seen_feet;
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "The ball was seen in {} of {} pictures, from {from:.0} to {to:.0} ft. The lane is known to {:.2} board at the arrows and {:.2} at the pins.",
        view.sightings, view.pictures, view.lane_error.arrows_boards, view.lane_error.pins_boards
    );
    if view.laydown_board.is_none() {
        let _ = writeln!(text, "It was seen too late to say where it was laid down: film it from the foul line on.");
    }
    if view.rev_rate_rpm.is_none() {
        let _ = writeln!(
            text,
            "No mark on the ball tells its rev rate: put tape on it that stands out, and film it from the foul line on."
        );
    }
    let _ = writeln!(text, "These are estimates; docs/watch.md says how well they have been checked.");
    text
}
