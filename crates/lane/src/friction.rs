//! The law of contact between ball and lane: mixed lubrication, oil exchange, and the small torques.
//!
//! Friction blends dry contact and film shear by how thick the oil stands against the combined roughness. The form is
//! ordinary mixed-lubrication practice; the constants are this project's, calibrated as docs/calibration.md tells. They
//! are not measured on any particular ball.

use boardwise_ball::Ball;
use boardwise_units::{court, math};

/// Constants of the contact law. `default()` is the calibrated set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContactLaw {
    /// How the lane's film counts, k_lane.
    pub lane_share: f64,
    /// How the film carried on the ball's track counts, k_ball.
    pub track_share: f64,
    /// Greatest friction of a sheared film, dimensionless.
    pub film_cap: f64,
    /// Oil viscosity η, Pa s (12 to 81 cP allowed \[S\]).
    pub viscosity_pa_s: f64,
    /// Largest share of the film the ball takes up in one pass, f₀ (near 0.14: docs/calibration.md).
    pub take: f64,
    /// Film thickness at which the share reaches 63% of that, h_f, metres.
    pub take_film_m: f64,
    /// Share of its track film the ball gives back in one pass, r.
    pub give: f64,
    /// Width of the oily stripe the contact leaves, metres (contact patch plus its meniscus; our judgement).
    pub stripe_m: f64,
    /// Radius a of the contact patch, metres (about 1.4 mm by Hertz).
    pub patch_radius_m: f64,
    /// Whether pivot friction (spinning on the patch) acts.
    pub pivot: bool,
    /// Rolling resistance c: torque c N R against rolling (order 0.001 to 0.003 \[M\]).
    pub rolling_resistance: f64,
}

impl Default for ContactLaw {
    fn default() -> Self {
        Self {
            lane_share: 1.0,
            track_share: 1.0,
            film_cap: 0.035,
            viscosity_pa_s: 0.03,
            take: 0.14,
            take_film_m: 1.0e-6,
            give: 0.14,
            stripe_m: 5.0e-3,
            patch_radius_m: 1.4e-3,
            pivot: true,
            rolling_resistance: 0.001,
        }
    }
}

impl ContactLaw {
    /// Coulomb friction alone, without the small torques: for closed forms and teaching.
    pub fn coulomb() -> Self {
        Self { pivot: false, rolling_resistance: 0.0, ..Self::default() }
    }

    /// This law for one ball on one lane.
    pub fn between(&self, ball: &Ball, lane_ra_m: f64) -> Contact {
        let sigma_m = math::sqrt(ball.surface.ra_m * ball.surface.ra_m + lane_ra_m * lane_ra_m);
        let patch_m2 = core::f64::consts::PI * self.patch_radius_m * self.patch_radius_m;
        let load_n = ball.mass_kg * court::GRAVITY_M_S2;
        Contact {
            dry_friction: ball.cover.dry_friction,
            lane_share_per_m: self.lane_share / (ball.cover.film_reach * sigma_m),
            track_share_per_m: self.track_share / (ball.cover.film_reach * sigma_m),
            film_scale_m: ball.cover.film_reach * sigma_m,
            shear_s: self.viscosity_pa_s * patch_m2 / load_n,
            film_cap: self.film_cap,
            take: self.take,
            take_film_m: self.take_film_m,
            give: self.give,
            stripe_m: self.stripe_m,
            absorption_s: ball.cover.absorption_s,
            pivot_arm_m: if self.pivot { 3.0 * core::f64::consts::PI / 16.0 * self.patch_radius_m } else { 0.0 },
            patch_radius_m: self.patch_radius_m,
            rolling_resistance: self.rolling_resistance,
        }
    }
}

/// The contact law worked out for one ball on one lane. All fields SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// μ_b.
    pub(crate) dry_friction: f64,
    /// Lane film times this is its thickness ratio λ.
    pub(crate) lane_share_per_m: f64,
    /// Track film times this is its part of λ.
    pub(crate) track_share_per_m: f64,
    /// ℓ₀σ.
    pub(crate) film_scale_m: f64,
    /// η π a² / N: film friction is this times slip over film.
    pub(crate) shear_s: f64,
    pub(crate) film_cap: f64,
    pub(crate) take: f64,
    pub(crate) take_film_m: f64,
    pub(crate) give: f64,
    pub(crate) stripe_m: f64,
    pub(crate) absorption_s: f64,
    /// (3π/16) a: pivot torque is this times μ N without slip \[Zhuravlev's form, M; limits verified, C\].
    pub(crate) pivot_arm_m: f64,
    pub(crate) patch_radius_m: f64,
    pub(crate) rolling_resistance: f64,
}

impl Contact {
    /// Friction coefficient on a film `lane_m` with `track_m` already on the ball's track, at this slip.
    ///
    /// μ = A μ_b + (1−A) μ_f, A = 1/(1 + λ^1.5), λ = h_eff/(ℓ₀σ), μ_f = min(η s πa²/(N h_eff), cap).
    pub fn friction(&self, lane_m: f64, track_m: f64, slip_m_s: f64) -> f64 {
        let lambda = self.lane_share_per_m * lane_m + self.track_share_per_m * track_m;
        let dry = 1.0 / (1.0 + lambda * math::sqrt(lambda));
        // A nanometre keeps the quotient finite where there is no film and its share is nothing anyway.
        let film = (self.shear_s * slip_m_s / (lambda * self.film_scale_m + 1e-9)).min(self.film_cap);
        dry * self.dry_friction + (1.0 - dry) * film
    }

    /// The even film that a dry cover feels as it feels one which runs straight from one thickness to another: what stands through the
    /// film is averaged, for at the end of the oil the last micrometre does all the work.
    #[inline(always)]
    pub(crate) fn mean_film_m(&self, from_m: f64, to_m: f64) -> f64 {
        const SAMPLES: usize = 16;
        /// Films that differ by less than this share of the thicker one stand as their middle does, within a thousandth.
        const ALIKE: f64 = 0.1;
        if self.lane_share_per_m == 0.0 || (to_m - from_m).abs() <= ALIKE * from_m.max(to_m) {
            return from_m.midpoint(to_m);
        }
        // Kept apart until all are known: the lanes of wide registers work side by side, a sum does not.
        let mut standing = [0.0; SAMPLES];
        for (k, standing) in standing.iter_mut().enumerate() {
            let film_m = from_m + (to_m - from_m) * (k as f64 + 0.5) / SAMPLES as f64;
            let lambda = self.lane_share_per_m * film_m;
            *standing = 1.0 / (1.0 + lambda * math::sqrt(lambda));
        }
        let mean = standing.into_iter().sum::<f64>() / SAMPLES as f64;
        let wet = (1.0 / mean - 1.0).max(0.0);
        math::cbrt(wet * wet) / self.lane_share_per_m
    }

    /// Film gained by the track in a pass over a lane film, when the ball already carries `track_m` there.
    ///
    /// `sweep` is lane area over ball area passed, |v| / (R |ω_h|): about 1.7 at release, 1 when rolling.
    pub fn gain_m(&self, lane_m: f64, track_m: f64, sweep: f64) -> f64 {
        let take = self.take * (1.0 - math::exp(-lane_m / self.take_film_m));
        (take * lane_m - self.give * track_m) * sweep.min(MOST_SWEEP)
    }
}

/// A barely turning ball drags one spot of cover over much lane; past this the spot is full.
pub(crate) const MOST_SWEEP: f64 = 5.0;

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_ball::{BallSpec, CoverKind};

    fn contact() -> Contact {
        let ball = Ball::new(BallSpec::new("t", CoverKind::Reactive)).unwrap().0;
        ContactLaw::default().between(&ball, 0.3e-6)
    }

    #[test]
    fn law_friction_falls_with_oil_from_dry_to_film() {
        let c = contact();
        assert!((c.friction(0.0, 0.0, 4.0) - c.dry_friction).abs() < 1e-12);
        let mut last = f64::INFINITY;
        for k in 0..100 {
            let mu = c.friction(f64::from(k) * 0.2e-6, 0.0, 4.0);
            assert!(mu <= last && mu > 0.0);
            last = mu;
        }
        assert!(last < 0.05);
        assert!(c.friction(2e-6, 2e-6, 4.0) < c.friction(2e-6, 0.0, 4.0), "track film lubricates too");
    }

    #[test]
    fn law_dry_on_dry_exchanges_nothing() {
        let c = contact();
        assert_eq!(c.gain_m(0.0, 0.0, 1.5), 0.0);
        assert!(c.gain_m(5e-6, 0.0, 1.5) > 0.0);
        assert!(c.gain_m(0.0, 5e-6, 1.5) < 0.0, "a wet ball lays oil on a dry lane");
        assert!(c.gain_m(0.0, 5e-6, 100.0) > -5e-6, "but never more than it carries");
    }
}
