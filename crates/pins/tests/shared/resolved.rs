//! The general engine with smooth pins and with blows that take time: the peer whose racks are compared.
//!
//! Left to its own law of restitution the engine bounds friction by the impulse of compression, does not lay it against
//! the slip, and gives nothing back at a contact that was there before, such as a standing pin's with the deck
//! (docs/pins.md). Here a contact is a damped spring, solved by the engine at steps much shorter than the blow, so that
//! restitution comes from damping and friction follows the slip from step to step. What it is told:
//!
//! - one solver pass a step, no pass that takes the spring's push back, no speed limit on that push;
//! - damping that gives a single contact the restitution meant, found by running that law on one contact;
//! - for pairs that should give back less, an overlap scaled down, which makes a softer and more damped spring;
//! - a surface velocity that makes its coupled friction solve act along the slip, as Coulomb's law wants.
#![allow(dead_code)]

use super::general::{Kind, ball_body, kind_of, pin_body, run, slabs, vector};
use super::smooth::{Dispatcher, SmoothPin};
use boardwise_ball::Entry;
use boardwise_pins::body::PinBody;
use boardwise_pins::{BallBody, Constants, Surface};
use boardwise_units::stream::Stream;
use boardwise_units::{INCH_M, court};
use glam::{DQuat, DVec3};
use rapier3d::prelude::*;
use std::collections::HashMap;
use std::sync::{Arc, Mutex};

/// How the general engine resolves a blow.
#[derive(Clone, Copy, Debug)]
pub struct Springs {
    /// Step, seconds.
    pub step_s: f64,
    /// Natural frequency of a contact between bodies, and of one with what stands still, Hz.
    pub bodies_hz: f64,
    pub surroundings_hz: f64,
}

/// What the rebound of one contact is from a unit approach: the engine's implicit spring and damper, for a pair whose
/// overlap is scaled.
fn rebound(step_s: f64, hz: f64, damping: f64, scale: f64) -> f64 {
    let turn = std::f64::consts::TAU * hz * step_s;
    let per_overlap = turn / step_s / (turn + 2.0 * damping);
    let soft = 1.0 / (1.0 + 1.0 / (turn * (turn + 2.0 * damping)));
    // Contact starts anywhere within a step: the mean over ten places.
    let one = |start: f64| {
        let (mut gap, mut speed) = (-start * step_s, -1.0);
        while gap < 0.0 {
            speed += (soft * -(speed + per_overlap * scale * gap)).max(0.0);
            gap += speed * step_s;
        }
        speed
    };
    (0..10).map(|k| one((f64::from(k) + 0.5) / 10.0)).sum::<f64>() / 10.0
}

fn falling_root(mut lo: f64, mut hi: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..40 {
        let middle = f64::midpoint(lo, hi);
        if f(middle) > 0.0 { lo = middle } else { hi = middle }
    }
    f64::midpoint(lo, hi)
}

/// A general engine set up to throw racks with resolved blows.
pub struct Resolved {
    constants: Constants,
    springs: Springs,
    damping: [f64; 2],
    hooks: Hooks,
    pin: Arc<SmoothPin>,
}

/// What each pair is told: friction, and the scale of its overlap.
struct Hooks {
    ball_pin: (f64, f64),
    pin_pin: (f64, f64),
    pin_floor: (f64, f64),
    pin_kickback: (f64, f64),
    pin_cushion: (f64, f64),
    ball_floor: (f64, f64),
    ball_kickback: (f64, f64),
    step_s: f64,
    /// How deep each body was under each floor when last looked at, and from which depth its spring counts.
    depths: Mutex<HashMap<Place, Depth>>,
}

/// The two colliders of a contact, whether it lies over the pin's middle, and whether at the deck's edge.
type Place = (ColliderHandle, ColliderHandle, bool, bool);

#[derive(Clone, Copy, Default)]
struct Depth {
    last_m: f64,
    rest_m: f64,
}

/// Rounding of places in the engine's single precision.
const ROUNDING_M: f64 = 2e-6;

impl Resolved {
    pub fn new(constants: Constants, springs: Springs) -> Self {
        let c = &constants;
        let pairs = [
            (springs.bodies_hz, vec![c.ball_pin, c.pin_pin]),
            (springs.surroundings_hz, vec![c.pin_deck, c.kickback, c.cushion, c.ball_deck]),
        ];
        let mut damping = [0.0; 2];
        let mut told = Vec::new();
        for ((hz, surfaces), damping) in pairs.into_iter().zip(&mut damping) {
            let most = surfaces.iter().map(|s| s.restitution).fold(0.0, f64::max);
            *damping = falling_root(1e-4, 3.0, |zeta| rebound(springs.step_s, hz, zeta, 1.0) - most);
            let short = rebound(springs.step_s, hz, *damping, 1.0) - most;
            assert!(short.abs() < 0.005, "the step is too long for a restitution of {most}: short by {short}");
            let scale = |e: f64| falling_root(0.0, 1.0, |x| e - rebound(springs.step_s, hz, *damping, x.max(1e-4)));
            told.extend(surfaces.iter().map(|s: &Surface| (s.friction, scale(s.restitution))));
        }
        let hooks = Hooks {
            ball_pin: told[0],
            pin_pin: told[1],
            pin_floor: told[2],
            pin_kickback: told[3],
            pin_cushion: told[4],
            ball_floor: told[5],
            ball_kickback: told[3],
            step_s: springs.step_s,
            depths: Mutex::default(),
        };
        Self { constants, springs, damping, hooks, pin: Arc::new(SmoothPin::new()) }
    }

    /// Throws at ten pins; the stream is used as the special engine uses it for the places of the pins.
    pub fn throw(&self, entry: &Entry, ball: &BallBody, stream: &mut Stream) -> (u16, u32) {
        let c = &self.constants;
        let mut world = self.world(court::GRAVITY_M_S2);
        Self::lay(&mut world);
        let pins: Vec<RigidBodyHandle> = court::PIN_SPOTS_IN
            .into_iter()
            .map(|(x_in, y_in)| {
                let (dx, dy) = (stream.normal() * c.spot_jitter_m, stream.normal() * c.spot_jitter_m);
                let _ = stream.normal();
                self.insert_pin(&mut world, x_in * INCH_M + dx, y_in * INCH_M + dy)
            })
            .collect();
        let ball = Self::insert_ball(&mut world, entry, ball);
        run(&mut world, &self.hooks, &pins, ball)
    }

    fn lay(world: &mut PhysicsWorld) {
        for slab in slabs() {
            let [x, y, z] = slab.half_m;
            let shape = ColliderBuilder::cuboid(x as f32, y as f32, z as f32);
            let [x, y, z] = slab.at_m;
            world.insert_collider(shape.translation(vector(x, y, z)).user_data(slab.kind as u128), None);
        }
    }

    fn world(&self, gravity_m_s2: f64) -> PhysicsWorld {
        self.hooks.depths.lock().expect("no panic while it is held").clear();
        let mut world = PhysicsWorld::new();
        world.narrow_phase = NarrowPhase::with_query_dispatcher(Dispatcher(self.pin.clone()));
        world.gravity = vector(0.0, 0.0, -gravity_m_s2);
        let how = &mut world.integration_parameters;
        how.dt = self.springs.step_s as f32;
        how.contact_softness = SpringCoefficients::new(self.springs.bodies_hz as f32, self.damping[0] as f32);
        how.static_contact_softness =
            SpringCoefficients::new(self.springs.surroundings_hz as f32, self.damping[1] as f32);
        how.normalized_max_corrective_velocity = f32::MAX;
        how.num_solver_iterations = 1;
        how.num_internal_pgs_iterations = 4;
        how.num_internal_stabilization_iterations = 0;
        how.warmstart_coefficient = 0.0;
        how.friction_model = FrictionModel::Coulomb;
        how.friction_in_bias_pass = true;
        how.normalized_prediction_distance = 1e-4;
        how.contact_recycling = false;
        how.contact_clustering = false;
        how.max_ccd_substeps = 0;
        world
    }

    fn insert_pin(&self, world: &mut PhysicsWorld, x_m: f64, y_m: f64) -> RigidBodyHandle {
        // Only its box is used: a little more than the pin all round.
        let skin = ColliderBuilder::capsule_z(0.175, 0.062).density(0.0).user_data(Kind::Pin as u128);
        let body = pin_body(&self.constants, x_m, y_m);
        let handle = world.insert(body, skin.active_hooks(ActiveHooks::MODIFY_SOLVER_CONTACTS)).0;
        // Asleep until touched, and not again.
        world.bodies[handle].activation_mut().time_until_sleep = f32::MAX;
        handle
    }

    fn insert_ball(world: &mut PhysicsWorld, entry: &Entry, ball: &BallBody) -> RigidBodyHandle {
        let skin = ColliderBuilder::ball(ball.radius_m as f32).density(0.0).user_data(Kind::Ball as u128);
        world.insert(ball_body(entry, ball), skin.active_hooks(ActiveHooks::MODIFY_SOLVER_CONTACTS)).0
    }

    /// Lets pins go from given poses for a time: over the deck and with weight, or with nothing about.
    pub fn release(&self, pins: &[PinBody], with_deck: bool, time_s: f64) -> Vec<PinBody> {
        let mut world = self.world(if with_deck { court::GRAVITY_M_S2 } else { 0.0 });
        if with_deck {
            Self::lay(&mut world);
        }
        let handles: Vec<_> = pins.iter().map(|pin| self.insert_posed(&mut world, pin)).collect();
        for _ in 0..(time_s / self.springs.step_s).round() as u64 {
            world.step_with_events(&self.hooks, &());
        }
        handles.iter().zip(pins).map(|(&handle, pin)| posed(&world.bodies[handle], pin)).collect()
    }

    /// Lets the ball strike the head pin, on the deck or with nothing about: pin and the ball's velocity after a time.
    pub fn blow(&self, entry: &Entry, ball: &BallBody, with_deck: bool, time_s: f64) -> (PinBody, DVec3) {
        let mut world = self.world(if with_deck { court::GRAVITY_M_S2 } else { 0.0 });
        if with_deck {
            Self::lay(&mut world);
        }
        let solid = boardwise_pins::profile::Profile::published().solid();
        let at = DVec3::new(0.0, 0.0, solid.cg_height_m);
        let upright =
            PinBody::at_rest(at, self.constants.pin_mass_kg, solid.transverse_gyration_m, solid.axial_gyration_m);
        let pin = self.insert_pin(&mut world, 0.0, 0.0);
        let ball = Self::insert_ball(&mut world, entry, ball);
        for _ in 0..(time_s / self.springs.step_s).round() as u64 {
            world.step_with_events(&self.hooks, &());
        }
        (posed(&world.bodies[pin], &upright), wide(world.bodies[ball].linvel()))
    }

    fn insert_posed(&self, world: &mut PhysicsWorld, pin: &PinBody) -> RigidBodyHandle {
        let handle = self.insert_pin(world, pin.centre_m.x, pin.centre_m.y);
        let body = &mut world.bodies[handle];
        let narrow = |v: DVec3| vector(v.x, v.y, v.z);
        body.wake_up(true);
        body.set_translation(narrow(pin.centre_m), true);
        let turn = DQuat::from_rotation_arc(DVec3::Z, pin.axis);
        body.set_rotation(Rotation::from_xyzw(turn.x as f32, turn.y as f32, turn.z as f32, turn.w as f32), true);
        body.set_linvel(narrow(pin.velocity_m_s), true);
        body.set_angvel(narrow(pin.spin_rad_s()), true);
        handle
    }
}

/// A body of the engine as a pin of ours.
fn posed(body: &RigidBody, like: &PinBody) -> PinBody {
    let (axis, spin) = (wide(*body.rotation() * Vector::Z), wide(body.angvel()));
    let along = axis * spin.dot(axis);
    PinBody {
        centre_m: wide(body.translation()),
        velocity_m_s: wide(body.linvel()),
        axis,
        momentum_kg_m2_s: (spin - along) / like.per_transverse + along / like.per_axial,
        ..*like
    }
}

impl Hooks {
    fn told(&self, one: Kind, other: Kind) -> Option<(f64, f64)> {
        Some(match (one.min(other), one.max(other)) {
            (Kind::Pin, Kind::Pin) => self.pin_pin,
            (Kind::Pin, Kind::Ball) => self.ball_pin,
            (Kind::Pin, Kind::Floor) => self.pin_floor,
            (Kind::Pin, Kind::Kickback) => self.pin_kickback,
            (Kind::Pin, Kind::Cushion) => self.pin_cushion,
            (Kind::Ball, Kind::Floor) => self.ball_floor,
            (Kind::Ball, Kind::Kickback) => self.ball_kickback,
            _ => return None,
        })
    }
}

impl Hooks {
    /// How deep a body has pressed itself into a floor. A body that comes over a floor from beside it, or leans over its
    /// edge, is deep at once without having been slowed: its spring counts from there, or it would be shot up.
    fn pressed(&self, place: Place, deep_m: f64, speed_m_s: f64) -> f64 {
        let mut depths = self.depths.lock().expect("no panic while it is held");
        let depth = depths.entry(place).or_default();
        let jump_m = deep_m - depth.last_m - 2.0 * speed_m_s * self.step_s - ROUNDING_M;
        depth.rest_m = depth.rest_m.min(deep_m) + jump_m.max(0.0);
        depth.last_m = deep_m;
        deep_m - depth.rest_m
    }
}

/// A body's answer to impulses at a point.
struct Answer {
    arm: DVec3,
    velocity: DVec3,
    per_mass: f64,
    axis: DVec3,
    per_across: f64,
    per_axial: f64,
}

fn wide(v: Vector) -> DVec3 {
    DVec3::new(f64::from(v.x), f64::from(v.y), f64::from(v.z))
}

impl Answer {
    fn of(body: &RigidBody, point: DVec3) -> Self {
        let per_inertia = wide(body.mass_properties().local_mprops.inv_principal_inertia);
        let arm = point - wide(body.translation());
        Self {
            arm,
            velocity: wide(body.linvel()) + wide(body.angvel()).cross(arm),
            per_mass: 1.0 / f64::from(body.mass()),
            axis: wide(*body.rotation() * Vector::Z),
            per_across: per_inertia.x,
            per_axial: per_inertia.z,
        }
    }

    /// Change of velocity at the point by a unit impulse along a direction.
    fn moves(&self, along: DVec3) -> DVec3 {
        let turn = self.arm.cross(along);
        let spin = turn * self.per_across + self.axis * (self.axis.dot(turn) * (self.per_axial - self.per_across));
        along * self.per_mass + spin.cross(self.arm)
    }
}

impl PhysicsHooks for Hooks {
    fn modify_solver_contacts(&self, context: &mut ContactModificationContext) {
        let kinds = [context.collider1, context.collider2].map(|handle| kind_of(&context.colliders[handle]));
        let colliders = (context.collider1, context.collider2);
        let (bodies, handles) = (context.bodies, [context.rigid_body1, context.rigid_body2]);
        let Some(manifold) = context.rigid_mut() else { return };
        let Some((friction, scale)) = self.told(kinds[0], kinds[1]) else {
            manifold.solver_contacts.clear();
            return;
        };
        *manifold.friction = friction as f32;
        *manifold.restitution = 0.0;
        let normal = wide(*manifold.normal);
        let on_floor = kinds.contains(&Kind::Floor);
        for contact in manifold.solver_contacts.iter_mut() {
            let point = (wide(contact.anchor1) + wide(contact.anchor2)) * 0.5;
            let answers = handles.map(|handle| handle.map(|handle| Answer::of(&bodies[handle], point)));
            let velocity = |answer: &Option<Answer>| answer.as_ref().map_or(DVec3::ZERO, |a| a.velocity);
            let past = velocity(&answers[0]) - velocity(&answers[1]);
            if on_floor {
                let upper = answers.iter().flatten().any(|a| a.arm.dot(a.axis) > 0.0);
                let place = (colliders.0, colliders.1, upper, normal.z.abs() < 0.999);
                contact.dist = -self.pressed(place, -f64::from(contact.dist), past.dot(normal).abs()) as f32;
            }
            contact.dist *= scale as f32;
            let slip = past - normal * past.dot(normal);
            let Some(along) = slip.try_normalize() else { continue };
            let moved: DVec3 = answers.iter().flatten().map(|a| a.moves(along)).sum();
            let moved = moved - normal * moved.dot(normal);
            // The engine's friction is what undoes slip and surface velocity together: this makes it what stops the slip
            // along itself.
            let surface = moved * (slip.length() / moved.dot(along)) - slip;
            contact.tangent_velocity = vector(surface.x, surface.y, surface.z);
        }
    }
}
