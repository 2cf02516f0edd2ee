//! The blow between two bodies: restitution along the normal, Coulomb friction across it.

use crate::body::Rigid;
use glam::DVec3;
use measure::math;

/// How two surfaces meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Coefficient of restitution: rebound over approach speed along the normal, 0 to 1.
    pub restitution: f64,
    /// Coefficient of Coulomb friction.
    pub friction: f64,
}

/// Approach speed below which surfaces stay together, m/s, and the width over which restitution comes in. Judgement;
/// well above the g dt that gravity adds in one step.
const STICK_M_S: f64 = 0.05;

/// Restitution at an approach speed: none below a few centimetres a second, so that bodies can lie still.
#[inline]
pub(crate) fn restitution_at(full: f64, approach_m_s: f64) -> f64 {
    full * ((approach_m_s - STICK_M_S) / STICK_M_S).clamp(0.0, 1.0)
}

/// Rounds in which normal and friction impulse are fitted to each other. Four leave a thousandth.
const ROUNDS: u32 = 4;

/// Applies the blow at `point_m` with the unit `normal` pointing from `b` to `a`, if they approach there; says how large
/// the normal impulse was (N s; zero if none).
///
/// J = -(1+e)(v.n)/k with k = sum[1/m + (r x n).I^-1 (r x n)] \[C: physics.md section 6\]; friction acts against the slip
/// that is left, at most mu J and at most what stops it. Each changes the other, so they are fitted in rounds until the
/// bodies part at e times the speed of approach. Newton's law of restitution with friction can add energy in odd
/// positions; the rounds stop before it would, and the first alone cannot.
#[inline]
pub fn strike<A: Rigid, B: Rigid>(a: &mut A, b: &mut B, point_m: DVec3, normal: DVec3, surface: Surface) -> f64 {
    let (arm_a, arm_b) = (point_m - a.centre_m(), point_m - b.centre_m());
    let before = a.velocity_at(arm_a) - b.velocity_at(arm_b);
    let approach = before.dot(normal);
    if approach >= 0.0 {
        return 0.0;
    }
    let e = restitution_at(surface.restitution, -approach);
    let stiffness = 1.0 / (a.mobility(normal, arm_a) + b.mobility(normal, arm_b));
    let (mut size, mut drag) = (0.0, DVec3::ZERO);
    let mut now = before;
    // Bodies that rest on each other meet again in the next step: one round a step is enough.
    let rounds = if e > 0.0 { ROUNDS } else { 1 };
    for round in 0..rounds {
        let old = (size, drag);
        let more = -((e * approach + now.dot(normal)) * stiffness).min(size);
        size += more;
        a.push(normal * more, arm_a);
        b.push(normal * -more, arm_b);

        let mut change = normal * more;
        let after = a.velocity_at(arm_a) - b.velocity_at(arm_b);
        let slip = after - normal * after.dot(normal);
        let speed = math::sqrt(slip.length_squared());
        if speed > 1e-9 {
            let along = slip * (1.0 / speed);
            let stopping = speed / (a.mobility(along, arm_a) + b.mobility(along, arm_b));
            let wanted = drag - along * stopping;
            let (most, length) = (surface.friction * size, math::sqrt(wanted.length_squared()));
            let next = if length > most { wanted * (most / length) } else { wanted };
            a.push(next - drag, arm_a);
            b.push(drag - next, arm_b);
            change += next - drag;
            drag = next;
            now = a.velocity_at(arm_a) - b.velocity_at(arm_b);
        } else {
            now = after;
        }
        // The work of impulse J between velocities v and v' at the contact is J.(v + v')/2: positive work is energy made.
        if round > 0 && (normal * size + drag).dot(before + now) > 0.0 {
            a.push(-change, arm_a);
            b.push(change, arm_b);
            return old.0;
        }
        if change.length_squared() < 1e-6 * size * size {
            break;
        }
    }
    size
}
