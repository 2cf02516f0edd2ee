//! The oil a ball carries on its track.
//!
//! Each revolution the contact comes back to nearly the same ring of cover. If the core makes the axis migrate (flare),
//! the ring moves over and meets dry cover; if not, it meets the oil of the last time round. [`GridTrack`] keeps the
//! film on a fine grid of the whole ball and is the reference. [`RingTrack`] remembers only the last revolution, which
//! is what the batch engine does; docs/path.md states the measured difference.

use crate::friction::Contact;
use alloc::vec;
use alloc::vec::Vec;
use boardwise_units::math;
use glam::{DVec2, DVec3};

/// What a pass of the contact over the cover needs to know. Vectors are fixed in the ball, along the release frame
/// (axis, up, grip).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pass {
    /// Unit vector from the centre to the contact.
    pub contact: DVec3,
    /// Unit vector of the rotation axis.
    pub axis: DVec3,
    /// Angle turned since release, radians.
    pub turned_rad: f64,
    /// Angle turned in this step.
    pub step_rad: f64,
    /// Time.
    pub time_s: f64,
    /// Where on the lane the contact is.
    pub place_m: DVec2,
}

/// What the stripe meets in a pass.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Met {
    /// Film on the lane.
    pub lane_m: f64,
    /// Lane area over ball area passed.
    pub sweep: f64,
}

/// The film on a ball's cover, found and changed as the contact passes.
pub(crate) trait Track {
    /// Mean film across the stripe just ahead of the contact.
    fn film_m(&self, pass: &Pass, contact: &Contact) -> f64;
    /// Exchanges oil between the stripe just passed, which held `before_m`, and the lane.
    fn lay(&mut self, pass: &Pass, contact: &Contact, before_m: f64, met: Met);
}

/// No memory: the ball meets every spot of lane with a dry cover.
pub(crate) struct DryTrack;

impl Track for DryTrack {
    fn film_m(&self, _: &Pass, _: &Contact) -> f64 {
        0.0
    }
    fn lay(&mut self, _: &Pass, _: &Contact, _: f64, _: Met) {}
}

/// Film on a grid of the whole cover; its poles are the ends of the release axis, far from the track.
pub(crate) struct GridTrack {
    radius_m: f64,
    /// Film as last written, and when.
    film: Vec<(f32, f32)>,
}

impl GridTrack {
    /// Cells around and from pole to pole, about 1.3 mm square at the equator.
    const AROUND: i32 = 512;
    const POLAR: usize = 256;

    pub fn new(radius_m: f64) -> Self {
        Self { radius_m, film: vec![(0.0, 0.0); Self::AROUND as usize * Self::POLAR] }
    }

    /// Calls `visit` with every cell whose middle lies in the stripe swept in this pass: `stripe_m` wide, and as long as
    /// the contact moves, or at least `least_m`.
    fn cells(&self, pass: &Pass, stripe_m: f64, least_m: f64, mut visit: impl FnMut(usize)) {
        let half_width = 0.5 * stripe_m / self.radius_m;
        // The contact moves against the rotation, seen from the cover.
        let forward = pass.contact.cross(pass.axis);
        let ring = forward.length();
        if ring < 1e-6 {
            return;
        }
        let (forward, length) = (forward / ring, (ring * pass.step_rad).max(least_m / self.radius_m));
        let across = pass.contact.cross(forward);
        let reach = half_width + length;
        let d_theta = core::f64::consts::PI / Self::POLAR as f64;
        let theta = math::acos(pass.contact.x.clamp(-1.0, 1.0));
        let first = (((theta - reach) / d_theta).max(0.0)) as usize;
        let last = (((theta + reach) / d_theta) as usize).min(Self::POLAR - 1);
        let phi = math::atan2(pass.contact.z, pass.contact.y);
        let d_phi = core::f64::consts::TAU / f64::from(Self::AROUND);
        for row in first..=last {
            let row_theta = (row as f64 + 0.5) * d_theta;
            let (sin_theta, cos_theta) = (math::sin(row_theta), math::cos(row_theta));
            let half = ((reach / (sin_theta * d_phi)) as i32 + 2).min(Self::AROUND / 2 - 1);
            let middle = (phi / d_phi) as i32;
            for column in middle - half..=middle + half {
                let column = column.rem_euclid(Self::AROUND) as usize;
                let row_phi = (f64::from(column as u32) + 0.5) * d_phi;
                let cell = DVec3::new(cos_theta, sin_theta * math::cos(row_phi), sin_theta * math::sin(row_phi));
                let along = cell.dot(forward);
                if cell.dot(pass.contact) > 0.0
                    && cell.dot(across).abs() <= half_width
                    && (0.0..length).contains(&along)
                {
                    visit(row * Self::AROUND as usize + column);
                }
            }
        }
    }

    fn now(&self, cell: usize, time_s: f64, absorption_s: f64) -> f64 {
        let (film, when) = self.film[cell];
        f64::from(film) * math::exp((f64::from(when) - time_s) / absorption_s)
    }
}

impl Track for GridTrack {
    fn film_m(&self, pass: &Pass, contact: &Contact) -> f64 {
        let (mut sum, mut count) = (0.0, 0u32);
        // A short step may sweep no cell's middle; what lies a few cells ahead says the same.
        self.cells(pass, contact.stripe_m, 4e-3, |cell| {
            sum += self.now(cell, pass.time_s, contact.absorption_s);
            count += 1;
        });
        if count == 0 { 0.0 } else { sum / f64::from(count) }
    }

    fn lay(&mut self, pass: &Pass, contact: &Contact, _: f64, met: Met) {
        let mut cells = Vec::new();
        self.cells(pass, contact.stripe_m, 0.0, |cell| cells.push(cell));
        for cell in cells {
            let now = self.now(cell, pass.time_s, contact.absorption_s);
            self.film[cell] = ((now + contact.gain_m(met.lane_m, now, met.sweep)) as f32, pass.time_s as f32);
        }
    }
}

/// The last revolution only: at each step the contact, the angle turned and the film left there.
pub(crate) struct RingTrack {
    radius_m: f64,
    steps: Vec<RingStep>,
}

struct RingStep {
    turned_rad: f64,
    time_s: f64,
    contact: DVec3,
    film_m: f64,
}

impl RingTrack {
    pub fn new(radius_m: f64) -> Self {
        Self { radius_m, steps: Vec::new() }
    }
}

impl Track for RingTrack {
    fn film_m(&self, pass: &Pass, contact: &Contact) -> f64 {
        let then = pass.turned_rad - core::f64::consts::TAU;
        let after = self.steps.partition_point(|step| step.turned_rad < then);
        if after == 0 || after >= self.steps.len() {
            return 0.0;
        }
        let (a, b) = (&self.steps[after - 1], &self.steps[after]);
        let t = (then - a.turned_rad) / (b.turned_rad - a.turned_rad);
        let last = a.contact.lerp(b.contact, t);
        // How far the ring has moved over: the difference of latitudes about the rotation axis.
        let slant = pass.axis.dot(pass.contact);
        let ring = math::sqrt((1.0 - slant * slant).max(1e-12));
        let shift_m = self.radius_m * (pass.axis.dot(last) - slant).abs() / ring;
        let overlap = (1.0 - shift_m / contact.stripe_m).max(0.0);
        let age_s = pass.time_s - (a.time_s + (b.time_s - a.time_s) * t);
        overlap * (a.film_m + (b.film_m - a.film_m) * t) * math::exp(-age_s / contact.absorption_s)
    }

    fn lay(&mut self, pass: &Pass, contact: &Contact, before_m: f64, met: Met) {
        self.steps.push(RingStep {
            turned_rad: pass.turned_rad,
            time_s: pass.time_s,
            contact: pass.contact,
            film_m: before_m + contact.gain_m(met.lane_m, before_m, met.sweep),
        });
    }
}
