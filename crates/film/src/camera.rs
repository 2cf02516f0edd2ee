//! A camera: a pinhole with one coefficient of distortion.
//!
//! The world has x to the right of somebody who looks at the pins, y toward the pins, z up, and its origin in the middle of the
//! foul line. Pictures have u to the right and v down, both from the middle of the first pixel.

use boardwise_units::math;
use glam::{DMat3, DVec2, DVec3};

/// Parameters of a camera.
pub const CAMERA: usize = 8;

/// Where a camera stands, where it looks, and its lens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Its place, metres.
    pub place_m: DVec3,
    /// Turn to the right from looking straight down the lane, radians.
    pub yaw_rad: f64,
    /// How far it looks down from level, radians.
    pub pitch_rad: f64,
    /// Turn about its line of sight, radians.
    pub roll_rad: f64,
    /// Focal length, pixels.
    pub focal_px: f64,
    /// Radial distortion k₁: a ray at r focal lengths from the middle lands at r (1 + k₁ r²).
    pub distortion: f64,
    /// Middle of the picture, pixels.
    pub middle_px: DVec2,
}

impl Camera {
    /// As the parameters of a fit: place, angles, logarithm of the focal length, distortion.
    pub fn parameters(&self) -> [f64; CAMERA] {
        let DVec3 { x, y, z } = self.place_m;
        [x, y, z, self.yaw_rad, self.pitch_rad, self.roll_rad, math::log(self.focal_px), self.distortion]
    }

    /// From the parameters of a fit.
    pub fn from_parameters(p: &[f64], middle_px: DVec2) -> Self {
        Self {
            place_m: DVec3::new(p[0], p[1], p[2]),
            yaw_rad: p[3],
            pitch_rad: p[4],
            roll_rad: p[5],
            focal_px: math::exp(p[6]),
            distortion: p[7],
            middle_px,
        }
    }

    /// The same camera, ready to project.
    pub fn view(&self) -> View {
        let (sy, cy) = (math::sin(self.yaw_rad), math::cos(self.yaw_rad));
        let (sp, cp) = (math::sin(self.pitch_rad), math::cos(self.pitch_rad));
        let forward = DVec3::new(sy * cp, cy * cp, -sp);
        let level = DVec3::new(cy, -sy, 0.0);
        let under = forward.cross(level);
        let (sr, cr) = (math::sin(self.roll_rad), math::cos(self.roll_rad));
        let right = level * cr + under * sr;
        let down = under * cr - level * sr;
        View { camera: *self, axes: DMat3::from_cols(right, down, forward) }
    }
}

/// A camera with its axes worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The camera.
    pub camera: Camera,
    /// Its axes in the world as columns: right, down, forward.
    pub axes: DMat3,
}

impl View {
    /// Where a place is seen; None behind the camera, or so far off its axis that the lens folds over.
    #[inline]
    pub fn project(&self, place_m: DVec3) -> Option<DVec2> {
        let d = place_m - self.camera.place_m;
        let (x, y, z) = (self.axes.x_axis.dot(d), self.axes.y_axis.dot(d), self.axes.z_axis.dot(d));
        if z < 0.05 {
            return None;
        }
        let (a, b) = (x / z, y / z);
        let r2 = a * a + b * b;
        let k = self.camera.distortion;
        // Beyond r² = −1/(3 k) the lens of this model folds over.
        (1.0 + 3.0 * k * r2 > 0.05)
            .then(|| self.camera.middle_px + DVec2::new(a, b) * (self.camera.focal_px * (1.0 + k * r2)))
    }

    /// Direction of the ray that lands at a place of the picture, not of unit length.
    #[inline]
    pub fn ray(&self, seen_px: DVec2) -> DVec3 {
        let landed = (seen_px - self.camera.middle_px) / self.camera.focal_px;
        let mut flat = landed;
        for _ in 0..6 {
            flat = landed / (1.0 + self.camera.distortion * flat.length_squared()).max(0.3);
        }
        self.axes * DVec3::new(flat.x, flat.y, 1.0)
    }

    /// Where the ray through a place of the picture meets the level at this height; None if it does not.
    pub fn on_level(&self, seen_px: DVec2, height_m: f64) -> Option<DVec2> {
        let ray = self.ray(seen_px);
        let along = (height_m - self.camera.place_m.z) / ray.z;
        (along > 0.0 && along.is_finite()).then(|| (self.camera.place_m + ray * along).truncate())
    }

    /// The middle of a ball's outline in the picture, and a mean radius of it, pixels.
    pub fn ball(&self, centre_m: DVec3, radius_m: f64) -> Option<(DVec2, f64)> {
        let (centre, right, up) = self.outline(centre_m, radius_m)?;
        let mut sum = DVec2::ZERO;
        let mut rim = [DVec2::ZERO; 8];
        for (place, (c, s)) in rim.iter_mut().zip(EIGHTHS) {
            *place = self.project(centre + right * c + up * s)?;
            sum += *place;
        }
        let middle = sum / 8.0;
        let radius = rim.iter().map(|place| (*place - middle).length()).sum::<f64>() / 8.0;
        Some((middle, radius))
    }

    /// The circle in which a ball is seen: its centre and two half axes, metres.
    pub fn outline(&self, centre_m: DVec3, radius_m: f64) -> Option<(DVec3, DVec3, DVec3)> {
        let sight = centre_m - self.camera.place_m;
        let far2 = sight.length_squared();
        let nearer = radius_m * radius_m / far2;
        if nearer > 0.25 {
            return None;
        }
        let rim_m = radius_m * math::sqrt(1.0 - nearer);
        let right = sight.cross(DVec3::Z).try_normalize()?;
        let up = right.cross(sight).normalize();
        Some((centre_m - sight * nearer, right * rim_m, up * rim_m))
    }
}

const HALF: f64 = core::f64::consts::FRAC_1_SQRT_2;
/// Cosines and sines of the eighths of a turn.
const EIGHTHS: [(f64, f64); 8] =
    [(1.0, 0.0), (HALF, HALF), (0.0, 1.0), (-HALF, HALF), (-1.0, 0.0), (-HALF, -HALF), (0.0, -1.0), (HALF, -HALF)];

#[cfg(test)]
mod tests {
    use super::*;

    fn camera() -> Camera {
        Camera {
            place_m: DVec3::new(0.4, -3.0, 2.2),
            yaw_rad: -0.05,
            pitch_rad: 0.2,
            roll_rad: 0.03,
            focal_px: 1400.0,
            distortion: -0.06,
            middle_px: DVec2::new(539.5, 959.5),
        }
    }

    #[test]
    fn law_a_ray_goes_back_to_the_place_that_was_seen() {
        let view = camera().view();
        for place in [DVec3::new(-0.5, 0.5, 0.0), DVec3::new(0.5, 18.0, 0.0), DVec3::new(0.0, 7.0, 0.1)] {
            let seen = view.project(place).unwrap();
            let back = view.on_level(seen, place.z).unwrap();
            assert!((back - place.truncate()).length() < 2e-3, "{place} {back}");
        }
    }

    #[test]
    fn law_down_is_down_and_right_is_right() {
        let view = Camera { yaw_rad: 0.0, roll_rad: 0.0, ..camera() }.view();
        let near = view.project(DVec3::new(0.4, 3.0, 0.0)).unwrap();
        let far = view.project(DVec3::new(0.4, 18.0, 0.0)).unwrap();
        let right = view.project(DVec3::new(0.9, 3.0, 0.0)).unwrap();
        assert!(near.y > far.y && right.x > near.x);
    }
}
