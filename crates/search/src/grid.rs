//! The grid of laydown and launch that a search looks over first.

/// First and last laydown board, and the step between.
pub const LAYDOWN: (f64, f64, f64) = (2.0, 38.0, 1.0);
/// First and last launch angle, and the step between.
pub const LAUNCH_DEG: (f64, f64, f64) = (-2.0, 6.5, 0.25);
/// How strictly a cell must be aimed at what counts.
pub const COARSE_AIM: f64 = 0.15;

/// From the first to the last, both included.
pub fn steps((from, to, step): (f64, f64, f64)) -> Vec<f64> {
    let count = ((to - from) / step).round() as usize;
    (0..=count).map(|k| from + step * k as f64).collect()
}
