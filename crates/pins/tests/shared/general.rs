//! The same rack in a general rigid-body engine: for cross-checks and as the peer in speed.
//!
//! A pin is a stack of spheres inscribed in its outline, and a short cylinder to stand on. The engine averages the
//! coefficients of two bodies, so each body gets those that make the pairs come out as in [`boardwise_pins::Constants`]; ball on
//! deck follows from the others, and [`ball_deck`] says what it is.
//!
//! Told a coefficient, it gives another: friction is bounded by the impulse of compression alone, and several spheres
//! that touch in one step each give restitution. [`told`] says what it is told so that single blows of ball on pin come
//! out as meant (tools/src/bin/blows.rs); that holds at steps of 0.25 ms and less, not at longer ones.
#![allow(dead_code)]

use boardwise_ball::Entry;
use boardwise_pins::profile::{BASE_RADIUS_M, BELLY_RADIUS_M, CAP_RADIUS_M, CAP_START_M, Profile};
use boardwise_pins::{BallBody, Constants, Surface};
use boardwise_units::stream::Stream;
use boardwise_units::{INCH_M, court, math};
use glam::DVec3;
use rapier3d::prelude::*;

const SPHERES: u32 = 24;

/// A general engine set up to throw racks.
pub struct General {
    constants: Constants,
    step_s: f64,
    pin: SharedShape,
}

pub fn vector(x: f64, y: f64, z: f64) -> Vector {
    Vector::new(x as f32, y as f32, z as f32)
}

/// Restitution and friction to tell it for those of a smooth pair: the share that single blows of a ball on a pin showed at
/// 0.25 ms (told 0.70 and 0.204 they gave 0.725 to 0.75 and 0.21).
fn told(pair: Surface) -> Surface {
    const RESTITUTION: f64 = 0.95;
    const FRICTION: f64 = 0.955;
    Surface {
        restitution: RESTITUTION * pair.restitution,
        friction: FRICTION * pair.friction * (1.0 + pair.restitution),
    }
}

/// What ball on deck comes to in the general engine.
pub fn ball_deck(c: &Constants) -> Surface {
    let (ball, common) = (told(c.ball_pin), told(c.pin_pin));
    Surface {
        restitution: (ball.restitution + c.pin_deck.restitution - common.restitution).max(0.0),
        friction: (ball.friction + c.pin_deck.friction - common.friction).max(0.0),
    }
}

impl General {
    /// With the constants of the special engine and a step of its own.
    pub fn new(constants: Constants, step_s: f64) -> Self {
        let profile = Profile::published();
        let cg = profile.solid().cg_height_m;
        let mut parts = Vec::new();
        let low = 1.05 * INCH_M;
        for i in 0..=SPHERES {
            let s = low + (CAP_START_M - low) * f64::from(i) / f64::from(SPHERES);
            let (r, bit) = (profile.radius_m(s), 1e-6);
            let slope =
                if i == SPHERES { 0.0 } else { (profile.radius_m(s + bit) - profile.radius_m(s - bit)) / (2.0 * bit) };
            let radius = if i == SPHERES { CAP_RADIUS_M } else { r * math::sqrt(1.0 + slope * slope) };
            parts.push((Pose::translation(0.0, 0.0, (s + r * slope - cg) as f32), SharedShape::ball(radius as f32)));
        }
        let half_height = 0.25 * INCH_M;
        let base = Pose::new(vector(0.0, 0.0, half_height - cg), Vector::new(std::f32::consts::FRAC_PI_2, 0.0, 0.0));
        parts.push((base, SharedShape::cylinder(half_height as f32, BASE_RADIUS_M as f32)));
        Self { constants, step_s, pin: SharedShape::compound(parts) }
    }

    /// Throws at ten pins; the stream is used as the special engine uses it for the places of the pins.
    pub fn throw(&self, entry: &Entry, ball: &BallBody, stream: &mut Stream) -> (u16, u32) {
        let c = &self.constants;
        let mut world = self.world(court::GRAVITY_M_S2);
        for Slab { half_m: [x, y, z], at_m: [x_m, y_m, z_m], kind } in slabs() {
            let pair = match kind {
                Kind::Kickback => c.kickback,
                Kind::Cushion => c.cushion,
                _ => c.pin_deck,
            };
            let shape = ColliderBuilder::cuboid(x as f32, y as f32, z as f32);
            world.insert_collider(self.coat(shape.translation(vector(x_m, y_m, z_m)), pair), None);
        }
        let pins: Vec<RigidBodyHandle> = court::PIN_SPOTS_IN
            .into_iter()
            .map(|(x_in, y_in)| {
                let (dx, dy) = (stream.normal() * c.spot_jitter_m, stream.normal() * c.spot_jitter_m);
                let _ = stream.normal();
                self.insert_pin(&mut world, x_in * INCH_M + dx, y_in * INCH_M + dy)
            })
            .collect();
        let ball_handle = self.insert_ball(&mut world, entry, ball);
        run(&mut world, &(), &pins, ball_handle)
    }

    /// Lets the ball strike the head pin with nothing else about, not even weight: velocity and spin of the pin, velocity of
    /// the ball afterwards.
    pub fn blow(&self, entry: &Entry, ball: &BallBody) -> [DVec3; 3] {
        let mut world = self.world(0.0);
        let pin = self.insert_pin(&mut world, 0.0, 0.0);
        let ball = self.insert_ball(&mut world, entry, ball);
        for _ in 0..(0.006 / self.step_s).ceil() as u32 {
            world.step();
        }
        let wide = |v: Vector| DVec3::new(f64::from(v.x), f64::from(v.y), f64::from(v.z));
        let (pin, ball) = (&world.bodies[pin], &world.bodies[ball]);
        [wide(pin.linvel()), wide(pin.angvel()), wide(ball.linvel())]
    }

    fn world(&self, gravity_m_s2: f64) -> PhysicsWorld {
        let mut world = PhysicsWorld::new();
        world.gravity = vector(0.0, 0.0, -gravity_m_s2);
        let how = &mut world.integration_parameters;
        how.dt = self.step_s as f32;
        // Lengths here are centimetres, not metres.
        how.length_unit = 0.1;
        // It gives back restitution only in a contact's first step: contacts must not begin before bodies touch.
        how.normalized_prediction_distance = 1e-4;
        // Friction at each contact instead of one for four of them, and no contacts reused or merged.
        how.friction_model = FrictionModel::Coulomb;
        how.friction_in_bias_pass = true;
        how.contact_recycling = false;
        how.contact_clustering = false;
        how.max_ccd_substeps = 0;
        world
    }

    /// A collider whose pairs with pins come out as meant.
    fn coat(&self, collider: ColliderBuilder, pair: Surface) -> ColliderBuilder {
        let common = told(self.constants.pin_pin);
        let (e, mu) = (2.0 * pair.restitution - common.restitution, 2.0 * pair.friction - common.friction);
        collider.restitution(e.max(0.0) as f32).friction(mu.max(0.0) as f32).density(0.0)
    }

    fn insert_pin(&self, world: &mut PhysicsWorld, x_m: f64, y_m: f64) -> RigidBodyHandle {
        let skin = self.coat(ColliderBuilder::new(self.pin.clone()), told(self.constants.pin_pin));
        world.insert(pin_body(&self.constants, x_m, y_m), skin).0
    }

    fn insert_ball(&self, world: &mut PhysicsWorld, entry: &Entry, ball: &BallBody) -> RigidBodyHandle {
        let skin = self.coat(ColliderBuilder::ball(ball.radius_m as f32), told(self.constants.ball_pin));
        world.insert(ball_body(entry, ball), skin).0
    }
}

/// What a collider is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Pin,
    Ball,
    Floor,
    Kickback,
    Cushion,
}

/// What a collider was marked as.
pub fn kind_of(collider: &Collider) -> Kind {
    [Kind::Pin, Kind::Ball, Kind::Floor, Kind::Kickback, Kind::Cushion][collider.user_data as usize]
}

/// A box that stands still: half its size and its middle.
pub struct Slab {
    pub half_m: [f64; 3],
    pub at_m: [f64; 3],
    pub kind: Kind,
}

/// Deck, gutters, kickbacks and cushion, as the special engine has them.
pub fn slabs() -> Vec<Slab> {
    let (edge, pit, kick) = (court::WIDTH_M / 2.0, court::PIT_BEHIND_HEAD_PIN_M, 30.0625 * INCH_M);
    let (middle, long) = ((pit - 2.0) / 2.0, f64::midpoint(pit, 2.0));
    let gutter = (kick - edge) / 2.0;
    let slab = |half_m, at_m, kind| Slab { half_m, at_m, kind };
    let mut all = vec![
        slab([edge, long, 0.1], [0.0, middle, -0.1], Kind::Floor),
        slab([2.0, 0.1, 3.0], [0.0, pit + 0.6 + 0.1, 0.0], Kind::Cushion),
    ];
    for side in [-1.0, 1.0] {
        all.push(slab([gutter, long, 0.1], [side * (edge + gutter), middle, -0.1 - 1.875 * INCH_M], Kind::Floor));
        all.push(slab([0.1, 3.0, 2.0], [side * (kick + 0.1), 0.0, 0.5], Kind::Kickback));
    }
    all
}

/// A pin asleep on its spot, that never goes back to sleep.
pub fn pin_body(constants: &Constants, x_m: f64, y_m: f64) -> RigidBodyBuilder {
    let (solid, mass) = (Profile::published().solid(), constants.pin_mass_kg);
    let across = (mass * solid.transverse_gyration_m.powi(2)) as f32;
    let inertia = Vector::new(across, across, (mass * solid.axial_gyration_m.powi(2)) as f32);
    RigidBodyBuilder::dynamic()
        .translation(vector(x_m, y_m, solid.cg_height_m))
        .additional_mass_properties(MassProperties::new(Vector::ZERO, mass as f32, inertia))
        .gyroscopic_forces_enabled(true)
        .sleeping(true)
}

/// The ball where the special engine starts it.
pub fn ball_body(entry: &Entry, ball: &BallBody) -> RigidBodyBuilder {
    let back = 0.03 / math::hypot(entry.velocity_m_s.x, entry.velocity_m_s.y);
    let inertia = (ball.mass_kg * ball.gyration_m * ball.gyration_m) as f32;
    RigidBodyBuilder::dynamic()
        .translation(vector(
            entry.x_m - entry.velocity_m_s.x * back,
            entry.y_m - court::HEAD_PIN_M - entry.velocity_m_s.y * back,
            ball.radius_m,
        ))
        .linvel(vector(entry.velocity_m_s.x, entry.velocity_m_s.y, 0.0))
        .angvel(vector(entry.spin_rad_s.x, entry.spin_rad_s.y, entry.spin_rad_s.z))
        .can_sleep(false)
        .additional_mass_properties(MassProperties::new(
            Vector::ZERO,
            ball.mass_kg as f32,
            Vector::new(inertia, inertia, inertia),
        ))
}

/// How often a rack is looked at, seconds.
const LOOK_S: f64 = 0.008;
/// From a pin's centre of gravity to the top of its head.
const REACH_M: f64 = 0.2337;

/// A pin of the general engine, looked at.
struct Looked {
    place: DVec3,
    velocity: DVec3,
    up: f64,
    /// Height of the centre of gravity over a standing pin's.
    rise: f64,
    sweep: f64,
    falls: bool,
    mass_kg: f64,
    energy_j: f64,
}

impl Looked {
    fn at(pin: &RigidBody, cg_height: f64) -> Self {
        let wide = |v: Vector| DVec3::new(v.x.into(), v.y.into(), v.z.into());
        let (place, velocity, spin) = (wide(pin.translation()), wide(pin.linvel()), wide(pin.angvel()));
        let axis = wide(*pin.rotation() * Vector::Z);
        let per_inertia = wide(pin.mass_properties().local_mprops.inv_principal_inertia);
        let along = spin.dot(axis);
        let across = (spin.length_squared() - along * along).max(0.0);
        let turning = across / per_inertia.x + along * along / per_inertia.z;
        // As fast as the head can be swung round: turning about its own axis moves none of a pin.
        let swing = (across + (along * per_inertia.x / per_inertia.z).powi(2)).sqrt() * REACH_M;
        let mass_kg = f64::from(pin.mass());
        let energy_j = f64::midpoint(mass_kg * velocity.length_squared(), turning);
        Self {
            place,
            velocity,
            up: axis.z,
            rise: place.z - cg_height,
            sweep: velocity.length() + swing,
            falls: spin.cross(axis).z < 0.0,
            mass_kg,
            energy_j,
        }
    }

    fn is_lost(&self) -> bool {
        let past = self.place.y - court::PIT_BEHIND_HEAD_PIN_M;
        let in_pit = (past > 0.05 && self.place.z < -0.05) || (past > 0.2 && self.velocity.y > 0.0) || past > 0.5;
        let beside = self.place.x.abs() > court::WIDTH_M / 2.0 + 0.1 && self.place.z < 0.05;
        in_pit || self.place.z < -0.5 || (beside && self.sweep < 1.0)
    }

    fn is_down(&self) -> bool {
        self.up < 0.6 || self.rise < -0.022 || (self.up < 0.96 && self.rise < 0.01 && self.falls)
    }

    fn stands_for_good(&self, cg_height: f64) -> bool {
        let weight_n = self.mass_kg * court::GRAVITY_M_S2;
        let barrier_j = weight_n * (math::hypot(cg_height, BASE_RADIUS_M) - cg_height);
        self.up > 0.988 && self.rise.abs() < 0.01 && self.energy_j + weight_n * self.rise < 0.9 * barrier_j
    }

    /// Whether a fallen pin is slow, or not fast and far from all that stand or leaving them.
    fn is_harmless(&self, standing: &[DVec3]) -> bool {
        let leaves = |other: &DVec3| {
            let toward = (*other - self.place).truncate();
            let gap = toward.length() - REACH_M - BELLY_RADIUS_M;
            gap > 0.3 || (gap > 0.0 && self.velocity.truncate().dot(toward) < 0.0)
        };
        self.sweep < 0.4 || (self.sweep < 2.0 && standing.iter().all(leaves))
    }
}

/// Steps until nothing more can fall, by the special engine's rules: which pins stand, and the steps taken.
pub fn run(
    world: &mut PhysicsWorld,
    hooks: &dyn PhysicsHooks,
    pins: &[RigidBodyHandle],
    ball: RigidBodyHandle,
) -> (u16, u32) {
    let cg_height = Profile::published().solid().cg_height_m;
    let step_s = f64::from(world.integration_parameters.dt);
    let every = (LOOK_S / step_s).round().max(1.0) as u32;
    let mut gone = [false; 10];
    let mut ball_gone = false;
    for step in 1.. {
        world.step_with_events(hooks, &());
        if step % every != 0 {
            continue;
        }
        if !ball_gone && f64::from(world.bodies[ball].translation().y) > court::PIT_BEHIND_HEAD_PIN_M + 0.217 {
            world.remove_body(ball);
            ball_gone = true;
        }
        let mut is_open = !ball_gone && world.bodies[ball].linvel().y > 0.3;
        let (mut fallen, mut upright, mut standing) = (Vec::new(), Vec::new(), 0);
        for (i, &handle) in pins.iter().enumerate() {
            if gone[i] {
                continue;
            }
            let pin = Looked::at(&world.bodies[handle], cg_height);
            if pin.is_lost() {
                world.remove_body(handle);
                gone[i] = true;
                continue;
            }
            if pin.up > 0.985 && pin.rise.abs() < 0.01 {
                standing |= 1 << i;
            }
            if pin.is_down() {
                fallen.push(pin);
            } else {
                is_open |= !pin.stands_for_good(cg_height);
                upright.push(pin.place);
            }
        }
        is_open |= !upright.is_empty() && !fallen.iter().all(|pin| pin.is_harmless(&upright));
        if !is_open || f64::from(step) * step_s > 6.0 {
            return (standing, step);
        }
    }
    unreachable!("the time limit ends the loop")
}
