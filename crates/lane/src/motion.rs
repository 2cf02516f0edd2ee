//! The ball's equations of motion, one ball at a time: the full rigid body sliding or rolling on the lane.
//!
//! Frame: x toward the bowling-hand side, y toward the pins, z up. The geometric centre stays at the ball's radius above
//! the lane; the centre of gravity may sit off it. Sources: any mechanics text on a rigid sphere on a rough plane
//! (Coriolis' problem), written for a core with three radii of gyration.

use crate::friction::Contact;
use boardwise_ball::Ball;
use boardwise_units::court;
use glam::{DMat3, DQuat, DVec2, DVec3};

/// Position, motion and attitude of the ball.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct State {
    /// Centre over the lane.
    pub place_m: DVec2,
    /// Velocity of the centre.
    pub velocity_m_s: DVec2,
    /// Core to lane.
    pub attitude: DQuat,
    /// Angular velocity in the lane's frame.
    pub spin_rad_s: DVec3,
}

/// Rates of change of a [`State`].
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rate {
    velocity: DVec2,
    acceleration: DVec2,
    attitude: DQuat,
    spin: DVec3,
}

impl State {
    /// Slip of the contact point over the lane.
    pub fn slip_m_s(&self, radius_m: f64) -> DVec2 {
        self.velocity_m_s + radius_m * DVec2::new(-self.spin_rad_s.y, self.spin_rad_s.x)
    }

    /// This state moved on by `rate` for `step_s`.
    fn after(&self, rate: &Rate, step_s: f64) -> Self {
        Self {
            place_m: self.place_m + rate.velocity * step_s,
            velocity_m_s: self.velocity_m_s + rate.acceleration * step_s,
            attitude: self.attitude + rate.attitude * step_s,
            spin_rad_s: self.spin_rad_s + rate.spin * step_s,
        }
    }
}

/// How the ball touches the lane at this moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Phase {
    /// In the air after release.
    Flying,
    /// Sliding, with the direction of slip to use where it vanishes.
    Sliding(DVec2),
    /// Rolling without slip.
    Rolling,
}

/// The lane's answer at one place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Footing {
    /// Friction coefficient.
    pub friction: f64,
    /// Rise along x and y.
    pub slope: DVec2,
}

/// The constants of a ball in motion.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mechanics {
    pub mass_kg: f64,
    pub radius_m: f64,
    pub inertia_kg_m2: DVec3,
    pub cg_offset_m: DVec3,
    pub contact: Contact,
}

/// Everything of the motion that does not depend on the contact force.
struct Free {
    inverse_inertia: DMat3,
    /// Contact from the centre of gravity.
    arm: DVec3,
    /// Centre of gravity from the centre.
    offset: DVec3,
    /// Angular acceleration without contact force.
    spin: DVec3,
    /// Acceleration of the centre without contact force.
    centre: DVec3,
}

impl Mechanics {
    pub fn new(ball: &Ball, contact: Contact) -> Self {
        Self {
            mass_kg: ball.mass_kg,
            radius_m: ball.radius_m,
            inertia_kg_m2: ball.inertia_kg_m2,
            cg_offset_m: ball.cg_offset_m,
            contact,
        }
    }

    /// Kinetic energy (with potential energy of the centre of gravity's height), joules.
    #[cfg(test)]
    pub fn energy_j(&self, state: &State) -> f64 {
        let turn = DMat3::from_quat(state.attitude);
        let offset = turn * self.cg_offset_m;
        let body = turn.transpose() * state.spin_rad_s;
        let velocity = state.velocity_m_s.extend(0.0) + state.spin_rad_s.cross(offset);
        0.5 * self.mass_kg * velocity.length_squared()
            + 0.5 * (self.inertia_kg_m2 * body).dot(body)
            + self.mass_kg * court::GRAVITY_M_S2 * offset.z
    }

    /// Angular momentum about the centre in the lane's frame, kg m²/s.
    pub fn angular_momentum(&self, state: &State) -> DVec3 {
        let turn = DMat3::from_quat(state.attitude);
        turn * (self.inertia_kg_m2 * (turn.transpose() * state.spin_rad_s))
    }

    fn free(&self, state: &State, footing: &Footing, friction_n: f64, phase: Phase) -> Free {
        let turn = DMat3::from_quat(state.attitude);
        let inverse_inertia = turn * DMat3::from_diagonal(self.inertia_kg_m2.recip()) * turn.transpose();
        let (spin, up) = (state.spin_rad_s, DVec3::Z);
        let offset = turn * self.cg_offset_m;
        let torque = if phase == Phase::Flying { DVec3::ZERO } else { self.contact_torque(state, friction_n) };
        let angular = inverse_inertia * (torque - spin.cross(self.angular_momentum(state)));
        let gravity = court::GRAVITY_M_S2 * DVec3::new(-footing.slope.x, -footing.slope.y, -1.0);
        Free {
            inverse_inertia,
            arm: -self.radius_m * up - offset,
            offset,
            spin: angular,
            centre: gravity - angular.cross(offset) - spin.cross(spin.cross(offset)),
        }
    }

    /// Pivot friction and rolling resistance, for μN = `friction_n`.
    fn contact_torque(&self, state: &State, friction_n: f64) -> DVec3 {
        let c = &self.contact;
        let spin = state.spin_rad_s;
        // Pivot: full without slip, fading as slip grows (Hertz pressure; both limits exact). A twentieth of a radian
        // per second keeps it smooth through zero.
        let twist = c.patch_radius_m * spin.z;
        let slip = state.slip_m_s(self.radius_m).length();
        let pivot = -c.pivot_arm_m * friction_n * twist
            / (twist.abs() + 15.0 * core::f64::consts::PI / 16.0 * slip + 0.05 * c.patch_radius_m);
        let flat = DVec3::new(spin.x, spin.y, 0.0);
        let load_n = self.mass_kg * court::GRAVITY_M_S2;
        let rolling = -c.rolling_resistance * load_n * self.radius_m * flat / (flat.length() + 0.05);
        rolling + DVec3::Z * pivot
    }

    /// Acceleration of the centre under contact force `force`.
    fn centre_acceleration(&self, free: &Free, force: DVec3) -> (DVec3, DVec3) {
        let spin = free.inverse_inertia * free.arm.cross(force);
        (free.centre + force / self.mass_kg - spin.cross(free.offset), free.spin + spin)
    }

    /// The contact force that keeps the ball on the lane, sliding along `direction`; nothing once the ball lifts off.
    fn sliding_force(&self, free: &Free, friction: f64, direction: DVec2) -> DVec3 {
        let per_newton = DVec3::Z - friction * direction.extend(0.0);
        let spin = free.inverse_inertia * free.arm.cross(per_newton);
        let lift = 1.0 / self.mass_kg - spin.cross(free.offset).z;
        per_newton * (-free.centre.z / lift).max(0.0)
    }

    /// The contact force that keeps the ball on the lane and rolling.
    fn rolling_force(&self, free: &Free) -> DVec3 {
        let radius_m = self.radius_m;
        // Rate of (slip x, slip y, height) is linear in the force: three columns and a constant.
        let rate = |(centre, spin): (DVec3, DVec3)| {
            DVec3::new(centre.x - radius_m * spin.y, centre.y + radius_m * spin.x, centre.z)
        };
        let rest = rate((free.centre, free.spin));
        let column = |force: DVec3| rate(self.centre_acceleration(free, force)) - rest;
        let matrix = DMat3::from_cols(column(DVec3::X), column(DVec3::Y), column(DVec3::Z));
        matrix.inverse() * -rest
    }

    /// How the state changes.
    pub fn rate(&self, state: &State, footing: &Footing, phase: Phase) -> Rate {
        let nominal_n = footing.friction * self.mass_kg * court::GRAVITY_M_S2;
        let free = self.free(state, footing, nominal_n, phase);
        let force = match phase {
            Phase::Flying => DVec3::ZERO,
            Phase::Sliding(otherwise) => {
                let slip = state.slip_m_s(self.radius_m);
                let direction = slip.try_normalize().filter(|_| slip.length() > 1e-9).unwrap_or(otherwise);
                self.sliding_force(&free, footing.friction, direction)
            }
            Phase::Rolling => self.rolling_force(&free),
        };
        let (centre, spin) =
            if phase == Phase::Flying { (DVec3::ZERO, free.spin) } else { self.centre_acceleration(&free, force) };
        let w = state.spin_rad_s;
        Rate {
            velocity: state.velocity_m_s,
            acceleration: centre.truncate(),
            attitude: DQuat::from_xyzw(w.x, w.y, w.z, 0.0) * state.attitude * 0.5,
            spin,
        }
    }

    /// Whether friction can hold the ball rolling here; if not, the direction in which it breaks away.
    pub fn hold(&self, state: &State, footing: &Footing) -> Result<(), DVec2> {
        let nominal_n = footing.friction * self.mass_kg * court::GRAVITY_M_S2;
        let force = self.rolling_force(&self.free(state, footing, nominal_n, Phase::Rolling));
        let flat = force.truncate();
        if flat.length() <= footing.friction * force.z { Ok(()) } else { Err(-flat.normalize_or_zero()) }
    }

    /// Impact of landing after loft: an inelastic bounce whose friction slows the slip.
    pub fn land(&self, state: &State, friction: f64, landing_speed_m_s: f64) -> State {
        let slip = state.slip_m_s(self.radius_m);
        let Some(direction) = slip.try_normalize() else { return *state };
        let turn = DMat3::from_quat(state.attitude);
        let inverse_inertia = turn * DMat3::from_diagonal(self.inertia_kg_m2.recip()) * turn.transpose();
        let arm = -self.radius_m * DVec3::Z;
        let unit = -direction.extend(0.0);
        let turn_per_impulse = inverse_inertia * arm.cross(unit);
        let slowed = 1.0 / self.mass_kg + turn_per_impulse.cross(arm).dot(unit);
        let impulse = (friction * self.mass_kg * landing_speed_m_s).min(slip.length() / slowed);
        State {
            velocity_m_s: state.velocity_m_s + unit.truncate() * (impulse / self.mass_kg),
            spin_rad_s: state.spin_rad_s + turn_per_impulse * impulse,
            ..*state
        }
    }

    /// One classical Runge-Kutta step of fourth order; `footing` is asked at each stage.
    pub fn step(&self, state: &State, step_s: f64, phase: Phase, footing: &mut dyn FnMut(&State) -> Footing) -> State {
        let mut rate = |s: &State| {
            let ground = footing(s);
            self.rate(s, &ground, phase)
        };
        let k1 = rate(state);
        let k2 = rate(&state.after(&k1, 0.5 * step_s));
        let k3 = rate(&state.after(&k2, 0.5 * step_s));
        let k4 = rate(&state.after(&k3, step_s));
        let mean = Rate {
            velocity: (k1.velocity + 2.0 * (k2.velocity + k3.velocity) + k4.velocity) / 6.0,
            acceleration: (k1.acceleration + 2.0 * (k2.acceleration + k3.acceleration) + k4.acceleration) / 6.0,
            attitude: (k1.attitude + (k2.attitude + k3.attitude) * 2.0 + k4.attitude) * (1.0 / 6.0),
            spin: (k1.spin + 2.0 * (k2.spin + k3.spin) + k4.spin) / 6.0,
        };
        let mut next = state.after(&mean, step_s);
        next.attitude = next.attitude.normalize();
        next
    }

    /// Time until the slip would vanish at its present rate, if it is shrinking.
    pub fn time_to_roll(&self, state: &State, footing: &Footing, phase: Phase) -> Option<f64> {
        let slip = state.slip_m_s(self.radius_m);
        let rate = self.rate(state, footing, phase);
        let slip_rate = rate.acceleration + self.radius_m * DVec2::new(-rate.spin.y, rate.spin.x);
        let closing = -slip.dot(slip_rate);
        (closing > 0.0).then(|| slip.length_squared() / closing)
    }
}

/// Slip below this share of the speed counts as rolling: 2 to 3% is usual (common practice, no source).
pub(crate) const ROLL_SLIP_SHARE: f64 = 0.025;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::friction::ContactLaw;
    use boardwise_ball::{BallSpec, CoverKind};
    use boardwise_units::Inches;
    use proptest::prelude::*;

    fn mechanics(rg_in: [f64; 3]) -> Mechanics {
        let ball = Ball::new(BallSpec::new("t", CoverKind::Reactive)).unwrap().0;
        let mass_kg = 6.804;
        let moment = |inches: f64| mass_kg * Inches(inches).to_metres().powi(2);
        Mechanics {
            mass_kg,
            radius_m: 0.1085,
            inertia_kg_m2: DVec3::new(moment(rg_in[0]), moment(rg_in[1]), moment(rg_in[2])),
            ..Mechanics::new(&ball, ContactLaw::coulomb().between(&ball, 3e-7))
        }
    }

    #[test]
    fn truth_torque_free_top() {
        // [C] Jacobi elliptic functions: RGs 2.480/2.514/2.532 in, body rates (10, 8, 35): at t = 1 s and after a period.
        let m = mechanics([2.480, 2.514, 2.532]);
        let start = State {
            place_m: DVec2::ZERO,
            velocity_m_s: DVec2::ZERO,
            attitude: DQuat::IDENTITY,
            spin_rad_s: DVec3::new(10.0, 8.0, 35.0),
        };
        let body = |s: &State| s.attitude.inverse() * s.spin_rad_s;
        let run = |steps: u32, total_s: f64| {
            let mut s = start;
            for _ in 0..steps {
                s = m.step(&s, total_s / f64::from(steps), Phase::Flying, &mut |_| Footing {
                    friction: 0.0,
                    slope: DVec2::ZERO,
                });
            }
            s
        };
        let second = body(&run(4000, 1.0));
        let expect = DVec3::new(3.185_053_971_338_3, 17.745_603_297_984, 32.616_726_672_287);
        assert!((second - expect).length() < 1e-6, "{second}");
        let period = body(&run(30_000, 7.501_820_745_118_78));
        assert!((period - start.spin_rad_s).length() < 1e-5, "{period}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// Whatever the friction does, L = I w + m R n x v stays, sliding and rolling; rolling keeps the energy too.
        #[test]
        fn law_momentum_and_rolling_energy_are_kept(
            mu in 0.02f64..0.25, speed in 6.0f64..10.0, w in -60.0f64..0.0, wy in -50.0f64..50.0, wz in -20.0f64..20.0,
            mid in 0.2f64..0.8, seed in prop::array::uniform4(-1.0f64..1.0),
        ) {
            let m = mechanics([2.48, 2.48 + 0.06 * mid, 2.54]);
            let start = State {
                place_m: DVec2::ZERO,
                velocity_m_s: DVec2::new(0.2, speed),
                attitude: DQuat::from_xyzw(seed[0], seed[1], seed[2], seed[3] + 2.0).normalize(),
                spin_rad_s: DVec3::new(w, wy, wz),
            };
            let invariant = |s: &State| {
                let v = s.velocity_m_s.extend(0.0);
                m.angular_momentum(s) + m.mass_kg * m.radius_m * DVec3::Z.cross(v)
            };
            let footing = Footing { friction: mu, slope: DVec2::ZERO };
            let l0 = invariant(&start);
            let mut s = start;
            for _ in 0..800 {
                if m.time_to_roll(&s, &footing, Phase::Sliding(DVec2::Y)).is_some_and(|left_s| left_s < 5e-4) {
                    break;
                }
                s = m.step(&s, 2.5e-4, Phase::Sliding(DVec2::Y), &mut |_| footing);
            }
            prop_assert!((invariant(&s) - l0).length() < 1e-7 * l0.length(), "{}", (invariant(&s) - l0).length());
            let slip = s.slip_m_s(m.radius_m);
            s.velocity_m_s -= slip;
            // Fourth-order truncation at 78 rad/s, the fastest spin drawn, over 2,000 steps is about 1e-8.
            let (l1, e1) = (invariant(&s), m.energy_j(&s));
            for _ in 0..2000 {
                s = m.step(&s, 2.5e-4, Phase::Rolling, &mut |_| footing);
            }
            prop_assert!(s.slip_m_s(m.radius_m).length() < 1e-8);
            prop_assert!((invariant(&s) - l1).length() < 2e-8 * l1.length(), "{}", (invariant(&s) - l1).length() / l1.length());
            prop_assert!((m.energy_j(&s) - e1).abs() < 1e-8 * e1);
        }
    }
}
