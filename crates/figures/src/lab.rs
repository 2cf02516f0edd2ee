//! The lane of a desk, on its side across the whole width: oil, marks and paths, and under them the numbers where they are measured.

use crate::colour::Theme;
use crate::lying::{Lying, WHOLE};
use crate::oil::{Cells, OIL_LOOK, STEPS, stepped};
use crate::scale::steps;
use crate::scene::{Anchor, Drawing, Scene, Type, fit, number};
use crate::spread::spread;
use crate::trace::{Trace, follow, points};
use boardwise_lane::Lane;
use boardwise_units::{Board, Feet, Hand, INCH_M, court};

/// Text is this large where the picture is shown as wide as it was drawn.
const SIZE: f64 = 13.0;
/// Narrower than this the words beside the numbers are left out: a phone.
const WORDS_FROM: f64 = 720.0;
const LEAST: f64 = 300.0;
const MOST: f64 = 2000.0;
const LEFT: f64 = 34.0;
const TOP: f64 = 30.0;
/// Height of a row of numbers.
const ROW: f64 = 21.0;

/// What to draw on a lane across a page.
#[derive(Clone, Copy, Debug)]
pub struct WideLane<'a> {
    /// The lane, as seen from the bowling-hand side.
    pub lane: &'a Lane,
    /// The hand that bowls.
    pub hand: Hand,
    /// Its name.
    pub title: &'a str,
    /// Paths, told apart by dash and letter.
    pub traces: &'a [Trace<'a>],
    /// Rows of numbers below the lane for so many paths, whether they are drawn or not.
    pub rows: usize,
    /// Spread of the first path: many shots meant alike, as (board, feet) polylines.
    pub band: Option<&'a [Vec<(f64, f64)>]>,
    /// How wide the picture is shown, in units of which its letters have 13.
    pub width: f64,
    /// The end of the oil's scale, where it is that of another lane beside it; None: this lane's own.
    pub most: Option<f64>,
}

impl WideLane<'_> {
    /// The end of this lane's own scale of oil, and what it counts.
    pub fn own_scale(&self) -> (f64, &'static str) {
        let cells = Cells::of(self.lane);
        (cells.most, cells.counts)
    }

    /// Draws the lane without its paths.
    pub fn draw(&self, theme: Theme) -> Drawing {
        let (lane, width) = (self.lying(), self.wide());
        let mut scene = Scene::bare(width, self.height(), self.title, theme);
        lane.ground(&mut scene);
        self.oil(&mut scene, lane, theme);
        self.marks(&mut scene, lane);
        let palette = scene.palette;
        let name = Type { size: SIZE, colour: palette.ink, bold: true, anchor: Anchor::Start };
        scene.text(0.0, 16.0, &fit(self.title, SIZE, width - 190.0), name);
        let end = self.lane.pattern_end().map_or_else(String::new, |end| format!(", oil to {} ft", number(end.0)));
        scene.says(format!("{}: the lane on its side{end}.", self.title));
        scene.finish()
    }

    /// Draws only what changes while a line is dragged: band, paths and their numbers. It has no ground, so it can lie over the picture
    /// of the lane.
    pub fn overlay(&self, theme: Theme) -> Drawing {
        let lane = self.lying();
        let mut scene = Scene::bare(self.wide(), self.height(), self.title, theme);
        if let Some(band) = self.band {
            spread(&mut scene, lane, band);
        }
        for (k, trace) in self.traces.iter().enumerate() {
            follow(&mut scene, lane, k, trace.path);
        }
        for (k, trace) in self.traces.iter().enumerate() {
            points(&mut scene, lane, k, trace.path);
        }
        self.numbers(&mut scene, lane);
        scene.finish()
    }

    /// Where a place of the lane lies in the picture, for what a page lays over it.
    pub fn place(&self, board: Board, feet: Feet) -> (f64, f64) {
        self.lying().at(board.0, feet.0)
    }

    fn wide(&self) -> f64 {
        if self.width.is_finite() { self.width.clamp(LEAST, MOST) } else { MOST / 2.0 }
    }

    fn words(&self) -> bool {
        self.wide() >= WORDS_FROM
    }

    fn lying(&self) -> Lying {
        let width = self.wide();
        let tall = (0.21 * width).clamp(156.0, 290.0);
        let deck = if self.words() { 108.0 } else { 66.0 };
        Lying { hand: self.hand, foul_x: LEFT, pins_x: width - deck, top_y: TOP, foot_y: TOP + tall, cut: WHOLE }
    }

    fn height(&self) -> f64 {
        self.lying().foot_y + 34.0 + ROW * self.rows as f64
    }

    fn oil(&self, scene: &mut Scene, lane: Lying, theme: Theme) {
        let cells = Cells::of_scale(self.lane, self.most);
        scene.open(&format!("class=\"oil\" {OIL_LOOK}"));
        for (share, d) in cells.paths(|board, feet| lane.at(board, feet)) {
            scene.path(&d, &format!("fill=\"{}\"", stepped(theme, share)));
        }
        scene.close();
        let palette = scene.palette;
        let (width, kind) = (self.wide(), Type { size: SIZE, colour: palette.quiet, bold: false, anchor: Anchor::End });
        let most = number(cells.most);
        let room = 8.0 * most.len() as f64 + 4.0;
        scene.text(width, 16.0, &most, kind);
        scene.rect(width - room - 80.0, 5.0, 80.0, 13.0, &format!("fill=\"{}\"", palette.lane));
        scene.open(OIL_LOOK);
        steps(scene, (width - room - 80.0, width - room), (5.0, 13.0), STEPS, |share| stepped(theme, share));
        scene.close();
        scene.text(width - room - 86.0, 16.0, if cells.counts == "friction" { "friction 0" } else { "oil 0" }, kind);
        if let Some(end) = self.lane.pattern_end() {
            let look = format!("stroke=\"{}\" stroke-width=\"1\" stroke-dasharray=\"4 3\"", palette.quiet);
            scene.line(lane.at(0.5, end.0), lane.at(WHOLE, end.0), &look);
        }
    }

    fn marks(&self, scene: &mut Scene, lane: Lying) {
        let palette = scene.palette;
        let hair = format!("stroke=\"{}\" stroke-width=\"0.5\" stroke-opacity=\"0.8\"", palette.grid);
        let quiet = |anchor| Type { size: SIZE, colour: palette.quiet, bold: false, anchor };
        for board in (5..=35).step_by(5) {
            let (from, to) = (lane.at(f64::from(board), 0.0), lane.at(f64::from(board), court::HEAD_PIN_FT));
            scene.line(from, to, &hair);
            if self.words() || board % 10 == 0 || board == 5 {
                scene.text(lane.foul_x - 8.0, from.1 + 4.5, &board.to_string(), quiet(Anchor::End));
            }
        }
        let foot = lane.foot_y + 7.0;
        for feet in (0..=60).step_by(10).map(f64::from) {
            let (x, _) = lane.at(20.0, feet);
            scene.line((x, foot), (x, foot + 4.0), &format!("stroke=\"{}\" stroke-width=\"0.8\"", palette.quiet));
            let words = if self.words() || feet == 60.0 { format!("{} ft", number(feet)) } else { number(feet) };
            scene.text(x, foot + 18.0, &words, quiet(Anchor::Middle));
        }
        let ink = format!("fill=\"{}\" fill-opacity=\"0.8\"", palette.quiet);
        for (board, feet) in court::ARROWS {
            let (x, y) = lane.at(board.0, feet.0);
            scene.polygon(&[(x + 7.0, y), (x - 6.0, y + 3.5), (x - 6.0, y - 3.5)], &ink);
        }
        for (board, feet) in court::DOTS {
            let (x, y) = lane.at(board.0, feet.0);
            scene.circle(x, y, 1.7, &ink);
        }
        let look = format!("class=\"foul\" stroke=\"{}\" stroke-width=\"2\"", palette.ink);
        scene.line((lane.foul_x, lane.top_y), (lane.foul_x, lane.foot_y), &look);
        let accent = format!("class=\"window\" fill=\"{}\" fill-opacity=\"0.45\"", palette.accent);
        let ((x, low), (_, high)) = (lane.at(16.5, court::HEAD_PIN_FT), lane.at(18.5, court::HEAD_PIN_FT));
        scene.rect(x - 10.0, low.min(high), 10.0, (low - high).abs(), &accent);
        let look = format!("class=\"pin\" fill=\"{}\" stroke=\"{}\" stroke-width=\"1.2\"", palette.pin, palette.ink);
        for (across_in, behind_in) in court::PIN_SPOTS_IN {
            let (x, y) = lane.at(Board::from_metres(across_in * INCH_M).0, court::HEAD_PIN_FT);
            scene.circle(x + 9.0 + behind_in / 10.392_3 * 14.0, y, 5.5, &look);
        }
    }

    /// A row for each path, its numbers under the places where they are measured.
    fn numbers(&self, scene: &mut Scene, lane: Lying) {
        let width = self.wide();
        let right = lane.pins_x;
        for (k, trace) in self.traces.iter().take(self.rows).enumerate() {
            let y = lane.foot_y + 34.0 + ROW * (k as f64 + 0.75);
            let colour = scene.palette.traces[k % 4];
            let kind = |anchor, bold| Type { size: SIZE, colour, bold, anchor };
            let letter: String = trace.label.chars().take(1).collect();
            scene.text(0.0, y, &letter, kind(Anchor::Start, true));
            let path = trace.path;
            let (at_arrows, _) = lane.at(20.0, 15.0);
            if let Some(first) = path.rows.first() {
                let words = self.told(first.board, "laydown ", "");
                scene.text(lane.foul_x - 6.0, y, &words, kind(Anchor::Start, false));
            }
            if let Some(arrows) = path.arrows {
                scene.text(at_arrows, y, &self.told(arrows.board.0, "", " at the arrows"), kind(Anchor::Middle, true));
            }
            let turn = path.breakpoint;
            if turn.feet.0 > 0.5 && turn.board.0.is_finite() {
                let room = if self.words() { 130.0 } else { 62.0 };
                let x = lane.at(20.0, turn.feet.0).0.clamp(at_arrows + room, (right - room).max(at_arrows + room));
                let feet = format!(" at {:.0} ft", turn.feet.0);
                let words = self.told(turn.board.0, "turns at ", &feet);
                scene.text(x, y, &words, kind(Anchor::Middle, false));
            }
            let end = match (&path.touch, path.gutter) {
                (_, Some((feet, _))) => format!("gutter, {:.0} ft", feet.0),
                (Some(touch), None) if self.words() => format!("in at {:.1}, {:.1}°", touch.board().0, touch.angle().0),
                (Some(touch), None) => format!("{:.1}, {:.1}°", touch.board().0, touch.angle().0),
                (None, None) => "no pin".to_owned(),
            };
            scene.text(width, y, &end, kind(Anchor::End, true));
        }
    }

    /// A board, with words about it where there is room.
    fn told(&self, board: f64, before: &str, after: &str) -> String {
        if self.words() { format!("{before}{board:.1}{after}") } else { format!("{board:.1}") }
    }
}
