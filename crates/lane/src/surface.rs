//! What a ball meets at a place on the lane, and the lane as a whole.

use crate::field::Field;
use crate::film::Film;
use boardwise_units::{Feet, Hand, math};
use glam::DVec2;

/// What lies on the lane at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Coat {
    /// Oil of this thickness, metres.
    Oil(f64),
    /// A friction coefficient given outright, the same for every ball.
    Friction(f64),
}

/// Anything a ball can roll on: a [`Lane`], or a formula in a test.
///
/// Places are metres: x from the centre line toward the bowling-hand side, y from the foul line toward the pins.
pub trait Ground {
    /// What lies there.
    fn coat(&self, x_m: f64, y_m: f64) -> Coat;
    /// Rise of the lane there, along x and along y (dimensionless); level unless said otherwise.
    fn slope(&self, x_m: f64, y_m: f64) -> DVec2 {
        let _ = (x_m, y_m);
        DVec2::ZERO
    }
    /// Roughness Ra of the lane's own surface, metres.
    fn roughness_m(&self) -> f64 {
        Lane::SURFACE_RA_M
    }
    /// Where the pattern ends, if there is one.
    fn pattern_end(&self) -> Option<Feet> {
        None
    }
}

/// How the lane's friction is known.
#[derive(Clone, Debug, PartialEq)]
pub enum Coating {
    /// By its oil; friction then follows from the ball.
    Oil(Film),
    /// Given outright over the lane.
    Friction(Field),
    /// Given outright as a smooth step along the lane: low + (high − low)(1 + tanh((y − middle)/width))/2.
    Step {
        /// Friction near the foul line.
        low: f64,
        /// Friction near the pins.
        high: f64,
        /// Where the step is halfway.
        middle: Feet,
        /// Its half width.
        width: Feet,
    },
}

/// Rise of the lane across and along it (dimensionless), as seen from the bowling-hand side: x toward the hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// ∂z/∂x.
    pub across: Field,
    /// ∂z/∂y.
    pub along: Field,
}

/// A lane as one bowler sees it: boards count from the bowling-hand side.
#[derive(Clone, Debug, PartialEq)]
pub struct Lane {
    /// Oil or friction.
    pub coating: Coating,
    /// Its shape, if it is not level.
    pub shape: Option<Shape>,
    /// Roughness Ra of its surface, metres.
    pub surface_ra_m: f64,
}

impl Lane {
    /// Roughness of a synthetic lane in use, metres (our judgement; no published value was found).
    pub const SURFACE_RA_M: f64 = 0.05e-6;

    /// A level lane with this coating.
    pub fn new(coating: Coating) -> Self {
        Self { coating, shape: None, surface_ra_m: Self::SURFACE_RA_M }
    }

    /// The film, if the lane is known by its oil.
    pub fn film(&self) -> Option<&Film> {
        match &self.coating {
            Coating::Oil(film) => Some(film),
            Coating::Friction(_) | Coating::Step { .. } => None,
        }
    }

    /// Where the pattern ends, if it has one.
    pub fn pattern_end(&self) -> Option<Feet> {
        self.film().map(|film| film.length)
    }

    /// A right-hander's lane as a bowler of this hand sees it, or back again.
    #[must_use]
    pub fn seen_by(&self, hand: Hand) -> Self {
        if hand == Hand::Left { self.mirrored() } else { self.clone() }
    }

    /// The same lane seen from the other gutter.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let coating = match &self.coating {
            Coating::Oil(film) => Coating::Oil(film.mirrored()),
            Coating::Friction(field) => Coating::Friction(field.mirrored()),
            step @ Coating::Step { .. } => step.clone(),
        };
        let shape = self
            .shape
            .as_ref()
            .map(|shape| Shape { across: shape.across.mirrored().map(|rise| -rise), along: shape.along.mirrored() });
        Self { coating, shape, surface_ra_m: self.surface_ra_m }
    }
}

impl Ground for Lane {
    fn coat(&self, x_m: f64, y_m: f64) -> Coat {
        match &self.coating {
            Coating::Oil(film) => Coat::Oil(film.thickness_m.at(x_m, y_m)),
            Coating::Friction(field) => Coat::Friction(field.at(x_m, y_m)),
            Coating::Step { low, high, middle, width } => {
                let u = (y_m - middle.to_metres()) / width.to_metres();
                Coat::Friction(low + (high - low) * 0.5 * (1.0 + math::tanh(u)))
            }
        }
    }

    fn slope(&self, x_m: f64, y_m: f64) -> DVec2 {
        self.shape.as_ref().map_or(DVec2::ZERO, |shape| DVec2::new(shape.across.at(x_m, y_m), shape.along.at(x_m, y_m)))
    }

    fn roughness_m(&self) -> f64 {
        self.surface_ra_m
    }

    fn pattern_end(&self) -> Option<Feet> {
        Self::pattern_end(self)
    }
}
