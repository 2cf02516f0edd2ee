//! The still scene: lanes with their marks, gutters, pins, the dark behind them; drawn once by casting a ray for each pixel.

use boardwise_film::View;
use boardwise_units::{FOOT_M, INCH_M, court, math};
use glam::{DVec2, DVec3};

use super::spec::Clip;

/// Middle of a lane to the middle of the next, metres.
const PITCH_M: f64 = court::WIDTH_M + 2.0 * court::GUTTER_WIDTH_M + 0.3;
/// Rays a pixel, along each side.
const RAYS: usize = 2;
/// Half widths of a pin by height, inches [M: facts of the pin's profile], with a round head of 1.273 in.
const PIN: [(f64, f64); 13] = [
    (0.0, 1.02),
    (0.75, 1.41),
    (2.25, 1.95),
    (4.5, 2.38),
    (7.25, 1.85),
    (10.0, 0.9),
    (12.6, 1.2),
    (13.5, 1.27),
    (13.9, 1.26),
    (14.3, 1.14),
    (14.6, 0.93),
    (14.85, 0.59),
    (15.0, 0.0),
];

/// The scene without ball and people, as brightness in levels.
pub struct Still {
    width: usize,
    luma: Vec<f32>,
}

impl Still {
    /// Draws the scene of a clip.
    pub fn draw(clip: &Clip) -> Self {
        let view = clip.camera.view();
        let mut luma = vec![0.0; clip.width * clip.height];
        for (row, line) in luma.chunks_mut(clip.width).enumerate() {
            for (column, luma) in line.iter_mut().enumerate() {
                let mut sum = 0.0;
                for k in 0..RAYS * RAYS {
                    let part = |k: usize| (k as f64 + 0.5) / RAYS as f64 - 0.5;
                    let at = DVec2::new(column as f64 + part(k % RAYS), row as f64 + part(k / RAYS));
                    sum += light(clip, &view, view.ray(at));
                }
                *luma = (clip.gain * sum / (RAYS * RAYS) as f64) as f32;
            }
        }
        Self { width: clip.width, luma }
    }

    /// The scene seen by a camera that has moved.
    pub fn shifted(&self, shake: DVec2, canvas: &mut [f32]) {
        let (width, height) = (self.width.cast_signed(), (self.luma.len() / self.width).cast_signed());
        let (right, down) = (-shake.x, -shake.y);
        let (i, j) = (right.floor() as isize, down.floor() as isize);
        let (s, t) = ((right - right.floor()) as f32, (down - down.floor()) as f32);
        for (row, out) in canvas.chunks_mut(self.width).enumerate() {
            let line = |row: isize| {
                let from = (row.clamp(0, height - 1) * width) as usize;
                &self.luma[from..from + self.width]
            };
            let (above, below) = (line(row.cast_signed() + j), line(row.cast_signed() + j + 1));
            let mixed = |column: isize| {
                let k = column.clamp(0, width - 1) as usize;
                above[k] * (1.0 - t) + below[k] * t
            };
            let inner = (-i).max(0)..(width - 1 - i).min(width);
            for column in 0..width {
                if !inner.contains(&column) {
                    out[column as usize] = mixed(column + i) * (1.0 - s) + mixed(column + i + 1) * s;
                }
            }
            let from = (inner.start + i) as usize;
            let count = (inner.end - inner.start) as usize;
            let (a, b) = (&above[from..], &below[from..]);
            for (k, out) in out[inner.start as usize..][..count].iter_mut().enumerate() {
                let left = a[k] * (1.0 - t) + b[k] * t;
                let right = a[k + 1] * (1.0 - t) + b[k + 1] * t;
                *out = left * (1.0 - s) + right * s;
            }
        }
    }
}

/// Brightness of what a ray meets, 0 to 1.
fn light(clip: &Clip, view: &View, ray: DVec3) -> f64 {
    let from = view.camera.place_m;
    if let Some(pin) = pins(from, ray) {
        return pin;
    }
    let down = -from.z / ray.z;
    let ground = from + ray * down;
    let pit_m = court::HEAD_PIN_M + court::PIT_BEHIND_HEAD_PIN_M;
    if ray.z < 0.0 && ground.y < pit_m {
        let (luma, oiled) = floor(clip, ground);
        if !oiled {
            return luma;
        }
        // What the oil mirrors, the more the flatter the ray.
        let flat = 1.0 - (-ray.z / ray.length()).min(1.0);
        let mirrored = DVec3::new(ray.x, ray.y, -ray.z);
        let glance = clip.sheen * flat * flat * flat;
        let behind = pins(ground, mirrored).unwrap_or_else(|| wall(ground, mirrored));
        return luma * (1.0 - glance) + behind * glance;
    }
    wall(from, ray)
}

/// The masking unit above the pins, and the dark of the pit below it.
fn wall(from: DVec3, ray: DVec3) -> f64 {
    let at = |y: f64| from + ray * ((y - from.y) / ray.y);
    if ray.y <= 1e-6 {
        return 0.2;
    }
    let mask = at(court::HEAD_PIN_M - 0.2);
    if mask.z > 0.6 {
        if mask.z > 1.6 {
            return 0.12;
        }
        let stripe = ((mask.x * 1.7).floor() + (mask.z * 5.0).floor()).rem_euclid(2.0);
        return 0.3 + 0.25 * stripe;
    }
    0.04
}

/// The nearest pin that a ray meets.
fn pins(from: DVec3, ray: DVec3) -> Option<f64> {
    if ray.y <= 1e-6 {
        return None;
    }
    let first = from + ray * ((court::HEAD_PIN_M - from.y) / ray.y);
    if !(-0.3..=0.6).contains(&first.z) {
        return None;
    }
    let lane = (first.x / PITCH_M).round();
    for (right_in, behind_in) in court::PIN_SPOTS_IN {
        let y = court::HEAD_PIN_M + behind_in * INCH_M;
        let at = from + ray * ((y - from.y) / ray.y);
        let height_in = at.z / INCH_M;
        let off_in = (at.x - lane * PITCH_M) / INCH_M - right_in;
        if !(0.0..15.0).contains(&height_in) || off_in.abs() > 2.4 {
            continue;
        }
        let k = PIN.iter().position(|(h, _)| *h > height_in).unwrap_or(PIN.len() - 1).max(1);
        let ((h0, w0), (h1, w1)) = (PIN[k - 1], PIN[k]);
        let half_in = w0 + (w1 - w0) * (height_in - h0) / (h1 - h0);
        if off_in.abs() < half_in {
            let across = off_in / half_in;
            let collar = (9.3..10.2).contains(&height_in);
            return Some(if collar { 0.3 } else { 0.92 - 0.35 * across * across });
        }
    }
    None
}

/// The floor: brightness, and whether oil lies there.
fn floor(clip: &Clip, ground: DVec3) -> (f64, bool) {
    let lane = (ground.x / PITCH_M).round();
    let x = ground.x - lane * PITCH_M;
    let half_m = 0.5 * court::WIDTH_M;
    if ground.y < 0.0 {
        if ground.y > -0.025 && x.abs() < half_m + court::GUTTER_WIDTH_M {
            return (0.05, false);
        }
        if ground.y < -15.0 * FOOT_M {
            return (0.25, false);
        }
        return (0.5 + 0.05 * grain(ground.x / 0.06, 77.0), false);
    }
    if x.abs() > half_m + court::GUTTER_WIDTH_M {
        return (0.3, false);
    }
    if x.abs() > half_m {
        let across = (x.abs() - half_m) / court::GUTTER_WIDTH_M;
        return (0.1 + 0.06 * (2.0 * across - 1.0).powi(2), false);
    }
    if marked(x, ground.y) {
        return (0.16, ground.y < clip.pattern_m());
    }
    let board = x / court::BOARD_M + court::CENTRE_BOARD;
    let seam = if (board - board.floor() - 0.5).abs() < 0.03 { -0.04 } else { 0.0 };
    let luma = 0.52 + 0.07 * grain(board + 0.5, lane) + 0.02 * grain(ground.y / 0.4, board.round()) + seam;
    // House light falls off down the lane, and the deck is lit again.
    let lit = 0.8 + 0.2 * math::exp(-ground.y / 6.0) + if ground.y > 17.6 { 0.25 } else { 0.0 };
    (luma * lit, ground.y < clip.pattern_m())
}

/// A number from −1 to 1 for each whole part of `at`.
fn grain(at: f64, which: f64) -> f64 {
    let mixed = (at.floor() as i64).wrapping_mul(0x9e37_79b9).wrapping_add((which as i64).wrapping_mul(0x85eb_ca6b));
    let mixed = (mixed ^ (mixed >> 15)).wrapping_mul(0x2c1b_3c6d_1b56_c4f5);
    ((mixed >> 40) & 0xffff) as f64 / 32_767.5 - 1.0
}

/// Whether an arrow or a dot is drawn here. Their size is our judgement: 6 in long and 1.25 in wide, dots of 0.75 in.
fn marked(x: f64, y: f64) -> bool {
    let from_in = |board: f64, feet: f64| {
        DVec2::new(x - (board - court::CENTRE_BOARD) * court::BOARD_M, y - feet * FOOT_M) / INCH_M
    };
    if !(1.8..5.2).contains(&y) {
        return false;
    }
    let arrow = court::ARROWS.iter().any(|(board, feet)| {
        let off = from_in(board.0, feet.0);
        (-6.0..=0.0).contains(&off.y) && off.x.abs() < 0.625 * -off.y / 6.0
    });
    arrow || court::DOTS.iter().any(|(board, feet)| from_in(board.0, feet.0).length() < 0.375)
}
