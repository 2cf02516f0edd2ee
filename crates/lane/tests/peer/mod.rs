//! The same ball written again for a general adaptive solver (`ode_solvers`, Dormand and Prince 5(4)): an independent
//! reference, and the peer in speed. Slip is smoothed, s/√(s²+ε²), and the track's film left out.

use ball::Ball;
use glam::{DMat3, DQuat, DVec3};
use lane::{Coat, Contact, ContactLaw, Ground, Lane, Release};
use ode_solvers::{Dopri5, OutputType, SVector, System};

type State = SVector<f64, 11>;

struct Sliding<'a> {
    lane: &'a Lane,
    ball: &'a Ball,
    contact: Contact,
    smooth_m_s: f64,
}

impl System<f64, State> for Sliding<'_> {
    fn system(&self, _: f64, y: &State, dy: &mut State) {
        let ball = self.ball;
        let attitude = DQuat::from_xyzw(y[4], y[5], y[6], y[7]);
        let spin = DVec3::new(y[8], y[9], y[10]);
        let turn = DMat3::from_quat(attitude.normalize());
        let slip = DVec3::new(y[2] - ball.radius_m * spin.y, y[3] + ball.radius_m * spin.x, 0.0);
        let speed = slip.length();
        let mu = match self.lane.coat(y[0], y[1]) {
            Coat::Friction(mu) => mu,
            Coat::Oil(film_m) => self.contact.friction(film_m, 0.0, speed),
        };
        let gravity = measure::court::GRAVITY_M_S2;
        let force = slip * (-mu * ball.mass_kg * gravity / (speed * speed + self.smooth_m_s.powi(2)).sqrt());
        let torque = DVec3::new(0.0, 0.0, -ball.radius_m).cross(force);
        let body = turn.transpose() * spin;
        let gyro = turn * body.cross(ball.inertia_kg_m2 * body);
        let angular = turn * ((turn.transpose() * (torque - gyro)) / ball.inertia_kg_m2);
        let q = DQuat::from_xyzw(spin.x, spin.y, spin.z, 0.0) * attitude * 0.5;
        let rate = [
            y[2],
            y[3],
            force.x / ball.mass_kg,
            force.y / ball.mass_kg,
            q.x,
            q.y,
            q.z,
            q.w,
            angular.x,
            angular.y,
            angular.z,
        ];
        dy.copy_from_slice(&rate);
    }
}

/// Place across the lane, metres, after `time_s`.
pub fn across_m(lane: &Lane, ball: &Ball, release: &Release, law: &ContactLaw, time_s: f64, tolerance: f64) -> f64 {
    let v = release.velocity_m_s();
    let q = DQuat::from_mat3(&release.core_in_lane(ball));
    let w = release.spin_rad_s();
    let start =
        State::from_column_slice(&[release.laydown.to_metres(), 0.0, v.x, v.y, q.x, q.y, q.z, q.w, w.x, w.y, w.z]);
    let system = Sliding { lane, ball, contact: law.between(ball, lane.surface_ra_m), smooth_m_s: 0.01 };
    // The solver's usual parameters, its own first step, and its steps as output: dense output across one long interval
    // extrapolates.
    let mut solver = Dopri5::from_param(
        system,
        0.0,
        time_s,
        time_s,
        start,
        tolerance,
        tolerance,
        0.9,
        0.04,
        0.2,
        10.0,
        time_s,
        0.0,
        1_000_000,
        0,
        OutputType::Sparse,
    );
    solver.integrate().expect("the solver to arrive");
    solver.y_out().last().expect("a last state")[0]
}
