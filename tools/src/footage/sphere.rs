//! The rolling ball: shaded, marked, mirrored by the oil, blurred by its motion, row after row of the picture later than the last.

use boardwise_units::{court, math};
use glam::{DQuat, DVec2, DVec3};

use super::flight::place_at;
use super::spec::Clip;

/// Time between kept attitudes, s.
const KEPT_S: f64 = 2e-3;
/// The house light comes from above and from behind the bowler.
const LIGHT: DVec3 = DVec3::new(0.2, -0.45, 0.87);
/// Where its three marks are, and how large (cosine of their half angle).
const MARKS: [(DVec3, f64); 3] =
    [(DVec3::new(0.8, 0.5, 0.33), 0.965), (DVec3::new(-0.6, 0.6, 0.53), 0.985), (DVec3::new(0.1, -0.3, -0.95), 0.975)];

/// A ball on its way.
pub struct RollingBall {
    attitudes: Vec<DQuat>,
}

impl RollingBall {
    /// Follows how the ball of a clip turns.
    pub fn new(clip: &Clip) -> Self {
        let rows = &clip.path.rows;
        let mut attitudes = vec![DQuat::IDENTITY];
        let mut attitude = DQuat::from_euler(glam::EulerRot::XYZ, clip.seed as f64, 0.7 * clip.seed as f64, 0.0);
        let mut row = 0;
        for k in 0..(rows.last().map_or(0.0, |row| row.time_s) / KEPT_S) as usize + 400 {
            while row + 1 < rows.len() && rows[row + 1].time_s < k as f64 * KEPT_S {
                row += 1;
            }
            attitude = (DQuat::from_scaled_axis(rows[row].spin_rad_s * KEPT_S) * attitude).normalize();
            attitudes.push(attitude);
        }
        Self { attitudes }
    }

    /// Draws the ball over the scene.
    pub fn draw(&self, clip: &Clip, time_s: f64, shake: DVec2, canvas: &mut [f32]) {
        let view = clip.camera.view();
        let radius_m = clip.radius_m;
        let since_s = |row: f64| time_s + clip.readout_s * row / clip.height as f64 - clip.release_s;
        let centre_at = |since_s: f64| {
            let place = place_at(&clip.path, since_s);
            DVec3::new(clip.sign() * place.x, place.y, radius_m)
        };
        let guess = centre_at(since_s(0.5 * clip.height as f64));
        if guess.y < -0.2 || guess.y > court::HEAD_PIN_M + 0.5 {
            return;
        }
        let Some((middle, radius_px)) = view.ball(guess, radius_m) else { return };
        // Room for blur, shadow and reflection.
        let blur_px = {
            let step = DVec3::new(0.0, 9.0 * clip.filming.exposure_s, 0.0);
            view.project(guess + step).map_or(0.0, |p| (p - view.project(guess).unwrap_or(p)).length())
        };
        let margin = 1.6 * radius_px + blur_px + 8.0;
        let low = middle + shake - DVec2::splat(margin);
        let high = middle + shake + DVec2::new(margin, margin + 2.2 * radius_px);
        let columns = low.x.max(0.0) as usize..(high.x.max(0.0) as usize).min(clip.width);
        let rows = low.y.max(0.0) as usize..(high.y.max(0.0) as usize).min(clip.height);
        let samples = (blur_px / 0.7).ceil().clamp(3.0, 14.0) as usize;
        for row in rows {
            let moments: Vec<(DVec3, DQuat)> = (0..samples)
                .map(|k| {
                    let s = since_s(row as f64) + clip.filming.exposure_s * ((k as f64 + 0.5) / samples as f64 - 0.5);
                    let kept = (s.max(0.0) / KEPT_S) as usize;
                    (centre_at(s), self.attitudes[kept.min(self.attitudes.len() - 1)])
                })
                .collect();
            for column in columns.clone() {
                let ray = view.ray(DVec2::new(column as f64, row as f64) - shake);
                let under = &mut canvas[row * clip.width + column];
                let mut sum = 0.0;
                for (centre, attitude) in &moments {
                    sum += lit(clip, view.camera.place_m, ray, *centre, *attitude, f64::from(*under));
                }
                *under = (sum / samples as f64) as f32;
            }
        }
    }
}

/// Brightness of a ray at one moment, where the scene without the ball has `under`.
fn lit(clip: &Clip, from: DVec3, ray: DVec3, centre: DVec3, attitude: DQuat, under: f64) -> f64 {
    let (covered, luma) = sphere(clip, from, ray, centre, attitude);
    if covered >= 1.0 {
        return luma;
    }
    let mut behind = under;
    if ray.z < 0.0 {
        let ground = from + ray * (-from.z / ray.z);
        let on_lane = ground.x.abs() < 0.5 * court::WIDTH_M && ground.y > 0.0;
        let off = (ground.truncate() - centre.truncate()).length() / 0.09;
        if off < 3.0 {
            behind *= 1.0 - 0.45 * math::exp(-off * off);
        }
        if on_lane {
            let flat = 1.0 - (-ray.z / ray.length()).min(1.0);
            let oiled = if ground.y < clip.pattern_m() { 1.0 } else { 0.5 };
            let glance = (0.05 + clip.sheen * flat * flat) * oiled;
            let mirrored = DVec3::new(ray.x, ray.y, -ray.z);
            let (shown, image) = sphere(clip, ground, mirrored, centre, attitude);
            behind = behind * (1.0 - glance * shown) + image * glance * shown;
        }
    }
    behind * (1.0 - covered) + luma * covered
}

/// How much of a ray's pixel the ball covers, and its brightness there.
fn sphere(clip: &Clip, from: DVec3, ray: DVec3, centre: DVec3, attitude: DQuat) -> (f64, f64) {
    let to = centre - from;
    let long2 = ray.length_squared();
    let along = to.dot(ray) / long2;
    let miss2 = (to.length_squared() - along * along * long2).max(0.0);
    let radius = clip.radius_m;
    let pixel_m = along * long2.sqrt() / clip.camera.focal_px;
    let miss = miss2.sqrt();
    let covered = ((radius - miss) / pixel_m + 0.5).clamp(0.0, 1.0);
    if along <= 0.0 || covered <= 0.0 {
        return (0.0, 0.0);
    }
    let depth = (radius * radius - miss2).max(0.0).sqrt();
    let normal = ((ray * along - to) - ray / long2.sqrt() * depth) / radius;
    let turned = attitude.conjugate() * DVec3::new(clip.sign() * normal.x, normal.y, normal.z);
    let (plain, mark) = clip.ball_luma;
    let marked = MARKS[..clip.marks].iter().any(|(at, cosine)| turned.dot(at.normalize()) > *cosine);
    let albedo = if marked { mark } else { plain };
    let facing = normal.dot(LIGHT).max(0.0);
    let gloss = facing.powi(60) * 0.6;
    (covered, clip.gain * (albedo * (0.4 + 0.6 * facing) + gloss + 0.02))
}
