//! One ball in one picture: its outline, found against the still scene.
//!
//! The lower part of the outline is left out: the ball's reflection on the oil and its shadow join it there.

mod rim;

use boardwise_units::math;
use glam::{DVec2, DVec3};

use crate::Picture;
use crate::camera::View;
use crate::still::Still;

/// Half of the usual diameter, 8.55 in (8.500 to 8.595 allowed \[S\]), metres.
pub const RADIUS_M: f64 = 4.275 * boardwise_units::INCH_M;

/// Rays from the middle of the ball to its outline.
const RAYS: usize = 40;
/// Rays that point farther down than this sine are left out.
const LOWEST_SINE: f64 = 0.35;
/// Samples along a ray.
const SAMPLES: usize = 30;
/// Where rays begin and end, radii of the ball.
const FROM: f64 = 0.4;
const TO: f64 = 1.65;

/// The ball as one picture shows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outline {
    /// Middle of its outline, pixels of the still scene.
    pub middle_px: DVec2,
    /// Standard errors of the middle across and down, pixels.
    pub sd_px: DVec2,
    /// Radius expected there, pixels.
    pub radius_px: f64,
    /// Place of the ball's contact with the lane, metres, as this picture alone tells it.
    pub place_m: DVec2,
}

/// Finds the outline of a ball that is expected on the lane at `place_m`.
pub fn outline(picture: &Picture, still: &Still, view: &View, shift: DVec2, place_m: DVec2) -> Option<Outline> {
    let mut place_m = place_m;
    let mut found = None;
    for _ in 0..3 {
        let centre_m = place_m.extend(RADIUS_M);
        let (expected, radius_px) = view.ball(centre_m, RADIUS_M)?;
        if radius_px < 2.5 || !picture.holds(expected.x, expected.y, 2.0) {
            return None;
        }
        let (offset, sd_px) = fit_rays(picture, still, view, shift, centre_m, expected)?;
        // A fit that goes far has caught something else, or begins too far away: it gets its next round from there.
        let offset = offset.clamp_length_max(0.6 * radius_px);
        let middle_px = expected + offset;
        place_m = view.on_level(middle_px, RADIUS_M)?;
        found = Some(Outline { middle_px, sd_px, radius_px, place_m });
        if offset.length() < 0.02 * radius_px {
            break;
        }
    }
    let coarse = found?;
    let centre_m = coarse.place_m.extend(RADIUS_M);
    let (expected, radius_px) = view.ball(centre_m, RADIUS_M)?;
    let (offset, sd_px) = rim::fit(picture, still, view, shift, centre_m, expected, radius_px)?;
    let middle_px = expected + offset;
    Some(Outline { middle_px, sd_px, radius_px, place_m: view.on_level(middle_px, RADIUS_M)? })
}

/// One ray that met the outline: its direction, how far beyond the expected outline it did, and its contrast.
#[derive(Clone, Copy, Default)]
struct Met {
    along: DVec2,
    beyond_px: f64,
}

fn fit_rays(
    picture: &Picture,
    still: &Still,
    view: &View,
    shift: DVec2,
    centre_m: DVec3,
    middle: DVec2,
) -> Option<(DVec2, DVec2)> {
    let (rim_m, right_m, up_m) = view.outline(centre_m, RADIUS_M)?;
    let least = (4.0 * still.noise).max(9.0);
    let mut met = [Met::default(); RAYS];
    let (mut count, mut asked, mut mean_px) = (0, 0, 0.0);
    for k in 0..RAYS {
        let angle = core::f64::consts::TAU * (k as f64 + 0.5) / RAYS as f64;
        let (c, s) = (math::cos(angle), math::sin(angle));
        if s < -LOWEST_SINE {
            continue;
        }
        asked += 1;
        let rim = view.project(rim_m + right_m * c + up_m * s)? - middle;
        let radius_px = rim.length();
        mean_px += radius_px;
        let along = rim / radius_px;
        let mut change = [0.0; SAMPLES];
        for (j, change) in change.iter_mut().enumerate() {
            let at = FROM + (TO - FROM) * j as f64 / (SAMPLES - 1) as f64;
            *change = still.change(picture, shift, middle + rim * at);
        }
        if let Some(crossed) = crossing(&change, least) {
            let at = FROM + (TO - FROM) * crossed / (SAMPLES - 1) as f64;
            met[count] = Met { along, beyond_px: (at - 1.0) * radius_px };
            count += 1;
        }
    }
    if asked == 0 || count * 2 < asked {
        return None;
    }
    mean_px /= asked as f64;
    solve(&met[..count], mean_px)
}

/// Where the change falls through half of its height inside, in samples; None without enough contrast.
fn crossing(change: &[f64; SAMPLES], least: f64) -> Option<f64> {
    let mean = |of: &[f64]| of.iter().sum::<f64>() / of.len() as f64;
    let inside = mean(&change[..8]);
    let outside = mean(&change[SAMPLES - 6..]);
    if inside - outside < least {
        return None;
    }
    // Inside is judged again just within the outline, where shading may have changed it.
    let mut level = 0.5 * (inside + outside);
    let mut at = first_below(change, level)?;
    if at > 5.0 {
        let end = at as usize - 2;
        level = 0.5 * (mean(&change[end.saturating_sub(4)..=end]) + outside);
        at = first_below(change, level)?;
    }
    (at > 1.0).then_some(at)
}

fn first_below(change: &[f64; SAMPLES], level: f64) -> Option<f64> {
    // Three samples together must stay below, so that a mark on the ball is no outline.
    let below = |k: usize| change[k..(k + 4).min(SAMPLES)].iter().all(|c| *c < level);
    let k = (1..SAMPLES - 1).find(|&k| change[k - 1] >= level && below(k))?;
    Some((k - 1) as f64 + (change[k - 1] - level) / (change[k - 1] - change[k]).max(1e-9))
}

/// Middle and error from the rays, with the radius free within what light and blur do to it. Rays that miss by much count less.
fn solve(met: &[Met], radius_px: f64) -> Option<(DVec2, DVec2)> {
    let grow_sd = 0.03 * radius_px + 0.35;
    let mut offset = DVec3::ZERO;
    let (mut scale, mut inverse) = (1.0, glam::DMat3::IDENTITY);
    for round in 0..5 {
        let mut normal = glam::DMat3::ZERO;
        let mut right = DVec3::ZERO;
        let (mut squares, mut weights) = (0.0, 0.0);
        for Met { along, beyond_px } in met {
            let row = along.extend(1.0);
            let miss = beyond_px - row.dot(offset);
            let off = miss / (2.0 * scale);
            let weight = if round == 0 { 1.0 } else { 1.0 / (1.0 + off * off) };
            normal += glam::DMat3::from_cols(row * row.x, row * row.y, row * row.z) * weight;
            right += row * (weight * beyond_px);
            squares += weight * miss * miss;
            weights += weight;
        }
        scale = math::sqrt(squares / weights).max(0.15);
        normal.z_axis.z += scale * scale / (grow_sd * grow_sd) * 4.0;
        inverse = normal.inverse();
        offset = inverse * right;
        if !offset.is_finite() {
            return None;
        }
    }
    if scale > 0.22 * radius_px + 0.5 {
        return None;
    }
    // Neighbouring rays see the same pixels, so that fewer of them count than there are.
    let variance = 2.0 * scale * scale;
    let floor = 0.1 + 0.004 * radius_px;
    let sd = |entry: f64| math::sqrt(variance * entry + floor * floor);
    Some((offset.truncate(), DVec2::new(sd(inverse.x_axis.x), sd(inverse.y_axis.y))))
}
