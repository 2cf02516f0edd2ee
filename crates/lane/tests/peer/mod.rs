//! The same ball written again for a general adaptive solver (`ode_solvers`, Dormand and Prince 5(4)): an independent
//! reference, and the peer in speed. Slip is smoothed, s/√(s²+ε²). The track's film is kept as in the batch, as the history of
//! the last revolution at the solver's own steps, or left out.

use boardwise_ball::Ball;
use boardwise_lane::{Coat, Contact, ContactLaw, Ground, Lane, Release};
use glam::{DMat3, DQuat, DVec3};
use ode_solvers::{Dopri5, OutputType, SVector, System};

/// Place, velocity, attitude, spin, angle turned.
type State = SVector<f64, 12>;

struct Sliding<'a> {
    lane: &'a Lane,
    ball: &'a Ball,
    contact: Contact,
    smooth_m_s: f64,
    stripe_m: f64,
    /// What the track passed over, if it is to be kept.
    history: Option<Vec<Passed>>,
}

struct Passed {
    turned_rad: f64,
    time_s: f64,
    /// Of the contact, in the core's frame.
    place: DVec3,
    film_m: f64,
}

impl Sliding<'_> {
    /// Film on the track ahead of the contact: what was left a revolution ago, as far as the rings overlap.
    fn track_m(&self, time_s: f64, turned_rad: f64, place: DVec3, axis: DVec3) -> f64 {
        let Some(history) = &self.history else { return 0.0 };
        let then = turned_rad - core::f64::consts::TAU;
        let after = history.partition_point(|passed| passed.turned_rad < then);
        if after == 0 || after >= history.len() {
            return 0.0;
        }
        let (a, b) = (&history[after - 1], &history[after]);
        let t = (then - a.turned_rad) / (b.turned_rad - a.turned_rad);
        let latitude = axis.dot(place);
        let moved = (axis.dot(a.place.lerp(b.place, t)) - latitude).abs() / (1.0 - latitude * latitude).sqrt();
        let overlap = (1.0 - self.ball.radius_m * moved / self.stripe_m).max(0.0);
        let age_s = time_s - (a.time_s + t * (b.time_s - a.time_s));
        overlap * (a.film_m + t * (b.film_m - a.film_m)) * (-age_s / self.ball.cover.absorption_s).exp()
    }
}

impl System<f64, State> for Sliding<'_> {
    fn system(&self, time_s: f64, y: &State, dy: &mut State) {
        let ball = self.ball;
        let attitude = DQuat::from_xyzw(y[4], y[5], y[6], y[7]);
        let spin = DVec3::new(y[8], y[9], y[10]);
        let turn = DMat3::from_quat(attitude.normalize());
        let slip = DVec3::new(y[2] - ball.radius_m * spin.y, y[3] + ball.radius_m * spin.x, 0.0);
        let speed = slip.length();
        let mu = match self.lane.coat(y[0], y[1]) {
            Coat::Friction(mu) => mu,
            Coat::Oil(film_m) => {
                let axis = turn.transpose() * spin.normalize();
                let track_m = self.track_m(time_s, y[11], turn.transpose() * -DVec3::Z, axis);
                self.contact.friction(film_m, track_m, speed)
            }
        };
        let gravity = boardwise_units::court::GRAVITY_M_S2;
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
            spin.length(),
        ];
        dy.copy_from_slice(&rate);
    }

    fn solout(&mut self, time_s: f64, y: &State, _: &State) -> bool {
        let (spin, velocity) = (DVec3::new(y[8], y[9], y[10]), DVec3::new(y[2], y[3], 0.0));
        let to_core = DMat3::from_quat(DQuat::from_xyzw(y[4], y[5], y[6], y[7]).normalize()).transpose();
        let place = to_core * -DVec3::Z;
        let before = self.track_m(time_s, y[11], place, to_core * spin.normalize());
        if let (Some(history), Coat::Oil(film_m)) = (&mut self.history, self.lane.coat(y[0], y[1])) {
            let sweep = velocity.length() / (self.ball.radius_m * spin.x.hypot(spin.y));
            let film_m = (before + self.contact.gain_m(film_m, before, sweep)).max(0.0);
            history.push(Passed { turned_rad: y[11], time_s, place, film_m });
        }
        false
    }
}

/// How hard the solver works.
#[derive(Clone, Copy)]
pub struct Effort {
    /// Its relative and absolute tolerance.
    pub tolerance: f64,
    /// Its longest step, s: with the track's film also how finely that is remembered.
    pub longest_step_s: f64,
    /// Whether the ball carries oil on its track.
    pub track: bool,
}

/// Place across the lane, metres, after `time_s`.
pub fn across_m(lane: &Lane, ball: &Ball, release: &Release, law: &ContactLaw, time_s: f64, effort: Effort) -> f64 {
    let v = release.velocity_m_s();
    let q = DQuat::from_mat3(&release.core_in_lane(ball));
    let w = release.spin_rad_s();
    let start =
        State::from_column_slice(&[release.laydown.to_metres(), 0.0, v.x, v.y, q.x, q.y, q.z, q.w, w.x, w.y, w.z, 0.0]);
    let system = Sliding {
        lane,
        ball,
        contact: law.between(ball, lane.surface_ra_m),
        smooth_m_s: 0.01,
        stripe_m: law.stripe_m,
        history: effort.track.then(Vec::new),
    };
    // The solver's usual parameters, its own first step, and its steps as output: dense output across one long interval
    // extrapolates.
    let mut solver = Dopri5::from_param(
        system,
        0.0,
        time_s,
        time_s,
        start,
        effort.tolerance,
        effort.tolerance,
        0.9,
        0.04,
        0.2,
        10.0,
        effort.longest_step_s,
        0.0,
        1_000_000,
        0,
        OutputType::Sparse,
    );
    solver.integrate().expect("the solver to arrive");
    solver.y_out().last().expect("a last state")[0]
}
