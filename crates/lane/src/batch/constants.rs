//! The numbers of one ball in single precision.

use super::Runway;
use boardwise_units::court;

/// Per-ball numbers in single precision.
pub(super) struct Constants {
    pub radius: f32,
    pub per_radius: f32,
    pub per_mass: f32,
    pub weight: f32,
    pub per_inertia: [f32; 3],
    /// How much more than the third the first two are.
    pub per_inertia_more: [f32; 2],
    /// What two components of the angular momentum give the rate of the third.
    pub free: [f32; 3],
    pub offset: [f32; 3],
    pub dry: f32,
    /// One over the film's scale, for the lane's film and for the track's.
    pub per_scale: f32,
    pub track_per_scale: f32,
    /// Weights of the thickness ratio and of its square.
    pub thin: f32,
    pub thick: f32,
    /// The least film and what a slip shears, in units of the film's scale.
    pub least_film: f32,
    pub shear: f32,
    pub film_friction: f32,
    pub film_cap: f32,
    /// One over the film that stays in the roughness, over the most that splits, and both together.
    pub per_kept: f32,
    pub per_split: f32,
    pub per_either: f32,
    pub per_stripe: f32,
    pub per_absorption: f32,
    pub pivot_arm: f32,
    pub patch: f32,
    pub rolling_torque: f32,
}

impl Constants {
    pub fn new(runway: &Runway) -> Self {
        let (ball, c) = (&runway.ball, &runway.contact);
        let per = ball.inertia_kg_m2.recip();
        let d = ball.cg_offset_m;
        Self {
            radius: ball.radius_m as f32,
            per_radius: (1.0 / ball.radius_m) as f32,
            per_mass: (1.0 / ball.mass_kg) as f32,
            weight: (ball.mass_kg * court::GRAVITY_M_S2) as f32,
            per_inertia: [per.x as f32, per.y as f32, per.z as f32],
            per_inertia_more: [(per.x - per.z) as f32, (per.y - per.z) as f32],
            free: [(per.z - per.y) * per.x, (per.x - per.z) * per.y, (per.y - per.x) * per.z].map(|v| v as f32),
            offset: [d.x as f32, d.y as f32, d.z as f32],
            dry: c.dry_friction as f32,
            per_scale: (1.0 / c.film_scale_m) as f32,
            track_per_scale: (c.track_share / c.film_scale_m) as f32,
            thin: c.thin_weight as f32,
            thick: (1.0 - c.thin_weight) as f32,
            least_film: (1e-9 / c.film_scale_m) as f32,
            shear: (c.shear_s / c.film_scale_m) as f32,
            film_friction: c.film_friction as f32,
            film_cap: c.film_cap as f32,
            per_kept: (1.0 / c.kept_film_m) as f32,
            per_split: (1.0 / c.split_film_m) as f32,
            per_either: (1.0 / c.kept_film_m + 1.0 / c.split_film_m) as f32,
            per_stripe: (1.0 / c.stripe_m) as f32,
            per_absorption: (1.0 / c.absorption_s) as f32,
            pivot_arm: c.pivot_arm_m as f32,
            patch: c.patch_radius_m as f32,
            rolling_torque: (c.rolling_resistance * ball.mass_kg * court::GRAVITY_M_S2 * ball.radius_m) as f32,
        }
    }
}
