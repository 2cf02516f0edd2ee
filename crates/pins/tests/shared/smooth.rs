//! Pins as smooth solids of revolution for the general engine: where they meet ball, floor, walls and each other.
//!
//! The engine has no such shape, so a capsule stands for a pin in its broad phase and this dispatcher answers its
//! narrow phase (revolved.rs says where bodies meet). A pair gets one contact, and only once bodies overlap: a contact
//! foreseen would brake them before they touch.
#![allow(dead_code)]

use glam::{DQuat, DVec3};
use rapier3d::parry::query::details::NormalConstraints;
use rapier3d::parry::query::{
    ClosestPoints, Contact, ContactManifold, ContactManifoldsWorkspace, DefaultQueryDispatcher, NonlinearRigidMotion,
    PersistentQueryDispatcher, QueryDispatcher, ShapeCastHit, ShapeCastOptions, ShapeDistance, ShapeIntersection,
    TrackedContact, Unsupported,
};
use rapier3d::parry::shape::{PackedFeatureId, Shape};
use rapier3d::prelude::{ContactData, ContactManifoldData, Cuboid, Pose, Real, Vector};
use std::sync::Arc;

#[path = "revolved.rs"]
mod revolved;

pub use revolved::SmoothPin;
use revolved::{Meeting, Placed};

/// A body deeper than this under a floor came from beside it: floors do not lift it.
const BESIDE_M: f64 = 0.015;

/// Lower part, head, and the same at an edge.
const MOST_CONTACTS: usize = 4;
/// Half the width beyond which a floor is the deck.
const DECK_AT_LEAST_M: f64 = 0.3;

/// Answers the engine's narrow phase: capsules are pins, cuboids floors and walls.
pub struct Dispatcher(pub Arc<SmoothPin>);

fn wide(v: Vector) -> DVec3 {
    DVec3::new(f64::from(v.x), f64::from(v.y), f64::from(v.z))
}

fn narrow(v: DVec3) -> Vector {
    Vector::new(v.x as Real, v.y as Real, v.z as Real)
}

/// Face of a slab toward a body: a floor's top, a wall's near side.
fn face(slab: &Cuboid, place: DVec3) -> (DVec3, f64, bool) {
    let half = wide(slab.half_extents);
    if half.z < half.x.min(half.y) {
        (DVec3::Z, half.z, true)
    } else if half.x < half.y {
        (DVec3::X.copysign(place), half.x, false)
    } else {
        (DVec3::Y.copysign(place), half.y, false)
    }
}

impl Dispatcher {
    fn meetings(&self, pos12: &Pose, g1: &dyn Shape, g2: &dyn Shape) -> Vec<Meeting> {
        let turn = pos12.rotation;
        let turn = DQuat::from_xyzw(turn.x.into(), turn.y.into(), turn.z.into(), turn.w.into()).normalize();
        let first = Placed { centre: DVec3::ZERO, axis: DVec3::Z };
        let second = Placed { centre: wide(pos12.translation), axis: turn * DVec3::Z };
        let flip = |m: Meeting| Meeting { on: [m.on[1], m.on[0]], normal: -m.normal, gap_m: m.gap_m };
        let pin = &self.0;
        match ((g1.as_capsule(), g1.as_ball(), g1.as_cuboid()), (g2.as_capsule(), g2.as_ball(), g2.as_cuboid())) {
            ((Some(_), ..), (Some(_), ..)) => pin.meets_pin(first, second).into_iter().collect(),
            ((Some(_), ..), (_, Some(ball), _)) => {
                vec![pin.meets_ball(first, second.centre, ball.radius.into())]
            }
            ((_, Some(ball), _), (Some(_), ..)) => {
                vec![flip(pin.meets_ball(second, first.centre, ball.radius.into()))]
            }
            ((.., Some(slab)), _) => self.on_slab(slab, second, g2),
            (_, (.., Some(slab))) => {
                // In the slab's frame, and back.
                let (back, at) = (turn.inverse(), second.centre);
                let body = Placed { centre: back * -at, axis: back * DVec3::Z };
                let home = |p: DVec3| turn * p + at;
                self.on_slab(slab, body, g1)
                    .into_iter()
                    .map(|m| flip(Meeting { on: m.on.map(home), normal: turn * m.normal, gap_m: m.gap_m }))
                    .collect()
            }
            _ => Vec::new(),
        }
    }

    fn on_slab(&self, slab: &Cuboid, body: Placed, shape: &dyn Shape) -> Vec<Meeting> {
        let (normal, half, is_floor) = face(slab, body.centre);
        let extents = wide(slab.half_extents);
        let mut found = Vec::new();
        let mut see = |point: DVec3| {
            let gap_m = point.dot(normal) - half;
            let beside = is_floor && (point.x.abs() > extents.x || point.y.abs() > extents.y || gap_m < -BESIDE_M);
            if !beside {
                found.push(Meeting { on: [point - normal * gap_m, point], normal, gap_m });
            }
        };
        match shape.as_ball() {
            Some(ball) => see(body.centre - normal * f64::from(ball.radius)),
            None => self.0.lowest(body, normal, half, see),
        }
        // The deck alone has edges to fall over; the gutters end at it.
        if is_floor && extents.x > DECK_AT_LEAST_M && shape.as_ball().is_none() {
            for out in [DVec3::X, DVec3::NEG_X] {
                let edge = out * extents.x + normal * half;
                self.0.at_edge(body, edge, out, normal, |meeting| {
                    if meeting.on[0].y.abs() < extents.y {
                        found.push(meeting);
                    }
                });
            }
        }
        found
    }
}

impl PersistentQueryDispatcher<ContactManifoldData, ContactData> for Dispatcher {
    fn contact_manifolds(
        &self,
        pos12: &Pose,
        g1: &dyn Shape,
        g2: &dyn Shape,
        _: Real,
        manifolds: &mut Vec<ContactManifold<ContactManifoldData, ContactData>>,
        _: &mut Option<ContactManifoldsWorkspace>,
    ) -> Result<(), Unsupported> {
        // One manifold a contact: a manifold has one normal. The first three may be gone and come back.
        manifolds.resize_with(MOST_CONTACTS, ContactManifold::default);
        for manifold in manifolds.iter_mut() {
            manifold.points.clear();
        }
        let back = pos12.rotation.inverse();
        let met = self.meetings(pos12, g1, g2).into_iter().filter(|m| m.gap_m < 0.0);
        for (Meeting { on, normal, gap_m }, manifold) in met.zip(manifolds) {
            manifold.local_n1 = narrow(normal);
            manifold.local_n2 = back * -narrow(normal);
            let on_second = back * (narrow(on[1]) - pos12.translation);
            let feature = PackedFeatureId::UNKNOWN;
            manifold.points.push(TrackedContact::new(narrow(on[0]), on_second, feature, feature, gap_m as Real));
        }
        Ok(())
    }

    fn contact_manifold_convex_convex(
        &self,
        _: &Pose,
        _: &dyn Shape,
        _: &dyn Shape,
        _: Option<&dyn NormalConstraints>,
        _: Option<&dyn NormalConstraints>,
        _: Real,
        _: &mut ContactManifold<ContactManifoldData, ContactData>,
    ) -> Result<(), Unsupported> {
        Err(Unsupported)
    }
}

/// Everything but contacts as the engine would answer it.
macro_rules! as_the_engine_does {
    ($($name:ident($($arg:ident: $ty:ty),*) -> $found:ty;)*) => {
        impl QueryDispatcher for Dispatcher {
            $(fn $name(&self, $($arg: $ty),*) -> Result<$found, Unsupported> {
                DefaultQueryDispatcher.$name($($arg),*)
            })*
        }
    };
}

as_the_engine_does! {
    intersection_test(pos12: &Pose, g1: &dyn Shape, g2: &dyn Shape) -> ShapeIntersection;
    distance(pos12: &Pose, g1: &dyn Shape, g2: &dyn Shape) -> ShapeDistance;
    contact(pos12: &Pose, g1: &dyn Shape, g2: &dyn Shape, within: Real) -> Option<Contact>;
    closest_points(pos12: &Pose, g1: &dyn Shape, g2: &dyn Shape, within: Real) -> ClosestPoints;
    cast_shapes(
        pos12: &Pose, velocity: Vector, g1: &dyn Shape, g2: &dyn Shape, options: ShapeCastOptions
    ) -> Option<ShapeCastHit>;
    cast_shapes_nonlinear(
        motion1: &NonlinearRigidMotion, g1: &dyn Shape, motion2: &NonlinearRigidMotion, g2: &dyn Shape,
        start: Real, end: Real, stop: bool
    ) -> Option<ShapeCastHit>;
}
