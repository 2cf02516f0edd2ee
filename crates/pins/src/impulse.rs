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

/// Applies the blow at `point_m` with the unit `normal` pointing from `b` to `a`, if they approach there; says how large
/// the normal impulse was (N s; zero if none).
///
/// J = -(1+e)(v.n)/k with k = sum[1/m + (r x n).I^-1 (r x n)] \[C: physics.md section 6\]. Friction then acts against the
/// slip that is left, at most mu J and at most what stops it, so that neither part can add energy.
#[inline]
pub fn strike<A: Rigid, B: Rigid>(a: &mut A, b: &mut B, point_m: DVec3, normal: DVec3, surface: Surface) -> f64 {
    let (arm_a, arm_b) = (point_m - a.centre_m(), point_m - b.centre_m());
    let approach = (a.velocity_at(arm_a) - b.velocity_at(arm_b)).dot(normal);
    if approach >= 0.0 {
        return 0.0;
    }
    let e = restitution_at(surface.restitution, -approach);
    let size = -(1.0 + e) * approach / (a.mobility(normal, arm_a) + b.mobility(normal, arm_b));
    a.push(normal * size, arm_a);
    b.push(normal * -size, arm_b);

    let after = a.velocity_at(arm_a) - b.velocity_at(arm_b);
    let slip = after - normal * after.dot(normal);
    let speed = math::sqrt(slip.length_squared());
    if speed > 1e-9 {
        let along = slip * (1.0 / speed);
        let stopping = speed / (a.mobility(along, arm_a) + b.mobility(along, arm_b));
        let drag = along * stopping.min(surface.friction * size);
        a.push(-drag, arm_a);
        b.push(drag, arm_b);
    }
    size
}
