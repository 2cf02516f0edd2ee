//! The lane at the lanes, on its side for a desk: the same belief, shots and unknown boards as [`UprightLane`] upright.

use crate::colour::Theme;
use crate::lying::{Lying, WHOLE};
use crate::scene::{Anchor, Drawing, Scene};
use crate::upright::{FADING, UprightLane, arrow, hatched};
use boardwise_units::court;

/// Narrow enough that its text is 12 pixels where a desk shows it.
const WIDTH: f64 = 540.0;
const HEIGHT: f64 = 190.0;

impl UprightLane<'_> {
    /// Draws it on its side, foul line to the left, 540 by 190 units whatever its height; the pins stand at the right.
    pub fn lying(&self, theme: Theme) -> Drawing {
        let mut scene = Scene::bare(WIDTH, HEIGHT, self.title, theme);
        let lane = Lying { hand: self.hand, foul_x: 46.0, pins_x: 470.0, top_y: 24.0, foot_y: 156.0, cut: WHOLE };
        lane.ground(&mut scene);
        self.quiet_oil(&mut scene, theme, |board, feet| lane.at(board, feet));
        self.not_crossed(&mut scene, lane);
        lane.marks(&mut scene);
        let accent = scene.palette.accent;
        let on_lane = |places: &mut dyn Iterator<Item = (f64, f64)>| -> Vec<(f64, f64)> {
            let finite = places.filter(|(board, feet)| board.is_finite() && feet.is_finite());
            finite.map(|(board, feet)| lane.at(board.clamp(0.0, 40.0), feet)).collect()
        };
        let mut edge = on_lane(&mut self.line.iter().map(|place| (place.low, place.feet)));
        edge.extend(on_lane(&mut self.line.iter().rev().map(|place| (place.high, place.feet))));
        scene.polygon(&edge, &format!("class=\"ribbon\" fill=\"{accent}\" fill-opacity=\"0.4\""));
        let middle = on_lane(&mut self.line.iter().map(|place| (place.board, place.feet)));
        scene.polyline(&middle, &format!("class=\"line\" stroke=\"{accent}\" stroke-width=\"2.6\""));
        for row in self.moved_from(&mut scene, |board, feet| lane.at(board, feet)) {
            arrow(&mut scene, row);
        }
        for (shot, part) in self.shots.iter().zip(FADING).rev() {
            let ink = scene.palette.ink;
            let look = format!(
                "class=\"shot\" stroke=\"{ink}\" stroke-width=\"2\" stroke-opacity=\"{part}\" stroke-dasharray=\"2 3.5\""
            );
            scene.polyline(&on_lane(&mut shot.iter().copied()), &look);
        }
        scene.finish()
    }

    fn not_crossed(&self, scene: &mut Scene, lane: Lying) {
        let palette = scene.palette;
        for (from, to) in self.unknown_boards() {
            let edge = |after: usize| lane.at(after as f64 + 0.5, 0.0).1;
            let (top, foot) = (edge(from).min(edge(to)), edge(from).max(edge(to)));
            let (a, b) = (lane.foul_x, lane.at(20.0, court::HEAD_PIN_FT).0);
            let look = format!("class=\"unknown\" fill=\"{}\" fill-opacity=\"0.72\"", palette.lane);
            scene.rect(a, top, b - a, foot - top, &look);
            let hatch =
                format!("class=\"hatch\" stroke=\"{}\" stroke-width=\"0.7\" stroke-opacity=\"0.6\"", palette.quiet);
            scene.path(&hatched((a, b), (top, foot)), &hatch);
        }
        if self.travelled.contains(&false) {
            scene.note(WIDTH - 8.0, 12.0, "hatched: not crossed yet", Anchor::End);
        }
    }
}
