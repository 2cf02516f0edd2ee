//! The lane upright for a phone at the lanes: the line, wider where it is less sure, the last shots, and unknown boards.

use crate::colour::Theme;
use crate::oil::{Cells, OIL_LOOK, stepped};
use crate::scene::{Anchor, Drawing, Scene, Type, number};
use boardwise_lane::Lane;
use boardwise_units::{Hand, court};
use std::fmt::Write;

const WIDTH: f64 = 360.0;
const LEFT: f64 = 34.0;
const RIGHT: f64 = WIDTH - LEFT;
const TOP: f64 = 12.0;
/// Room below the foul line for the boards' numbers and the note.
const BELOW: f64 = 36.0;
/// Where each stretch of the lane ends, in feet, and how tall its feet are drawn against the midlane's. The first and the last
/// stretch matter most.
const STRETCHES: [(f64, f64); 3] = [(15.0, 1.6), (40.0, 1.0), (60.0, 1.6)];
/// Smallest text: 12 pixels where the picture is as wide as the phone.
const SMALL: f64 = 12.0;
/// How strongly shots are inked, the last one first.
pub(crate) const FADING: [f64; 3] = [0.85, 0.5, 0.28];
/// Where a move of the feet is drawn: just past the foul line, clear of it.
const MOVED_AT_FT: f64 = 1.0;
/// Where a move of the eyes is drawn.
const ARROWS_FT: f64 = 15.0;
/// Distance between the strokes of a hatch.
const HATCH: f64 = 9.0;

/// Where the line runs at a distance, by the belief.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// Distance from the foul line.
    pub feet: f64,
    /// Board in the middle of the belief.
    pub board: f64,
    /// One end of the range of boards; the caller chooses how sure it is.
    pub low: f64,
    /// The other end.
    pub high: f64,
}

/// A lane for a page at the lanes. It has no pins, because the page's ten buttons lie above it. Boards count from the
/// bowling-hand side; for a left-hander everything is mirrored. The SVG has no style rules.
#[derive(Clone, Copy, Debug)]
pub struct UprightLane<'a> {
    /// The lane by the belief, as seen from the bowling-hand side.
    pub lane: &'a Lane,
    /// The hand that bowls.
    pub hand: Hand,
    /// For people who listen to the picture.
    pub title: &'a str,
    /// The present line, foot by foot; empty where there is none.
    pub line: &'a [Expected],
    /// Boards and feet of the line before, where the present one is a move away from it; empty where it is not.
    pub before: &'a [(f64, f64)],
    /// Boards and feet of the last shots, the last one first; three are drawn.
    pub shots: &'a [Vec<(f64, f64)>],
    /// Whether a ball has crossed a board today, from board 1 on.
    pub travelled: &'a [bool; court::BOARDS],
    /// Height of the picture, held to [`Self::LOW`] to [`Self::TALL`]. Text keeps its size.
    pub height: f64,
}

impl UprightLane<'_> {
    /// As tall as a common phone has room for.
    pub const TALL: f64 = 470.0;
    /// As low as keeps the numbers of feet apart.
    pub const LOW: f64 = 260.0;

    /// The oil, toned down so that the belief stands out; `place` turns a board and a distance into a place of the picture.
    pub(crate) fn quiet_oil(&self, scene: &mut Scene, theme: Theme, place: impl Fn(f64, f64) -> (f64, f64)) {
        scene.open("class=\"quiet-oil\" opacity=\"0.6\"");
        scene.open(OIL_LOOK);
        for (share, d) in Cells::of(self.lane).paths(place) {
            scene.path(&d, &format!("fill=\"{}\"", stepped(theme, share)));
        }
        scene.close();
        scene.close();
    }

    /// Draws it.
    pub fn draw(&self, theme: Theme) -> Drawing {
        let mut scene = Scene::bare(WIDTH, self.tall(), self.title, theme);
        let (palette, foul) = (scene.palette, self.foul());
        scene.rect(LEFT - 8.0, TOP, RIGHT - LEFT + 16.0, foul - TOP, &format!("fill=\"{}\"", palette.gutter));
        scene.rect(LEFT, TOP, RIGHT - LEFT, foul - TOP, &format!("fill=\"{}\"", palette.lane));
        self.quiet_oil(&mut scene, theme, |board, feet| self.at(board, feet));
        self.unknown(&mut scene);
        self.marks(&mut scene);
        self.belief(&mut scene);
        let moved = self.moved_from(&mut scene, |board, feet| self.at(board, feet));
        for row in moved {
            arrow(&mut scene, row);
        }
        for (shot, part) in self.shots.iter().zip(FADING).rev() {
            let look = format!(
                "class=\"shot\" stroke=\"{}\" stroke-width=\"2\" stroke-opacity=\"{part}\" stroke-dasharray=\"2 3.5\"",
                palette.ink
            );
            scene.polyline(&self.on_lane(shot.iter().copied()), &look);
        }
        scene.finish()
    }

    fn tall(&self) -> f64 {
        if self.height.is_nan() { Self::TALL } else { self.height.clamp(Self::LOW, Self::TALL) }
    }

    /// Where the foul line lies.
    fn foul(&self) -> f64 {
        self.tall() - BELOW
    }

    fn at(&self, board: f64, feet: f64) -> (f64, f64) {
        let x = RIGHT - (board.clamp(0.0, 40.0) - 0.5) / court::BOARDS as f64 * (RIGHT - LEFT);
        let x = if self.hand == Hand::Left { WIDTH - x } else { x };
        (x, self.foul() - (self.foul() - TOP) * stretched(feet) / stretched(court::HEAD_PIN_FT))
    }

    fn on_lane(&self, places: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
        let finite = places.filter(|(board, feet)| board.is_finite() && feet.is_finite());
        finite.map(|(board, feet)| self.at(board, feet)).collect()
    }

    /// The line before, in long dashes; gives where the move from it begins and ends, at the foul line and at the arrows.
    pub(crate) fn moved_from(
        &self,
        scene: &mut Scene,
        place: impl Fn(f64, f64) -> (f64, f64),
    ) -> Vec<((f64, f64), (f64, f64))> {
        let finite = self.before.iter().filter(|(board, feet)| board.is_finite() && feet.is_finite());
        let line: Vec<_> = finite.map(|(board, feet)| place(board.clamp(0.0, 40.0), *feet)).collect();
        if line.is_empty() {
            return Vec::new();
        }
        let look =
            format!("class=\"before\" stroke=\"{}\" stroke-width=\"1.6\" stroke-dasharray=\"9 5\"", scene.palette.ink);
        scene.polyline(&line, &look);
        let near = |feet: f64| {
            let was = self.before.iter().find(|(_, at)| (at - feet).abs() < 0.01)?;
            let is = self.line.iter().find(|one| (one.feet - feet).abs() < 0.01)?;
            Some((place(was.0, feet), place(is.board, feet)))
        };
        [MOVED_AT_FT, ARROWS_FT].into_iter().filter_map(near).collect()
    }

    /// Runs of boards that nobody has crossed: for each, the number of boards before its beginning and before its end.
    pub(crate) fn unknown_boards(&self) -> Vec<(usize, usize)> {
        let mut runs = Vec::new();
        let mut from = 0;
        for run in self.travelled.chunk_by(|a, b| a == b) {
            let to = from + run.len();
            if !run[0] {
                runs.push((from, to));
            }
            from = to;
        }
        runs
    }

    /// Hatches them, so that nobody takes unseen boards for dry.
    fn unknown(&self, scene: &mut Scene) {
        let (palette, foul) = (scene.palette, self.foul());
        for (from, to) in self.unknown_boards() {
            let (a, b) = (self.at(from as f64 + 0.5, 0.0).0, self.at(to as f64 + 0.5, 0.0).0);
            let (a, b) = (a.min(b), a.max(b));
            let look = format!("class=\"unknown\" fill=\"{}\" fill-opacity=\"0.72\"", palette.lane);
            scene.rect(a, TOP, b - a, foul - TOP, &look);
            let hatch =
                format!("class=\"hatch\" stroke=\"{}\" stroke-width=\"0.7\" stroke-opacity=\"0.6\"", palette.quiet);
            scene.path(&hatched((a, b), (TOP, foul)), &hatch);
        }
        if self.travelled.contains(&false) {
            note(scene, (WIDTH - 8.0, self.tall() - 3.0), "hatched: not crossed yet", Anchor::End);
        }
    }

    fn marks(&self, scene: &mut Scene) {
        let (palette, foul) = (scene.palette, self.foul());
        let hair = format!("stroke=\"{}\" stroke-width=\"0.5\"", palette.grid);
        for board in (5..=35).step_by(5) {
            let (x, _) = self.at(f64::from(board), 0.0);
            scene.line((x, TOP), (x, foul), &hair);
            note(scene, (x, foul + 15.0), &board.to_string(), Anchor::Middle);
        }
        for feet in [0.0, 15.0, 30.0, 40.0, 50.0, 60.0] {
            let (_, y) = self.at(20.0, feet);
            note(scene, (LEFT - 11.0, y + 4.0), &number(feet), Anchor::End);
        }
        note(scene, (8.0, self.tall() - 3.0), "feet at the side, boards below", Anchor::Start);
        let ink = format!("fill=\"{}\"", palette.quiet);
        for (board, feet) in court::ARROWS {
            let (x, y) = self.at(board.0, feet.0);
            scene.polygon(&[(x, y - 6.0), (x + 4.0, y + 6.0), (x - 4.0, y + 6.0)], &ink);
        }
        for (board, feet) in court::DOTS {
            let (x, y) = self.at(board.0, feet.0);
            scene.circle(x, y, 1.8, &ink);
        }
        scene.line((LEFT, foul), (RIGHT, foul), &format!("stroke=\"{}\" stroke-width=\"2.5\"", palette.ink));
    }

    fn belief(&self, scene: &mut Scene) {
        let accent = scene.palette.accent;
        let mut edge = self.on_lane(self.line.iter().map(|place| (place.low, place.feet)));
        edge.extend(self.on_lane(self.line.iter().rev().map(|place| (place.high, place.feet))));
        scene.polygon(&edge, &format!("class=\"ribbon\" fill=\"{accent}\" fill-opacity=\"0.4\""));
        let middle = self.on_lane(self.line.iter().map(|place| (place.board, place.feet)));
        scene.polyline(&middle, &format!("class=\"line\" stroke=\"{accent}\" stroke-width=\"2.6\""));
    }
}

/// An arrow from one place to another; none where they are too near for one.
pub(crate) fn arrow(scene: &mut Scene, ((x0, y0), (x1, y1)): ((f64, f64), (f64, f64))) {
    const HEAD: f64 = 7.0;
    let far = (x1 - x0).hypot(y1 - y0);
    if far < HEAD {
        return;
    }
    let (along_x, along_y) = ((x1 - x0) / far, (y1 - y0) / far);
    let foot = (x1 - HEAD * along_x, y1 - HEAD * along_y);
    let ink = scene.palette.ink;
    scene.line((x0, y0), foot, &format!("class=\"move\" stroke=\"{ink}\" stroke-width=\"2\""));
    let side = (-0.6 * HEAD * along_y, 0.6 * HEAD * along_x);
    let head = [(x1, y1), (foot.0 + side.0, foot.1 + side.1), (foot.0 - side.0, foot.1 - side.1)];
    scene.polygon(&head, &format!("fill=\"{ink}\""));
}

fn note(scene: &mut Scene, (x, y): (f64, f64), words: &str, anchor: Anchor) {
    let kind = Type { size: SMALL, colour: scene.palette.quiet, bold: false, anchor };
    scene.text(x, y, words, kind);
}

/// How far up a foot is drawn.
fn stretched(feet: f64) -> f64 {
    let (mut from, mut height) = (0.0, 0.0);
    for (to, tall) in STRETCHES {
        height += (feet.clamp(from, to) - from) * tall;
        from = to;
    }
    height
}

/// Slanting strokes between two edges and two ends.
pub(crate) fn hatched((a, b): (f64, f64), (top, foot): (f64, f64)) -> String {
    let mut d = String::new();
    for k in ((top - b) / HATCH).floor() as i32..=((foot - a) / HATCH).ceil() as i32 {
        let rise = f64::from(k) * HATCH;
        let (from, to) = (a.max(top - rise), b.min(foot - rise));
        if to > from {
            // Writing to a string cannot fail.
            let _ = write!(d, "M{} {}L{} {}", number(from), number(from + rise), number(to), number(to + rise));
        }
    }
    d
}
