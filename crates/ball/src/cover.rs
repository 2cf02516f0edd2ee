//! The cover and how it has been finished: what touches the lane.

use boardwise_units::math;

/// What the cover is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CoverKind {
    /// Reactive resin: grips dry boards hardest and soaks up oil within a few throws.
    Reactive,
    /// Urethane: lossy, so that it has much the same modest friction on any oil; grips dry boards less, hardly soaks.
    Urethane,
    /// Plastic (polyester): slips on the thinnest film, soaks nothing.
    Plastic,
}

/// How a reactive cover is blended. Other covers do not differ by it here.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Blend {
    /// No mica: reads earliest and is the smoothest. What a reactive cover is unless more is known.
    #[default]
    Solid,
    /// Between the two.
    Hybrid,
    /// With mica: slips longer on oil and turns more sharply on dry boards.
    Pearl,
}

/// The friction properties of a cover.
///
/// The numbers of [`Cover::of`] are this project's judgement, calibrated on common practice (`docs/calibration.md`); no
/// published table of them was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cover {
    /// What it is made of.
    pub kind: CoverKind,
    /// How it is blended.
    pub blend: Blend,
    /// Friction coefficient on a dry lane (`mu_b`). At most 0.32 by the rules \[S\].
    pub dry_friction: f64,
    /// Film reach ℓ, metres: the oil film that carries half the load of a cover with an Ra of 0.3 µm.
    pub film_reach_m: f64,
    /// Friction through a film (`mu_v`): what is lost in kneading the cover, however thick the oil.
    pub film_friction: f64,
    /// Time in which the cover soaks up 63% of the oil it carries, seconds.
    pub absorption_s: f64,
}

impl Cover {
    /// The usual cover of this kind and blend with this surface.
    ///
    /// A reactive cover grips dry boards by adhesion, a little the harder the more of it lies against them; about 0.20 in all (a dry lane has
    /// 0.20 \[P, as reported in reviews\]). The others are taken not to depend on roughness there.
    pub fn of(kind: CoverKind, blend: Blend, surface: Surface) -> Self {
        let (dry_friction, film_reach_m, film_friction, absorption_s) = match kind {
            CoverKind::Reactive => {
                // What mica changes, in shares of its effect.
                let mica = match blend {
                    Blend::Solid => 0.0,
                    Blend::Hybrid => 0.5,
                    Blend::Pearl => 1.0,
                };
                let dry = 0.21 - 0.043 * (surface.dullness() - 0.5) + 0.015 * mica;
                (dry, 0.49e-6 * (1.0 - 0.3 * mica), 0.0088, 1.8)
            }
            CoverKind::Urethane => (0.09, 0.145e-6, 0.0425, 40.0),
            CoverKind::Plastic => (0.085, 0.05e-6, 0.0085, 400.0),
        };
        Self { kind, blend, dry_friction, film_reach_m, film_friction, absorption_s }
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
        let dry = |kind, surface| Cover::of(kind, Blend::Solid, surface).dry_friction;
        let reactive = |surface| dry(CoverKind::Reactive, surface);
        let (shiny, dull) = (reactive(Surface::polished()), reactive(Surface::sanded(500.0)));
        let urethane = dry(CoverKind::Urethane, Surface::sanded(500.0));
        let plastic = dry(CoverKind::Plastic, Surface::polished());
        assert!(shiny > dull && dull > urethane && urethane > plastic);
        // At most 0.32 by the rules [S], however smooth.
        assert!(reactive(Surface::measured(1e-9)) < 0.32);
    }
}
