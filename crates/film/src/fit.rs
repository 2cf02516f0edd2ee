//! From sightings to a throw: motion, camera and the clock of the film's rows fitted together.

use boardwise_lane::Path;
use boardwise_units::stream::Stream;
use boardwise_units::{FOOT_M, Hand, math};
use glam::DVec2;
use nalgebra::{DMatrix, DVector};

use crate::ball::RADIUS_M;
use crate::camera::{CAMERA, Camera};
use crate::least::{self, Problem};
use crate::motion::{self, MOTION, Motion, on_lane, place_at};
use crate::result::{Estimate, Shot, VALUES};
use crate::track::Sighting;
use crate::{FilmError, SolvedLane};

/// All parameters: the motion, the camera, the time in which a picture's rows are taken, and how far outlines lie too high.
const ALL: usize = MOTION + CAMERA + 2;
/// Time from a picture's first row to its last: usual mean and standard deviation, s. Telephones need 5 to 20 ms (from memory).
const READOUT_S: (f64, f64) = (8e-3, 6e-3);
/// Spread of the share of its radius by which an outline lies too high or low.
const LIFT: f64 = 0.025;
/// Errors of neighbouring pictures are alike: the ball's shading, the boards below it. Each counts as this much more.
const ALIKE: f64 = 1.6;
/// Degrees of freedom of the outlines' errors: they have long tails.
const TAILS: f64 = 4.0;
/// Sightings needed, and over how many feet.
const LEAST: usize = 12;
const LEAST_FT: f64 = 25.0;
/// Throws drawn from what the film leaves open.
const DRAWS: u64 = 200;
/// How close to the best one they are drawn, as a share of the spread.
const CLOSE: f64 = 0.3;
/// Revs from which a fit is tried again, times those found.
const REVS: [f64; 4] = [0.7, 0.87, 1.15, 1.4];
/// Root mean square miss from which on no throw explains what was seen. Of 90 rendered clips one missed by more: its laydown was
/// 15 boards off.
const WORST_MISFIT: f64 = 1.8;

struct ThrowProblem<'a> {
    motion: &'a Motion,
    sightings: &'a [Sighting],
    weights: Vec<f64>,
    /// What errors are times.
    scale: f64,
    sign: f64,
    middle_px: DVec2,
    camera: [f64; CAMERA],
    whiten_camera: &'a DMatrix<f64>,
    path: Option<(Vec<f64>, Path)>,
}

const STEPS: [f64; ALL] = {
    let mut steps = [1e-5; ALL];
    let mut k = 0;
    while k < MOTION {
        steps[k] = motion::STEPS[k];
        k += 1;
    }
    steps[ALL - 1] = 1e-4;
    steps
};

impl ThrowProblem<'_> {
    fn seen_at(&self, path: &Path, p: &[f64], camera: &crate::View, s: &Sighting) -> Option<DVec2> {
        let readout_s = p[MOTION + CAMERA];
        let place = place_at(path, s.time_s + s.row * readout_s - p[5]);
        let centre = DVec2::new(self.sign * place.x, place.y).extend(RADIUS_M);
        let (middle, _) = camera.ball(centre, RADIUS_M)?;
        Some(middle + DVec2::Y * (p[MOTION + CAMERA + 1] * s.radius_px))
    }
}

impl Problem for ThrowProblem<'_> {
    fn residuals(&self) -> usize {
        2 * self.sightings.len() + ALL
    }

    fn steps(&self) -> &[f64] {
        &STEPS
    }

    fn evaluate(&mut self, p: &[f64], out: &mut [f64]) -> bool {
        if self.path.as_ref().is_none_or(|(of, _)| of != &p[..MOTION]) {
            let Some(path) = self.motion.path(&p[..MOTION]) else { return false };
            self.path = Some((p[..MOTION].to_vec(), path));
        }
        let Some((_, path)) = &self.path else { return false };
        let view = Camera::from_parameters(&p[MOTION..MOTION + CAMERA], self.middle_px).view();
        for (k, (s, weight)) in self.sightings.iter().zip(&self.weights).enumerate() {
            let Some(seen) = self.seen_at(path, p, &view, s) else { return false };
            let miss = (seen - s.middle_px) / (s.sd_px * self.scale) * weight.sqrt();
            (out[2 * k], out[2 * k + 1]) = (miss.x, miss.y);
        }
        let rest = &mut out[2 * self.sightings.len()..];
        let prior = &self.motion.prior;
        whitened(&prior.whiten, &p[..MOTION], &prior.mean, &mut rest[..MOTION]);
        whitened(self.whiten_camera, &p[MOTION..MOTION + CAMERA], &self.camera, &mut rest[MOTION..MOTION + CAMERA]);
        rest[ALL - 2] = (p[ALL - 2] - READOUT_S.0) / READOUT_S.1;
        rest[ALL - 1] = p[ALL - 1] / LIFT;
        true
    }
}

fn whitened(root: &DMatrix<f64>, at: &[f64], mean: &[f64], out: &mut [f64]) {
    for (row, out) in out.iter_mut().enumerate() {
        *out = (0..=row).map(|k| root[(row, k)] * (at[k] - mean[k])).sum();
    }
}

/// A throw that explains the sightings.
pub struct Fitted {
    /// Its path.
    pub path: Path,
    /// Its values with their errors.
    pub estimates: [Option<Estimate>; VALUES],
    /// Root mean square miss over the stated error.
    pub misfit: f64,
    /// The camera, with what the throw says of it.
    pub camera: Camera,
    /// When the ball passed the foul line, s.
    pub start_s: f64,
    /// Time from a picture's first row to its last, s.
    pub readout_s: f64,
}

/// Fits a throw. `pattern_ft` is where the oil ends, if anybody knows.
pub fn fit(
    sightings: &[Sighting],
    lane: &SolvedLane,
    hand: Hand,
    pattern_ft: Option<f64>,
) -> Result<Fitted, FilmError> {
    let sightings: Vec<Sighting> =
        sightings.iter().filter(|s| s.place_m.y > 0.45 && on_lane(s.place_m)).copied().collect();
    let ends_ft = sightings.first().zip(sightings.last()).map(|(a, b)| (a.place_m.y / FOOT_M, b.place_m.y / FOOT_M));
    let (from_ft, to_ft) = ends_ft.ok_or(FilmError::NoBall)?;
    if sightings.len() < LEAST || to_ft - from_ft < LEAST_FT {
        return Err(FilmError::FewSightings { seen: sightings.len(), from_ft, to_ft, least: LEAST });
    }
    let no_throw = FilmError::NoThrow { miss: f64::INFINITY };
    let motion = Motion::new().ok_or(no_throw.clone())?;
    let sign = if hand == Hand::Left { -1.0 } else { 1.0 };
    let camera = lane.camera.parameters();
    let root = lane.covariance.clone().cholesky().ok_or(no_throw.clone())?.l();
    let whiten_camera = root.try_inverse().ok_or(no_throw.clone())?;

    let mut problem = ThrowProblem {
        motion: &motion,
        sightings: &sightings,
        weights: vec![1.0; sightings.len()],
        scale: ALIKE,
        sign,
        middle_px: lane.camera.middle_px,
        camera,
        whiten_camera: &whiten_camera,
        path: None,
    };
    let start = start(&sightings, &motion, &camera, sign);
    let mut found = least::fit(&mut problem, &start, 25).ok_or(no_throw.clone())?;
    let mut misfit = 0.0;
    for round in 0..4 {
        if round == 0 || round == 3 {
            found = ways(&mut problem, found).swap_remove(0);
        }
        misfit = weigh(&mut problem, &found);
        if let Some(again) = least::fit(&mut problem, &found.parameters, 8) {
            found = again;
        }
    }
    if misfit > WORST_MISFIT {
        return Err(FilmError::NoThrow { miss: misfit });
    }
    let ways = ways(&mut problem, found);
    let found = &ways[0];
    let path = motion.path(&found.parameters[..MOTION]).ok_or(FilmError::NoThrow { miss: misfit })?;
    let estimates = estimates(&motion, &ways, &path, pattern_ft);
    let camera = Camera::from_parameters(&found.parameters[MOTION..MOTION + CAMERA], lane.camera.middle_px);
    let (start_s, readout_s) = (found.parameters[5], found.parameters[MOTION + CAMERA]);
    Ok(Fitted { path, estimates, misfit, camera, start_s, readout_s })
}

/// Judges errors by what is missed, and makes sightings that miss by much count less. Returns the usual miss over the stated error.
fn weigh(problem: &mut ThrowProblem, found: &least::Fit) -> f64 {
    // Misses over their stated errors, as they were before weighing.
    let miss2: Vec<f64> = (0..problem.sightings.len())
        .map(|k| {
            let r = |j: usize| found.residuals[2 * k + j] * problem.scale;
            (r(0) * r(0) + r(1) * r(1)) / problem.weights[k]
        })
        .collect();
    let mut sorted = miss2.clone();
    sorted.sort_by(f64::total_cmp);
    // The median of the squared length of two standard normals is 2 ln 2.
    let median = sorted[sorted.len() / 2];
    let misfit = math::sqrt(median / (2.0 * core::f64::consts::LN_2));
    let scale = misfit.max(1.0);
    for (weight, miss2) in problem.weights.iter_mut().zip(&miss2) {
        *weight = (TAILS + 2.0) / (TAILS + miss2 / (scale * scale));
    }
    problem.scale = scale * ALIKE;
    misfit
}

/// Throws that explain the film, the best first. Where a ball begins to roll its path has a kink, at which a fit stops: so it is tried
/// again from fewer and from more revs.
fn ways(problem: &mut ThrowProblem, found: least::Fit) -> Vec<least::Fit> {
    let mut ways = vec![found];
    for times in REVS {
        let mut start = ways[0].parameters.clone();
        start[3] *= times;
        ways.extend(least::fit(problem, &start, 10));
    }
    ways.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    ways
}

/// A straight throw through the first sightings.
fn start(sightings: &[Sighting], motion: &Motion, camera: &[f64; CAMERA], sign: f64) -> [f64; ALL] {
    let first_s = sightings[0].time_s;
    let early: Vec<&Sighting> = sightings.iter().filter(|s| s.time_s - first_s < 0.6).collect();
    let n = early.len() as f64;
    let t = early.iter().map(|s| s.time_s).sum::<f64>() / n;
    let p = early.iter().map(|s| s.place_m).sum::<DVec2>() / n;
    let (mut tt, mut tp) = (1e-9, DVec2::ZERO);
    for s in &early {
        tt += (s.time_s - t) * (s.time_s - t);
        tp += (s.place_m - p) * (s.time_s - t);
    }
    let speed = tp / tt;
    let speed = DVec2::new(speed.x, speed.y.clamp(4.0, 14.0));
    let since_s = p.y / speed.y;
    let mut at = [0.0; ALL];
    at[..MOTION].copy_from_slice(&motion.prior.mean);
    at[0] = (sign * (p.x - speed.x * since_s)).clamp(-0.5, 0.5);
    at[1] = math::atan2(sign * speed.x, speed.y).clamp(-0.15, 0.15);
    at[2] = math::log(speed.length());
    at[5] = t - since_s;
    at[MOTION..MOTION + CAMERA].copy_from_slice(camera);
    at[ALL - 2] = READOUT_S.0;
    at
}

/// Values of the throw with their errors, from throws drawn from what the film leaves open. Every way that explains the film gets its
/// share of them, by how well it does.
///
/// Throws far from the best bend away from what the film shows, since where a ball begins to roll is a kink. So throws are drawn close to
/// the best one, and how far their values stray is scaled up.
fn estimates(motion: &Motion, ways: &[least::Fit], path: &Path, pattern_ft: Option<f64>) -> [Option<Estimate>; VALUES] {
    let best = Shot::of(path, pattern_ft).values();
    let share = |way: &least::Fit| math::exp(0.5 * (ways[0].cost - way.cost));
    let shares: f64 = ways.iter().map(share).sum();
    let values = |p: &[f64]| motion.path(p).map(|path| Shot::of(&path, pattern_ft).values());
    let mut drawn: Vec<[f64; VALUES]> = Vec::new();
    let mut draw = 0;
    for way in ways {
        let count = (DRAWS as f64 * share(way) / shares).round() as u64;
        let block = way.covariance.view((0, 0), (MOTION, MOTION)).into_owned();
        let (Some(root), Some(middle)) = (block.cholesky().map(|factor| factor.l()), values(&way.parameters[..MOTION]))
        else {
            continue;
        };
        for _ in 0..count {
            let mut stream = Stream::keyed(1, "throws a film leaves open", draw);
            draw += 1;
            let off = &root * DVector::from_fn(MOTION, |_, _| CLOSE * stream.normal());
            let p: Vec<f64> = (0..MOTION).map(|k| way.parameters[k] + off[k]).collect();
            drawn
                .extend(values(&p).map(|values| core::array::from_fn(|k| middle[k] + (values[k] - middle[k]) / CLOSE)));
        }
    }
    core::array::from_fn(|k| {
        let mut values: Vec<f64> = drawn.iter().map(|values| values[k]).filter(|v| v.is_finite()).collect();
        if !best[k].is_finite() || values.len() < 20 {
            return None;
        }
        values.sort_by(f64::total_cmp);
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let variance = values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / count;
        let at = |share: f64| values[((count - 1.0) * share).round() as usize];
        Some(Estimate { value: best[k], error: math::sqrt(variance), low: at(0.1), high: at(0.9) })
    })
}
