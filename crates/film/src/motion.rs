//! The motion that is fitted: our own path engine over a friction that changes along the lane.
//!
//! What lies on the lane is not known to the camera. One ball's path needs no map of it: only the friction that the ball met at each
//! distance, as a smooth curve with a wide prior.

use boardwise_ball::{Ball, BallSpec, CoverKind};
use boardwise_lane::{Coat, ContactLaw, Fineness, Ground, Path, Release, TrackForm, throw};
use boardwise_units::{Board, Degrees, Feet, Mph, Rpm, court, math};
use glam::DVec2;
use nalgebra::DMatrix;

/// Nodes of the friction curve.
pub const NODES: usize = 13;
/// Distance between nodes, feet.
const NODE_FT: f64 = 5.0;
/// Parameters of a motion: laydown, launch, logarithm of the speed, rev rate, rotation, time at the foul line, friction, and how much more of
/// it (as a logarithm) a ball meets at the foul line, where it arrives dry.
pub const MOTION: usize = 7 + NODES;
/// Where it is as oily as it gets, feet.
const DRY_FT: f64 = 3.0;
/// Step of the integration: a path within 0.01 board of steps a quarter as long.
const STEP_S: f64 = 4e-3;
/// Tilt and loft are not seen in the path; these are a middling bowler's.
const TILT: Degrees = Degrees(13.0);
const LOFT: Feet = Feet(0.7);

/// Steps for differences.
pub const STEPS: [f64; MOTION] = {
    let mut steps = [1e-3; MOTION];
    steps[0] = 1e-4;
    steps[1] = 1e-5;
    steps[2] = 1e-5;
    steps[3] = 1e-2;
    steps[4] = 1e-2;
    steps[5] = 1e-5;
    steps
};

/// The friction met along the lane.
struct Curve<'a> {
    log_friction: &'a [f64],
    dry_start: f64,
}

impl Ground for Curve<'_> {
    fn coat(&self, _x_m: f64, y_m: f64) -> Coat {
        let feet = Feet::from_metres(y_m).0;
        let along = (feet / NODE_FT).clamp(0.0, (NODES - 1) as f64 - 1e-9);
        let (k, t) = (along as usize, along.fract());
        let more = self.dry_start * (1.0 - feet / DRY_FT).clamp(0.0, 1.0);
        Coat::Friction(math::exp(self.log_friction[k] * (1.0 - t) + self.log_friction[k + 1] * t + more))
    }
}

/// What is known of a motion before the film: mean, and the inverse of the covariance's lower root.
pub struct Prior {
    /// Mean.
    pub mean: [f64; MOTION],
    /// Whitens what strays from the mean.
    pub whiten: DMatrix<f64>,
}

/// The ball and the law of contact, and what is known beforehand.
pub struct Motion {
    ball: Ball,
    law: ContactLaw,
    /// The prior. Laydown, launch, speed and time are as good as free in it.
    pub prior: Prior,
}

impl Motion {
    /// A middling ball; the friction curve makes up for what another one does.
    pub fn new() -> Option<Self> {
        let (ball, _) = Ball::new(BallSpec::new("any", CoverKind::Reactive)).ok()?;
        Some(Self { ball, law: ContactLaw::default(), prior: prior()? })
    }

    /// The path of these parameters; None where nobody throws so.
    pub fn path(&self, p: &[f64]) -> Option<Path> {
        let release = Release {
            laydown: Board::from_metres(p[0]),
            launch: Degrees::from_radians(p[1]),
            speed: Mph::from_metres_per_second(math::exp(p[2])),
            rev_rate: Rpm(100.0 * p[3]),
            rotation: Degrees(10.0 * p[4]),
            tilt: TILT,
            loft: LOFT,
        };
        let (log_friction, dry_start) = (&p[6..6 + NODES], p[6 + NODES]);
        if p[3] < 0.3 || dry_start.abs() > 2.5 || log_friction.iter().any(|l| !(-6.0..=-0.7).contains(l)) {
            return None;
        }
        let fineness = Fineness { step_s: STEP_S, track: TrackForm::Dry };
        let path = throw(&Curve { log_friction, dry_start }, &self.ball, &release, &self.law, fineness).ok()?;
        (path.rows.len() > 30).then_some(path)
    }
}

/// Where a ball is on its path at a time, metres; beyond its ends it goes straight on.
pub fn place_at(path: &Path, time_s: f64) -> DVec2 {
    let rows = &path.rows;
    let spot = |k: usize| DVec2::new(Board(rows[k].board).to_metres(), Feet(rows[k].feet).to_metres());
    let last = rows.len() - 1;
    if time_s <= 0.0 {
        return spot(0) + rows[0].velocity_m_s * time_s;
    }
    if time_s >= rows[last].time_s {
        return spot(last) + rows[last].velocity_m_s * (time_s - rows[last].time_s);
    }
    let next = rows.partition_point(|row| row.time_s <= time_s);
    let (a, b) = (next - 1, next);
    let span_s = rows[b].time_s - rows[a].time_s;
    let t = (time_s - rows[a].time_s) / span_s;
    let (t2, t3) = (t * t, t * t * t);
    spot(a) * (2.0 * t3 - 3.0 * t2 + 1.0)
        + rows[a].velocity_m_s * (span_s * (t3 - 2.0 * t2 + t))
        + spot(b) * (3.0 * t2 - 2.0 * t3)
        + rows[b].velocity_m_s * (span_s * (t3 - t2))
}

/// Bowlers from slow to fast, weak to strong (published means are 297 and 436 rpm \[S, 2020\]), on oil that ends somewhere near 40 ft.
/// Friction strays by a factor of two, smoothly over 12 ft, and is about two times as high for a dry ball (our judgement).
fn prior() -> Option<Prior> {
    let mut mean = [0.0; MOTION];
    mean[..6].copy_from_slice(&[0.0, 0.02, math::log(8.0), 3.4, 4.5, 0.0]);
    let mut covariance = DMatrix::zeros(MOTION, MOTION);
    for (k, sd) in [1.0, 0.2, 0.5, 1.3, 2.2, 10.0].into_iter().enumerate() {
        covariance[(k, k)] = sd * sd;
    }
    for k in 0..NODES {
        let feet = NODE_FT * k as f64;
        let dry = 0.5 * (1.0 + math::tanh((feet - 41.0) / 7.0));
        mean[6 + k] = math::log(0.04 + 0.11 * dry);
        for j in 0..NODES {
            let apart = NODE_FT * (k as f64 - j as f64).abs() / 12.0;
            covariance[(6 + k, 6 + j)] = 0.49 * math::exp(-apart);
        }
    }
    mean[6 + NODES] = 0.7;
    covariance[(6 + NODES, 6 + NODES)] = 0.49;
    let root = covariance.cholesky()?.l();
    Some(Prior { mean, whiten: root.try_inverse()? })
}

/// Whether a place lies on the lane.
pub fn on_lane(place_m: DVec2) -> bool {
    place_m.x.abs() <= 0.5 * court::WIDTH_M
}
