//! A ball as a body: checked once, then valid by type.

use crate::{Blend, Cover, CoverKind, Layout, Surface};
use alloc::string::String;
use alloc::vec::Vec;
use boardwise_units::{Inches, Pounds};
use glam::{DMat3, DVec3};
use thiserror::Error;

/// What is known of a ball, in the units people read it in.
#[derive(Clone, Debug, PartialEq)]
pub struct BallSpec {
    /// Short name, unique in a bag.
    pub id: String,
    /// Weight; 16 lb at most by the rules.
    pub weight: Pounds,
    /// Diameter; 8.500 to 8.595 in by the rules.
    pub diameter: Inches,
    /// What the cover is made of.
    pub cover: CoverKind,
    /// How a reactive cover is blended; solid unless more is known.
    pub blend: Blend,
    /// Surface as last prepared.
    pub surface: Surface,
    /// Dry friction, if measured; else the cover's usual value.
    pub dry_friction: Option<f64>,
    /// Lowest radius of gyration; 2.46 to 2.80 in by the rules.
    pub rg: Inches,
    /// Highest minus lowest radius of gyration; 0.060 in at most by the rules.
    pub differential: Inches,
    /// Highest minus middle radius of gyration; zero for a symmetric core.
    pub intermediate: Inches,
    /// How it is drilled.
    pub layout: Layout,
    /// Centre of gravity from the centre of the ball, metres along (axis, up, grip).
    pub cg_offset_m: DVec3,
    /// Games since the surface was last prepared.
    pub games: f64,
}

impl BallSpec {
    /// A middling 15 lb ball with this cover; change what you know.
    pub fn new(id: &str, cover: CoverKind) -> Self {
        Self {
            id: id.into(),
            weight: Pounds(15.0),
            diameter: Inches(8.55),
            cover,
            blend: Blend::default(),
            surface: Surface::sanded(2000.0),
            dry_friction: None,
            rg: Inches(2.52),
            differential: Inches(0.045),
            intermediate: Inches(0.0),
            layout: Layout::default(),
            cg_offset_m: DVec3::ZERO,
            games: 0.0,
        }
    }
}

/// A valid ball, in SI units. Core axes are ordered low, intermediate, high radius of gyration.
#[derive(Clone, Debug, PartialEq)]
pub struct Ball {
    /// Short name.
    pub id: String,
    /// Mass m.
    pub mass_kg: f64,
    /// Radius R.
    pub radius_m: f64,
    /// Principal moments of inertia.
    pub inertia_kg_m2: DVec3,
    /// Core axes as columns in the release frame (axis, up, grip).
    pub core_axes: DMat3,
    /// Centre of gravity from the centre, along the core axes.
    pub cg_offset_m: DVec3,
    /// Cover and its friction.
    pub cover: Cover,
    /// Surface as it is now, worn in by the games since it was prepared.
    pub surface: Surface,
}

/// A value no bowling ball can have.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum BallError {
    /// A number outside the physically possible.
    #[error("{key} = {value} {unit}: a ball has {low} to {high} {unit}")]
    Impossible {
        /// The key as it stands in a bag file.
        key: &'static str,
        /// What was given.
        value: f64,
        /// Least possible.
        low: f64,
        /// Most possible.
        high: f64,
        /// Unit of all three.
        unit: &'static str,
    },
    /// The middle radius of gyration would lie outside the lowest and highest.
    #[error("intermediate_in = {intermediate}: at most the differential, {differential} in")]
    IntermediateAboveDifferential {
        /// What was given, inches.
        intermediate: f64,
        /// The differential, inches.
        differential: f64,
    },
    /// Axes that do not span a frame.
    #[error("layout: the low and high RG axes must be two different directions")]
    DegenerateLayout,
}

/// A possible value outside the rules (USBC limits as in docs/limits.md).
#[derive(Clone, Debug, PartialEq)]
pub struct BallWarning {
    /// The key as it stands in a bag file.
    pub key: &'static str,
    /// What was given.
    pub value: f64,
    /// Least legal.
    pub low: f64,
    /// Most legal.
    pub high: f64,
    /// Unit of all three.
    pub unit: &'static str,
}

impl core::fmt::Display for BallWarning {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let Self { key, value, low, high, unit } = self;
        write!(f, "{key} = {value} {unit}: outside the rules, which allow {low} to {high} {unit}")
    }
}

/// One checked quantity: what is possible and, inside it, what is legal.
struct Limit {
    key: &'static str,
    unit: &'static str,
    possible: (f64, f64),
    legal: (f64, f64),
}

impl Limit {
    fn check(&self, value: f64, warnings: &mut Vec<BallWarning>) -> Result<f64, BallError> {
        let &Self { key, unit, possible: (least, most), legal: (low, high) } = self;
        if !(least..=most).contains(&value) {
            return Err(BallError::Impossible { key, value, low: least, high: most, unit });
        }
        if !(low..=high).contains(&value) {
            warnings.push(BallWarning { key, value, low, high, unit });
        }
        Ok(value)
    }
}

// Legal limits [S, citing USBC 2012 and later]; possible ones are our judgement of what could be made and thrown.
const WEIGHT: Limit = Limit { key: "weight_lb", unit: "lb", possible: (3.0, 20.0), legal: (3.0, 16.0) };
const DIAMETER: Limit = Limit { key: "diameter_in", unit: "in", possible: (8.0, 9.0), legal: (8.5, 8.595) };
const RG: Limit = Limit { key: "rg_in", unit: "in", possible: (1.5, 3.3), legal: (2.46, 2.80) };
const DIFFERENTIAL: Limit = Limit { key: "differential_in", unit: "in", possible: (0.0, 0.3), legal: (0.0, 0.060) };
const INTERMEDIATE: Limit = Limit { key: "intermediate_in", unit: "in", possible: (0.0, 0.3), legal: (0.0, 0.060) };
const FRICTION: Limit = Limit { key: "dry_friction", unit: "", possible: (0.01, 1.0), legal: (0.01, 0.32) };
// 65 microinches for a single ball as made [S].
const ROUGHNESS: Limit = Limit { key: "ra_um", unit: "µm", possible: (0.01, 20.0), legal: (0.01, 1.65) };
const GAMES: Limit = Limit { key: "games", unit: "games", possible: (0.0, 1e5), legal: (0.0, 1e5) };
// 3 oz of static imbalance [S] is about half a millimetre: 3/240 of three eighths of the radius [C].
const CG_OFFSET: Limit = Limit { key: "cg_offset_mm", unit: "mm", possible: (0.0, 20.0), legal: (0.0, 0.5) };

impl Ball {
    /// Whether this ball reads the lane earlier than another: urethane before reactive, plastic last, and of one kind the rougher (common
    /// practice, no source).
    pub fn reads_earlier_than(&self, other: &Self) -> bool {
        let order = |ball: &Self| match ball.cover.kind {
            CoverKind::Urethane => 0,
            CoverKind::Reactive => 1,
            CoverKind::Plastic => 2,
        };
        let rougher = self.surface.ra_m > other.surface.ra_m;
        order(self) < order(other) || order(self) == order(other) && rougher
    }

    /// Checks a spec and works out the body.
    ///
    /// # Errors
    /// If a value is outside what a ball can have; the error names the key and what is allowed.
    pub fn new(spec: BallSpec) -> Result<(Self, Vec<BallWarning>), BallError> {
        let mut warnings = Vec::new();
        let w = &mut warnings;
        let mass_kg = Pounds(WEIGHT.check(spec.weight.0, w)?).to_kilograms();
        let radius_m = Inches(DIAMETER.check(spec.diameter.0, w)?).to_metres() / 2.0;
        let rg = RG.check(spec.rg.0, w)?;
        let differential = DIFFERENTIAL.check(spec.differential.0, w)?;
        let intermediate = INTERMEDIATE.check(spec.intermediate.0, w)?;
        if intermediate > differential {
            return Err(BallError::IntermediateAboveDifferential { intermediate, differential });
        }
        ROUGHNESS.check(spec.surface.ra_m * 1e6, w)?;
        let surface = spec.surface.after_games(GAMES.check(spec.games, w)?);
        let mut cover = Cover::of(spec.cover, spec.blend, surface);
        if let Some(mu) = spec.dry_friction {
            cover.dry_friction = FRICTION.check(mu, w)?;
        }
        CG_OFFSET.check(spec.cg_offset_m.length() * 1e3, w)?;
        let core_axes = spec.layout.core_axes(radius_m).ok_or(BallError::DegenerateLayout)?;
        let inertia = |rg_in: f64| {
            let rg_m = Inches(rg_in).to_metres();
            mass_kg * rg_m * rg_m
        };
        let ball = Self {
            id: spec.id,
            mass_kg,
            radius_m,
            inertia_kg_m2: DVec3::new(
                inertia(rg),
                inertia(rg + differential - intermediate),
                inertia(rg + differential),
            ),
            core_axes,
            cg_offset_m: core_axes.transpose() * spec.cg_offset_m,
            cover,
            surface,
        };
        Ok((ball, warnings))
    }

    /// The same ball with its cover prepared anew. A dry friction that was measured keeps its ratio to the usual one.
    ///
    /// ```
    /// use boardwise_ball::{Ball, BallSpec, CoverKind, Surface};
    /// let ball = Ball::new(BallSpec::new("any", CoverKind::Reactive))?.0;
    /// assert!(ball.resurfaced(Surface::sanded(500.0)).cover.dry_friction < ball.cover.dry_friction);
    /// # Ok::<(), boardwise_ball::BallError>(())
    /// ```
    #[must_use]
    pub fn resurfaced(&self, surface: Surface) -> Self {
        let usual = |surface| Cover::of(self.cover.kind, self.cover.blend, surface);
        let ratio = self.cover.dry_friction / usual(self.surface).dry_friction;
        let new = usual(surface);
        let cover = Cover { dry_friction: new.dry_friction * ratio, ..new };
        Self { cover, surface, ..self.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spec() -> BallSpec {
        BallSpec::new("test", CoverKind::Reactive)
    }

    #[test]
    fn law_legal_balls_pass_quietly() {
        let (ball, warnings) = Ball::new(spec()).unwrap();
        assert!(warnings.is_empty(), "{warnings:?}");
        let i = ball.inertia_kg_m2;
        assert!(i.x < i.y && (i.y - i.z).abs() < 1e-15, "a symmetric core has two equal high axes");
    }

    #[test]
    fn law_illegal_warns_and_impossible_errs() {
        let heavy = Ball::new(BallSpec { weight: Pounds(16.5), ..spec() }).unwrap().1;
        assert_eq!(heavy[0].key, "weight_lb");
        for bad in [400.0, -1.0, f64::NAN, f64::INFINITY] {
            let err = Ball::new(BallSpec { weight: Pounds(bad), ..spec() }).unwrap_err();
            assert!(matches!(err, BallError::Impossible { key: "weight_lb", .. }), "{err}");
        }
        assert!(Ball::new(BallSpec { surface: Surface::sanded(0.0), ..spec() }).is_err());
        assert!(Ball::new(BallSpec { cg_offset_m: DVec3::NAN, ..spec() }).is_err());
        let err = Ball::new(BallSpec { intermediate: Inches(0.05), ..spec() }).unwrap_err();
        assert!(err.to_string().contains("0.045"), "{err}");
    }

    extern crate std;
    use std::string::ToString;
}
