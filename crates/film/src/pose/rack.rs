//! The rack in the picture: how far up or down the standing pins are seen from where the camera expects them.
//!
//! The lane's edges say little about distance: they run toward the pins. The pins stand at published places, so that a rack found to
//! a part of a pixel tells how far away 60 ft are.

use boardwise_units::{INCH_M, court};
use glam::{DVec2, DVec3};

use super::Seen;
use crate::Picture;
use crate::camera::View;

/// Heights of a pin and half its width there, inches: the published outline, the cap as a sphere of 1.273 in \[M, S: with
/// `boardwise-pins`, which film does not use\].
const OUTLINE_IN: [(f64, f64); 15] = [
    (0.0, 1.016),
    (0.75, 1.414),
    (2.25, 1.953),
    (3.375, 2.255),
    (4.5, 2.383),
    (5.875, 2.282),
    (7.25, 1.852),
    (8.625, 1.236),
    (10.0, 0.899),
    (10.875, 0.935),
    (11.75, 1.047),
    (12.625, 1.203),
    (13.727, 1.273),
    (14.627, 0.9),
    (15.0, 0.0),
];
/// Height of a pin, inches.
const HEIGHT_IN: f64 = 15.0;
/// Below this height the deck's shine joins the pins.
const FROM_IN: f64 = 3.0;
/// Room around the rack, inches.
const ROOM_IN: f64 = 3.0;
/// Looks within a pixel, along each side.
const LOOKS: usize = 3;
/// Step of the search, pixels.
const STEP_PX: f64 = 0.25;
/// Least likeness of picture and rack, as a correlation; and of half of it.
const LEAST_LIKE: f64 = 0.6;
const LEAST_HALF: f64 = 0.75;
/// Error that remains however clear the rack is: pins stand up to a quarter inch off their spots, and light falls from above. Pixels.
const RACK_PX: f64 = 0.2;

/// A pin as the camera sees it: its base, its axis to the top, and a step across of an inch.
struct Pin {
    base: DVec2,
    axis: DVec2,
    inch: DVec2,
}

/// Finds the standing rack within `reach_px` of where it is expected.
pub(super) fn find(picture: &Picture, view: &View, reach_px: f64) -> Option<Seen> {
    let pins: Vec<Pin> = court::PIN_SPOTS_IN.iter().map(|spot| pin(view, *spot)).collect::<Option<_>>()?;
    let window = Window::of(picture, &pins, reach_px)?;
    let (left, right) = window.halves();
    // Somebody may stand before a part of it.
    let (down_px, sd_px) = [(window, LEAST_LIKE), (left, LEAST_HALF), (right, LEAST_HALF)]
        .into_iter()
        .find_map(|(window, least)| window.seek(picture, &pins, reach_px, least))?;
    let middle_m = DVec3::new(0.0, court::HEAD_PIN_M + 18.0 * INCH_M, 0.5 * HEIGHT_IN * INCH_M);
    let at_px = view.project(middle_m)? + DVec2::Y * down_px;
    Some(Seen { place_m: middle_m, at_px, along: DVec2::Y, sd_px })
}

fn pin(view: &View, (right_in, behind_in): (f64, f64)) -> Option<Pin> {
    let at = |across_in: f64, height_in: f64| {
        view.project(DVec3::new(
            (right_in + across_in) * INCH_M,
            court::HEAD_PIN_M + behind_in * INCH_M,
            height_in * INCH_M,
        ))
    };
    let base = at(0.0, 0.0)?;
    Some(Pin { base, axis: at(0.0, HEIGHT_IN)? - base, inch: at(1.0, 0.0)? - base })
}

/// The part of the picture in which pins are compared.
struct Window {
    left: usize,
    top: usize,
    width: usize,
    height: usize,
}

impl Window {
    fn of(picture: &Picture, pins: &[Pin], reach_px: f64) -> Option<Self> {
        let heads = pins.iter().map(|pin| pin.base + pin.axis);
        let lows = pins.iter().map(|pin| pin.base + pin.axis * (FROM_IN / HEIGHT_IN));
        let room = pins.iter().map(|pin| pin.inch.length()).fold(0.0, f64::max) * ROOM_IN;
        let high = heads.clone().fold(DVec2::MAX, DVec2::min) - DVec2::splat(room);
        let right = heads.fold(DVec2::MIN, DVec2::max).x + room;
        let low = lows.map(|low| low.y).fold(f64::INFINITY, f64::min);
        let inside = picture.holds(high.x, high.y, reach_px + 2.0) && picture.holds(right, low, reach_px + 2.0);
        let (width, height) = ((right - high.x) as usize, (low - high.y).max(0.0) as usize);
        // A rack of a few pixels is no measure.
        (inside && width >= 20 && height >= 6).then_some(Self {
            left: high.x as usize,
            top: high.y as usize,
            width,
            height,
        })
    }

    fn halves(&self) -> (Self, Self) {
        let width = self.width / 2;
        (Self { width, ..*self }, Self { left: self.left + width, width: self.width - width, ..*self })
    }

    /// How far down the picture the pins are seen in this window, and its standard error, pixels.
    fn seek(&self, picture: &Picture, pins: &[Pin], reach_px: f64, least: f64) -> Option<(f64, f64)> {
        let rack = self.rack(pins);
        let half = (reach_px / STEP_PX) as i32;
        let likes: Vec<f64> = (-half..=half).map(|k| self.like(picture, &rack, f64::from(k) * STEP_PX)).collect();
        let best = (1..likes.len() - 1).max_by(|a, b| likes[*a].total_cmp(&likes[*b]))?;
        let (before, at, after) = (likes[best - 1], likes[best], likes[best + 1]);
        let bend = before - 2.0 * at + after;
        if at < least || bend >= 0.0 || before > at || after > at {
            return None;
        }
        let fine = (0.5 * (before - after) / bend).clamp(-0.5, 0.5);
        // What the rack does not explain is alike over whole pins: ten of them are ten looks.
        let blind = (1.0 - at * at) / (pins.len() as f64 * at * -bend / (STEP_PX * STEP_PX));
        Some(((best as f64 - f64::from(half) + fine) * STEP_PX, (RACK_PX * RACK_PX + blind).sqrt()))
    }

    /// How much of each pixel is pin.
    fn rack(&self, pins: &[Pin]) -> Vec<f64> {
        let mut rack = vec![0.0; self.width * self.height];
        for (at, share) in rack.iter_mut().enumerate() {
            let corner = DVec2::new((self.left + at % self.width) as f64, (self.top + at / self.width) as f64);
            let look = |k: usize| (k as f64 + 0.5) / LOOKS as f64 - 0.5;
            let hits = (0..LOOKS * LOOKS)
                .filter(|k| {
                    let place = corner + DVec2::new(look(k % LOOKS), look(k / LOOKS));
                    pins.iter().any(|pin| pin.covers(place))
                })
                .count();
            *share = hits as f64 / (LOOKS * LOOKS) as f64;
        }
        rack
    }

    /// Correlation of the picture, moved, with the rack.
    fn like(&self, picture: &Picture, rack: &[f64], down_px: f64) -> f64 {
        let (mut a, mut b, mut aa, mut ab, mut bb) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (at, share) in rack.iter().enumerate() {
            let (u, v) = ((self.left + at % self.width) as f64, (self.top + at / self.width) as f64);
            let seen = picture.at(u, v + down_px);
            a += share;
            b += seen;
            aa += share * share;
            ab += share * seen;
            bb += seen * seen;
        }
        let n = rack.len() as f64;
        (ab - a * b / n) / ((aa - a * a / n) * (bb - b * b / n)).max(1e-9).sqrt()
    }
}

impl Pin {
    fn covers(&self, place: DVec2) -> bool {
        let off = place - self.base;
        let height_in = HEIGHT_IN * off.dot(self.axis) / self.axis.length_squared();
        if !(0.0..HEIGHT_IN).contains(&height_in) {
            return false;
        }
        let across_in = (off - self.axis * (height_in / HEIGHT_IN)).dot(self.inch).abs() / self.inch.length_squared();
        let k = OUTLINE_IN.iter().position(|(height, _)| *height > height_in).unwrap_or(OUTLINE_IN.len() - 1).max(1);
        let ((low, narrow), (high, wide)) = (OUTLINE_IN[k - 1], OUTLINE_IN[k]);
        across_in < narrow + (wide - narrow) * (height_in - low) / (high - low)
    }
}
