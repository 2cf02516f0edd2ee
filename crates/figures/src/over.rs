//! A throw drawn over the film that it was measured from, in the film's own pixels.

use crate::colour::Theme;
use crate::scene::{Anchor, Drawing, Scene, Type};

/// What is drawn over a picture of a film. All places are pixels of that picture.
#[derive(Clone, Debug, Default)]
pub struct OverFilm<'a> {
    /// Width and height of the picture.
    pub size: (f64, f64),
    /// Both sides of the path, from the foul line on.
    pub path: &'a [[(f64, f64); 2]],
    /// Boards with their lines down the lane.
    pub boards: &'a [(u8, Vec<(f64, f64)>)],
    /// The breakpoint: a ring on the lane, and what is said of it.
    pub breakpoint: Option<(&'a [(f64, f64)], &'a str)>,
    /// The entry: where the path ends, and what is said of it.
    pub entry: Option<((f64, f64), &'a str)>,
    /// The line across the lane at the head pin.
    pub pins: Option<[(f64, f64); 2]>,
    /// The ball: its middle and radius.
    pub ball: Option<((f64, f64), f64)>,
    /// Lines of words beside the lane.
    pub words: &'a [String],
}

/// Colours that stand out from wood, dark gutters and white pins alike; each has a dark casing.
const PATH: &str = "#ffd84d";
const RING: &str = "#7fe8ff";
const LINES: &str = "#ffffff";
const DARK: &str = "#101012";

impl OverFilm<'_> {
    /// Draws it on nothing: what is under it shows through.
    pub fn draw(&self) -> Drawing {
        let (width, height) = self.size;
        let mut scene = Scene::bare(width, height, "a measured throw over its film", Theme::Dark);
        // Of a picture of 1080 pixels, a line is 2 wide and a letter 27 high.
        let unit = width.min(height) / 1080.0;
        self.lines(&mut scene, unit);
        self.route(&mut scene, unit);
        self.marks(&mut scene, unit);
        self.says(&mut scene, unit);
        scene.says(self.words.join(". "));
        scene.finish()
    }

    fn lines(&self, scene: &mut Scene, unit: f64) {
        // Numbers that would touch each other are smaller, and only every other one stands.
        let firsts: Vec<f64> = self.boards.iter().filter_map(|(_, line)| line.first()).map(|(x, _)| *x).collect();
        let apart = firsts.windows(2).map(|x| (x[1] - x[0]).abs()).fold(f64::INFINITY, f64::min);
        let tight = apart < 44.0 * unit;
        let size = f64::min(22.0 * unit, if tight { 0.9 * apart } else { 0.5 * apart });
        for (board, line) in self.boards {
            let strong = if board % 10 == 0 { 0.5 } else { 0.28 };
            scene
                .polyline(line, &format!("stroke=\"{LINES}\" stroke-width=\"{:.2}\" opacity=\"{strong}\"", 1.4 * unit));
            if let Some((x, y)) = line.first().filter(|_| !tight || board % 10 == 0) {
                label(scene, (*x, y + 1.4 * size), &board.to_string(), size, LINES, Anchor::Middle);
            }
        }
        if let Some([left, right]) = self.pins {
            scene.line(left, right, &format!("stroke=\"{LINES}\" stroke-width=\"{:.2}\" opacity=\"0.7\"", 2.0 * unit));
        }
    }

    fn route(&self, scene: &mut Scene, unit: f64) {
        if self.path.len() < 2 {
            return;
        }
        let left = self.path.iter().map(|sides| sides[0]);
        let right = self.path.iter().rev().map(|sides| sides[1]);
        let outline: Vec<(f64, f64)> = left.chain(right).collect();
        scene.polygon(&outline, &format!("fill=\"{PATH}\" fill-opacity=\"0.45\""));
        let middle: Vec<(f64, f64)> = self.path.iter().map(|[a, b]| (0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1))).collect();
        let look = |colour: &str, wide: f64| {
            format!("stroke=\"{colour}\" stroke-width=\"{wide:.2}\" stroke-linejoin=\"round\" stroke-linecap=\"round\"")
        };
        scene.polyline(&middle, &look(DARK, 5.0 * unit));
        scene.polyline(&middle, &look(PATH, 3.0 * unit));
    }

    fn marks(&self, scene: &mut Scene, unit: f64) {
        let ring = |colour: &str, wide: f64| format!("fill=\"none\" stroke=\"{colour}\" stroke-width=\"{wide:.2}\"");
        if let Some((places, words)) = self.breakpoint {
            scene.polygon(places, &ring(DARK, 5.0 * unit));
            scene.polygon(places, &ring(RING, 3.0 * unit));
            self.beside(scene, rightmost(places), words, RING, unit);
        }
        if let Some((place, words)) = self.entry {
            scene.circle(
                place.0,
                place.1,
                6.0 * unit,
                &format!("fill=\"{PATH}\" stroke=\"{DARK}\" stroke-width=\"{:.2}\"", 2.0 * unit),
            );
            let edge = self.pins.map_or(place, |[_, right]| right);
            // The breakpoint's words stand close below, or even at the same height.
            let near = self.breakpoint.map_or(f64::INFINITY, |(ring, _)| rightmost(ring).1);
            let y = f64::min(edge.1 - 26.0 * unit, near - 36.0 * unit);
            self.beside(scene, (edge.0, y), words, PATH, unit);
        }
        if let Some(((x, y), radius)) = self.ball {
            scene.circle(x, y, radius, &ring(DARK, 4.0 * unit));
            scene.circle(x, y, radius, &ring(LINES, 2.0 * unit));
        }
    }

    /// Words to the right of a place, or to its left where there is no room.
    fn beside(&self, scene: &mut Scene, (x, y): (f64, f64), words: &str, colour: &str, unit: f64) {
        let wide = 0.56 * 27.0 * unit * words.chars().count() as f64;
        let gap = 18.0 * unit;
        let (at, anchor) =
            if x + gap + wide < self.size.0 { (x + gap, Anchor::Start) } else { (x - 3.0 * gap, Anchor::End) };
        label(scene, (at, y + 9.0 * unit), words, 27.0 * unit, colour, anchor);
    }

    fn says(&self, scene: &mut Scene, unit: f64) {
        if self.words.is_empty() {
            return;
        }
        let (size, step) = (27.0 * unit, 38.0 * unit);
        let wide = self.words.iter().map(|line| line.chars().count()).max().unwrap_or(0) as f64 * 0.52 * size;
        let tall = step * self.words.len() as f64;
        let (x, y) = (24.0 * unit, self.size.1 - tall - 48.0 * unit);
        let look = format!("fill=\"{DARK}\" fill-opacity=\"0.72\" rx=\"{:.1}\"", 12.0 * unit);
        scene.rect(x, y, wide + 48.0 * unit, tall + 28.0 * unit, &look);
        for (k, line) in self.words.iter().enumerate() {
            let kind = Type { size, colour: LINES, bold: false, anchor: Anchor::Start };
            scene.text(x + 24.0 * unit, y + 14.0 * unit + step * (k as f64 + 0.75), line, kind);
        }
    }
}

/// The place farthest to the right.
fn rightmost(places: &[(f64, f64)]) -> (f64, f64) {
    places.iter().copied().fold((f64::MIN, f64::MAX), |far, p| if p.0 > far.0 { p } else { far })
}

/// Words with a dark casing, readable on anything.
fn label(scene: &mut Scene, (x, y): (f64, f64), words: &str, size: f64, colour: &str, anchor: Anchor) {
    scene.open(&format!("stroke=\"{DARK}\" stroke-width=\"{:.2}\" stroke-linejoin=\"round\"", 0.2 * size));
    scene.text(x, y, words, Type { size, colour: DARK, bold: true, anchor });
    scene.close();
    scene.text(x, y, words, Type { size, colour, bold: true, anchor });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_nothing_is_drawn_where_nothing_is_given() {
        let drawn = OverFilm { size: (1080.0, 1920.0), ..OverFilm::default() }.draw();
        assert!(!drawn.svg().contains("<rect") && !drawn.svg().contains("<poly") && !drawn.svg().contains("<text"));
    }

    #[test]
    fn law_words_that_do_not_fit_stand_on_the_left() {
        let entry = Some(((1000.0, 100.0), "entry 17.5, 5.2 degrees"));
        let drawn = OverFilm { size: (1080.0, 1920.0), entry, ..OverFilm::default() }.draw();
        assert!(drawn.svg().contains("text-anchor=\"end\""));
    }
}
