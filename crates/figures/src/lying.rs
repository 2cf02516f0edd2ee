//! A lane on its side: foul line to the left, pins to the right, the bowling hand's side as the bowler sees it. It shows as
//! much of the width as is needed.

use crate::frame::Places;
use crate::scene::{Anchor, Scene, number};
use boardwise_units::{Board, Feet, Hand, INCH_M, court};

/// Width of a gutter.
const GUTTER: f64 = 7.0;

/// Where a lane lies in a picture.
#[derive(Clone, Copy)]
pub(crate) struct Lying {
    pub hand: Hand,
    pub foul_x: f64,
    pub pins_x: f64,
    /// Edges of the part of the lane that is drawn, without gutters.
    pub top_y: f64,
    pub foot_y: f64,
    /// Where the lane is cut off, away from the bowling hand; [`WHOLE`] shows all of it.
    pub cut: f64,
}

/// The far edge of the lane, as a board.
pub(crate) const WHOLE: f64 = court::BOARDS as f64 + 0.5;

impl Places for Lying {
    /// What lies beyond the lane's edges is drawn in the gutter.
    fn spot(self, board: f64, feet: f64) -> (f64, f64) {
        self.at(board.clamp(0.0, court::BOARDS as f64 + 1.0), feet.clamp(0.0, court::HEAD_PIN_FT))
    }
}

impl Lying {
    pub fn at(self, board: f64, feet: f64) -> (f64, f64) {
        let part = (board - 0.5) / (self.cut - 0.5);
        let part = if self.hand == Hand::Left { part } else { 1.0 - part };
        let x = self.foul_x + (self.pins_x - self.foul_x) * feet / court::HEAD_PIN_FT;
        (x, self.top_y + (self.foot_y - self.top_y) * part)
    }

    /// Which way leads away from the bowling hand's side: -1 is up the picture, for a right-hander.
    pub fn away(self) -> f64 {
        if self.hand == Hand::Left { 1.0 } else { -1.0 }
    }

    fn is_cut(self) -> bool {
        self.cut < WHOLE
    }

    /// Lane, gutters, pins, boards every five, feet every ten, arrows, dots and foul line.
    pub fn draw(self, scene: &mut Scene) {
        self.ground(scene);
        self.marks(scene);
    }

    /// Where the deck ends.
    fn deck_x(self) -> f64 {
        self.pins_x + 62.0
    }

    /// Lane and gutters.
    pub fn ground(self, scene: &mut Scene) {
        let (palette, deck_x) = (scene.palette, self.deck_x());
        // No gutter where the lane is cut.
        let (far, near) = (if self.is_cut() { 0.0 } else { GUTTER }, GUTTER);
        let (over, under) = if self.hand == Hand::Left { (near, far) } else { (far, near) };
        let tall = self.foot_y - self.top_y;
        let gutter = format!("fill=\"{}\"", palette.gutter);
        scene.rect(self.foul_x, self.top_y - over, deck_x - self.foul_x, tall + over + under, &gutter);
        scene.rect(self.foul_x, self.top_y, deck_x - self.foul_x, tall, &format!("fill=\"{}\"", palette.lane));
    }

    /// What stands on the lane and beside it.
    pub fn marks(self, scene: &mut Scene) {
        let (palette, deck_x) = (scene.palette, self.deck_x());
        let hair = format!("stroke=\"{}\" stroke-width=\"0.5\" stroke-opacity=\"0.8\"", palette.grid);
        for board in (5..=35).step_by(5).map(f64::from).filter(|board| *board < self.cut) {
            let ((from, y), (to, _)) = (self.at(board, 0.0), self.at(board, court::HEAD_PIN_FT));
            scene.line((from, y), (to, y), &hair);
            scene.note(self.foul_x - 8.0, y + 3.5, &number(board), Anchor::End);
        }
        scene.note(self.foul_x - 8.0, self.top_y - 8.0, "board", Anchor::End);
        let foot = self.foot_y + GUTTER;
        for feet in (0..=60).step_by(10).map(f64::from) {
            let (x, _) = self.at(20.0, feet);
            scene.line((x, foot), (x, foot + 4.0), &format!("stroke=\"{}\" stroke-width=\"0.8\"", palette.quiet));
            let words = if feet > 0.0 { format!("{} ft", number(feet)) } else { "foul line".to_owned() };
            scene.note(x, foot + 15.0, &words, Anchor::Middle);
        }
        let ink = format!("fill=\"{}\" fill-opacity=\"0.75\"", palette.quiet);
        let shown = |(board, _): &(Board, Feet)| board.0 < self.cut;
        for (board, feet) in court::ARROWS.into_iter().filter(shown) {
            let (x, y) = self.at(board.0, feet.0);
            scene.polygon(&[(x + 5.0, y), (x - 5.0, y + 3.0), (x - 5.0, y - 3.0)], &ink);
        }
        for (board, feet) in court::DOTS.into_iter().filter(shown) {
            let (x, y) = self.at(board.0, feet.0);
            scene.circle(x, y, 1.4, &ink);
        }
        scene.line(
            (self.foul_x, self.top_y),
            (self.foul_x, self.foot_y),
            &format!("stroke=\"{}\" stroke-width=\"2\"", palette.ink),
        );
        let look = format!("class=\"pin\" fill=\"{}\" stroke=\"{}\" stroke-width=\"1.2\"", palette.pin, palette.ink);
        for (across_in, behind_in) in court::PIN_SPOTS_IN {
            // Spots are inches to the right, which is the hand's side for a right-hander.
            let board = Board::from_metres(across_in * INCH_M).0;
            if board < self.cut {
                let (x, y) = self.at(board, court::HEAD_PIN_FT);
                scene.circle(x + 9.0 + behind_in / 10.392_3 * 14.0, y, 5.0, &look);
            }
        }
        if self.is_cut() {
            let y = self.at(self.cut, 0.0).1;
            let look =
                format!("class=\"cut\" stroke=\"{}\" stroke-width=\"1\" stroke-dasharray=\"6 4\"", palette.quiet);
            scene.line((self.foul_x, y), (deck_x, y), &look);
        }
    }
}
