//! The cover and how it has been finished: what touches the lane.

use boardwise_units::math;

/// What the cover is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CoverKind {
    /// Reactive resin: grips dry boards hardest and soaks up oil within a throw or two.
    Reactive,
    /// Urethane: reads the lane through more oil, grips less, hardly soaks.
    Urethane,
    /// Plastic (polyester): goes straight, soaks nothing.
    Plastic,
}

/// The friction properties of a cover.
///
/// The numbers of [`Cover::of`] are this project's judgement, calibrated on rules of thumb and on measured robot throws
/// (`docs/calibration.md`); no published table of them was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cover {
    /// What it is made of.
    pub kind: CoverKind,
    /// Friction coefficient on a dry lane (`mu_b`). At most 0.32 by the rules \[S\].
    pub dry_friction: f64,
    /// Film reach ℓ₀: how many times the combined roughness an oil film must be before it carries half the load.
    pub film_reach: f64,
    /// Time in which the cover soaks up 63% of the oil it carries, seconds.
    pub absorption_s: f64,
}

impl Cover {
    /// The usual cover of this kind with this surface.
    ///
    /// A reactive cover grips dry boards by adhesion, the harder the more of it lies against them: 0.23 polished, 0.20 at an Ra of 0.3 µm
    /// (a dry lane has 0.20 \[P, as reported in reviews\]), 0.15 sanded at 500. What roughness takes away there it gives on oil, where it
    /// reaches through the film. The others are taken not to depend on it.
    pub fn of(kind: CoverKind, surface: Surface) -> Self {
        let (dry_friction, film_reach, absorption_s) = match kind {
            CoverKind::Reactive => (0.20 - 0.16 * (surface.dullness() - 0.5), 0.8, 1.3),
            CoverKind::Urethane => (0.125, 1.2, 40.0),
            CoverKind::Plastic => (0.10, 1.0, 400.0),
        };
        Self { kind, dry_friction, film_reach, absorption_s }
    }
}

/// Roughness of the cover: the arithmetic mean height Ra, with how well it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Ra in metres.
    pub ra_m: f64,
    /// Standard deviation of ln Ra: 0.05 when measured, 0.35 when only the last grit is known.
    pub log_sd: f64,
}

impl Surface {
    /// Roughness toward which play itself takes any sanded cover, metres (our judgement).
    pub const LANE_SHINE_RA_M: f64 = 0.35e-6;
    /// Games in which a fresh surface goes 63% of the way there (our judgement).
    pub const WEAR_IN_GAMES: f64 = 25.0;

    /// A measured roughness.
    pub const fn measured(ra_m: f64) -> Self {
        Self { ra_m, log_sd: 0.05 }
    }

    /// The roughness a pad of this grit usually leaves: 1.3 µm at 500, falling as grit to the power −0.7.
    ///
    /// Common practice, no source, and a loose guide: one cover sanded at 500 scanned as if 1,651 \[P: USBC blog\].
    pub fn sanded(grit: f64) -> Self {
        Self { ra_m: 1.3e-6 * math::pow(500.0 / grit, 0.7), log_sd: 0.35 }
    }

    /// A polished cover, about 0.15 µm (our judgement).
    pub const fn polished() -> Self {
        Self { ra_m: 0.15e-6, log_sd: 0.35 }
    }

    /// How dull it is, 0 a mirror and 1 the roughest: half at an Ra of 0.3 µm. What the dry friction of reactive covers depends on (our
    /// judgement).
    pub const fn dullness(self) -> f64 {
        self.ra_m / (self.ra_m + 0.3e-6)
    }

    /// The surface after this many games without being touched: rough covers go shiny, polished ones stay.
    #[must_use]
    pub fn after_games(self, games: f64) -> Self {
        let rest = if self.ra_m < Self::LANE_SHINE_RA_M { self.ra_m } else { Self::LANE_SHINE_RA_M };
        let kept = math::exp(-games / Self::WEAR_IN_GAMES);
        Self { ra_m: rest + (self.ra_m - rest) * kept, ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_lower_grit_is_rougher_and_play_polishes() {
        assert!(Surface::sanded(500.0).ra_m > Surface::sanded(2000.0).ra_m);
        let sanded = Surface::sanded(500.0);
        assert!(sanded.after_games(30.0).ra_m < sanded.ra_m);
        assert!(sanded.after_games(1e4).ra_m >= Surface::LANE_SHINE_RA_M);
        assert_eq!(Surface::polished().after_games(50.0), Surface::polished());
    }

    #[test]
    fn law_dry_friction_orders_covers_within_the_allowed() {
        let dry = |kind, surface| Cover::of(kind, surface).dry_friction;
        let reactive = |surface| dry(CoverKind::Reactive, surface);
        let (shiny, dull) = (reactive(Surface::polished()), reactive(Surface::sanded(500.0)));
        let urethane = dry(CoverKind::Urethane, Surface::sanded(500.0));
        let plastic = dry(CoverKind::Plastic, Surface::polished());
        assert!(shiny > dull && dull > urethane && urethane > plastic);
        // At most 0.32 by the rules [S], however smooth.
        assert!(reactive(Surface::measured(1e-9)) < 0.32);
    }
}
