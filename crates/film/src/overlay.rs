//! Where a measured throw lies in the picture: what is drawn over a film.

use boardwise_units::{Board, FOOT_M, Feet, Hand, court};
use glam::{DVec2, DVec3};

use crate::ball::RADIUS_M;
use crate::camera::View;
use crate::motion::place_at;
use crate::{Measured, Picture};

/// Half the width of the path as it is drawn, metres: a ball's track is narrower, the ball itself wider.
const HALF_PATH_M: f64 = 0.045;
/// Radius of the ring around the breakpoint, metres.
const RING_M: f64 = 0.16;
/// Boards that are drawn.
const BOARDS: [u8; 7] = [5, 10, 15, 20, 25, 30, 35];
/// Points along a board or a ring.
const ALONG: usize = 24;

/// A place of the path in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaidStep {
    /// Distance, feet.
    pub feet: f64,
    /// Where the ball touches the lane, pixels.
    pub touch_px: DVec2,
    /// Both sides of the path as it is drawn, pixels.
    pub sides_px: [DVec2; 2],
}

/// A measured throw in the pixels of the film's first pictures.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Width and height of the picture, pixels.
    pub size_px: (usize, usize),
    /// The path, foot by foot.
    pub path: Vec<LaidStep>,
    /// Boards with their lines down the lane.
    pub boards: Vec<(u8, Vec<DVec2>)>,
    /// A ring on the lane around the breakpoint.
    pub breakpoint: Vec<DVec2>,
    /// A line across the lane at 60 ft.
    pub pins: Option<[DVec2; 2]>,
}

impl Measured {
    /// The throw as it lies in the picture.
    pub fn laid(&self) -> Laid {
        let view = self.camera.view();
        let DVec2 { x, y } = self.camera.middle_px;
        let size_px = ((2.0 * x).round() as usize + 1, (2.0 * y).round() as usize + 1);
        let sign = sign(self.hand);
        let place = |board: f64, feet: f64| DVec3::new(sign * Board(board).to_metres(), Feet(feet).to_metres(), 0.0);
        let seen = |place: DVec3| view.project(place).filter(|p| inside(*p, size_px));
        let step = |row: &boardwise_lane::PathRow| {
            let middle = place(row.board, row.feet);
            let across = DVec3::X * HALF_PATH_M;
            Some(LaidStep {
                feet: row.feet,
                touch_px: seen(middle)?,
                sides_px: [view.project(middle - across)?, view.project(middle + across)?],
            })
        };
        let boards = BOARDS
            .into_iter()
            .map(|board| {
                let line = (0..=ALONG).filter_map(|k| seen(place(f64::from(board), 60.0 * k as f64 / ALONG as f64)));
                (board, line.collect())
            })
            .collect();
        let around = |middle: DVec3| {
            (0..ALONG)
                .filter_map(|k| {
                    let angle = core::f64::consts::TAU * k as f64 / ALONG as f64;
                    let (s, c) = (boardwise_units::math::sin(angle), boardwise_units::math::cos(angle));
                    // Longer along the lane, so that it stays a ring where the lane is seen flat.
                    view.project(middle + DVec3::new(RING_M * c, 4.0 * RING_M * s, 0.0))
                })
                .collect()
        };
        let breakpoint = &self.path.breakpoint;
        let edge = |side: f64| view.project(DVec3::new(side * 0.5 * court::WIDTH_M, 60.0 * FOOT_M, 0.0));
        Laid {
            size_px,
            path: self.path.rows.iter().filter_map(step).collect(),
            boards,
            breakpoint: around(place(breakpoint.board.0, breakpoint.feet.0)),
            pins: edge(-1.0).zip(edge(1.0)).map(|(left, right)| [left, right]),
        }
    }

    /// Middle and radius of the ball's outline in a picture taken at `time_s` (of the film as it was measured), and its distance in feet;
    /// none before the foul line and past the pins.
    pub fn ball_px(&self, time_s: f64) -> Option<(DVec2, f64, f64)> {
        let view = self.camera.view();
        let height_px = 2.0 * self.camera.middle_px.y + 1.0;
        let mut row = 0.5;
        let mut found = None;
        // Rows are taken one after the other: where the ball is seen says when it was.
        for _ in 0..3 {
            let (middle, radius, feet) = self.ball_at(&view, time_s + row * self.readout_s - self.start_s)?;
            row = (middle.y / height_px).clamp(0.0, 1.0);
            found = Some((middle, radius, feet));
        }
        found.filter(|(_, _, feet)| (0.0..=59.5).contains(feet))
    }

    fn ball_at(&self, view: &View, since_s: f64) -> Option<(DVec2, f64, f64)> {
        let place = place_at(&self.path, since_s);
        let (middle, radius) = view.ball(DVec2::new(sign(self.hand) * place.x, place.y).extend(RADIUS_M), RADIUS_M)?;
        Some((middle, radius, place.y / FOOT_M))
    }

    /// How far a picture is moved against those in which the throw is laid, pixels: the camera's shake at the nearest sighting.
    pub fn shake_px(&self, picture: &Picture) -> DVec2 {
        let apart = |s: &crate::Sighting| (s.time_s - picture.time_s).abs();
        self.sightings.iter().min_by(|a, b| apart(a).total_cmp(&apart(b))).map_or(DVec2::ZERO, |s| s.shake_px)
    }
}

fn sign(hand: Hand) -> f64 {
    if hand == Hand::Left { -1.0 } else { 1.0 }
}

fn inside(place: DVec2, (width, height): (usize, usize)) -> bool {
    place.x > -0.5 * width as f64
        && place.y > -0.5 * height as f64
        && place.x < 1.5 * width as f64
        && place.y < 1.5 * height as f64
}
