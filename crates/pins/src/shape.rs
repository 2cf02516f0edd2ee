//! The pin as a collision shape: the largest spheres that fit inside it, one for each point of its axis.
//!
//! The sphere centred at axial place t has radius R(t). A point of the outline at height s with radius r and slope r'
//! belongs to the sphere at t = s + r r' of radius R = r sqrt(1 + r'^2), and dR/dt = r'/sqrt(1 + r'^2). The distance of
//! any point P outside is the least |P - A(t)| - R(t): smooth, with no facets to bend a normal. Near the base the
//! spheres stop where they touch the floor, and the flat base with its edge is a shape of its own.
//!
//! Axial places are measured from the centre of gravity, positive toward the head.

use crate::profile::{BASE_RADIUS_M, CAP_RADIUS_M, CAP_START_M, Profile, Solid};
use boardwise_units::{INCH_M, math};

const SPHERES: usize = 192;
const SUPPORTS: usize = 64;
/// Thickness of the discs that fill the corner at the base, inches: the edge itself, and two between it and the lowest
/// sphere.
const DISCS: [f64; 3] = [0.0, 0.25, 0.95];
/// Shares of a lobe's length at which a search for the nearest point first looks.
const LOOKS: [f64; 7] = [0.0, 0.17, 0.33, 0.5, 0.67, 0.83, 1.0];
/// Cosine beyond which the base's edge is lower than the lowest sphere: the sphere reaches R (1 - c) less than the base,
/// the edge r sin.
const EDGE_COSINE: f64 = 0.8;

/// Part of the axis on which the nearest sphere is unique: belly or head.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lobe {
    pub lo_m: f64,
    pub hi_m: f64,
    /// Largest sphere of the lobe, for a quick bound.
    pub radius_m: f64,
    /// Where a search looks first: axial places and the radii there.
    pub looks: [(f64, f64); LOOKS.len()],
}

/// A disc across the axis, thickened by a radius all round: it touches the base and the side from within.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Disc {
    /// Height of the disc above the base, and how much it is thickened.
    pub thick_m: f64,
    /// Radius of the disc before it is thickened.
    pub radius_m: f64,
}

/// Where a lobe touches a plane: its least height above the centre of gravity's own, as a function of the cosine between
/// the axis and the plane's normal.
#[derive(Clone, Debug)]
struct Support {
    lo: f64,
    hi: f64,
    per_cosine: f64,
    /// Axial place of the touching sphere at equal steps of the cosine.
    place_m: [f64; SUPPORTS + 1],
}

/// Collision shape of a pin with its balance.
#[derive(Clone, Debug)]
pub(crate) struct Shape {
    pub solid: Solid,
    pub belly: Lobe,
    pub head: Lobe,
    /// Farthest point of the pin from its centre of gravity.
    pub reach_m: f64,
    lo_m: f64,
    per_m: f64,
    /// Discs that fill the corner between the lowest sphere and the base's edge.
    pub base: [Disc; DISCS.len()],
    /// R(t) on each interval as a cubic in the fraction of the interval.
    cubics: [[f64; 4]; SPHERES],
    belly_support: Support,
    head_support: Support,
}

impl Shape {
    pub fn new(profile: &Profile) -> Self {
        let solid = profile.solid();
        // Height of the sphere's centre whose sphere touches the outline at s.
        let centre = |s: f64| {
            let (r, slope) = profile.outline(s);
            s + r * slope
        };
        let touch_of = |t: f64| bisect(0.0, CAP_START_M, |s| centre(s) - t);
        let inscribed = |t: f64| {
            let (r, slope) = profile.outline(touch_of(t));
            let stretch = math::sqrt(1.0 + slope * slope);
            (r * stretch, slope / stretch)
        };
        // The lowest sphere touches both the side and the base.
        let lowest = bisect(centre(0.0), 3.0 * BASE_RADIUS_M, |t| t - inscribed(t).0);
        let base = DISCS.map(|thick_in| {
            let thick_m = thick_in * INCH_M;
            let clear = |radius: f64| {
                let side = |i: u32| {
                    let s = f64::from(i) * 0.03 / 2000.0;
                    math::hypot(profile.outline(s).0 - radius, s - thick_m)
                };
                (0..=2000).map(side).fold(f64::INFINITY, f64::min)
            };
            let most = profile.outline(thick_m).0;
            let radius_m = if thick_m > 0.0 { bisect(0.0, most, |r| thick_m - clear(r)) } else { most };
            Disc { thick_m, radius_m }
        });
        let step = (CAP_START_M - lowest) / SPHERES as f64;
        let node = |i: usize| {
            if i == SPHERES { (CAP_RADIUS_M, 0.0) } else { inscribed(lowest + step * i as f64) }
        };
        let mut cubics = [[0.0; 4]; SPHERES];
        for (i, cubic) in cubics.iter_mut().enumerate() {
            let ((r0, d0), (r1, d1)) = (node(i), node(i + 1));
            let (m0, m1) = (d0 * step, d1 * step);
            *cubic = [r0, m0, 3.0 * (r1 - r0) - 2.0 * m0 - m1, 2.0 * (r0 - r1) + m0 + m1];
        }
        let neck = bisect(7.5 * INCH_M, 11.0 * INCH_M, |t| inscribed(t).1) - solid.cg_height_m;
        let (lo_m, hi_m) = (lowest - solid.cg_height_m, CAP_START_M - solid.cg_height_m);
        let belly_radius_m = crate::profile::BELLY_RADIUS_M;
        let empty = Support { lo: 0.0, hi: 0.0, per_cosine: 0.0, place_m: [0.0; SUPPORTS + 1] };
        let no_looks = [(0.0, 0.0); LOOKS.len()];
        let mut shape = Self {
            solid,
            belly: Lobe { lo_m, hi_m: neck, radius_m: belly_radius_m, looks: no_looks },
            head: Lobe { lo_m: neck, hi_m, radius_m: CAP_RADIUS_M, looks: no_looks },
            reach_m: crate::profile::HEIGHT_M - solid.cg_height_m,
            lo_m,
            per_m: 1.0 / step,
            base,
            cubics,
            belly_support: empty.clone(),
            head_support: empty,
        };
        let looks = |lobe: Lobe| {
            LOOKS.map(|share| {
                let place_m = lobe.lo_m + share * (lobe.hi_m - lobe.lo_m);
                (place_m, shape.sphere(place_m).0)
            })
        };
        (shape.belly.looks, shape.head.looks) = (looks(shape.belly), looks(shape.head));
        // R' falls from the base to its least value between belly and neck, and from the head's shoulder to the cap.
        let steepest = shape.extreme_slope(lo_m, neck, -1.0);
        let shoulder = shape.extreme_slope(neck, hi_m, 1.0);
        shape.belly_support = shape.support_table(lo_m, steepest);
        shape.head_support = shape.support_table(shoulder, hi_m);
        shape
    }

    fn extreme_slope(&self, lo: f64, hi: f64, sign: f64) -> f64 {
        const SAMPLES: usize = 4000;
        let place = |i: usize| lo + (hi - lo) * i as f64 / SAMPLES as f64;
        (0..=SAMPLES).map(place).fold(
            lo,
            |best, t| {
                if sign * self.sphere(t).1 > sign * self.sphere(best).1 { t } else { best }
            },
        )
    }

    fn support_table(&self, from: f64, to: f64) -> Support {
        let (hi, lo) = (self.sphere(from).1, self.sphere(to).1);
        let mut place_m = [0.0; SUPPORTS + 1];
        for (i, place) in place_m.iter_mut().enumerate() {
            let cosine = lo + (hi - lo) * i as f64 / SUPPORTS as f64;
            *place = bisect(from, to, |t| cosine - self.sphere(t).1);
        }
        Support { lo, hi, per_cosine: SUPPORTS as f64 / (hi - lo), place_m }
    }

    /// Radius of the inscribed sphere at an axial place, with its first and second derivatives.
    #[inline]
    pub fn sphere(&self, t: f64) -> (f64, f64, f64) {
        let at = (t - self.lo_m) * self.per_m;
        let i = (at as usize).min(SPHERES - 1);
        let x = at - i as f64;
        let [c0, c1, c2, c3] = self.cubics[i];
        (
            c0 + x * (c1 + x * (c2 + x * c3)),
            (c1 + x * (2.0 * c2 + x * 3.0 * c3)) * self.per_m,
            (2.0 * c2 + x * 6.0 * c3) * self.per_m * self.per_m,
        )
    }

    /// Axial place of the belly's sphere that touches a plane first, where the axis has this cosine with the plane's
    /// normal; none where base or head touch before it. Between belly and base edge the lowest sphere serves.
    #[inline]
    pub fn belly_on_plane(&self, cosine: f64) -> Option<f64> {
        let support = &self.belly_support;
        if (support.hi..EDGE_COSINE).contains(&cosine) { Some(self.belly.lo_m) } else { support.at(cosine) }
    }

    /// As [`Shape::belly_on_plane`], for the head; the whole cap serves when the head hangs lowest.
    #[inline]
    pub fn head_on_plane(&self, cosine: f64) -> Option<f64> {
        if cosine <= self.head_support.lo { Some(self.head.hi_m) } else { self.head_support.at(cosine) }
    }
}

impl Support {
    #[inline]
    fn at(&self, cosine: f64) -> Option<f64> {
        let at = (cosine - self.lo) * self.per_cosine;
        if !(0.0..=SUPPORTS as f64).contains(&at) {
            return None;
        }
        let i = (at as usize).min(SUPPORTS - 1);
        let x = at - i as f64;
        Some(self.place_m[i] * (1.0 - x) + self.place_m[i + 1] * x)
    }
}

/// Root of a function with a negative value at `lo` and a positive one at `hi`.
fn bisect(mut lo: f64, mut hi: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..60 {
        let mid = f64::midpoint(lo, hi);
        if f(mid) < 0.0 { lo = mid } else { hi = mid }
    }
    f64::midpoint(lo, hi)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_inscribed_spheres_rebuild_the_outline() {
        // Distance from a point on the outline to the nearest sphere or disc is zero; near the base, where three discs
        // stand for all, within a millimetre.
        let profile = Profile::published();
        let shape = Shape::new(&profile);
        let (mut worst, mut worst_low): (f64, f64) = (0.0, 0.0);
        for i in 0..=1000 {
            let s = CAP_START_M * f64::from(i) / 1000.0;
            let r = profile.radius_m(s);
            let spheres = (0..=4000)
                .map(|k| {
                    let t = shape.belly.lo_m + (shape.head.hi_m - shape.belly.lo_m) * f64::from(k) / 4000.0;
                    math::hypot(r, s - shape.solid.cg_height_m - t) - shape.sphere(t).0
                })
                .fold(f64::INFINITY, f64::min);
            let disc = |d: &Disc| math::hypot((r - d.radius_m).max(0.0), s - d.thick_m) - d.thick_m;
            let gap = shape.base.iter().map(disc).fold(spheres, f64::min).abs();
            // The lowest sphere touches the side an inch up.
            let zone = if s > 1.01 * INCH_M { &mut worst } else { &mut worst_low };
            *zone = zone.max(gap);
        }
        assert!(worst < 8e-6, "{worst}");
        assert!(worst_low < 1e-3, "{worst_low}");
    }

    #[test]
    fn law_a_lying_pin_touches_with_belly_or_head_at_the_right_height() {
        let shape = Shape::new(&Profile::published());
        for i in -99..70 {
            let cosine = f64::from(i) / 100.0;
            let height = |t: f64| t * cosine - shape.sphere(t).0;
            let lowest = |lobe: Lobe| {
                (0..=20_000)
                    .map(|k| height(lobe.lo_m + (lobe.hi_m - lobe.lo_m) * f64::from(k) / 20_000.0))
                    .fold(f64::INFINITY, f64::min)
            };
            let found = [shape.belly_on_plane(cosine), shape.head_on_plane(cosine)];
            let edge = -shape.solid.cg_height_m * cosine - BASE_RADIUS_M * math::sqrt(1.0 - cosine * cosine);
            let least = found.iter().flatten().map(|&t| height(t)).fold(edge, f64::min);
            let truth = lowest(shape.belly).min(lowest(shape.head)).min(edge);
            assert!((least - truth).abs() < 5e-6, "{cosine}: {least} {truth}");
        }
    }
}
