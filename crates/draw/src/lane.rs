//! The lane, upright and stretched across: oil, marks, paths, entry window and pins.

use crate::colour::{DASHES, Theme};
use crate::oil::{Cells, OIL_LOOK, STEPS, stepped};
use crate::scene::{Anchor, Drawing, Scene, Type, fit, number};
use lane::{Lane, Path, Place};
use measure::{Board, Feet, Hand, court};
use score::PinSet;

/// One ball's path on a lane picture.
#[derive(Clone, Copy, Debug)]
pub struct Trace<'a> {
    /// Its name, shown beside its breakpoint.
    pub label: &'a str,
    /// The throw.
    pub path: &'a Path,
}

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
    /// Spread of the first trace: many shots meant alike, as (board, feet) polylines. Drawn as the bands that hold half of them and eight
    /// in ten; fewer than 20 are not drawn.
    pub band: Option<&'a [Vec<(f64, f64)>]>,
    /// Entry window at the pins; boards 16.5 to 18.5 unless given.
    pub window: Option<(Board, Board)>,
    /// The pins that stand, numbered as they are; all ten unless given, and then no entry window is drawn.
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

/// Places of the picture.
#[derive(Clone, Copy)]
struct Frame {
    hand: Hand,
}

impl Frame {
    /// A horizontal place, given for a right-hander.
    fn across(self, x: f64) -> f64 {
        match self.hand {
            Hand::Right => x,
            Hand::Left => WIDTH - x,
        }
    }

    fn anchor(self, anchor: Anchor) -> Anchor {
        match self.hand {
            Hand::Right => anchor,
            Hand::Left => anchor.flipped(),
        }
    }

    /// A place on the lane; what lies beyond its edges is drawn in the gutter.
    fn at(self, board: f64, feet: f64) -> (f64, f64) {
        let board = board.clamp(0.0, 40.0);
        let feet = feet.clamp(0.0, court::HEAD_PIN_FT);
        let x = HAND_X - (board - 0.5) / court::BOARDS as f64 * (HAND_X - AWAY_X);
        (self.across(x), FOUL_Y + (PINS_Y - FOUL_Y) * feet / court::HEAD_PIN_FT)
    }

    fn place(self, place: Place) -> (f64, f64) {
        self.at(place.board.0, place.feet.0)
    }

    fn rect(self, scene: &mut Scene, x: (f64, f64), y: (f64, f64), look: &str) {
        let (a, b) = (self.across(x.0), self.across(x.1));
        scene.rect(a.min(b), y.0, (b - a).abs(), y.1 - y.0, look);
    }

    fn note(self, scene: &mut Scene, x: f64, y: f64, words: &str, anchor: Anchor) {
        scene.note(self.across(x), y, words, self.anchor(anchor));
    }
}

impl LanePicture<'_> {
    /// Draws it.
    pub fn draw(&self, theme: Theme) -> Drawing {
        let mut scene = Scene::new(WIDTH, HEIGHT, self.title, theme);
        let frame = Frame { hand: self.hand };
        ground(&mut scene, frame);
        self.oil(&mut scene, frame, theme);
        marks(&mut scene, frame);
        self.pattern_end(&mut scene, frame);
        if let Some(band) = self.band {
            spread(&mut scene, frame, band);
        }
        if self.standing.is_none() {
            self.window(&mut scene, frame);
        }
        self.pins(&mut scene, frame);
        for (k, trace) in self.traces.iter().enumerate() {
            follow(&mut scene, frame, k, trace.path);
        }
        self.labels(&mut scene, frame);
        for (k, trace) in self.traces.iter().enumerate() {
            points(&mut scene, frame, k, trace.path);
        }
        self.key(&mut scene, frame);
        scene.finish()
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

    fn pattern_end(&self, scene: &mut Scene, frame: Frame) {
        let Some(end) = self.lane.pattern_end() else { return };
        let look = format!("stroke=\"{}\" stroke-width=\"1\" stroke-dasharray=\"4 3\"", scene.palette.quiet);
        scene.line(frame.at(0.5, end.0), frame.at(39.5, end.0), &look);
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

    /// The pins: true across, drawn apart along so that they stay round; where some are down, their spots as dots.
    fn pins(&self, scene: &mut Scene, frame: Frame) {
        let palette = scene.palette;
        let look = format!("class=\"pin\" fill=\"{}\" stroke=\"{}\" stroke-width=\"1.2\"", palette.pin, palette.ink);
        // Spots are those a right-hander sees from the hand side.
        let standing = self.standing.unwrap_or(PinSet::ALL).for_hand(self.hand);
        for pin in PinSet::ALL {
            let (right_in, behind_in) = court::PIN_SPOTS_IN[pin.index()];
            let (x, y) = frame.at(Board::from_metres(right_in * 0.0254).0, 60.0);
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

fn ground(scene: &mut Scene, frame: Frame) {
    let palette = scene.palette;
    frame.rect(scene, (AWAY_X - GUTTER, HAND_X + GUTTER), (34.0, FOUL_Y), &format!("fill=\"{}\"", palette.gutter));
    frame.rect(scene, (AWAY_X, HAND_X), (34.0, FOUL_Y), &format!("fill=\"{}\"", palette.lane));
}

/// Boards every five, feet every five, arrows and dots.
fn marks(scene: &mut Scene, frame: Frame) {
    let palette = scene.palette;
    let hair = format!("stroke=\"{}\" stroke-width=\"0.5\" stroke-opacity=\"0.8\"", palette.grid);
    for board in (5..=35).step_by(5).map(f64::from) {
        scene.line(frame.at(board, 0.0), frame.at(board, 60.0), &hair);
        scene.note(frame.at(board, 0.0).0, FOUL_Y + 15.0, &number(board), Anchor::Middle);
    }
    frame.note(scene, f64::midpoint(AWAY_X, HAND_X), FOUL_Y + 30.0, "board", Anchor::Middle);
    for feet in (0..=60).step_by(5).map(f64::from) {
        let (_, y) = frame.at(20.0, feet);
        let ten = feet % 10.0 == 0.0;
        let long = if ten { 5.0 } else { 2.5 };
        let edge = AWAY_X - GUTTER;
        let look = format!("stroke=\"{}\" stroke-width=\"0.8\"", palette.quiet);
        scene.line((frame.across(edge), y), (frame.across(edge - long), y), &look);
        if ten {
            frame.note(scene, edge - 8.0, y + 3.5, &number(feet), Anchor::End);
        }
    }
    frame.note(scene, AWAY_X - GUTTER - 8.0, PINS_Y - 9.0, "ft", Anchor::End);
    let ink = format!("fill=\"{}\" fill-opacity=\"0.75\"", palette.quiet);
    for (board, feet) in court::ARROWS {
        let (x, y) = frame.at(board.0, feet.0);
        scene.polygon(&[(x, y - 5.0), (x + 3.0, y + 5.0), (x - 3.0, y + 5.0)], &ink);
    }
    for (board, feet) in court::DOTS {
        let (x, y) = frame.at(board.0, feet.0);
        scene.circle(x, y, 1.4, &ink);
    }
    let foul = format!("stroke=\"{}\" stroke-width=\"2\"", palette.ink);
    scene.line(frame.at(0.5, 0.0), frame.at(39.5, 0.0), &foul);
}

/// Fewest paths whose quantiles are worth drawing.
const CROWD: usize = 20;

/// The two bands of a spread: the share of shots left out on each side, how strongly it is inked, what it is called
/// where several throws are drawn and where one is.
const BANDS: [(f64, f64, &str, &str); 2] =
    [(0.1, 0.16, "8 in 10", "8 in 10 shots"), (0.25, 0.22, "half", "half the shots")];

/// Foot by foot, the boards between which the middle half and the middle eight tenths of many shots pass.
fn spread(scene: &mut Scene, frame: Frame, band: &[Vec<(f64, f64)>]) {
    if band.len() < CROWD {
        return;
    }
    let ink = scene.palette.ink;
    for (tail, part, ..) in BANDS {
        let (mut low, mut high) = (Vec::new(), Vec::new());
        for feet in (0..=60).map(f64::from) {
            let mut boards: Vec<f64> = band.iter().filter_map(|path| board_at(path, feet)).collect();
            boards.sort_by(f64::total_cmp);
            let Some(last) = boards.len().checked_sub(1) else { continue };
            let at = |share: f64| boards[(share * last as f64).round() as usize];
            low.push(frame.at(at(tail), feet));
            high.push(frame.at(at(1.0 - tail), feet));
        }
        low.extend(high.into_iter().rev());
        let look = format!("class=\"band\" fill=\"{ink}\" fill-opacity=\"{part}\"");
        scene.polygon(&low, &look);
    }
}

/// The board of a polyline at a distance. A ball in the gutter stays on its last board, so that it goes on counting on the
/// side where it was lost.
fn board_at(path: &[(f64, f64)], feet: f64) -> Option<f64> {
    let finite = |(a, b): (f64, f64)| a.is_finite() && b.is_finite();
    if let Some(&end) = path.last().filter(|&&end| finite(end) && end.1 <= feet) {
        return Some(end.0);
    }
    path.windows(2).find_map(|pair| {
        let [(a, from), (b, to)] = *pair else { return None };
        let part = (feet - from) / (to - from);
        ((0.0..=1.0).contains(&part) && a.is_finite() && b.is_finite()).then_some(a + (b - a) * part)
    })
}

fn on_lane(frame: Frame, path: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let finite = path.iter().filter(|(board, feet)| board.is_finite() && feet.is_finite());
    finite.map(|&(board, feet)| frame.at(board, feet)).collect()
}

/// The path as boards and feet, up to the first touch of a pin.
fn until_touch(path: &Path) -> Vec<(f64, f64)> {
    let rows = path.rows.iter().map(|row| (row.board, row.feet));
    let Some(touch) = path.touch else { return rows.collect() };
    let feet = Feet::from_metres(touch.entry.y_m).0;
    // Pins behind the head pin are not drawn to scale along the lane: there the head pin's row ends the path.
    if feet > court::HEAD_PIN_FT {
        return rows.collect();
    }
    rows.filter(|row| row.1 < feet).chain([(touch.board().0, feet)]).collect()
}

fn follow(scene: &mut Scene, frame: Frame, k: usize, path: &Path) {
    let points = on_lane(frame, &until_touch(path));
    let palette = scene.palette;
    let round = "stroke-linejoin=\"round\" stroke-linecap=\"round\"";
    let casing = palette.casing;
    scene.polyline(&points, &format!("stroke=\"{casing}\" stroke-width=\"5\" stroke-opacity=\"0.85\" {round}"));
    let dash = match DASHES[(k + k / 4) % 4] {
        "" => String::new(),
        dash => format!(" stroke-dasharray=\"{dash}\""),
    };
    let colour = palette.traces[k % 4];
    scene.polyline(&points, &format!("class=\"trace\" stroke=\"{colour}\" stroke-width=\"2.2\" {round}{dash}"));
}

fn points(scene: &mut Scene, frame: Frame, k: usize, path: &Path) {
    let colour = scene.palette.traces[k % 4];
    if let Some(exit) = path.exit {
        bar(scene, frame.place(exit), colour);
    }
    diamond(scene, frame.place(path.breakpoint), colour);
    if let (Some(_), Some(last)) = (path.gutter, path.rows.last()) {
        cross(scene, frame.at(last.board, last.feet), colour);
    }
}

fn diamond(scene: &mut Scene, (x, y): (f64, f64), colour: &str) {
    let look = format!("class=\"breakpoint\" fill=\"{colour}\" stroke=\"{}\" stroke-width=\"1\"", scene.palette.casing);
    scene.polygon(&[(x, y - 5.5), (x + 5.5, y), (x, y + 5.5), (x - 5.5, y)], &look);
}

fn bar(scene: &mut Scene, (x, y): (f64, f64), colour: &str) {
    let look = format!("class=\"exit\" fill=\"{colour}\" stroke=\"{}\" stroke-width=\"1\"", scene.palette.casing);
    scene.rect(x - 6.5, y - 2.0, 13.0, 4.0, &look);
}

fn cross(scene: &mut Scene, (x, y): (f64, f64), colour: &str) {
    let look = format!("stroke=\"{colour}\" stroke-width=\"2\"");
    scene.line((x - 4.0, y - 4.0), (x + 4.0, y + 4.0), &look);
    scene.line((x - 4.0, y + 4.0), (x + 4.0, y - 4.0), &look);
}
