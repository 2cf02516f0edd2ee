//! Where two bodies come closest: ball and pin, pin and pin.

use crate::body::PinBody;
use crate::shape::{Disc, Lobe, Shape};
use boardwise_units::math;
use glam::DVec3;

/// The closest points of two bodies.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Touch {
    /// Distance between the surfaces; negative when they overlap. Without a normal only a lower bound.
    pub gap_m: f64,
    /// Unit vector from the second body to the first.
    pub normal: DVec3,
    /// Place between the two closest points.
    pub point_m: DVec3,
}

impl Touch {
    fn far(gap_m: f64) -> Self {
        Self { gap_m, normal: DVec3::ZERO, point_m: DVec3::ZERO }
    }

    fn between(from: DVec3, to: DVec3, from_radius_m: f64, to_radius_m: f64) -> Self {
        let w = to - from;
        let distance = math::sqrt(w.length_squared());
        let normal = w * (1.0 / distance);
        let gap_m = distance - from_radius_m - to_radius_m;
        Self { gap_m, normal, point_m: from + normal * (from_radius_m + 0.5 * gap_m) }
    }
}

/// A gap beyond which only a lower bound of it is worked out.
const NEAR_M: f64 = 0.01;
const STEPS: usize = 24;
const HALVINGS: usize = 6;
const PLACE_TOLERANCE_M: f64 = 5e-5;

/// Closest points of a pin and a sphere; the normal points from the pin to the sphere.
pub(crate) fn sphere_and_pin(shape: &Shape, pin: &PinBody, centre_m: DVec3, radius_m: f64) -> Touch {
    let w = centre_m - pin.centre_m;
    let along = w.dot(pin.axis);
    let square = (w.length_squared() - along * along).max(0.0);
    let mut best = Touch::far(f64::INFINITY);
    for lobe in [&shape.belly, &shape.head] {
        let guess = along.clamp(lobe.lo_m, lobe.hi_m);
        let bound = math::sqrt(square + (along - guess) * (along - guess)) - lobe.radius_m - radius_m;
        if bound >= best.gap_m {
            continue;
        }
        if bound > NEAR_M {
            best = Touch::far(bound);
            continue;
        }
        let t = nearest_sphere(shape, lobe, along, square, 1.0, guess);
        let touch = Touch::between(pin.centre_m + pin.axis * t, centre_m, shape.sphere(t).0, radius_m);
        if touch.gap_m < best.gap_m {
            best = touch;
        }
        if t <= shape.belly.lo_m {
            for disc in shape.base {
                let touch = Touch::between(on_disc(shape, pin, disc, centre_m), centre_m, disc.thick_m, radius_m);
                if touch.gap_m < best.gap_m {
                    best = touch;
                }
            }
        }
    }
    best
}

/// Least k sqrt((s-t)^2 + rho^2) - R(t) over a lobe, by Newton's method from the best of some looks, kept downhill: toward
/// the neck the valley is not convex. A `stretch` k below one is for an axis seen aslant.
fn nearest_sphere(shape: &Shape, lobe: &Lobe, along: f64, square: f64, stretch: f64, guess: f64) -> f64 {
    let apart = |t: f64| (stretch * math::sqrt(square + (along - t) * (along - t))).max(1e-9);
    let look = |t: f64| apart(t) - shape.sphere(t).0;
    let mut t = guess;
    let mut gap = look(t);
    for &(other, radius) in &lobe.looks {
        // Closer if it is nearer than this: squares do, and roots are dear.
        let below = gap + radius;
        if below > 0.0 && stretch * stretch * (square + (along - other) * (along - other)) < below * below {
            (t, gap) = (other, apart(other) - radius);
        }
    }
    for _ in 0..STEPS {
        let (d, (_, slope, bend)) = (apart(t), shape.sphere(t));
        let cosine = stretch * stretch * (t - along) / d;
        let curvature = ((stretch * stretch - cosine * cosine) / d - bend).max(0.5 / d);
        let (from, from_gap) = (t, gap);
        let mut move_m = (slope - cosine) / curvature;
        for _ in 0..HALVINGS {
            t = (from + move_m).clamp(lobe.lo_m, lobe.hi_m);
            gap = look(t);
            if gap < from_gap {
                break;
            }
            move_m *= 0.5;
        }
        if (t - from).abs() < PLACE_TOLERANCE_M {
            break;
        }
    }
    t
}

/// Closest points of a part of a pin and a straight edge along y, at `x_m` and as high as the deck; the normal points from
/// the edge to the pin.
pub(crate) fn lobe_and_edge(shape: &Shape, pin: &PinBody, lobe: &Lobe, x_m: f64) -> Touch {
    // Seen along the edge.
    let from = DVec3::new(pin.centre_m.x - x_m, 0.0, pin.centre_m.z);
    let axis = DVec3::new(pin.axis.x, 0.0, pin.axis.z);
    let square = axis.length_squared().max(1e-12);
    let along = -from.dot(axis) / square;
    let across = (from.length_squared() / square - along * along).max(0.0);
    let t = nearest_sphere(shape, lobe, along, across, math::sqrt(square), along.clamp(lobe.lo_m, lobe.hi_m));
    let centre = pin.centre_m + pin.axis * t;
    Touch::between(DVec3::new(x_m, centre.y, 0.0), centre, 0.0, shape.sphere(t).0)
}

/// The point of a pin's disc nearest to a place.
fn on_disc(shape: &Shape, pin: &PinBody, disc: Disc, place_m: DVec3) -> DVec3 {
    let middle = pin.centre_m - pin.axis * (shape.solid.cg_height_m - disc.thick_m);
    let w = place_m - middle;
    let radial = w - pin.axis * w.dot(pin.axis);
    let square = radial.length_squared();
    let inside = square <= disc.radius_m * disc.radius_m;
    middle + if inside { radial } else { radial * (disc.radius_m / math::sqrt(square)) }
}

/// Closest points of two pins; the normal points from `b` to `a`.
pub(crate) fn pin_and_pin(shape: &Shape, a: &PinBody, b: &PinBody) -> Touch {
    let d = a.centre_m - b.centre_m;
    let dd = d.length_squared();
    let reach = 2.0 * shape.reach_m + NEAR_M;
    if dd > reach * reach {
        return Touch::far(math::sqrt(dd) - 2.0 * shape.reach_m);
    }
    let axes = Axes { da: d.dot(a.axis), db: d.dot(b.axis), ab: a.axis.dot(b.axis), dd };
    // Both as one capsule, before each lobe for itself.
    let whole = Lobe { hi_m: shape.head.hi_m, ..shape.belly };
    let (t, u) = axes.closest_on_segments(&whole, &whole);
    let bound = axes.distance(t, u) - 2.0 * whole.radius_m;
    if bound > NEAR_M {
        return Touch::far(bound);
    }
    let (belly, head) = (&shape.belly, &shape.head);
    let bounded = |lobe_a, lobe_b| {
        let (t, u) = axes.closest_on_segments(lobe_a, lobe_b);
        Try { bound_m: axes.distance(t, u) - lobe_a.radius_m - lobe_b.radius_m, lobe_a, lobe_b, t, u }
    };
    let mut tries = [bounded(belly, belly), bounded(belly, head), bounded(head, belly), bounded(head, head)];
    tries.sort_unstable_by(|one, other| one.bound_m.total_cmp(&other.bound_m));
    let mut best = Touch::far(f64::INFINITY);
    for Try { bound_m, lobe_a, lobe_b, t, u } in tries {
        if bound_m >= best.gap_m {
            break;
        }
        if bound_m > NEAR_M {
            return Touch::far(bound_m);
        }
        let (t, u) = axes.nearest_spheres(shape, lobe_a, lobe_b, t, u);
        let (on_a, on_b) = (a.centre_m + a.axis * t, b.centre_m + b.axis * u);
        let touch = Touch::between(on_b, on_a, shape.sphere(u).0, shape.sphere(t).0);
        if touch.gap_m < best.gap_m {
            best = touch;
        }
        if t <= shape.belly.lo_m {
            let touch = base_and_pin(shape, a, b, lobe_b, u);
            if touch.gap_m < best.gap_m {
                best = touch;
            }
        }
        if u <= shape.belly.lo_m {
            let touch = base_and_pin(shape, b, a, lobe_a, t);
            if touch.gap_m < best.gap_m {
                best = Touch { normal: -touch.normal, ..touch };
            }
        }
    }
    best
}

/// A lobe of each of two pins, with a lower bound of their distance and where on the axes it is reached.
struct Try<'a> {
    bound_m: f64,
    lobe_a: &'a Lobe,
    lobe_b: &'a Lobe,
    t: f64,
    u: f64,
}

/// Closest points of one pin's base and a lobe of another; the normal points from the other to the base.
fn base_and_pin(shape: &Shape, based: &PinBody, other: &PinBody, lobe: &Lobe, guess: f64) -> Touch {
    let mut best = Touch::far(f64::INFINITY);
    for disc in shape.base {
        let (mut u, mut point) = (guess, based.centre_m);
        for _ in 0..2 {
            point = on_disc(shape, based, disc, other.centre_m + other.axis * u);
            let w = point - other.centre_m;
            let along = w.dot(other.axis);
            u = nearest_sphere(shape, lobe, along, (w.length_squared() - along * along).max(0.0), 1.0, u);
        }
        let touch = Touch::between(other.centre_m + other.axis * u, point, shape.sphere(u).0, disc.thick_m);
        if touch.gap_m < best.gap_m {
            best = touch;
        }
    }
    best
}

/// Two axes by their dot products: with d = a's centre less b's, D^2 = |d + a t - b u|^2.
struct Axes {
    da: f64,
    db: f64,
    ab: f64,
    dd: f64,
}

impl Axes {
    #[inline]
    fn square(&self, t: f64, u: f64) -> f64 {
        self.dd + t * (t + 2.0 * (self.da - u * self.ab)) + u * (u - 2.0 * self.db)
    }

    #[inline]
    fn distance(&self, t: f64, u: f64) -> f64 {
        math::sqrt(self.square(t, u).max(1e-12))
    }

    #[inline]
    fn closest_on_segments(&self, a: &Lobe, b: &Lobe) -> (f64, f64) {
        let det = 1.0 - self.ab * self.ab;
        let middle = f64::midpoint(a.lo_m, a.hi_m);
        let t = if det > 1e-9 { (self.ab * self.db - self.da) / det } else { middle };
        let t = t.clamp(a.lo_m, a.hi_m);
        let u = (t * self.ab + self.db).clamp(b.lo_m, b.hi_m);
        let t = (u * self.ab - self.da).clamp(a.lo_m, a.hi_m);
        (t, (t * self.ab + self.db).clamp(b.lo_m, b.hi_m))
    }

    /// The given places, or better ones from a coarse look: bellies can come close in two valleys.
    fn best_start(&self, shape: &Shape, a: &Lobe, b: &Lobe, t: f64, u: f64) -> (f64, f64) {
        let mut best = (self.distance(t, u) - shape.sphere(t).0 - shape.sphere(u).0, t, u);
        for &(t, r_a) in &a.looks {
            for &(u, r_b) in &b.looks {
                // Closer if D is less than this: squares do, and roots are dear.
                let below = best.0 + r_a + r_b;
                if below > 0.0 && self.square(t, u) < below * below {
                    best = (self.distance(t, u) - r_a - r_b, t, u);
                }
            }
        }
        (best.1, best.2)
    }

    /// Least D - R(t) - R(u) over two lobes, by Newton's method kept downhill and inside. Toward the neck the valley is not
    /// convex: a whole step may climb, so it is halved until it does not.
    fn nearest_spheres(&self, shape: &Shape, a: &Lobe, b: &Lobe, t: f64, u: f64) -> (f64, f64) {
        let (mut t, mut u) = self.best_start(shape, a, b, t, u);
        let ((mut r_a, mut slope_a, mut bend_a), (mut r_b, mut slope_b, mut bend_b)) =
            (shape.sphere(t), shape.sphere(u));
        let mut d = self.distance(t, u);
        for _ in 0..STEPS {
            let per_d = 1.0 / d;
            let wa = (self.da + t - u * self.ab) * per_d;
            let wb = (self.db + t * self.ab - u) * per_d;
            let (gt, gu) = (wa - slope_a, -wb - slope_b);
            let floor = 0.3 * per_d;
            let htt = ((1.0 - wa * wa) * per_d - bend_a).max(floor);
            let huu = ((1.0 - wb * wb) * per_d - bend_b).max(floor);
            let t_held = (t <= a.lo_m && gt > 0.0) || (t >= a.hi_m && gt < 0.0);
            let u_held = (u <= b.lo_m && gu > 0.0) || (u >= b.hi_m && gu < 0.0);
            let (mut dt, mut du) = if t_held || u_held {
                (if t_held { 0.0 } else { -gt / htt }, if u_held { 0.0 } else { -gu / huu })
            } else {
                let htu = (wa * wb - self.ab) * per_d;
                let det = htt * huu - htu * htu;
                if det > 0.1 * htt * huu {
                    ((htu * gu - huu * gt) / det, (htu * gt - htt * gu) / det)
                } else {
                    (-0.5 * gt / htt, -0.5 * gu / huu)
                }
            };
            let gap = d - r_a - r_b;
            let (from_t, from_u) = (t, u);
            for _ in 0..HALVINGS {
                (t, u) = ((from_t + dt).clamp(a.lo_m, a.hi_m), (from_u + du).clamp(b.lo_m, b.hi_m));
                d = self.distance(t, u);
                ((r_a, slope_a, bend_a), (r_b, slope_b, bend_b)) = (shape.sphere(t), shape.sphere(u));
                if d - r_a - r_b < gap {
                    break;
                }
                (dt, du) = (0.5 * dt, 0.5 * du);
            }
            if (t - from_t).abs() + (u - from_u).abs() < PLACE_TOLERANCE_M {
                break;
            }
        }
        (t, u)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::Profile;
    use boardwise_units::stream::Stream;

    const PLACES: i32 = 200;

    fn place(shape: &Shape, k: i32) -> f64 {
        shape.belly.lo_m + (shape.head.hi_m - shape.belly.lo_m) * f64::from(k) / f64::from(PLACES)
    }

    /// Least gap of two pins over all pairs of their spheres, and of a pin and a ball: no valley can be missed. Looks are
    /// 1.5 mm apart, which hides less than 0.05 mm.
    fn pins_by_looking(shape: &Shape, a: &PinBody, b: &PinBody) -> f64 {
        (0..=PLACES).map(|j| place(shape, j)).fold(f64::INFINITY, |least, u| {
            least.min(ball_by_looking(shape, a, b.centre_m + b.axis * u, shape.sphere(u).0))
        })
    }

    fn ball_by_looking(shape: &Shape, pin: &PinBody, centre_m: DVec3, radius_m: f64) -> f64 {
        let gap = |t: f64| (pin.centre_m + pin.axis * t - centre_m).length() - shape.sphere(t).0 - radius_m;
        (0..=PLACES).map(|i| gap(place(shape, i))).fold(f64::INFINITY, f64::min)
    }

    fn random_pins(shape: &Shape, index: u64) -> (PinBody, PinBody) {
        let mut draw = Stream::keyed(9, "touches", index);
        let mut vector = |scale: f64| DVec3::new(draw.normal(), draw.normal(), draw.normal()) * scale;
        let solid = &shape.solid;
        let upright = PinBody::at_rest(DVec3::ZERO, 1.5, solid.transverse_gyration_m, solid.axial_gyration_m);
        // Half of them lean, half lie anyhow.
        let tilt = if index.is_multiple_of(2) { 0.3 } else { 2.0 };
        let (mut a, mut b) = (upright, upright);
        (a.axis, b.axis) = ((DVec3::Z + vector(tilt)).normalize(), (DVec3::Z + vector(tilt)).normalize());
        b.centre_m = vector(0.1);
        (a, b)
    }

    #[test]
    fn law_the_nearest_points_of_two_pins_are_found() {
        let shape = Shape::new(&Profile::published());
        let (mut near, mut missed) = (0, 0);
        for index in 0..6000 {
            let (a, b) = random_pins(&shape, index);
            let (t, found) = (b.centre_m.length(), pin_and_pin(&shape, &a, &b).gap_m);
            if t > 0.3 || found > 0.05 {
                continue;
            }
            let truth = pins_by_looking(&shape, &a, &b);
            // A ball's depth and more of overlap never comes about; far apart a lower bound is enough.
            if truth < -0.008 {
                continue;
            }
            near += 1;
            if truth < NEAR_M {
                missed += usize::from(found > truth + 2e-4);
            } else {
                assert!(found < truth + 2e-4, "{index}: {found} is no lower bound of {truth}");
            }
        }
        assert!(near > 300, "{near}");
        assert!(missed <= 1, "{missed} of {near} missed");
    }

    #[test]
    fn law_the_nearest_point_of_a_pin_to_a_ball_is_found() {
        let (shape, radius_m) = (Shape::new(&Profile::published()), 0.1086);
        let mut near = 0;
        for index in 0..20_000 {
            let (pin, other) = random_pins(&shape, index);
            let centre_m = other.centre_m * 1.5;
            let truth = ball_by_looking(&shape, &pin, centre_m, radius_m);
            if (-0.01..NEAR_M).contains(&truth) {
                near += 1;
                let found = sphere_and_pin(&shape, &pin, centre_m, radius_m).gap_m;
                assert!(found < truth + 1e-4, "{index}: {found}, and {truth} by looking");
            }
        }
        assert!(near > 500, "{near}");
    }
}
