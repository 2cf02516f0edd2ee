//! A pin as a smooth solid of revolution, apart from any engine: where it comes nearest to a ball, a plane and another pin.
//!
//! Written apart from the rack's own geometry and by other means (search on samples, in place of Newton's method on
//! tables), so that each checks the other.

use boardwise_pins::profile::{BASE_RADIUS_M, CAP_RADIUS_M, CAP_START_M, Profile};
use boardwise_units::math;
use glam::DVec3;

const NODES: usize = 512;
/// Every how many nodes a search looks first.
const STRIDE: usize = 16;
/// A pair farther apart than this by the first look is not looked at closer.
const NEAR_M: f64 = 0.004;
/// A little more than a pin's largest radius.
const WIDEST_M: f64 = 0.0608;

/// A pin from within: the largest spheres for places along the axis, measured from the centre of gravity, and rounded
/// discs in the corner of the base.
pub struct SmoothPin {
    pub cg_height_m: f64,
    lo_m: f64,
    step_m: f64,
    radius_m: [f64; NODES + 1],
    /// Height, radius and rounding of discs across the axis.
    discs: Vec<(f64, f64)>,
}

impl SmoothPin {
    pub fn new() -> Self {
        let profile = Profile::published();
        let cg_height_m = profile.solid().cg_height_m;
        let slope = |s: f64| (profile.radius_m(s + 1e-6) - profile.radius_m(s - 1e-6)) / 2e-6;
        // Centre and radius of the sphere that touches the outline at height s.
        let touching = |s: f64| {
            let (r, slope) = if s >= CAP_START_M { (CAP_RADIUS_M, 0.0) } else { (profile.radius_m(s), slope(s)) };
            (s + r * slope, r * math::sqrt(1.0 + slope * slope))
        };
        let root = |mut lo: f64, mut hi: f64, f: &dyn Fn(f64) -> f64| {
            for _ in 0..60 {
                let middle = f64::midpoint(lo, hi);
                if f(middle) < 0.0 { lo = middle } else { hi = middle }
            }
            lo
        };
        let first = root(0.01, 0.06, &|s| touching(s).0 - touching(s).1);
        let lowest = touching(first).0;
        let step_m = (CAP_START_M - lowest) / NODES as f64;
        let radius_m = std::array::from_fn(|i| {
            let t = lowest + step_m * i as f64;
            touching(root(first, CAP_START_M, &|s| touching(s).0 - t)).1
        });
        // A disc rounded by its height touches base and side; the widest that stays inside.
        let discs = [0.0, 0.006, 0.014, 0.022].map(|thick_m| {
            let inside = |r: f64| {
                let side = |k: u32| f64::from(k) * 2e-5;
                let room = |s: f64| (profile.radius_m(s) - r).hypot(s - thick_m) - thick_m;
                (1..2000).map(side).map(room).fold(f64::INFINITY, f64::min)
            };
            let radius = if thick_m == 0.0 { BASE_RADIUS_M } else { root(0.0, 0.06, &|r| -inside(r)) };
            (thick_m, radius)
        });
        Self { cg_height_m, lo_m: lowest - cg_height_m, step_m, radius_m, discs: discs.to_vec() }
    }

    fn hi_m(&self) -> f64 {
        self.lo_m + self.step_m * NODES as f64
    }

    fn place(&self, node: usize) -> f64 {
        self.lo_m + self.step_m * node as f64
    }

    /// Radius at a place between the nodes, by the parabola through the three nearest.
    fn radius(&self, t: f64) -> f64 {
        let at = (t - self.lo_m) / self.step_m;
        let i = (at.round().max(1.0) as usize).min(NODES - 1);
        let x = at - i as f64;
        let [a, b, c] = [self.radius_m[i - 1], self.radius_m[i], self.radius_m[i + 1]];
        b + x * (0.5 * (c - a) + x * (f64::midpoint(a, c) - b))
    }

    fn around(&self, node: usize) -> (f64, f64) {
        (self.place(node.saturating_sub(STRIDE)), self.place((node + STRIDE).min(NODES)))
    }

    /// Place of the sphere nearest to a ball at `along` on the axis and `square` from it, and the gap; not to the last digit
    /// when that is large.
    fn nearest(&self, along: f64, square: f64, radius: f64) -> (f64, f64) {
        let gap = |t: f64, r: f64| math::sqrt(square + (along - t) * (along - t)) - r - radius;
        let look = |node: usize| (gap(self.place(node), self.radius_m[node]), node);
        let (rough, node) = (0..=NODES).step_by(STRIDE).map(look).min_by(|a, b| a.0.total_cmp(&b.0)).expect("nodes");
        if rough > NEAR_M + self.step_m * STRIDE as f64 {
            return (self.place(node), rough);
        }
        let (lo, hi) = self.around(node);
        least(lo, hi, |t| gap(t, self.radius(t)))
    }
}

/// Where a function of one valley is least between two places, and its value there.
fn least(mut lo: f64, mut hi: f64, f: impl Fn(f64) -> f64) -> (f64, f64) {
    const GOLDEN: f64 = 0.618_033_988_749_895;
    let (mut a, mut b) = (hi - GOLDEN * (hi - lo), lo + GOLDEN * (hi - lo));
    let (mut fa, mut fb) = (f(a), f(b));
    // To a ten-thousandth of the bracket.
    for _ in 0..20 {
        if fa < fb {
            (hi, b, fb) = (b, a, fa);
            a = hi - GOLDEN * (hi - lo);
            fa = f(a);
        } else {
            (lo, a, fa) = (a, b, fb);
            b = lo + GOLDEN * (hi - lo);
            fb = f(b);
        }
    }
    if fa < fb { (a, fa) } else { (b, fb) }
}

/// A body's place in the frame of the first body of a pair.
#[derive(Clone, Copy)]
pub struct Placed {
    pub centre: DVec3,
    pub axis: DVec3,
}

/// Points on the first and second body, and the unit normal from the first to the second.
pub struct Meeting {
    pub on: [DVec3; 2],
    pub normal: DVec3,
    pub gap_m: f64,
}

fn between(from: DVec3, from_radius: f64, to: DVec3, to_radius: f64) -> Meeting {
    let normal = (to - from).normalize();
    let on = [from + normal * from_radius, to - normal * to_radius];
    Meeting { on, normal, gap_m: (on[1] - on[0]).dot(normal) }
}

fn closer(a: Meeting, b: Meeting) -> Meeting {
    if b.gap_m < a.gap_m { b } else { a }
}

impl SmoothPin {
    fn on_disc(&self, pin: Placed, (thick, radius): (f64, f64), place: DVec3) -> DVec3 {
        let middle = pin.centre + pin.axis * (thick - self.cg_height_m);
        let w = place - middle;
        let across = w - pin.axis * w.dot(pin.axis);
        middle + across.clamp_length_max(radius)
    }

    pub fn meets_ball(&self, pin: Placed, centre: DVec3, radius: f64) -> Meeting {
        let w = centre - pin.centre;
        let along = w.dot(pin.axis);
        let (t, _) = self.nearest(along, (w.length_squared() - along * along).max(0.0), radius);
        let mut best = between(pin.centre + pin.axis * t, self.radius(t), centre, radius);
        for &disc in &self.discs {
            best = closer(best, between(self.on_disc(pin, disc, centre), disc.0, centre, radius));
        }
        best
    }

    pub fn meets_pin(&self, a: Placed, b: Placed) -> Option<Meeting> {
        let apart = |t: f64, u: f64| (b.centre + b.axis * u - a.centre - a.axis * t).length();
        if self.axes_apart(a, b) > 2.0 * WIDEST_M {
            return None;
        }
        let mut rough = (f64::INFINITY, 0, 0);
        for i in (0..=NODES).step_by(STRIDE) {
            for j in (0..=NODES).step_by(STRIDE) {
                let gap = apart(self.place(i), self.place(j)) - self.radius_m[i] - self.radius_m[j];
                if gap < rough.0 {
                    rough = (gap, i, j);
                }
            }
        }
        // Neighbouring looks are closer than twice the stride.
        if rough.0 > NEAR_M + 2.0 * self.step_m * STRIDE as f64 {
            return None;
        }
        let (ours, theirs) = (self.around(rough.1), self.around(rough.2));
        let best_for = |t: f64| least(theirs.0, theirs.1, |u| apart(t, u) - self.radius(u));
        let (t, _) = least(ours.0, ours.1, |t| best_for(t).1 - self.radius(t));
        let u = best_for(t).0;
        let mut best = between(a.centre + a.axis * t, self.radius(t), b.centre + b.axis * u, self.radius(u));
        if t < self.place(STRIDE) {
            best = closer(best, self.base_meets(a, b));
        }
        if u < self.place(STRIDE) {
            let Meeting { on, normal, gap_m } = self.base_meets(b, a);
            best = closer(best, Meeting { on: [on[1], on[0]], normal: -normal, gap_m });
        }
        Some(best)
    }

    /// Least distance of the two axes from base to head.
    fn axes_apart(&self, a: Placed, b: Placed) -> f64 {
        let (lo, hi) = (-self.cg_height_m, self.hi_m());
        let w = b.centre - a.centre;
        let (dot, along_a, along_b) = (a.axis.dot(b.axis), w.dot(a.axis), w.dot(b.axis));
        let across = 1.0 - dot * dot;
        let t = if across > 1e-9 { ((along_a - dot * along_b) / across).clamp(lo, hi) } else { 0.0 };
        let u = (t * dot - along_b).clamp(lo, hi);
        let t = (u * dot + along_a).clamp(lo, hi);
        (w + b.axis * u - a.axis * t).length()
    }

    /// The base's corner of one pin against the spheres of another, by going to and fro.
    fn base_meets(&self, a: Placed, b: Placed) -> Meeting {
        let mut best: Option<Meeting> = None;
        for &disc in &self.discs {
            let mut point = self.on_disc(a, disc, b.centre);
            let mut sphere = (b.centre, 0.0);
            for _ in 0..4 {
                let w = point - b.centre;
                let along = w.dot(b.axis);
                let (u, _) = self.nearest(along, (w.length_squared() - along * along).max(0.0), disc.0);
                sphere = (b.centre + b.axis * u, self.radius(u));
                point = self.on_disc(a, disc, sphere.0);
            }
            let here = between(point, disc.0, sphere.0, sphere.1);
            best = Some(match best {
                Some(best) => closer(best, here),
                None => here,
            });
        }
        best.expect("discs")
    }

    /// The places that can be deepest under a plane this far along its normal: the corner of the base, belly and head.
    pub fn lowest(&self, pin: Placed, normal: DVec3, plane_m: f64, mut see: impl FnMut(DVec3)) {
        let above = pin.centre.dot(normal) - plane_m;
        if above > 0.25 {
            return;
        }
        let cosine = pin.axis.dot(normal);
        let down = pin.axis * cosine - normal;
        let low = down.try_normalize().unwrap_or_else(|| pin.axis.any_orthonormal_vector());
        let mut corner = (f64::INFINITY, DVec3::ZERO);
        for &(thick, radius) in &self.discs {
            let point = pin.centre + pin.axis * (thick - self.cg_height_m) + low * radius - normal * thick;
            if point.dot(normal) < corner.0 {
                corner = (point.dot(normal), point);
            }
        }
        let height = |t: f64, r: f64| t * cosine - r;
        let neck = NODES / 2 / STRIDE * STRIDE;
        let mut lower = corner;
        for (from, to) in [(0, neck), (neck, NODES)] {
            let look = |node: usize| (height(self.place(node), self.radius_m[node]), node);
            let (rough, node) =
                (from..=to).step_by(STRIDE).map(look).min_by(|a, b| a.0.total_cmp(&b.0)).expect("nodes");
            if above + rough > NEAR_M + self.step_m * STRIDE as f64 {
                continue;
            }
            let (lo, hi) = self.around(node);
            let (t, _) = least(lo, hi, |t| height(t, self.radius(t)));
            let point = pin.centre + pin.axis * t - normal * self.radius(t);
            if from > 0 {
                see(point);
            } else if point.dot(normal) < lower.0 {
                lower = (point.dot(normal), point);
            }
        }
        see(lower.1);
    }

    /// Where belly and head come nearest to an edge, as seen along it: `out` points from the body the edge belongs to, level,
    /// `up` along its other side. Of a part that is nearest to one of the sides and not to the edge nothing is shown.
    pub fn at_edge(&self, pin: Placed, edge: DVec3, out: DVec3, up: DVec3, mut see: impl FnMut(Meeting)) {
        let place = |t: f64| {
            let from = pin.centre + pin.axis * t - edge;
            (from.dot(out), from.dot(up))
        };
        let neck = NODES / 2 / STRIDE * STRIDE;
        for (from, to) in [(0, neck), (neck, NODES)] {
            let gap = |t: f64, r: f64| {
                let (o, u) = place(t);
                o.hypot(u) - r
            };
            let look = |node: usize| (gap(self.place(node), self.radius_m[node]), node);
            let (rough, node) =
                (from..=to).step_by(STRIDE).map(look).min_by(|a, b| a.0.total_cmp(&b.0)).expect("nodes");
            if rough > NEAR_M + self.step_m * STRIDE as f64 {
                continue;
            }
            let (lo, hi) = self.around(node);
            let (t, gap_m) = least(lo, hi, |t| gap(t, self.radius(t)));
            let (o, u) = place(t);
            if o <= 0.0 || gap_m >= 0.0 {
                continue;
            }
            // Lower than the edge: the upright side.
            let (t, gap_m, normal) = if u >= 0.0 {
                (t, gap_m, (out * o + up * u) / o.hypot(u))
            } else {
                let side = |t: f64, r: f64| place(t).0 - r;
                let look = |node: usize| (side(self.place(node), self.radius_m[node]), node);
                let (_, node) =
                    (from..=to).step_by(STRIDE).map(look).min_by(|a, b| a.0.total_cmp(&b.0)).expect("nodes");
                let (lo, hi) = self.around(node);
                let (t, gap_m) = least(lo, hi, |t| side(t, self.radius(t)));
                (t, gap_m, out)
            };
            let centre = pin.centre + pin.axis * t;
            let on = centre - normal * self.radius(t);
            if u < 0.0 && (gap_m < -0.015 || (on - edge).dot(up) > 0.0) {
                continue;
            }
            see(Meeting { on: [on - normal * gap_m, on], normal, gap_m });
        }
    }
}
