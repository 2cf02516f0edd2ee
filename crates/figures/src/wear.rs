//! A lane fresh, a lane now, and the oil that came and went in between.

use crate::change::{Change, STEPS_A_SIDE};
use crate::colour::{DASHES, Theme, change};
use crate::frame::{Frame, boards, feet, ground, marks, pattern_end};
use crate::oil::{Cells, OIL_LOOK, STEPS, stepped};
use crate::scale::steps;
use crate::scene::{Anchor, Drawing, Scene, Type, fit, number};
use crate::trace::{Trace, diamond, follow, on_lane, until_touch};
use boardwise_lane::Lane;
use boardwise_search::Wear;
use boardwise_units::Hand;

const WIDTH: f64 = 360.0;
/// The first lane's edge, a lane's width, and from one lane to the next.
const FIRST_X: f64 = 37.0;
const LANE: f64 = 95.0;
const APART: f64 = 109.0;
const GUTTER: f64 = 4.0;
/// Length of a lane.
const LONG: f64 = 450.0;
const ROW: f64 = 16.0;
const KEY_ROW: f64 = 28.0;

/// Draws a lane fresh, now, and the difference, side by side.
///
/// Both lanes are seen from the bowling-hand side. The first trace is the line played before and lies on the fresh lane. The
/// others lie on the lane as it is now, as does the first if it is the only one. The difference shows all of them. The
/// numbers below give the share of oil gone, in all and along the first trace, and the oil laid beyond the pattern.
pub fn wear_picture(fresh: &Lane, now: &Lane, hand: Hand, traces: &[Trace], title: &str, theme: Theme) -> Drawing {
    let words = in_words(fresh, now, traces.first());
    let top = 44.0 + KEY_ROW * traces.len() as f64;
    let (pins_y, foul_y) = (top + 22.0, top + 22.0 + LONG);
    let height = foul_y + 84.0 + ROW * words.len() as f64;
    let mut scene = Scene::new(WIDTH, height, title, theme);
    let frame = |k: usize| {
        let away_x = FIRST_X + APART * k as f64;
        let hand_x = away_x + LANE;
        Frame { hand, away_x, hand_x, gutter: GUTTER, pins_y, top_y: pins_y, foul_y, mirror: away_x + hand_x }
    };
    key(&mut scene, traces);
    let (mut before, mut after) = (Cells::of(fresh), Cells::of(now));
    let most = before.most.max(after.most);
    (before.most, after.most) = (most, most);
    let changed = Change::between(&before, &after);
    for (k, (cells, lane)) in [(&before, fresh), (&after, now)].into_iter().enumerate() {
        let frame = frame(k);
        let film = cells.paths(|board, feet| frame.at(board, feet));
        let film = film.into_iter().map(|(share, d)| (stepped(theme, share), d));
        column(&mut scene, frame, lane, "oil", film);
        head(&mut scene, frame, ["fresh", "now"][k], &volume(lane));
        let here = traces.iter().enumerate().filter(|(trace, _)| (*trace > 0) == (k > 0) || traces.len() == 1);
        here.for_each(|(trace, one)| path(&mut scene, frame, trace, one));
    }
    let last = frame(2);
    let film = changed.paths(|board, feet| last.at(board, feet));
    column(&mut scene, last, fresh, "change", film.into_iter().map(|(part, d)| (change(theme, part), d)));
    for (board, feet) in changed.laid_at() {
        plus(&mut scene, last.at(board, feet));
    }
    head(&mut scene, last, "difference", &volume_changed(fresh, now));
    traces.iter().enumerate().for_each(|(trace, one)| hint(&mut scene, last, trace, one));
    // Feet stand on the left, whichever hand bowls.
    feet(&mut scene, Frame { hand: Hand::Right, ..frame(0) });
    scales(&mut scene, theme, &before, &changed, foul_y + 40.0);
    for (k, words) in words.iter().enumerate() {
        let kind = Type { size: 11.0, colour: scene.palette.ink, bold: false, anchor: Anchor::Start };
        scene.text(12.0, foul_y + 92.0 + ROW * k as f64, &fit(words, 11.0, WIDTH - 24.0), kind);
    }
    scene.finish()
}

/// A lane with coloured cells.
fn column(scene: &mut Scene, frame: Frame, lane: &Lane, class: &str, film: impl Iterator<Item = (String, String)>) {
    ground(scene, frame);
    scene.open(&format!("class=\"{class}\" {OIL_LOOK}"));
    for (fill, d) in film {
        scene.path(&d, &format!("fill=\"{fill}\""));
    }
    scene.close();
    boards(scene, frame, 10);
    marks(scene, frame, 2.0);
    pattern_end(scene, frame, lane);
}

fn head(scene: &mut Scene, frame: Frame, words: &str, volume: &str) {
    let middle = f64::midpoint(frame.away_x, frame.hand_x);
    let kind = Type { size: 11.0, colour: scene.palette.ink, bold: true, anchor: Anchor::Middle };
    scene.text(middle, frame.top_y - 18.0, words, kind);
    scene.note(middle, frame.top_y - 5.0, volume, Anchor::Middle);
}

fn path(scene: &mut Scene, frame: Frame, k: usize, trace: &Trace) {
    follow(scene, frame, k, trace.path);
    let colour = scene.palette.traces[k % 4];
    diamond(scene, frame.place(trace.path.breakpoint), colour);
}

/// A path as a thin line, so that it hides no change.
fn hint(scene: &mut Scene, frame: Frame, k: usize, trace: &Trace) {
    let (colour, dash) = (scene.palette.traces[k % 4], DASHES[(k + k / 4) % 4]);
    let look = format!("class=\"hint\" stroke=\"{colour}\" stroke-width=\"1\" stroke-dasharray=\"{dash}\"");
    let points = on_lane(frame, &until_touch(trace.path));
    let casing = format!("stroke=\"{}\" stroke-width=\"2.6\" stroke-opacity=\"0.6\"", scene.palette.casing);
    scene.polyline(&points, &casing);
    scene.polyline(&points, &look);
}

/// The sign of oil laid down.
fn plus(scene: &mut Scene, (x, y): (f64, f64)) {
    let d = format!("M{} {}h3M{} {}v3", number(x - 1.5), number(y), number(x), number(y - 1.5));
    scene.path(&d, &format!("class=\"laid\" stroke=\"{}\" stroke-width=\"0.8\"", scene.palette.ink));
}

/// The paths by dash and colour, with feet, board at the arrows and breakpoint in numbers.
fn key(scene: &mut Scene, traces: &[Trace]) {
    for (k, trace) in traces.iter().enumerate() {
        let (y, path) = (42.0 + KEY_ROW * k as f64, trace.path);
        let (colour, dash) = (scene.palette.traces[k % 4], DASHES[(k + k / 4) % 4]);
        let look = format!("stroke=\"{colour}\" stroke-width=\"2.2\" stroke-dasharray=\"{dash}\"");
        scene.line((12.0, y - 4.0), (44.0, y - 4.0), &look);
        let kind = Type { size: 11.0, colour, bold: true, anchor: Anchor::Start };
        scene.text(52.0, y, &fit(trace.label, 11.0, WIDTH - 64.0), kind);
        let feet = path.rows.first().map_or_else(String::new, |row| format!("feet {:.1}, ", row.board));
        let arrows = path.arrows.map_or_else(String::new, |place| format!("arrows {:.1}, ", place.board.0));
        let turn = path.breakpoint;
        let words = format!("{feet}{arrows}turns at {:.1}, {:.0} ft", turn.board.0, turn.feet.0);
        scene.note(52.0, y + 12.0, &words, Anchor::Start);
    }
}

/// The scale of oil below the first two lanes, that of the change below the third.
fn scales(scene: &mut Scene, theme: Theme, cells: &Cells, changed: &Change, y: f64) {
    let lane = scene.palette.lane;
    let (oil, moved) = ((FIRST_X, FIRST_X + APART + LANE), (FIRST_X + 2.0 * APART, FIRST_X + 2.0 * APART + LANE));
    for (from, to) in [oil, moved] {
        scene.rect(from, y, to - from, 9.0, &format!("fill=\"{lane}\""));
    }
    scene.open(OIL_LOOK);
    steps(scene, oil, (y, 9.0), STEPS, |share| stepped(theme, share));
    steps(scene, moved, (y, 9.0), 2 * STEPS_A_SIDE, |share| change(theme, 2.0 * share - 1.0));
    scene.close();
    for quarter in 0..=4 {
        let share = quarter as f64 / 4.0;
        let at = |(from, to): (f64, f64)| from + (to - from) * share;
        let anchor = [Anchor::Start, Anchor::Middle, Anchor::Middle, Anchor::Middle, Anchor::End][quarter];
        scene.note(at(oil), y + 20.0, &number(cells.most * share), anchor);
        let part = 2.0 * share - 1.0;
        let value = number(changed.most * part * part);
        let words = match part {
            0.0 => "0".to_owned(),
            ..0.0 => format!("−{value}"),
            _ => format!("+{value}"),
        };
        let shift = [-GUTTER, 0.0, 0.0, 0.0, GUTTER][quarter];
        // Where the numbers are long, those between would touch their neighbours.
        if quarter % 2 == 0 || words.chars().count() <= 3 {
            scene.note(at(moved) + shift, y + 20.0, &words, anchor);
        }
    }
    scene.note(f64::midpoint(oil.0, oil.1), y + 33.0, cells.counts, Anchor::Middle);
    scene.note(moved.0 - GUTTER, y + 33.0, "gone", Anchor::Start);
    scene.note(moved.1 + GUTTER, y + 33.0, "+ laid", Anchor::End);
}

fn millilitres(lane: &Lane) -> Option<f64> {
    lane.film().map(|film| film.volume().0 / 1000.0)
}

fn volume(lane: &Lane) -> String {
    millilitres(lane).map_or_else(String::new, |volume| format!("{volume:.1} mL"))
}

fn volume_changed(fresh: &Lane, now: &Lane) -> String {
    let (Some(before), Some(after)) = (millilitres(fresh), millilitres(now)) else { return String::new() };
    let sign = if after < before { "−" } else { "+" };
    format!("{sign}{:.1} mL", (after - before).abs())
}

/// What became of the oil, line by line; empty if the lane is given by friction, which does not wear.
fn in_words(fresh: &Lane, now: &Lane, played: Option<&Trace>) -> Vec<String> {
    let Some(wear) = played.and_then(|trace| Wear::of(fresh, now, trace.path)) else { return Vec::new() };
    let end = fresh.pattern_end().map_or_else(String::new, |end| format!("{} ft", number(end.0)));
    vec![
        format!("gone of all oil: {:.0} %", 100.0 * wear.gone),
        format!(
            "gone along the first line: {:.0} % to 15 ft, {:.0} % after",
            100.0 * wear.heads_gone,
            100.0 * wear.middle_gone
        ),
        format!("laid beyond {end}: {:.0} µL", wear.beyond.0),
    ]
}
