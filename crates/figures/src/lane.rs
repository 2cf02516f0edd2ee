//! The lane, upright and stretched across: oil, marks, paths, entry window and pins.

use crate::colour::Theme;
use crate::frame::{Frame, boards, feet, ground, marks, pattern_end};
use crate::oil::{Cells, OIL_LOOK, STEPS, stepped};
use crate::scene::{Anchor, Drawing, Scene, Type, fit, number};
use crate::spread::{BANDS, CROWD, spread};
use crate::trace::{Trace, bar, cross, diamond, follow, points};
use boardwise_lane::Lane;
use boardwise_score::PinSet;
use boardwise_units::{Board, Feet, Hand, INCH_M, court};

/// What to draw on a lane.
#[derive(Clone, Copy, Debug)]
pub struct LanePicture<'a> {
    /// The lane, as seen from the bowling-hand side.
    pub lane: &'a Lane,
    /// The hand that bowls: board 1 is drawn on its side.
    pub hand: Hand,
    /// Heading.
    pub title: &'a str,
    /// Paths, told apart by dash and label.
    pub traces: &'a [Trace<'a>],
    /// Spread of the first trace: many shots meant alike, as (board, feet) polylines. The picture shows the bands that hold half of
    /// them and eight in ten; it leaves out fewer than 20 shots.
    pub band: Option<&'a [Vec<(f64, f64)>]>,
    /// Entry window at the pins; boards 16.5 to 18.5 unless given.
    pub window: Option<(Board, Board)>,
    /// The pins that stand, by their own numbers; all ten unless given. If given, no entry window is drawn.
    pub standing: Option<PinSet>,
}

const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 698.0;
/// Edges of the lane, for a right-hander.
const AWAY_X: f64 = 36.0;
const HAND_X: f64 = 250.5;
const GUTTER: f64 = 7.0;
/// Where words of the margin begin.
const MARGIN_X: f64 = HAND_X + GUTTER + 9.0;
const PINS_Y: f64 = 118.0;
const FOUL_Y: f64 = 658.0;

impl LanePicture<'_> {
    /// Draws it.
    pub fn draw(&self, theme: Theme) -> Drawing {
        let mut scene = Scene::new(WIDTH, HEIGHT, self.title, theme);
        let frame = self.frame();
        ground(&mut scene, frame);
        self.oil(&mut scene, frame, theme);
        boards(&mut scene, frame, 5);
        feet(&mut scene, frame);
        marks(&mut scene, frame, 3.0);
        pattern_end(&mut scene, frame, self.lane);
        if let Some(band) = self.band {
            spread(&mut scene, frame, band);
        }
        if self.standing.is_none() {
            self.window(&mut scene, frame);
        }
        self.pins(&mut scene, frame);
        self.paths(&mut scene, frame);
        self.key(&mut scene, frame);
        scene.says(self.said());
        scene.finish()
    }

    fn said(&self) -> String {
        let oil = self.lane.pattern_end().map_or_else(String::new, |end| format!(", oil to {} ft", number(end.0)));
        let turns = self.traces.iter().map(|trace| {
            let turn = trace.path.breakpoint;
            format!(" {} turns at board {:.1}, {:.0} ft.", trace.label, turn.board.0, turn.feet.0)
        });
        format!("{}: the lane from above{oil}.{}", self.title, turns.collect::<String>())
    }

    /// Where a place of the lane lies in the picture, for what a page lays over it.
    pub fn place(&self, board: Board, feet: Feet) -> (f64, f64) {
        self.frame().at(board.0, feet.0)
    }

    fn frame(&self) -> Frame {
        Frame {
            hand: self.hand,
            away_x: AWAY_X,
            hand_x: HAND_X,
            gutter: GUTTER,
            pins_y: PINS_Y,
            top_y: 34.0,
            foul_y: FOUL_Y,
            mirror: WIDTH,
        }
    }

    fn paths(&self, scene: &mut Scene, frame: Frame) {
        for (k, trace) in self.traces.iter().enumerate() {
            follow(scene, frame, k, trace.path);
        }
        self.labels(scene, frame);
        for (k, trace) in self.traces.iter().enumerate() {
            points(scene, frame, k, trace.path);
        }
    }

    fn oil(&self, scene: &mut Scene, frame: Frame, theme: Theme) {
        let cells = Cells::of(self.lane);
        scene.open(&format!("class=\"oil\" {OIL_LOOK}"));
        for (share, d) in cells.paths(|board, feet| frame.at(board, feet)) {
            scene.path(&d, &format!("fill=\"{}\"", stepped(theme, share)));
        }
        scene.close();
        // The scale, in the margin's lower part.
        let (top, bottom) = (FOUL_Y - 128.0, FOUL_Y - 8.0);
        let lane = scene.palette.lane;
        let bar = (MARGIN_X, MARGIN_X + 10.0);
        frame.rect(scene, bar, (top, bottom), &format!("fill=\"{lane}\""));
        scene.open(OIL_LOOK);
        let height = (bottom - top) / STEPS as f64;
        for step in 0..STEPS {
            let low = bottom - step as f64 * height;
            let fill = stepped(theme, (step as f64 + 0.5) / STEPS as f64);
            frame.rect(scene, bar, (low - height, low), &format!("fill=\"{fill}\""));
        }
        scene.close();
        frame.note(scene, MARGIN_X, top - 9.0, cells.counts, Anchor::Start);
        for quarter in 0..=4 {
            let share = f64::from(quarter) / 4.0;
            let y = bottom + (top - bottom) * share;
            frame.note(scene, MARGIN_X + 15.0, y + 3.5, &number(cells.most * share), Anchor::Start);
        }
    }

    fn window(&self, scene: &mut Scene, frame: Frame) {
        let (low, high) = self.window_boards();
        let ((a, bottom), (b, top)) = (frame.at(low, 57.6), frame.at(high, 60.0));
        let accent = scene.palette.accent;
        let look = format!(
            "class=\"window\" fill=\"{accent}\" fill-opacity=\"0.35\" stroke=\"{accent}\" stroke-width=\"1.2\""
        );
        scene.rect(a.min(b), top, (b - a).abs(), bottom - top, &look);
    }

    fn window_boards(&self) -> (f64, f64) {
        let (low, high) = self.window.unwrap_or((Board(16.5), Board(18.5)));
        (low.0.min(high.0), low.0.max(high.0))
    }

    /// The pins: true to scale across, drawn apart along the lane so that they stay round. Fallen pins are dots.
    fn pins(&self, scene: &mut Scene, frame: Frame) {
        let palette = scene.palette;
        let look = format!("class=\"pin\" fill=\"{}\" stroke=\"{}\" stroke-width=\"1.2\"", palette.pin, palette.ink);
        // Spots are those a right-hander sees from the hand side.
        let standing = self.standing.unwrap_or(PinSet::ALL).for_hand(self.hand);
        for pin in PinSet::ALL {
            let (right_in, behind_in) = court::PIN_SPOTS_IN[pin.index()];
            let (x, y) = frame.at(Board::from_metres(right_in * INCH_M).0, 60.0);
            let y = y - 9.0 - behind_in / 10.392_3 * 19.0;
            if standing.contains(pin) {
                scene.circle(x, y, 6.5, &look);
            } else {
                scene.circle(x, y, 1.6, &format!("fill=\"{}\"", palette.quiet));
            }
        }
    }

    /// Names beside the breakpoints, moved apart where they would meet.
    fn labels(&self, scene: &mut Scene, frame: Frame) {
        const ROW: f64 = 28.0;
        let room = WIDTH - MARGIN_X - 6.0;
        let mut order: Vec<usize> = (0..self.traces.len()).collect();
        let point = |k: usize| frame.place(self.traces[k].path.breakpoint);
        order.sort_by(|&a, &b| point(a).1.total_cmp(&point(b).1));
        let lowest = FOUL_Y - 170.0;
        let mut free = PINS_Y + 26.0;
        for (done, &k) in order.iter().enumerate() {
            let left = (order.len() - done - 1) as f64;
            let y = point(k).1.max(free).min((lowest - left * ROW).max(free));
            if y > lowest {
                break;
            }
            free = y + ROW;
            let colour = scene.palette.traces[k % 4];
            let ((x, from), edge) = (point(k), frame.across(HAND_X + GUTTER + 1.0));
            let look = format!("stroke=\"{}\" stroke-width=\"0.8\"", scene.palette.quiet);
            let bend = frame.across(HAND_X - 4.0);
            scene.polyline(&[(x, from), (bend, from), (edge, y), (frame.across(MARGIN_X - 2.0), y)], &look);
            let kind = Type { size: 11.0, colour, bold: true, anchor: frame.anchor(Anchor::Start) };
            scene.text(frame.across(MARGIN_X), y + 3.5, &fit(self.traces[k].label, 11.0, room), kind);
            let turn = self.traces[k].path.breakpoint;
            let words = match turn.feet.0 {
                ..0.5 => "at the foul line".to_owned(),
                feet => format!("{:.1} at {feet:.0} ft", turn.board.0),
            };
            frame.note(scene, MARGIN_X, y + 15.0, &words, Anchor::Start);
        }
    }

    /// What the signs mean, beside the pins.
    fn key(&self, scene: &mut Scene, frame: Frame) {
        let palette = scene.palette;
        let x = MARGIN_X + 5.0;
        let mut y = 46.0;
        let mut row = |scene: &mut Scene, words: &str, sign: &dyn Fn(&mut Scene, f64, f64)| {
            sign(scene, frame.across(x), y);
            frame.note(scene, x + 10.0, y + 3.5, words, Anchor::Start);
            y += 14.0;
        };
        let (low, high) = self.window_boards();
        if self.standing.is_none() {
            row(scene, &format!("entry {}–{}", number(low), number(high)), &|scene, x, y| {
                let look = format!("fill=\"{0}\" fill-opacity=\"0.35\" stroke=\"{0}\"", palette.accent);
                scene.rect(x - 4.0, y - 4.0, 8.0, 8.0, &look);
            });
        }
        if self.band.is_some_and(|band| band.len() >= CROWD) {
            for (k, (_, _, share, alone)) in BANDS.iter().enumerate() {
                let words = match self.traces {
                    [first, _, ..] => format!("{share}, {}", fit(first.label, 11.0, 44.0)),
                    _ => (*alone).to_owned(),
                };
                row(scene, &words, &|scene, x, y| {
                    // The inner band lies on the outer one.
                    for (_, part, ..) in &BANDS[..=k] {
                        let look = format!("fill=\"{}\" fill-opacity=\"{part}\"", palette.ink);
                        scene.rect(x - 5.0, y - 4.0, 10.0, 8.0, &look);
                    }
                });
            }
        }
        if !self.traces.is_empty() {
            row(scene, "breakpoint", &|scene, x, y| diamond(scene, (x, y), palette.ink));
        }
        if self.traces.iter().any(|trace| trace.path.exit.is_some()) {
            row(scene, "leaves oil", &|scene, x, y| bar(scene, (x, y), palette.ink));
        }
        if self.traces.iter().any(|trace| trace.path.gutter.is_some()) {
            row(scene, "gutter", &|scene, x, y| cross(scene, (x, y), palette.ink));
        }
        if let Some(end) = self.lane.pattern_end() {
            row(scene, &format!("oil to {} ft", number(end.0)), &|scene, x, y| {
                let look = format!("stroke=\"{}\" stroke-dasharray=\"4 3\"", palette.quiet);
                scene.line((x - 6.0, y), (x + 6.0, y), &look);
            });
        }
    }
}
