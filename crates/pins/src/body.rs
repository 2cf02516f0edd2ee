//! Pins and ball as rigid bodies.
//!
//! A pin is a solid of revolution: its axis and its angular momentum say all there is to say, so no quaternion is kept
//! and free flight is exact, the axis turning about a momentum that stays as it is.

use boardwise_ball::Ball;
use boardwise_units::court::GRAVITY_M_S2;
use boardwise_units::{INCH_M, Pounds, math};
use glam::DVec3;

/// What an impulse needs to know of a body, and does to it.
pub trait Rigid {
    /// Place of the centre of gravity, metres.
    fn centre_m(&self) -> DVec3;
    /// Velocity of the body's point at `arm_m` from its centre of gravity, m/s.
    fn velocity_at(&self, arm_m: DVec3) -> DVec3;
    /// Change of velocity at `arm_m` along the unit vector `along` per unit of impulse there, 1/kg:
    /// 1/m + (r x n).I^-1 (r x n).
    fn mobility(&self, along: DVec3, arm_m: DVec3) -> f64;
    /// Takes an impulse (N s) at `arm_m`.
    fn push(&mut self, impulse_n_s: DVec3, arm_m: DVec3);
    /// Kinetic energy, joules.
    fn energy_j(&self) -> f64;
}

/// The ball as the pins feel it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BallBody {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Radius, metres.
    pub radius_m: f64,
    /// Radius of gyration, taken the same about every axis, metres.
    pub gyration_m: f64,
}

impl BallBody {
    /// A ball of a given weight, 8.55 in across, RG 2.5 in: the middle of what is allowed \[S\].
    pub fn of_pounds(pounds: f64) -> Self {
        let mass_kg = Pounds(pounds).to_kilograms();
        Self { mass_kg, radius_m: 8.55 / 2.0 * INCH_M, gyration_m: 2.5 * INCH_M }
    }
}

impl From<&Ball> for BallBody {
    /// Weight and size of a ball, with the mean of its moments of inertia.
    fn from(ball: &Ball) -> Self {
        let inertia_kg_m2 = (ball.inertia_kg_m2.x + ball.inertia_kg_m2.y + ball.inertia_kg_m2.z) / 3.0;
        let gyration_m = math::sqrt(inertia_kg_m2 / ball.mass_kg);
        Self { mass_kg: ball.mass_kg, radius_m: ball.radius_m, gyration_m }
    }
}

/// A pin in motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PinBody {
    /// Place of the centre of gravity.
    pub centre_m: DVec3,
    /// Velocity of the centre of gravity.
    pub velocity_m_s: DVec3,
    /// Unit vector along the axis from base to head.
    pub axis: DVec3,
    /// Angular momentum about the centre of gravity, kg m^2/s.
    pub momentum_kg_m2_s: DVec3,
    /// 1/mass, 1/kg.
    pub per_mass: f64,
    /// 1/moment of inertia across the axis, 1/(kg m^2).
    pub per_transverse: f64,
    /// 1/moment of inertia about the axis, 1/(kg m^2).
    pub per_axial: f64,
}

impl PinBody {
    /// An upright pin at rest with its centre of gravity at a place.
    pub fn at_rest(centre_m: DVec3, mass_kg: f64, transverse_gyration_m: f64, axial_gyration_m: f64) -> Self {
        Self {
            centre_m,
            velocity_m_s: DVec3::ZERO,
            axis: DVec3::Z,
            momentum_kg_m2_s: DVec3::ZERO,
            per_mass: 1.0 / mass_kg,
            per_transverse: 1.0 / (mass_kg * transverse_gyration_m * transverse_gyration_m),
            per_axial: 1.0 / (mass_kg * axial_gyration_m * axial_gyration_m),
        }
    }

    #[inline]
    fn per_inertia(&self, v: DVec3) -> DVec3 {
        v * self.per_transverse + self.axis * (self.axis.dot(v) * (self.per_axial - self.per_transverse))
    }

    /// Angular velocity, rad/s.
    #[inline]
    pub fn spin_rad_s(&self) -> DVec3 {
        self.per_inertia(self.momentum_kg_m2_s)
    }

    /// Moves along at constant velocity and angular momentum; a negative time goes back.
    #[inline]
    pub fn coast(&mut self, time_s: f64) {
        self.centre_m += self.velocity_m_s * time_s;
        // Rotation by the angle 2 atan|h| about h keeps lengths; tan x = x + x^3/3 + 2 x^5/15 restores the rate.
        let half = self.momentum_kg_m2_s * (self.per_transverse * 0.5 * time_s);
        let square = half.length_squared();
        let h = half * (1.0 + square * (1.0 / 3.0 + square * (2.0 / 15.0)));
        let turned = h.cross(self.axis);
        let a = self.axis + (turned + h.cross(turned)) * (2.0 / (1.0 + h.length_squared()));
        // One Newton step undoes rounding.
        self.axis = a * (1.5 - 0.5 * a.length_squared());
    }

    /// Flies freely for a step under gravity.
    #[inline]
    pub fn fly(&mut self, step_s: f64) {
        self.coast(step_s);
        self.centre_m.z -= 0.5 * GRAVITY_M_S2 * step_s * step_s;
        self.velocity_m_s.z -= GRAVITY_M_S2 * step_s;
    }

    /// Upper bound on the speed of any point of the surface, apart from turning about the pin's own axis, which moves
    /// none of it.
    #[inline]
    pub fn sweep_m_s(&self, reach_m: f64) -> f64 {
        math::sqrt(self.velocity_m_s.length_squared())
            + math::sqrt(self.momentum_kg_m2_s.length_squared()) * self.per_transverse * reach_m
    }
}

impl Rigid for PinBody {
    #[inline]
    fn centre_m(&self) -> DVec3 {
        self.centre_m
    }
    #[inline]
    fn velocity_at(&self, arm_m: DVec3) -> DVec3 {
        self.velocity_m_s + self.spin_rad_s().cross(arm_m)
    }
    #[inline]
    fn mobility(&self, along: DVec3, arm_m: DVec3) -> f64 {
        let turn = arm_m.cross(along);
        self.per_mass + turn.dot(self.per_inertia(turn))
    }
    #[inline]
    fn push(&mut self, impulse_n_s: DVec3, arm_m: DVec3) {
        self.velocity_m_s += impulse_n_s * self.per_mass;
        self.momentum_kg_m2_s += arm_m.cross(impulse_n_s);
    }
    fn energy_j(&self) -> f64 {
        let along = self.velocity_m_s.length_squared() / self.per_mass;
        let turning = self.momentum_kg_m2_s.dot(self.per_inertia(self.momentum_kg_m2_s));
        f64::midpoint(along, turning)
    }
}

/// The ball at the pins: a sphere with the same moment of inertia about every axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BallMotion {
    /// Place of the centre.
    pub centre_m: DVec3,
    /// Velocity of the centre.
    pub velocity_m_s: DVec3,
    /// Angular velocity.
    pub spin_rad_s: DVec3,
    /// 1/mass, 1/kg.
    pub per_mass: f64,
    /// 1/moment of inertia, 1/(kg m^2).
    pub per_inertia: f64,
}

impl BallMotion {
    /// Moves along at constant velocity; a negative time goes back.
    #[inline]
    pub fn coast(&mut self, time_s: f64) {
        self.centre_m += self.velocity_m_s * time_s;
    }

    /// Flies freely for a step under gravity.
    #[inline]
    pub fn fly(&mut self, step_s: f64) {
        self.coast(step_s);
        self.centre_m.z -= 0.5 * GRAVITY_M_S2 * step_s * step_s;
        self.velocity_m_s.z -= GRAVITY_M_S2 * step_s;
    }
}

impl Rigid for BallMotion {
    #[inline]
    fn centre_m(&self) -> DVec3 {
        self.centre_m
    }
    #[inline]
    fn velocity_at(&self, arm_m: DVec3) -> DVec3 {
        self.velocity_m_s + self.spin_rad_s.cross(arm_m)
    }
    #[inline]
    fn mobility(&self, along: DVec3, arm_m: DVec3) -> f64 {
        self.per_mass + arm_m.cross(along).length_squared() * self.per_inertia
    }
    #[inline]
    fn push(&mut self, impulse_n_s: DVec3, arm_m: DVec3) {
        self.velocity_m_s += impulse_n_s * self.per_mass;
        self.spin_rad_s += arm_m.cross(impulse_n_s) * self.per_inertia;
    }
    fn energy_j(&self) -> f64 {
        f64::midpoint(
            self.velocity_m_s.length_squared() / self.per_mass,
            self.spin_rad_s.length_squared() / self.per_inertia,
        )
    }
}

/// Deck, gutter or wall: nothing moves it.
pub(crate) struct Fixed;

impl Rigid for Fixed {
    #[inline]
    fn centre_m(&self) -> DVec3 {
        DVec3::ZERO
    }
    #[inline]
    fn velocity_at(&self, _: DVec3) -> DVec3 {
        DVec3::ZERO
    }
    #[inline]
    fn mobility(&self, _: DVec3, _: DVec3) -> f64 {
        0.0
    }
    #[inline]
    fn push(&mut self, _: DVec3, _: DVec3) {}
    fn energy_j(&self) -> f64 {
        0.0
    }
}
