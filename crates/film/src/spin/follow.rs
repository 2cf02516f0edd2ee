//! The turning fitted to where the marks were seen.

use boardwise_units::{Degrees, Rpm, math};
use glam::{DQuat, DVec3};

use crate::least::{self, Problem};
use crate::result::{Estimate, Spin};

use super::search::Found;
use super::{History, Spot, WORST_DEG, WORST_SHARE};

/// How far from where it is expected a mark is looked for, as a cosine: 25 degrees.
const NEAR: f64 = 0.906;
/// A mark seen closer to the rim than this cosine is cut off by it.
const WHOLE: f64 = 0.6;
/// Sightings of marks needed, and errors of one, radians.
const LEAST: usize = 8;
const SEEN_RAD: f64 = 0.04;
/// Largest error of a mark's place, for marks that were taken for another, radians.
const WORST_RAD: f64 = 0.25;
/// Spread of the share by which the turning changes more, or less, than the path says.
const MORE: f64 = 0.5;
/// Spread of what the turning grows by beside that, as a share a second: the first feet's friction is known badly.
const GROWTH: f64 = 0.15;
/// Parameters before those of the marks.
const TURN: usize = 5;
/// Slowly changing errors: the ball's place and light. Each sighting counts as this many fewer.
const ALIKE: f64 = 1.5;
/// Error of the axis that all pictures share, radians: marks cut off by the rim, the ball's size. Judged on rendered clips.
const SHARED_RAD: f64 = 0.035;
/// 80 of 100 values of a normal lie within so many standard errors.
const EIGHTY: f64 = 1.2816;

/// A mark in a picture.
struct Sight {
    mark: usize,
    picture: usize,
    normal: DVec3,
}

/// Angular velocity, how much more it changes, and two angles for each mark.
struct TurnProblem<'a> {
    sights: &'a [Sight],
    marks: &'a [DVec3],
    history: &'a History,
    error_rad: f64,
    steps: Vec<f64>,
}

impl TurnProblem<'_> {
    fn mark(&self, p: &[f64], which: usize) -> DVec3 {
        let (right, up) = self.marks[which].any_orthonormal_pair();
        (self.marks[which] + right * p[TURN + 2 * which] + up * p[TURN + 1 + 2 * which]).normalize()
    }
}

impl Problem for TurnProblem<'_> {
    fn residuals(&self) -> usize {
        2 * self.sights.len() + 2 + 2 * self.marks.len()
    }

    fn steps(&self) -> &[f64] {
        &self.steps
    }

    fn evaluate(&mut self, p: &[f64], out: &mut [f64]) -> bool {
        let spin = DVec3::new(p[0], p[1], p[2]);
        let attitudes = self.history.attitudes(spin, p[3], p[4]);
        for (k, sight) in self.sights.iter().enumerate() {
            let expected = attitudes[sight.picture] * self.mark(p, sight.mark);
            let (right, up) = sight.normal.any_orthonormal_pair();
            out[2 * k] = expected.dot(right) / self.error_rad;
            out[2 * k + 1] = expected.dot(up) / self.error_rad;
        }
        let rest = &mut out[2 * self.sights.len()..];
        rest[0] = p[3] / MORE;
        rest[1] = p[4] / GROWTH;
        // Marks are near where they were found, to a radian.
        rest[2..].copy_from_slice(&p[TURN..]);
        true
    }
}

/// Fits the turning; None where the marks do not turn as a ball does, or tell too little.
pub fn fit(spots: &[Spot], found: Found, history: &History) -> Option<Spin> {
    let Found { mut spin_rad_s, mut marks } = found;
    let (mut more, mut growth) = (0.0, 0.0);
    let mut error_rad = SEEN_RAD;
    let mut last = None;
    for _ in 0..5 {
        let sights = sights(spots, &history.attitudes(spin_rad_s, more, growth), &marks);
        if sights.len() < LEAST {
            return None;
        }
        let steps = vec![1e-4; TURN + 2 * marks.len()];
        let mut problem = TurnProblem { sights: &sights, marks: &marks, history, error_rad: error_rad * ALIKE, steps };
        let mut start = vec![0.0; TURN + 2 * marks.len()];
        start[..3].copy_from_slice(&spin_rad_s.to_array());
        (start[3], start[4]) = (more, growth);
        let fitted = least::fit(&mut problem, &start, 30)?;
        let p = &fitted.parameters;
        let moved: Vec<DVec3> = (0..marks.len()).map(|k| problem.mark(p, k)).collect();
        let mut misses: Vec<f64> =
            fitted.residuals[..2 * sights.len()].iter().map(|r| (r * error_rad * ALIKE).abs()).collect();
        misses.sort_by(f64::total_cmp);
        // The middle of a normal's size is .6745 of its standard deviation.
        error_rad = (misses[misses.len() / 2] / 0.6745).max(0.015);
        spin_rad_s = DVec3::new(p[0], p[1], p[2]);
        (more, growth) = (p[3], p[4]);
        marks = moved;
        last = Some(fitted);
    }
    let fitted = last?;
    if error_rad > WORST_RAD {
        return None;
    }
    told(&fitted, spin_rad_s, marks.len())
}

/// Where each mark was seen in each picture.
fn sights(spots: &[Spot], attitudes: &[DQuat], marks: &[DVec3]) -> Vec<Sight> {
    let mut sights = Vec::new();
    let mut of_picture: Vec<Vec<&Spot>> = vec![Vec::new(); attitudes.len()];
    for spot in spots {
        of_picture[spot.picture].push(spot);
    }
    for (picture, (spots, attitude)) in of_picture.iter().zip(attitudes).enumerate() {
        for (which, mark) in marks.iter().enumerate() {
            let expected = *attitude * *mark;
            let near: Vec<&&Spot> = spots.iter().filter(|spot| spot.normal.dot(expected) > NEAR).collect();
            let weight: f64 = near.iter().map(|spot| spot.more.abs()).sum();
            let middle: DVec3 = near.iter().map(|spot| spot.normal * spot.more.abs()).sum();
            let facing: f64 = near.iter().map(|spot| spot.facing * spot.more.abs()).sum::<f64>() / weight.max(1e-9);
            if near.len() >= 2 && facing > WHOLE {
                sights.push(Sight { mark: which, picture, normal: middle.normalize() });
            }
        }
    }
    sights
}

fn told(fitted: &least::Fit, spin: DVec3, marks: usize) -> Option<Spin> {
    let covariance = fitted.covariance.view((0, 0), (3, 3)).into_owned();
    let error = |slope: DVec3| {
        let slope = slope.to_array();
        let sum: f64 = (0..9).map(|k| slope[k / 3] * covariance[(k / 3, k % 3)] * slope[k % 3]).sum();
        math::sqrt(sum.max(0.0))
    };
    let estimate =
        |value: f64, error: f64| Estimate { value, error, low: value - EIGHTY * error, high: value + EIGHTY * error };
    let (rate, level2) = (spin.length(), spin.x * spin.x + spin.y * spin.y);
    let level = math::sqrt(level2);
    let rate_error = error(spin / rate);
    if rate_error > WORST_SHARE * rate {
        return None;
    }
    // Rotation is atan2(−y, −x), tilt asin(z) of the axis.
    let rotation_error = error(DVec3::new(-spin.y, spin.x, 0.0) / level2);
    let tilt_error = error((DVec3::Z - spin * (spin.z / (rate * rate))) / level);
    let (rotation_error, tilt_error) =
        (math::hypot(rotation_error, SHARED_RAD * rate / level), math::hypot(tilt_error, 0.5 * SHARED_RAD));
    let degrees = |value_rad: f64, error_rad: f64| {
        let (value, error) = (Degrees::from_radians(value_rad).0, Degrees::from_radians(error_rad).0);
        (error < WORST_DEG).then(|| estimate(value, error))
    };
    let rpm = |rad_s: f64| Rpm::from_radians_per_second(rad_s).0;
    Some(Spin {
        rev_rate: estimate(rpm(rate), rpm(rate_error)),
        rotation: degrees(math::atan2(-spin.y, -spin.x), rotation_error),
        tilt: degrees(math::atan2(spin.z, level), tilt_error),
        marks,
    })
}
