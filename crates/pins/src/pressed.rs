//! A blow on bodies that stand or lie on the deck: several contacts at once.
//!
//! A rolling ball drives a standing pin down as well as away, so that the deck answers during the blow, not after it.
//! Each contact here is a damped spring that only pushes, with Coulomb friction against the slip of the moment, followed in
//! steps much shorter than the blow. Alone, every contact has the same period and the restitution of its surfaces; that
//! ball, pins and deck are equally stiff in this sense is our judgement (docs/pins.md says what it decides).

use crate::body::{BallMotion, Fixed, PinBody, Rigid};
use crate::deck::{Deck, SPOTS, Spot, arm_to, floor_m};
use crate::impulse::{Surface, strike};
use crate::shape::Shape;
use crate::touch::Touch;
use boardwise_units::math;
use core::f64::consts::TAU;
use glam::DVec3;

/// Natural frequency of a contact alone, Hz: so stiff that a blow is over before anything has moved far. Four times that
/// changes a pressed pin's hop by a hundredth (docs/pins.md).
const CONTACT_HZ: f64 = 4000.0;
/// Steps in one period.
const STEPS: u32 = 32;
const STEP_S: f64 = 1.0 / (STEPS as f64 * CONTACT_HZ);
/// A blow is followed no longer than three periods.
const MOST_STEPS: u32 = 3 * STEPS;
/// A place of a body takes part if it is no farther than this from the floor.
const NEAR_M: f64 = 0.001;
/// A slower approach is a blow between the two bodies alone.
const SLOW_M_S: f64 = 0.1;

const DAMPINGS: usize = 64;

/// Damping, as a share of the critical, by restitution.
#[derive(Clone, Debug)]
pub(crate) struct Springs {
    damping: [f64; DAMPINGS + 1],
}

/// A contact's answer in one step.
#[derive(Clone, Copy)]
struct Spring {
    /// Impulse per depth, N s/m.
    stiffness: f64,
    /// Impulse per speed of closing, kg.
    damping: f64,
    friction: f64,
}

/// A place of a body that is on the floor.
#[derive(Clone, Copy)]
pub(crate) struct Foot {
    /// From the body's centre of gravity.
    arm_m: DVec3,
    floor_m: f64,
    spring: Spring,
    /// On the edge of a pin's base, where the lowest point goes round as the pin turns.
    is_edge: bool,
}

pub(crate) type Feet = [Option<Foot>; SPOTS.len()];

/// A body that takes part in a blow.
pub(crate) trait Struck: Rigid {
    fn coast(&mut self, time_s: f64);
    /// Arm to the lowest point of the base's edge, if it has one.
    fn edge_m(&self, shape: &Shape) -> Option<DVec3>;
}

impl Struck for PinBody {
    #[inline]
    fn coast(&mut self, time_s: f64) {
        PinBody::coast(self, time_s);
    }
    #[inline]
    fn edge_m(&self, shape: &Shape) -> Option<DVec3> {
        arm_to(shape, self.axis, DVec3::Z, Spot::Base)
    }
}

impl Struck for BallMotion {
    #[inline]
    fn coast(&mut self, time_s: f64) {
        BallMotion::coast(self, time_s);
    }
    #[inline]
    fn edge_m(&self, _: &Shape) -> Option<DVec3> {
        None
    }
}

impl Springs {
    pub fn new() -> Self {
        let damping = core::array::from_fn(|i| {
            let restitution = i as f64 / DAMPINGS as f64;
            let (mut lo, mut hi) = (0.0, 4.0);
            for _ in 0..50 {
                let middle = f64::midpoint(lo, hi);
                if rebound(middle) > restitution { lo = middle } else { hi = middle }
            }
            f64::midpoint(lo, hi)
        });
        Self { damping }
    }

    /// Damping for a restitution, between those worked out.
    fn damping(&self, restitution: f64) -> f64 {
        let place = restitution.clamp(0.0, 1.0) * DAMPINGS as f64;
        let i = (place as usize).min(DAMPINGS - 1);
        self.damping[i] + (place - i as f64) * (self.damping[i + 1] - self.damping[i])
    }

    fn spring(&self, surface: Surface, mobility: f64) -> Spring {
        let damping = self.damping(surface.restitution);
        let turn = TAU / f64::from(STEPS);
        // As in `rebound`.
        let per = 1.0 / (mobility * (1.0 + damping * turn));
        Spring {
            stiffness: per * turn * turn / STEP_S,
            damping: per * 2.0 * damping * turn,
            friction: surface.friction,
        }
    }

    pub fn pin_feet(&self, shape: &Shape, deck: &Deck, pin: &PinBody) -> Feet {
        SPOTS.map(|spot| {
            let arm_m = arm_to(shape, pin.axis, DVec3::Z, spot)?;
            let point = pin.centre_m + arm_m;
            let floor_m = floor_m(point.x, point.y).filter(|floor| (point.z - floor).abs() < NEAR_M)?;
            let spring = self.spring(deck.pin_floor, pin.mobility(DVec3::Z, arm_m));
            Some(Foot { arm_m, floor_m, spring, is_edge: spot == Spot::Base })
        })
    }

    pub fn ball_feet(&self, deck: &Deck, ball: &BallMotion, radius_m: f64) -> Feet {
        let (place, arm_m) = (ball.centre_m, DVec3::NEG_Z * radius_m);
        let floor = floor_m(place.x, place.y).filter(|floor| (place.z - radius_m - floor).abs() < NEAR_M);
        let spring = self.spring(deck.ball_floor, ball.mobility(DVec3::Z, arm_m));
        [floor.map(|floor_m| Foot { arm_m, floor_m, spring, is_edge: false }), None, None]
    }

    /// Two bodies that have just come to touch, with what they stand on: says how long the blow took, seconds, in which
    /// both have moved on. If neither stands on anything the blow is between the two alone and takes no time.
    pub fn collide<A: Struck, B: Struck>(
        &self,
        shape: &Shape,
        (a, feet_a): (&mut A, &mut Feet),
        (b, feet_b): (&mut B, &mut Feet),
        touch: &Touch,
        surface: Surface,
    ) -> f64 {
        let (normal, arms) = (touch.normal, (touch.point_m - a.centre_m(), touch.point_m - b.centre_m()));
        let approach = (a.velocity_at(arms.0) - b.velocity_at(arms.1)).dot(normal);
        if approach > -SLOW_M_S || feet_a.iter().chain(feet_b.iter()).all(Option::is_none) {
            strike(a, b, touch.point_m, normal, surface);
            return 0.0;
        }
        let spring = self.spring(surface, a.mobility(normal, arms.0) + b.mobility(normal, arms.1));
        let (mut deep_m, mut drift_s, mut took_s) = (0.0, 0.5 * STEP_S, 0.0);
        for _ in 0..MOST_STEPS {
            a.coast(drift_s);
            b.coast(drift_s);
            deep_m -= (a.velocity_at(arms.0) - b.velocity_at(arms.1)).dot(normal) * drift_s;
            took_s += drift_s;
            drift_s = STEP_S;
            let mut pushes = spring.push(a, b, arms, normal, deep_m);
            pushes |= push_off(shape, a, feet_a);
            pushes |= push_off(shape, b, feet_b);
            if !pushes {
                break;
            }
        }
        took_s
    }
}

/// Lets the floor push at a body's feet; says whether it did.
#[inline]
fn push_off<A: Struck>(shape: &Shape, body: &mut A, feet: &mut Feet) -> bool {
    let mut pushes = false;
    for foot in feet.iter_mut().flatten() {
        if foot.is_edge {
            foot.arm_m = body.edge_m(shape).unwrap_or(foot.arm_m);
        }
        let deep_m = foot.floor_m - (body.centre_m().z + foot.arm_m.z);
        pushes |= foot.spring.push(body, &mut Fixed, (foot.arm_m, DVec3::ZERO), DVec3::Z, deep_m);
    }
    pushes
}

impl Spring {
    /// One step's push and friction at a contact this deep; says whether it pushed.
    #[inline]
    fn push<A: Rigid, B: Rigid>(&self, a: &mut A, b: &mut B, arms: (DVec3, DVec3), normal: DVec3, deep_m: f64) -> bool {
        let before = a.velocity_at(arms.0) - b.velocity_at(arms.1);
        let size = self.stiffness * deep_m - self.damping * before.dot(normal);
        if deep_m <= 0.0 || size <= 0.0 {
            return false;
        }
        a.push(normal * size, arms.0);
        b.push(normal * -size, arms.1);
        // Friction goes by the slip half way through the step.
        let middle = (before + a.velocity_at(arms.0) - b.velocity_at(arms.1)) * 0.5;
        let slip = middle - normal * middle.dot(normal);
        let speed = math::sqrt(slip.length_squared());
        if speed > 1e-9 {
            let along = slip * (1.0 / speed);
            let stopping = speed / (a.mobility(along, arms.0) + b.mobility(along, arms.1));
            let rub = along * stopping.min(self.friction * size);
            a.push(-rub, arms.0);
            b.push(rub, arms.1);
        }
        true
    }
}

/// Speed at which a contact alone parts that closed at unit speed: lengths in units of what the period's 2 pi-th makes of
/// that speed. Damping goes by the speed half way through a step, which is what the divisor does.
fn rebound(damping: f64) -> f64 {
    let turn = TAU / f64::from(STEPS);
    let (mut deep, mut speed) = (0.5 * turn, 1.0);
    loop {
        let push = (deep + 2.0 * damping * speed) / (1.0 + damping * turn);
        if deep <= 0.0 || push <= 0.0 {
            return -speed;
        }
        speed -= push * turn;
        deep += speed * turn;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::BallBody;
    use crate::profile::Profile;
    use crate::touch::sphere_and_pin;
    use boardwise_units::stream::Stream;

    fn deck() -> Deck {
        let c = crate::Constants::default();
        Deck { pin_floor: c.pin_deck, kickback: c.kickback, cushion: c.cushion, ball_floor: c.ball_deck }
    }

    #[test]
    fn law_a_blow_on_the_deck_makes_no_energy_and_leaves_nothing_pressed_in() {
        let (shape, springs, deck) = (Shape::new(&Profile::published()), Springs::new(), deck());
        let solid = shape.solid;
        let ball_body = BallBody::of_pounds(15.0);
        let mut joint = 0;
        for index in 0..400 {
            let mut draw = Stream::keyed(12, "pressed", index);
            let centre_m = DVec3::new(0.0, 0.0, solid.cg_height_m);
            let mut pin = PinBody::at_rest(centre_m, 1.55, solid.transverse_gyration_m, solid.axial_gyration_m);
            // It leans, on its edge, and moves.
            pin.axis = (DVec3::Z + DVec3::new(draw.normal(), draw.normal(), 0.0) * 0.1).normalize();
            pin.centre_m.z = -arm_to(&shape, pin.axis, DVec3::Z, Spot::Base).expect("a base").z;
            pin.momentum_kg_m2_s = DVec3::new(draw.normal(), draw.normal(), draw.normal()) * 0.02;
            let velocity_m_s = DVec3::new(2.0 * draw.normal(), 4.0 + 4.0 * draw.uniform(), 0.0);
            let mut ball = BallMotion {
                centre_m: DVec3::ZERO,
                velocity_m_s,
                spin_rad_s: DVec3::new(draw.normal(), draw.normal(), draw.normal()) * 40.0,
                per_mass: 1.0 / ball_body.mass_kg,
                per_inertia: 1.0 / (ball_body.mass_kg * ball_body.gyration_m * ball_body.gyration_m),
            };
            let side = draw.uniform() - 0.5;
            ball.centre_m = DVec3::new(0.15 * side, -0.25, ball_body.radius_m);
            // Up to the pin.
            let touch = loop {
                let touch = sphere_and_pin(&shape, &pin, ball.centre_m, ball_body.radius_m);
                if touch.gap_m < 1e-6 || ball.centre_m.y > 0.3 {
                    break touch;
                }
                ball.centre_m.y += touch.gap_m;
            };
            let before = ball.energy_j() + pin.energy_j();
            let mut feet = (springs.ball_feet(&deck, &ball, ball_body.radius_m), springs.pin_feet(&shape, &deck, &pin));
            let surface = crate::Constants::default().ball_pin;
            let took_s = springs.collide(&shape, (&mut ball, &mut feet.0), (&mut pin, &mut feet.1), &touch, surface);
            joint += i32::from(took_s > 0.0);
            assert!(took_s < 0.75e-3, "{index}: {took_s} s");
            let after = ball.energy_j() + pin.energy_j();
            assert!(after <= before * (1.0 + 1e-12), "{index}: {before} J became {after}");
            let low_m = (pin.centre_m + arm_to(&shape, pin.axis, DVec3::Z, Spot::Base).expect("a base")).z;
            assert!(low_m > -0.001, "{index}: the base is {low_m} m under the deck");
            let arms = (touch.point_m - ball.centre_m, touch.point_m - pin.centre_m);
            let parting = (ball.velocity_at(arms.0) - pin.velocity_at(arms.1)).dot(touch.normal);
            assert!(parting > -0.2, "{index}: they still close at {parting} m/s");
        }
        assert!(joint > 300, "{joint}");
    }

    #[test]
    fn truth_damping_gives_the_restitution_of_a_spring_that_only_pushes() {
        // Schwager and Poeschel, Granular Matter 9, 465 (2007), eq. 14: the coefficient of restitution of a linear dashpot
        // that ends where its force does. From memory.
        let springs = Springs::new();
        for restitution in [0.3, 0.4, 0.5, 0.62, 0.67, 0.8] {
            let zeta = springs.damping(restitution);
            let ringing = (1.0 - zeta * zeta).sqrt();
            let ends = std::f64::consts::PI - (2.0 * zeta * ringing).atan2(1.0 - 2.0 * zeta * zeta);
            let exact = (-zeta / ringing * ends).exp();
            assert!((exact - restitution).abs() < 0.01, "{restitution}: {exact}");
        }
    }
}
