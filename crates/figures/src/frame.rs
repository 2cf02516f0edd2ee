//! A lane's place in a picture, and what is marked on every lane: boards, feet, arrows and dots.

use crate::scene::{Anchor, Scene, number};
use boardwise_lane::{Lane, Place};
use boardwise_units::{Hand, court};

/// Where a lane lies in a picture, and which side belongs to the bowling hand. Places are given for a right-hander.
#[derive(Clone, Copy)]
pub(crate) struct Frame {
    pub hand: Hand,
    /// The edge away from the bowling hand.
    pub away_x: f64,
    /// The edge on its side.
    pub hand_x: f64,
    /// Width of a gutter.
    pub gutter: f64,
    /// The head pin's row, and above it the top of what is drawn.
    pub pins_y: f64,
    pub top_y: f64,
    pub foul_y: f64,
    /// The sum of a place across and its mirror image.
    pub mirror: f64,
}

/// Where places of a lane lie in a picture, however it lies there.
pub(crate) trait Places: Copy {
    /// A place of the lane.
    fn spot(self, board: f64, feet: f64) -> (f64, f64);
}

impl Places for Frame {
    fn spot(self, board: f64, feet: f64) -> (f64, f64) {
        self.at(board, feet)
    }
}

impl Frame {
    /// A horizontal place.
    pub fn across(self, x: f64) -> f64 {
        match self.hand {
            Hand::Right => x,
            Hand::Left => self.mirror - x,
        }
    }

    pub fn anchor(self, anchor: Anchor) -> Anchor {
        match self.hand {
            Hand::Right => anchor,
            Hand::Left => anchor.flipped(),
        }
    }

    /// A place on the lane; what lies beyond its edges is drawn in the gutter.
    pub fn at(self, board: f64, feet: f64) -> (f64, f64) {
        let board = board.clamp(0.0, 40.0);
        let feet = feet.clamp(0.0, court::HEAD_PIN_FT);
        let x = self.hand_x - (board - 0.5) / court::BOARDS as f64 * (self.hand_x - self.away_x);
        (self.across(x), self.foul_y + (self.pins_y - self.foul_y) * feet / court::HEAD_PIN_FT)
    }

    pub fn place(self, place: Place) -> (f64, f64) {
        self.at(place.board.0, place.feet.0)
    }

    pub fn rect(self, scene: &mut Scene, x: (f64, f64), y: (f64, f64), look: &str) {
        let (a, b) = (self.across(x.0), self.across(x.1));
        scene.rect(a.min(b), y.0, (b - a).abs(), y.1 - y.0, look);
    }

    pub fn note(self, scene: &mut Scene, x: f64, y: f64, words: &str, anchor: Anchor) {
        scene.note(self.across(x), y, words, self.anchor(anchor));
    }
}

/// Lane and gutters.
pub(crate) fn ground(scene: &mut Scene, frame: Frame) {
    let (palette, tall) = (scene.palette, (frame.top_y, frame.foul_y));
    frame.rect(
        scene,
        (frame.away_x - frame.gutter, frame.hand_x + frame.gutter),
        tall,
        &format!("fill=\"{}\"", palette.gutter),
    );
    frame.rect(scene, (frame.away_x, frame.hand_x), tall, &format!("fill=\"{}\"", palette.lane));
}

/// Boards every five, those numbered that are multiples of `every`.
pub(crate) fn boards(scene: &mut Scene, frame: Frame, every: i32) {
    let hair = format!("stroke=\"{}\" stroke-width=\"0.5\" stroke-opacity=\"0.8\"", scene.palette.grid);
    for board in (5..=35).step_by(5) {
        let (foot, head) = (frame.at(f64::from(board), 0.0), frame.at(f64::from(board), court::HEAD_PIN_FT));
        scene.line(foot, head, &hair);
        if board % every == 0 {
            scene.note(foot.0, frame.foul_y + 15.0, &board.to_string(), Anchor::Middle);
        }
    }
    frame.note(scene, f64::midpoint(frame.away_x, frame.hand_x), frame.foul_y + 30.0, "board", Anchor::Middle);
}

/// Feet every five, beside the lane.
pub(crate) fn feet(scene: &mut Scene, frame: Frame) {
    let edge = frame.away_x - frame.gutter;
    for feet in (0..=60).step_by(5).map(f64::from) {
        let (_, y) = frame.at(20.0, feet);
        let ten = feet % 10.0 == 0.0;
        let long = if ten { 5.0 } else { 2.5 };
        let look = format!("stroke=\"{}\" stroke-width=\"0.8\"", scene.palette.quiet);
        scene.line((frame.across(edge), y), (frame.across(edge - long), y), &look);
        if ten {
            frame.note(scene, edge - 8.0, y + 3.5, &number(feet), Anchor::End);
        }
    }
    frame.note(scene, edge - 8.0, frame.pins_y - 9.0, "ft", Anchor::End);
}

/// What a bowler aims by: arrows (`half` is half their width), dots and the foul line.
pub(crate) fn marks(scene: &mut Scene, frame: Frame, half: f64) {
    let palette = scene.palette;
    let ink = format!("fill=\"{}\" fill-opacity=\"0.75\"", palette.quiet);
    for (board, feet) in court::ARROWS {
        let (x, y) = frame.at(board.0, feet.0);
        scene.polygon(&[(x, y - 5.0), (x + half, y + 5.0), (x - half, y + 5.0)], &ink);
    }
    for (board, feet) in court::DOTS {
        let (x, y) = frame.at(board.0, feet.0);
        scene.circle(x, y, 0.45 * half + 0.05, &ink);
    }
    let foul = format!("stroke=\"{}\" stroke-width=\"2\"", palette.ink);
    scene.line(frame.at(0.5, 0.0), frame.at(39.5, 0.0), &foul);
}

/// Where the oil ends, if it ends.
pub(crate) fn pattern_end(scene: &mut Scene, frame: Frame, lane: &Lane) {
    let Some(end) = lane.pattern_end() else { return };
    let look = format!("stroke=\"{}\" stroke-width=\"1\" stroke-dasharray=\"4 3\"", scene.palette.quiet);
    scene.line(frame.at(0.5, end.0), frame.at(39.5, end.0), &look);
}
