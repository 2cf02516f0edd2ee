//! The pin's published outline and what follows from it: volume, centre of gravity, radii of gyration.
//!
//! Heights and diameters are \[M, high confidence, each ±0.031 in\], the cap's radius is \[S\], the band of the centre of
//! gravity \[P\]. Between the published heights the radius is a cubic spline, so that not only
//! the normal but also the curvature of the outline is continuous, as on a turned pin.

use boardwise_units::{INCH_M, Pounds, math};

/// Height of a pin, 15 in \[P\].
pub const HEIGHT_M: f64 = 15.0 * INCH_M;
/// Radius of the base on which a pin stands, 2.031 in across \[M\].
pub const BASE_RADIUS_M: f64 = 2.031 / 2.0 * INCH_M;
/// Radius of the spherical cap, half the head's diameter of 2.547 in \[S: top radius 1.273 in\].
pub const CAP_RADIUS_M: f64 = 2.547 / 2.0 * INCH_M;
/// Height at which the outline passes into the cap.
pub const CAP_START_M: f64 = HEIGHT_M - CAP_RADIUS_M;
/// Radius of the belly, 4.766 in across at 4 1/2 in \[M\].
pub const BELLY_RADIUS_M: f64 = 4.766 / 2.0 * INCH_M;
/// Lightest and heaviest pin, 3 lb 6 oz and 3 lb 10 oz \[P\].
pub const MASS_KG: (f64, f64) = (Pounds(3.375).to_kilograms(), Pounds(3.625).to_kilograms());

/// Published heights above the base and diameters there, inches \[M, high confidence, each ±0.031\]; the last row is where
/// the cap takes over.
pub const OUTLINE_IN: [(f64, f64); 15] = [
    (0.0, 2.031),
    (0.75, 2.828),
    (2.25, 3.906),
    (3.375, 4.510),
    (4.5, 4.766),
    (5.875, 4.563),
    (7.25, 3.703),
    (8.625, 2.472),
    (9.375, 1.965),
    (10.0, 1.797),
    (10.875, 1.870),
    (11.75, 2.094),
    (12.625, 2.406),
    (13.5, 2.547),
    (15.0 - 2.547 / 2.0, 2.547),
];

const NODES: usize = OUTLINE_IN.len();

/// The radius of the pin as a smooth function of height.
#[derive(Clone, Debug)]
pub struct Profile {
    height_m: [f64; NODES],
    radius_m: [f64; NODES],
    slope: [f64; NODES],
}

/// What a body of uniform density with the pin's outline weighs in at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solid {
    /// Volume, cubic metres.
    pub volume_m3: f64,
    /// Centre of gravity above the base, metres.
    pub cg_height_m: f64,
    /// Radius of gyration about an axis through the centre of gravity across the pin, metres.
    pub transverse_gyration_m: f64,
    /// Radius of gyration about the pin's own axis, metres.
    pub axial_gyration_m: f64,
}

impl Default for Profile {
    fn default() -> Self {
        Self::published()
    }
}

impl Profile {
    /// The published outline.
    ///
    /// ```
    /// use boardwise_units::Inches;
    ///
    /// let pin = boardwise_pins::profile::Profile::published();
    /// // The belly: 4.766 in across at 4 1/2 in.
    /// assert!((pin.radius_m(Inches(4.5).to_metres()) - Inches(2.383).to_metres()).abs() < 1e-12);
    /// ```
    pub fn published() -> Self {
        let height_m = OUTLINE_IN.map(|(height_in, _)| height_in * INCH_M);
        let radius_m = OUTLINE_IN.map(|(_, diameter_in)| diameter_in / 2.0 * INCH_M);
        let secant = |i: usize| (radius_m[i + 1] - radius_m[i]) / (height_m[i + 1] - height_m[i]);
        // Equal second derivatives on both sides of every height, none at the base, level where the cap takes over: a
        // tridiagonal system for the slopes, solved by elimination from the base up.
        let (mut ratio, mut slope) = ([0.0; NODES], [0.0; NODES]);
        (ratio[0], slope[0]) = (0.5, 1.5 * secant(0));
        for i in 1..NODES - 1 {
            let (below, above) = (height_m[i] - height_m[i - 1], height_m[i + 1] - height_m[i]);
            let pivot = 2.0 * (below + above) - above * ratio[i - 1];
            ratio[i] = below / pivot;
            slope[i] = (3.0 * (above * secant(i - 1) + below * secant(i)) - above * slope[i - 1]) / pivot;
        }
        slope[NODES - 1] = 0.0;
        for i in (0..NODES - 1).rev() {
            slope[i] -= ratio[i] * slope[i + 1];
        }
        Self { height_m, radius_m, slope }
    }

    /// Radius at a height above the base, metres; zero outside the pin.
    pub fn radius_m(&self, height_m: f64) -> f64 {
        if height_m > CAP_START_M {
            let up = height_m - CAP_START_M;
            return math::sqrt((CAP_RADIUS_M * CAP_RADIUS_M - up * up).max(0.0));
        }
        if height_m < 0.0 { 0.0 } else { self.outline(height_m).0 }
    }

    /// Radius and its slope at a height between the base and the start of the cap.
    pub(crate) fn outline(&self, height_m: f64) -> (f64, f64) {
        let mut i = 0;
        while i + 2 < NODES && height_m > self.height_m[i + 1] {
            i += 1;
        }
        let span = self.height_m[i + 1] - self.height_m[i];
        let x = (height_m - self.height_m[i]) / span;
        let (r0, r1) = (self.radius_m[i], self.radius_m[i + 1]);
        let (m0, m1) = (self.slope[i] * span, self.slope[i + 1] * span);
        let (c2, c3) = (3.0 * (r1 - r0) - 2.0 * m0 - m1, 2.0 * (r0 - r1) + m0 + m1);
        (r0 + x * (m0 + x * (c2 + x * c3)), (m0 + x * (2.0 * c2 + x * 3.0 * c3)) / span)
    }

    /// Mass properties of a uniform solid of this outline, by Simpson's rule on each piece.
    pub fn solid(&self) -> Solid {
        // Integrals over height of r^2, r^2 z, r^2 z^2 and r^4.
        let mut sums = [0.0; 4];
        let mut add_piece = |from: f64, to: f64| {
            const PANELS: u32 = 200;
            let step = (to - from) / f64::from(PANELS);
            for k in 0..=PANELS {
                let weight = if k == 0 || k == PANELS { 1.0 } else { f64::from(2 + 2 * (k % 2)) };
                let z = from + step * f64::from(k);
                let square = self.radius_m(z) * self.radius_m(z);
                let terms = [square, square * z, square * z * z, square * square];
                for (sum, term) in sums.iter_mut().zip(terms) {
                    *sum += weight * step / 3.0 * term;
                }
            }
        };
        for i in 0..NODES - 1 {
            add_piece(self.height_m[i], self.height_m[i + 1]);
        }
        add_piece(CAP_START_M, HEIGHT_M);
        let [area, first, second, fourth] = sums;
        let cg_height_m = first / area;
        // A slice has r^2/4 about its diameter and r^2/2 about the axis, each times its mass.
        let slice = fourth / area / 4.0;
        Solid {
            volume_m3: core::f64::consts::PI * area,
            cg_height_m,
            transverse_gyration_m: math::sqrt(slice + second / area - cg_height_m * cg_height_m),
            axial_gyration_m: math::sqrt(2.0 * slice),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_the_outline_is_smooth_and_passes_its_table() {
        let pin = Profile::published();
        for (height_in, diameter_in) in OUTLINE_IN {
            let z = height_in * INCH_M;
            assert!((pin.radius_m(z) - diameter_in / 2.0 * INCH_M).abs() < 1e-15, "{height_in}");
            if z > 0.0 && z < CAP_START_M {
                let (below, above) = (pin.outline(z - 1e-9).1, pin.outline(z + 1e-9).1);
                assert!((below - above).abs() < 1e-5, "kink at {height_in} in: {below} {above}");
            }
        }
        assert_eq!(pin.radius_m(HEIGHT_M), 0.0);
        // It swells to the belly, shrinks to the neck, swells to the head, and nowhere else.
        let turns = (1..13_700).filter(|&i| {
            let slope = |i: i32| pin.outline(f64::from(i) * 1e-3 * INCH_M).1;
            slope(i) * slope(i + 1) < 0.0
        });
        assert_eq!(turns.count(), 3, "belly, neck, head");
        let widest = (0..13_726).map(|i| pin.radius_m(f64::from(i) * 1e-3 * INCH_M)).fold(0.0, f64::max);
        assert!(widest < BELLY_RADIUS_M + 0.02 * INCH_M, "{widest}");
    }

    #[test]
    fn truth_a_uniform_solid_has_the_stated_balance() {
        // [C] from the published outline, by hand: CG 5.80 in, radius of gyration 3.62 in transverse, 1.39 in axial, to the digits given.
        let solid = Profile::published().solid();
        assert!((solid.cg_height_m / INCH_M - 5.80).abs() < 0.005, "{}", solid.cg_height_m / INCH_M);
        assert!((solid.transverse_gyration_m / INCH_M - 3.62).abs() < 0.005, "{solid:?}");
        assert!((solid.axial_gyration_m / INCH_M - 1.39).abs() < 0.005, "{solid:?}");
        // The published band of the centre of gravity [P]: 5 40/64 to 5 60/64 in.
        assert!((5.625..=5.9375).contains(&(solid.cg_height_m / INCH_M)));
    }
}
