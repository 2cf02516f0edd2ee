//! Maps of shares over two numbers: the worth of lines over laydown and launch, strikes over entry board and angle.

use crate::colour::{Theme, share};
use crate::contour::segments;
use crate::oil::block;
use crate::scale::{steps, ticks_between};
use crate::scene::{Anchor, Drawing, Scene, Type, fit, number};
use boardwise_search::{EntryMap, Line, WorthMap};
use std::fmt::Write;

const WIDTH: f64 = 360.0;
const LEFT: f64 = 44.0;
const RIGHT: f64 = 346.0;
const TOP: f64 = 48.0;
const BOTTOM: f64 = 300.0;
const ROW: f64 = 20.0;
const MARK: f64 = 8.0;
/// Steps of colour.
const STEPS: usize = 20;

/// A grid of shares and what its sides count.
struct Grid<'a> {
    columns: &'a [f64],
    rows: &'a [f64],
    shares: &'a [f64],
    across: &'a str,
    up: &'a str,
    counts: &'a str,
}

/// Draws the worth of lines as colours with contours, and the lines as numbered marks with a list below.
///
/// Boards count from the bowling-hand side and grow to the right.
pub fn pocket_map(map: &WorthMap, lines: &[Line], title: &str, theme: Theme) -> Drawing {
    let grid = Grid {
        columns: &map.laydown,
        rows: &map.launch_deg,
        shares: &map.worth,
        across: "laydown, board from the bowling-hand side",
        up: "launch, degrees",
        counts: map.counts,
    };
    let places: Vec<(f64, f64)> = lines.iter().map(|l| (l.release.laydown.0, l.release.launch.0)).collect();
    let words: Vec<String> = lines.iter().map(in_words).collect();
    draw(&grid, &places, &words, title, theme)
}

fn in_words(line: &Line) -> String {
    let score = line.game.map_or_else(String::new, |game| format!(" · score {:.0}", game.mean));
    format!(
        "board {:.1} at {:.1}° · {:.1} ± {:.1} %{score}",
        line.release.laydown.0,
        line.release.launch.0,
        100.0 * line.worth,
        100.0 * line.worth_error,
    )
}

/// Draws the chance of a strike over entry board and angle, with one entry marked if it is given.
pub fn strike_map(map: &EntryMap, entry: Option<(f64, f64)>, title: &str, theme: Theme) -> Drawing {
    let grid = Grid {
        columns: &map.boards,
        rows: &map.angles_deg,
        shares: &map.strike,
        across: "entry board at the head pin, from the bowling-hand side",
        up: "entry angle, degrees",
        counts: "strikes",
    };
    let words = entry.map(|(board, angle)| format!("board {board:.1} at {angle:.1}°"));
    draw(&grid, entry.as_slice(), words.as_slice(), title, theme)
}

fn draw(grid: &Grid, places: &[(f64, f64)], words: &[String], title: &str, theme: Theme) -> Drawing {
    let height = BOTTOM + 46.0 + 30.0 + ROW * places.len() as f64;
    let mut scene = Scene::new(WIDTH, height, title, theme);
    let palette = scene.palette;
    scene.note(LEFT, 40.0, grid.up, Anchor::Start);
    let axes = Axes { x: Axis::new(grid.columns, LEFT, RIGHT), y: Axis::new(grid.rows, BOTTOM, TOP) };
    let columns = grid.columns.len();
    let whole = columns > 0 && grid.shares.len() == columns * grid.rows.len();
    scene.rect(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP, &format!("fill=\"{}\"", share(0.0)));
    if whole {
        cells(&mut scene, grid, &axes);
    }
    let marks = place_marks(places, &axes);
    if whole {
        contours(&mut scene, grid, &axes, &marks);
    }
    ticks(&mut scene, &axes, grid.across);
    for (k, mark) in marks.iter().enumerate() {
        scene.line(mark.at, mark.exact, "stroke=\"#ffffff\" stroke-width=\"1.2\"");
        scene.circle(mark.exact.0, mark.exact.1, 2.2, "class=\"exact\" fill=\"#ffffff\" stroke=\"#14121a\"");
        badge(&mut scene, mark.at, k);
    }
    scale(&mut scene, BOTTOM + 42.0, grid.counts);
    for (k, words) in words.iter().enumerate() {
        let y = BOTTOM + 46.0 + 30.0 + ROW * (k as f64 + 0.2);
        badge(&mut scene, (LEFT, y), k);
        let kind = Type { size: 11.0, colour: palette.ink, bold: false, anchor: Anchor::Start };
        scene.text(LEFT + 16.0, y + 4.0, &fit(words, 11.0, RIGHT - LEFT - 8.0), kind);
    }
    scene.finish()
}

/// From values to places of the picture.
struct Axis {
    values: Vec<f64>,
    first: f64,
    last: f64,
    from: f64,
    to: f64,
}

struct Axes {
    x: Axis,
    y: Axis,
}

impl Axis {
    fn new(values: &[f64], from: f64, to: f64) -> Self {
        let half = |a: usize, b: usize| match (values.get(a), values.get(b)) {
            (Some(a), Some(b)) if values.len() > 1 => 0.5 * (b - a),
            _ => 0.5,
        };
        let end = values.len().saturating_sub(1);
        let first = values.first().copied().unwrap_or(0.0) - half(0, 1);
        let last = values.last().copied().unwrap_or(1.0) + half(end.saturating_sub(1), end);
        Self { values: values.to_vec(), first, last, from, to }
    }

    fn at(&self, value: f64) -> f64 {
        let part = (value - self.first) / (self.last - self.first);
        self.from + (self.to - self.from) * if part.is_finite() { part.clamp(0.0, 1.0) } else { 0.0 }
    }

    /// Where cell `k` begins; `k` may be the number of cells.
    fn edge(&self, k: usize) -> f64 {
        match k {
            0 => self.from,
            k if k >= self.values.len() => self.to,
            k => self.at(f64::midpoint(self.values[k - 1], self.values[k])),
        }
    }

    /// The place of a broken index.
    fn index(&self, at: f64) -> f64 {
        let low = (at as usize).min(self.values.len().saturating_sub(2));
        let part = at - low as f64;
        self.at(self.values[low] * (1.0 - part) + self.values[low + 1] * part)
    }

    /// Round values, nine at most.
    fn ticks(&self) -> Vec<f64> {
        ticks_between(self.first, self.last, 8.0)
    }
}

fn cells(scene: &mut Scene, grid: &Grid, axes: &Axes) {
    let columns = grid.columns.len();
    let step = |value: f64| (value.clamp(0.0, 1.0) * STEPS as f64).round() as usize;
    let mut paths = vec![String::new(); STEPS + 1];
    for (row, values) in grid.shares.chunks(columns).enumerate() {
        let (low, high) = (axes.y.edge(row), axes.y.edge(row + 1));
        let mut from = 0;
        for to in 1..=columns {
            if to == columns || step(values[to]) != step(values[from]) {
                paths[step(values[from])].push_str(&block((axes.x.edge(from), low), (axes.x.edge(to), high)));
                from = to;
            }
        }
    }
    scene.open("class=\"shares\" shape-rendering=\"crispEdges\"");
    // The ground has the colour of the lowest step already.
    for (step, d) in paths.iter().enumerate().skip(1).filter(|(_, d)| !d.is_empty()) {
        scene.path(d, &format!("fill=\"{}\"", share(step as f64 / STEPS as f64)));
    }
    scene.close();
}

struct Mark {
    exact: (f64, f64),
    at: (f64, f64),
}

/// Numbers beside the places, apart from each other and inside the map.
fn place_marks(places: &[(f64, f64)], axes: &Axes) -> Vec<Mark> {
    let mut marks: Vec<Mark> = Vec::new();
    for place in places {
        let exact = (axes.x.at(place.0), axes.y.at(place.1));
        let free = |(x, y): (f64, f64), marks: &[Mark]| {
            let inside = (LEFT + MARK..=RIGHT - MARK).contains(&x) && (TOP + MARK..=BOTTOM - MARK).contains(&y);
            let clear = |other: (f64, f64), room: f64| (x - other.0).hypot(y - other.1) > room;
            inside && marks.iter().all(|m| clear(m.at, 2.0 * MARK + 2.0) && clear(m.exact, MARK + 4.0))
        };
        let ring = (0..96).map(|k| {
            let (turn, reach) = (f64::from(k % 12) / 12.0 * std::f64::consts::TAU, 15.0 + 6.0 * f64::from(k / 12));
            (exact.0 + reach * turn.cos(), exact.1 - reach * turn.sin())
        });
        let at = ring.into_iter().find(|&place| free(place, &marks)).unwrap_or(exact);
        marks.push(Mark { exact, at });
    }
    marks
}

fn contours(scene: &mut Scene, grid: &Grid, axes: &Axes, marks: &[Mark]) {
    let mut taken: Vec<(f64, f64)> = marks.iter().flat_map(|mark| [mark.at, mark.exact]).collect();
    for level in [0.2, 0.4, 0.6, 0.8] {
        let found: Vec<_> = segments(grid.shares, grid.columns.len(), level)
            .into_iter()
            .map(|ends| ends.map(|(column, row)| (axes.x.index(column), axes.y.index(row))))
            .collect();
        if found.is_empty() {
            continue;
        }
        let mut d = String::new();
        for [a, b] in &found {
            // Writing to a string cannot fail.
            let _ = write!(d, "M{} {}L{} {}", number(a.0), number(a.1), number(b.0), number(b.1));
        }
        scene.path(&d, "class=\"contour\" fill=\"none\" stroke=\"#ffffff\" stroke-width=\"1\" stroke-opacity=\"0.85\"");
        let room = |&(x, y): &(f64, f64)| {
            let near = taken.iter().map(|t| (x - t.0).hypot(y - t.1)).fold(200.0, f64::min);
            let edge = (x - LEFT).min(RIGHT - x).min(y - TOP).min(BOTTOM - y);
            near.min(2.0 * edge)
        };
        let middles = found.iter().map(|[a, b]| (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1)));
        let Some(place) = middles.max_by(|a, b| room(a).total_cmp(&room(b))) else { continue };
        if room(&place) < 18.0 {
            continue;
        }
        taken.push(place);
        scene.rect(place.0 - 12.0, place.1 - 6.5, 24.0, 13.0, "rx=\"3\" fill=\"#14121a\" fill-opacity=\"0.75\"");
        let kind = Type { size: 9.5, colour: "#ffffff", bold: false, anchor: Anchor::Middle };
        scene.text(place.0, place.1 + 3.5, &format!("{:.0} %", 100.0 * level), kind);
    }
}

fn ticks(scene: &mut Scene, axes: &Axes, across: &str) {
    let look = format!("stroke=\"{}\" stroke-width=\"0.8\"", scene.palette.quiet);
    for value in axes.x.ticks() {
        let x = axes.x.at(value);
        scene.line((x, BOTTOM), (x, BOTTOM + 4.0), &look);
        scene.note(x, BOTTOM + 15.0, &number(value), Anchor::Middle);
    }
    for value in axes.y.ticks() {
        let y = axes.y.at(value);
        scene.line((LEFT - 4.0, y), (LEFT, y), &look);
        scene.note(LEFT - 7.0, y + 3.5, &number(value), Anchor::End);
    }
    scene.note(f64::midpoint(LEFT, RIGHT), BOTTOM + 30.0, across, Anchor::Middle);
}

/// The scale of shares.
fn scale(scene: &mut Scene, y: f64, counts: &str) {
    let (from, to) = (LEFT + 92.0, RIGHT - 34.0);
    scene.note(LEFT, y + 8.0, counts, Anchor::Start);
    scene.note(from - 6.0, y + 8.0, "0", Anchor::End);
    scene.note(to + 6.0, y + 8.0, "100 %", Anchor::Start);
    scene.open("shape-rendering=\"crispEdges\"");
    steps(scene, (from, to), (y, 9.0), STEPS, share);
    scene.close();
}

fn badge(scene: &mut Scene, (x, y): (f64, f64), k: usize) {
    scene.circle(x, y, MARK, "class=\"mark\" fill=\"#ffffff\" stroke=\"#14121a\" stroke-width=\"1.2\"");
    let kind = Type { size: 10.0, colour: "#14121a", bold: true, anchor: Anchor::Middle };
    scene.text(x, y + 3.6, &(k + 1).to_string(), kind);
}
