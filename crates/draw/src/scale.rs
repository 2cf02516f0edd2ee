//! A scale of colours, lying.

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
