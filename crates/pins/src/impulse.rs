//! The blow between two bodies: restitution along the normal, Coulomb friction across it.

use crate::body::Rigid;
use boardwise_units::math;
use glam::DVec3;

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

/// Slices in which a blow's impulse is applied. Five leave half a degree of its direction against many.
const SLICES: u32 = 5;

/// How often friction and normal impulse are put right in turn at the end: where surfaces have come to stick, the last
/// slice makes them slip anew, and stopping that upsets the speed of parting, the less each time.
const SETTLINGS: u32 = 2;

/// Applies the blow at `point_m` with the unit `normal` pointing from `b` to `a`, if they approach there; says how large
/// the normal impulse was (N s; zero if none).
///
/// J = -(1+e)(v.n)/k with k = sum[1/m + (r x n).I^-1 (r x n)] \[C: two rigid bodies that touch\]. It is applied in slices: in
/// each, friction acts against the slip of that moment, at most mu times the normal impulse so far and at most what stops
/// the slip; then the normal impulse, which makes up for what friction did, so that the bodies part at e times the speed
/// of approach. Newton's law of restitution with friction can add energy in odd positions; there the normal impulse is
/// applied at once and friction after it, which cannot.
#[inline]
pub fn strike<A: Rigid, B: Rigid>(a: &mut A, b: &mut B, point_m: DVec3, normal: DVec3, surface: Surface) -> f64 {
    let arms = (point_m - a.centre_m(), point_m - b.centre_m());
    let before = a.velocity_at(arms.0) - b.velocity_at(arms.1);
    let approach = before.dot(normal);
    if approach >= 0.0 {
        return 0.0;
    }
    let e = restitution_at(surface.restitution, -approach);
    let mut blow = Blow {
        arms,
        normal,
        friction: surface.friction,
        rubbed: 0.0,
        stiffness: 1.0 / (a.mobility(normal, arms.0) + b.mobility(normal, arms.1)),
        size: 0.0,
        whole: DVec3::ZERO,
        now: before,
    };
    // Bodies that rest on each other meet again in the next step: one slice a step is enough.
    if e == 0.0 {
        blow.apply_at_once(a, b, 0.0);
        return blow.size;
    }
    for left in (1..=SLICES).rev() {
        let slice = blow.missing(-e * approach) / f64::from(left);
        blow.rub(a, b, surface.friction * (blow.size + slice));
        let slice = blow.missing(-e * approach) / f64::from(left);
        blow.press(a, b, slice);
    }
    for _ in 0..SETTLINGS {
        blow.rub(a, b, surface.friction * blow.size);
        blow.press(a, b, blow.missing(-e * approach));
    }
    // The work of an impulse between velocities v and v' at the contact is J.(v + v')/2: positive work is energy made.
    if blow.whole.dot(before + blow.now) > 0.0 {
        a.push(-blow.whole, arms.0);
        b.push(blow.whole, arms.1);
        blow = Blow { size: 0.0, rubbed: 0.0, whole: DVec3::ZERO, now: before, ..blow };
        blow.apply_at_once(a, b, -e * approach);
    }
    blow.size
}

/// A blow as far as it has been applied.
struct Blow {
    /// Arms of the contact from each body's centre of gravity, metres.
    arms: (DVec3, DVec3),
    normal: DVec3,
    friction: f64,
    /// Friction's impulse so far, along its path, N s.
    rubbed: f64,
    /// Normal impulse per change of normal velocity, kg.
    stiffness: f64,
    /// Normal impulse so far, N s.
    size: f64,
    /// Whole impulse on the first body so far, N s.
    whole: DVec3,
    /// Velocity of the first body past the second at the contact, m/s.
    now: DVec3,
}

impl Blow {
    /// Normal impulse that is missing for a parting speed.
    #[inline]
    fn missing(&self, part_m_s: f64) -> f64 {
        (part_m_s - self.now.dot(self.normal)) * self.stiffness
    }

    /// All of the normal impulse, then friction.
    #[inline]
    fn apply_at_once<A: Rigid, B: Rigid>(&mut self, a: &mut A, b: &mut B, part_m_s: f64) {
        self.press(a, b, self.missing(part_m_s));
        self.rub(a, b, self.friction * self.size);
    }

    /// Applies normal impulse; in all never less than none.
    #[inline]
    fn press<A: Rigid, B: Rigid>(&mut self, a: &mut A, b: &mut B, more_n_s: f64) {
        let more = more_n_s.max(-self.size);
        self.size += more;
        self.push(a, b, self.normal * more);
    }

    /// Applies friction against the slip, as far as it may go in all.
    #[inline]
    fn rub<A: Rigid, B: Rigid>(&mut self, a: &mut A, b: &mut B, most_n_s: f64) {
        let slip = self.now - self.normal * self.now.dot(self.normal);
        let speed = math::sqrt(slip.length_squared());
        if speed > 1e-9 && most_n_s > self.rubbed {
            let along = slip * (1.0 / speed);
            let stopping = speed / (a.mobility(along, self.arms.0) + b.mobility(along, self.arms.1));
            let more = stopping.min(most_n_s - self.rubbed);
            self.rubbed += more;
            self.push(a, b, along * -more);
        }
    }

    #[inline]
    fn push<A: Rigid, B: Rigid>(&mut self, a: &mut A, b: &mut B, impulse_n_s: DVec3) {
        a.push(impulse_n_s, self.arms.0);
        b.push(-impulse_n_s, self.arms.1);
        self.whole += impulse_n_s;
        self.now = a.velocity_at(self.arms.0) - b.velocity_at(self.arms.1);
    }
}
