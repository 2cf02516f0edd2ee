//! People: plain silhouettes. The bowler comes to the foul line and stays there; others cross the picture.

use boardwise_units::stream::Stream;
use glam::{DVec2, DVec3};

use super::spec::Clip;

/// Draws everybody who stands before the lane at this moment.
pub fn draw(clip: &Clip, time_s: f64, shake: DVec2, canvas: &mut [f32]) {
    let since_s = time_s - clip.release_s;
    // The bowler slides to the line left of a right-hander's ball, and walks back after a second.
    let beside_m = 0.19 + 0.12;
    let release_x_m = clip.release.laydown.to_metres() - beside_m;
    let y_m = if since_s < 0.0 { -0.5 + 2.6 * since_s } else { -0.5 - 0.7 * (since_s - 0.9).max(0.0) };
    person(clip, DVec3::new(clip.sign() * release_x_m, y_m, 0.0), 1.35, 0.2, shake, canvas);
    for index in 0..clip.people {
        let mut draw = Stream::keyed(clip.seed, "a person", index as u64);
        let right = if draw.uniform() < 0.5 { -1.0 } else { 1.0 };
        let depth_m = clip.camera.place_m.y + 1.6 + 2.0 * draw.uniform();
        let from_m = right * (0.6 + 2.5 * draw.uniform());
        let x_m = clip.camera.place_m.x + from_m - right * (0.5 * draw.uniform()) * time_s;
        let luma = 0.1 + 0.5 * draw.uniform();
        // Nobody walks across the lane that is played: people stay beside the camera's view of it.
        let beside = x_m.signum() * x_m.abs().max(0.9);
        person(clip, DVec3::new(beside, depth_m.min(-1.0), 0.0), 1.75, luma, shake, canvas);
    }
}

/// A head, a body and legs, upright over a place.
fn person(clip: &Clip, feet_m: DVec3, tall_m: f64, luma: f64, shake: DVec2, canvas: &mut [f32]) {
    let view = clip.camera.view();
    let (Some(feet), Some(head)) = (view.project(feet_m), view.project(feet_m + DVec3::Z * tall_m)) else { return };
    let (feet, head) = (feet + shake, head + shake);
    let tall_px = feet.y - head.y;
    if tall_px < 4.0 {
        return;
    }
    let rows = head.y.max(0.0) as usize..(feet.y.max(0.0) as usize).min(clip.height);
    for row in rows {
        let down = (row as f64 - head.y) / tall_px;
        // Half widths as shares of the height.
        let half = match down {
            d if d < 0.13 => 0.065 * (1.0 - ((d - 0.065) / 0.065).powi(2)).max(0.0).sqrt(),
            d if d < 0.17 => 0.03,
            d if d < 0.5 => 0.13,
            _ => 0.1,
        };
        let middle = head.x + (feet.x - head.x) * down;
        let left = (middle - half * tall_px).max(0.0) as usize;
        let right = ((middle + half * tall_px).max(0.0) as usize).min(clip.width);
        let shade = (clip.gain * luma * if down < 0.5 { 1.0 } else { 0.6 }) as f32;
        if left < right {
            canvas[row * clip.width + left..row * clip.width + right].fill(shade);
        }
    }
}
