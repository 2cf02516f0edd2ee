//! The law of contact between ball and lane: mixed lubrication, oil exchange, and the small torques.
//!
//! Friction blends dry contact and friction through the film by how thick the oil stands against the combined roughness. Oil takes adhesion
//! away and leaves the loss in kneading the cover, so a lossy cover has much the same modest friction at any film (lubricated rubber:
//! Mofidi et al. 2008; Xu and Persson, arXiv 2505.16943, abstracts read). The constants are this project's, calibrated as
//! docs/calibration.md tells. They are not measured on any particular ball.

use boardwise_ball::Ball;
use boardwise_units::{Inches, court, math};
use glam::DVec3;

/// Constants of the contact law. `default()` is the calibrated set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContactLaw {
    /// How the film carried on the ball's track counts beside the lane's: 1, or 0 to leave it out.
    pub track_share: f64,
    /// Weight w of the thickness ratio beside its square: what a thin film already keeps apart.
    pub thin_weight: f64,
    /// Power q with which the film that a cover stands through grows with its dullness σ/(σ + 0.3 µm): always slower than with the roughness σ
    /// itself, the more so the rougher, for asperities flatten under load (Greenwood 2020).
    pub roughness_power: f64,
    /// Greatest friction of a sheared film, dimensionless.
    pub film_cap: f64,
    /// Oil viscosity η, Pa s (12 to 81 cP allowed \[S\]).
    pub viscosity_pa_s: f64,
    /// Film h_s that stays in the roughness when a film splits, metres.
    pub kept_film_m: f64,
    /// The most h_t of a film that a pass can split, metres: the rest of a thick one flows round the contact.
    pub split_film_m: f64,
    /// Width of the oily stripe the contact leaves on the cover, metres (contact patch plus its meniscus; our judgement).
    pub stripe_m: f64,
    /// Width of lane over which a pass exchanges oil, metres, for a cover sanded at about 1500 grit.
    pub swath_m: f64,
    /// Radius a of the contact patch, metres (about 1.4 mm by Hertz).
    pub patch_radius_m: f64,
    /// Whether pivot friction (spinning on the patch) acts.
    pub pivot: bool,
    /// Rolling resistance c: torque c N R against rolling (order 0.001 to 0.003 \[M\]).
    pub rolling_resistance: f64,
    /// How the rev rate that a hand gives falls with the ball's radius of gyration about the release axis: its power. 0 is a machine that
    /// turns every ball alike, 1 a hand that does the same work on every ball, 2 one that gives the same angular momentum.
    pub hand_power: f64,
}

impl Default for ContactLaw {
    fn default() -> Self {
        Self {
            track_share: 1.0,
            thin_weight: 0.7,
            roughness_power: 1.2,
            film_cap: 0.04,
            viscosity_pa_s: 0.035,
            kept_film_m: 0.05e-6,
            split_film_m: 2.9e-6,
            stripe_m: 12.0e-3,
            swath_m: 5.3e-3,
            patch_radius_m: 1.4e-3,
            pivot: true,
            rolling_resistance: 0.001,
            hand_power: 1.0,
        }
    }
}

/// Combined roughness at which a cover's film reach is given: about a pad of 4000.
const REACH_RA_M: f64 = 0.3e-6;
/// Viscosity at which it is given.
const USUAL_VISCOSITY_PA_S: f64 = 0.035;
/// How the film that stays between cover and lane grows with viscosity, which slows its squeezing out (our judgement; its sign is published:
/// the colder the oil, the less hook \[S\]).
const SQUEEZE_POWER: f64 = 0.5;
/// Radius of gyration about the release axis at which a bowler's rev rate is given, inches: a middling ball's.
const REV_RATE_RG_IN: f64 = 2.55;

impl ContactLaw {
    /// Coulomb friction alone, without the small torques and with the rev rate as given: for closed forms and teaching.
    pub fn coulomb() -> Self {
        Self { pivot: false, rolling_resistance: 0.0, hand_power: 0.0, ..Self::default() }
    }

    /// This law for one ball on one lane.
    pub fn between(&self, ball: &Ball, lane_ra_m: f64) -> Contact {
        let sigma_m = math::sqrt(ball.surface.ra_m * ball.surface.ra_m + lane_ra_m * lane_ra_m);
        let patch_m2 = core::f64::consts::PI * self.patch_radius_m * self.patch_radius_m;
        let load_n = ball.mass_kg * court::GRAVITY_M_S2;
        let film_scale_m = ball.cover.film_reach_m
            * math::pow(2.0 * sigma_m / (sigma_m + REACH_RA_M), self.roughness_power)
            * math::pow(USUAL_VISCOSITY_PA_S / self.viscosity_pa_s, SQUEEZE_POWER);
        Contact {
            dry_friction: ball.cover.dry_friction,
            film_scale_m,
            track_share: self.track_share,
            thin_weight: self.thin_weight,
            shear_s: self.viscosity_pa_s * patch_m2 / load_n,
            film_friction: ball.cover.film_friction,
            film_cap: self.film_cap.max(ball.cover.film_friction),
            kept_film_m: self.kept_film_m,
            split_film_m: self.split_film_m,
            stripe_m: self.stripe_m,
            absorption_s: ball.cover.absorption_s,
            pivot_arm_m: if self.pivot { 3.0 * core::f64::consts::PI / 16.0 * self.patch_radius_m } else { 0.0 },
            patch_radius_m: self.patch_radius_m,
            rolling_resistance: self.rolling_resistance,
            rev_share: self.rev_share(ball),
        }
    }

    /// The rev rate that a hand gives a ball, over what it gives a middling one: a ball of lower RG turns faster.
    pub fn rev_share(&self, ball: &Ball) -> f64 {
        let axis = ball.core_axes.transpose() * DVec3::X;
        let rg_m = math::sqrt((ball.inertia_kg_m2 * axis).dot(axis) / ball.mass_kg);
        math::pow(Inches(REV_RATE_RG_IN).to_metres() / rg_m, self.hand_power)
    }
}

/// The contact law worked out for one ball on one lane. All fields SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// μ_b.
    pub(crate) dry_friction: f64,
    /// h₀, the film that counts as one in the thickness ratio λ.
    pub(crate) film_scale_m: f64,
    pub(crate) track_share: f64,
    pub(crate) thin_weight: f64,
    /// η π a² / N: shear friction is this times slip over film.
    pub(crate) shear_s: f64,
    /// μ_v.
    pub(crate) film_friction: f64,
    pub(crate) film_cap: f64,
    pub(crate) kept_film_m: f64,
    pub(crate) split_film_m: f64,
    pub(crate) stripe_m: f64,
    pub(crate) absorption_s: f64,
    /// (3π/16) a: pivot torque is this times μ N without slip \[Zhuravlev's form, M; limits verified, C\].
    pub(crate) pivot_arm_m: f64,
    pub(crate) patch_radius_m: f64,
    pub(crate) rolling_resistance: f64,
    /// What the hand's rev rate is times on this ball.
    pub(crate) rev_share: f64,
}

impl Contact {
    /// How far a film of thickness ratio λ outweighs dry contact: (1 − A)/A.
    fn wet(&self, lambda: f64) -> f64 {
        lambda * (self.thin_weight + (1.0 - self.thin_weight) * lambda)
    }

    /// Friction coefficient on a film `lane_m` with `track_m` already on the ball's track, at this slip.
    ///
    /// μ = A μ_b + (1−A) μ_f, A = 1/(1 + w λ + (1−w) λ²), λ = (h_lane + h_track)/h₀, μ_f = η s πa²/(N h), at least the cover's own μ_v and at
    /// most a cap.
    pub fn friction(&self, lane_m: f64, track_m: f64, slip_m_s: f64) -> f64 {
        let film_m = lane_m + self.track_share * track_m;
        let dry = 1.0 / (1.0 + self.wet(film_m / self.film_scale_m));
        // A nanometre keeps the quotient finite where there is no film and its share is nothing anyway.
        let film = (self.shear_s * slip_m_s / (film_m + 1e-9)).min(self.film_cap).max(self.film_friction);
        dry * self.dry_friction + (1.0 - dry) * film
    }

    /// The even film that a dry cover feels in each of several equal parts of a stretch, along which the film runs straight from one thickness to
    /// another. What stands through the film is averaged, for at the end of the oil the last micrometre does all the work.
    #[inline(always)]
    pub(crate) fn even_films_m<const PARTS: usize>(&self, near_m: f64, far_m: f64) -> [f64; PARTS] {
        use core::array::from_fn;
        /// Films that differ by less than this share of the thicker one stand as their middle does, within a thousandth.
        const ALIKE: f64 = 0.1;
        /// So do films this thin beside the film's scale: A falls straight with them.
        const THIN: f64 = 1e-3;
        let alike = |from_m: f64, to_m: f64| (to_m - from_m).abs() <= ALIKE * from_m.max(to_m);
        let thin = |film_m: f64| film_m <= THIN * self.film_scale_m;
        let edge = |part: usize| {
            let t = part as f64 / PARTS as f64;
            near_m * (1.0 - t) + far_m * t
        };
        let (from_m, to_m): ([f64; PARTS], [f64; PARTS]) = (from_fn(edge), from_fn(|part| edge(part + 1)));
        let middle_m: [f64; PARTS] = from_fn(|k| 0.5 * (from_m[k] + to_m[k]));
        // The ends of a part differ most, beside their films, at the thin end.
        let thinnest = if near_m < far_m { 0 } else { PARTS - 1 };
        if alike(from_m[thinnest], to_m[thinnest]) || thin(near_m.max(far_m)) {
            return middle_m;
        }
        let as_middle: [bool; PARTS] = from_fn(|k| alike(from_m[k], to_m[k]) || thin(from_m[k].max(to_m[k])));
        // A = 1/(1 + w λ + c λ²) with w² < 4c: its integral is an arc tangent. Done step by step for all parts, which the vectoriser likes,
        // but for the arc tangent: that is dear, and most parts do not need it.
        let (w, c, scale_m) = (self.thin_weight, 1.0 - self.thin_weight, self.film_scale_m);
        let root = math::sqrt(4.0 * c - w * w);
        let tangents: [f64; PARTS] = from_fn(|k| {
            let (low, high) =
                ((2.0 * c * (from_m[k] / scale_m) + w) / root, (2.0 * c * (to_m[k] / scale_m) + w) / root);
            (high - low) / (1.0 + low * high)
        });
        let arcs: [f64; PARTS] = from_fn(|k| if as_middle[k] { tangents[k] } else { math::atan(tangents[k]) });
        from_fn(|k| {
            let mean = 2.0 / root * arcs[k] / (to_m[k] / scale_m - from_m[k] / scale_m);
            let wet = (1.0 / mean - 1.0).max(0.0);
            // The root of c λ² + w λ = wet, written so that nothing cancels.
            let even_m = 2.0 * wet / (w + math::sqrt(w * w + 4.0 * c * wet)) * scale_m;
            if as_middle[k] { middle_m[k] } else { even_m }
        })
    }

    /// What of a film is free to split: thin ones stay in the roughness, thick ones flow round. g(h) = h²/(h + h_s) · h_t/(h + h_t).
    fn free_film_m(&self, film_m: f64) -> f64 {
        film_m * film_m / (film_m + self.kept_film_m) * (self.split_film_m / (film_m + self.split_film_m))
    }

    /// Film gained by the track in a pass over a lane film, when the ball already carries `track_m` there: what is free of both meets
    /// and splits in the middle, [g(h_lane) − g(h_track)]/2.
    ///
    /// `sweep` is lane area over ball area passed, |v| / (R |ω_h|): about 1.7 at release, 1 when rolling. No spot gives more than it holds.
    pub fn gain_m(&self, lane_m: f64, track_m: f64, sweep: f64) -> f64 {
        let split = 0.5 * (self.free_film_m(lane_m) - self.free_film_m(track_m));
        (split * sweep.min(MOST_SWEEP)).max(-track_m)
    }
}

/// A barely turning ball drags one spot of cover over much lane; past this the spot is full.
pub(crate) const MOST_SWEEP: f64 = 5.0;

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_ball::{BallSpec, CoverKind};

    #[test]
    fn law_films_of_any_thickness_have_a_mean_between_them() {
        // A lane worn by one ball keeps traces of it far down lane: films of less than an atom once gave no number at all.
        let contact = contact();
        for exponent in 1..320 {
            let thin = 1e-6 * 10f64.powi(-exponent);
            for thick in [0.0, 2.0 * thin, 1e3 * thin, 1e-7, 1e-6] {
                let [mean] = contact.even_films_m(thin, thick);
                assert!((0.999 * thin.min(thick)..=1.001 * thin.max(thick)).contains(&mean), "{thin} {thick}: {mean}");
            }
        }
    }

    fn contact() -> Contact {
        let ball = Ball::new(BallSpec::new("t", CoverKind::Reactive)).unwrap().0;
        ContactLaw::default().between(&ball, crate::Lane::SURFACE_RA_M)
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
    fn law_what_one_spot_gains_the_other_gives_and_none_gives_more_than_it_holds() {
        let c = contact();
        for (lane, track) in [(4e-6, 0.0), (1e-6, 3e-7), (2e-7, 5e-6), (0.0, 1e-7)] {
            assert!((c.gain_m(lane, track, 1.0) + c.gain_m(track, lane, 1.0)).abs() < 1e-20, "symmetric");
            for sweep in [0.5, 1.0, 2.0, 9.0] {
                let gain = c.gain_m(lane, track, sweep);
                assert!(gain >= -track && gain <= lane * sweep, "{lane} {track} {sweep}: {gain}");
            }
        }
    }

    #[test]
    fn law_the_even_film_stands_as_much_through_as_the_sloping_one() {
        let c = contact();
        for (from, to) in [(0.0, 1e-6), (2e-6, 0.0), (3e-7, 5e-6), (0.0, 1e-9)] {
            let dry = |film: f64| 1.0 / (1.0 + c.wet(film / c.film_scale_m));
            let steps = 20_000;
            let sum: f64 = (0..steps).map(|k| dry(from + (to - from) * (f64::from(k) + 0.5) / f64::from(steps))).sum();
            let [even_m] = c.even_films_m(from, to);
            let (mean, found) = (sum / f64::from(steps), dry(even_m));
            assert!((mean - found).abs() < 1e-8, "{from} {to}: {mean} {found}");
        }
    }

    #[test]
    fn law_dry_on_dry_exchanges_nothing() {
        let c = contact();
        assert!(c.gain_m(0.0, 0.0, 1.5).abs() < 1e-30);
        assert!(c.gain_m(5e-6, 0.0, 1.5) > 0.0);
        assert!(c.gain_m(0.0, 5e-6, 1.5) < 0.0, "a wet ball lays oil on a dry lane");
        assert!(c.gain_m(0.0, 5e-6, 100.0) > -5e-6, "but never more than it carries");
    }
}
