//! Scales: a bar of colours, round values along an axis, places on it.

use crate::scene::Scene;

/// Draws `count` steps of colour side by side; `fill` gives the colour at a share of the scale.
pub(crate) fn steps(
    scene: &mut Scene,
    (from, to): (f64, f64),
    (y, height): (f64, f64),
    count: usize,
    fill: impl Fn(f64) -> String,
) {
    let step = (to - from) / count as f64;
    for k in 0..count {
        let look = format!("fill=\"{}\"", fill((k as f64 + 0.5) / count as f64));
        scene.rect(from + k as f64 * step, y, step, height, &look);
    }
}

/// Round values between two, at most one more than `most`.
pub(crate) fn ticks_between(first: f64, last: f64, most: f64) -> Vec<f64> {
    let span = (last - first).abs().max(1e-6);
    let steps = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];
    let step = steps.into_iter().find(|step| span / step <= most).unwrap_or(0.5 * span);
    let low = first.min(last);
    let begin = (low / step).ceil() as i32;
    let end = ((low + span) / step).floor() as i32;
    (begin..=end).map(|k| f64::from(k) * step).collect()
}

/// From values to places, upward.
#[derive(Clone, Copy)]
pub(crate) struct Rise {
    pub low: f64,
    pub high: f64,
    pub bottom: f64,
    pub height: f64,
}

impl Rise {
    pub fn at(self, value: f64) -> f64 {
        let part = (value - self.low) / (self.high - self.low);
        self.bottom - self.height * if part.is_finite() { part.clamp(0.0, 1.0) } else { 0.0 }
    }
}
