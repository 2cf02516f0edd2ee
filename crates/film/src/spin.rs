//! How the ball turns: rev rate, rotation and tilt from marks on it.
//!
//! Cut-outs of the ball are laid on a sphere that stands where the fitted throw has it. What stays as it is while the ball turns is
//! light; what differs from it is a mark. Every way of turning carries the marks seen in all pictures back to one moment: for the right
//! one they fall on each other. From there on it is a fit of the turning and of the marks' places to where marks were seen.

mod follow;
mod search;

use boardwise_lane::Path;
use boardwise_units::{FOOT_M, math};
use glam::{DQuat, DVec2, DVec3};

use crate::ball::RADIUS_M;
use crate::camera::View;
use crate::motion::place_at;
use crate::result::Spin;
use crate::{Picture, Sighting};

/// Where turning is looked at, feet: near the release, and while the ball is large.
const UNTIL_FT: f64 = 22.0;
/// Places looked at all over the sphere, about 6 degrees apart.
const PLACES: usize = 1100;
/// Least cosine to the line of sight: places near the rim are smeared.
const LEAST_FACING: f64 = 0.45;
/// Smallest ball in which marks can be told, pixels of radius.
const LEAST_RADIUS_PX: f64 = 9.0;
/// Pictures of the ball needed.
const LEAST_PICTURES: usize = 10;
/// Least difference of a mark, in noise of a pixel and in levels.
const MARK_NOISE: f64 = 4.0;
const MARK_LEVELS: f64 = 12.0;
/// Standard error of the rev rate, as a share of it, and of the rotation, from which on a value is not given.
const WORST_SHARE: f64 = 0.06;
const WORST_DEG: f64 = 8.0;

/// The ball cut out of a picture.
pub struct CutOut {
    time_s: f64,
    row: f64,
    corner_px: DVec2,
    picture: Picture,
}

impl CutOut {
    /// The ball of a sighting; None where it is far down the lane, small, or at the picture's edge. `shift` is the camera's shake.
    pub fn of(picture: &Picture, s: &Sighting, shift: DVec2) -> Option<Self> {
        let half = 1.25 * s.radius_px + 3.0;
        let middle = s.middle_px + shift;
        let wanted = s.radius_px >= LEAST_RADIUS_PX && s.place_m.y < UNTIL_FT * FOOT_M;
        if !wanted || !picture.holds(middle.x, middle.y, half + 2.0) {
            return None;
        }
        let (left, top) = ((middle.x - half) as usize, (middle.y - half) as usize);
        let side = (2.0 * half).ceil() as usize + 1;
        let rows = (top..top + side).map(|row| &picture.luma[row * picture.width + left..][..side]);
        let luma = rows.flatten().copied().collect();
        let corner_px = DVec2::new(left as f64, top as f64) - shift;
        Some(Self {
            time_s: s.time_s,
            row: s.row,
            corner_px,
            picture: Picture { width: side, height: side, luma, time_s: s.time_s },
        })
    }
}

/// A spot of the sphere that differs from the ball's plain shade, seen in one picture.
#[derive(Clone, Copy, Debug)]
struct Spot {
    /// Which picture.
    picture: usize,
    /// Where on the sphere, in the lane's frame (x toward the bowling-hand side).
    normal: DVec3,
    /// Cosine to the line of sight.
    facing: f64,
    /// How much brighter than the plain ball, levels.
    more: f64,
}

/// What the throw's fit says that is needed here.
pub struct Thrown<'a> {
    /// The fitted path.
    pub path: &'a Path,
    /// The camera.
    pub view: &'a View,
    /// When the ball passed the foul line, s.
    pub start_s: f64,
    /// Time from a picture's first row to its last, s.
    pub readout_s: f64,
    /// +1 where boards count from the right, −1 from the left.
    pub sign: f64,
    /// Noise of a pixel, levels.
    pub noise: f64,
}

/// Rev rate, rotation and tilt; None where no mark tells them.
pub fn measure(cuts: &[CutOut], thrown: &Thrown) -> Option<Spin> {
    if cuts.len() < LEAST_PICTURES {
        return None;
    }
    let (spots, times_s) = spots(cuts, thrown);
    let history = History::new(thrown.path, &times_s);
    let found = search::best(&spots, &history)?;
    follow::fit(&spots, found, &history)
}

/// Spots of all pictures that differ from the plain ball, and when the pictures were taken, in seconds after the foul line.
fn spots(cuts: &[CutOut], thrown: &Thrown) -> (Vec<Spot>, Vec<f64>) {
    let places: Vec<DVec3> = (0..PLACES).map(spread).collect();
    let mut seen = vec![f64::NAN; PLACES * cuts.len()];
    let mut facings = vec![0.0; PLACES * cuts.len()];
    let mut times_s = Vec::with_capacity(cuts.len());
    for (which, cut) in cuts.iter().enumerate() {
        let time_s = cut.time_s + cut.row * thrown.readout_s - thrown.start_s;
        times_s.push(time_s);
        let place = place_at(thrown.path, time_s);
        let centre = DVec2::new(thrown.sign * place.x, place.y).extend(RADIUS_M);
        let sight = (thrown.view.camera.place_m - centre).normalize();
        for (k, normal) in places.iter().enumerate() {
            let outward = DVec3::new(thrown.sign * normal.x, normal.y, normal.z);
            let facing = outward.dot(sight);
            if facing < LEAST_FACING {
                continue;
            }
            let Some(at) = thrown.view.project(centre + outward * RADIUS_M) else { continue };
            let at = at - cut.corner_px;
            if cut.picture.holds(at.x, at.y, 0.0) {
                seen[which * PLACES + k] = cut.picture.at(at.x, at.y);
                facings[which * PLACES + k] = facing;
            }
        }
    }
    let least = (MARK_NOISE * thrown.noise).max(MARK_LEVELS);
    let mut spots = Vec::new();
    let mut column = Vec::with_capacity(cuts.len());
    for (k, normal) in places.iter().enumerate() {
        column.clear();
        column.extend((0..cuts.len()).map(|which| seen[which * PLACES + k]).filter(|seen| seen.is_finite()));
        if column.len() < LEAST_PICTURES / 2 {
            continue;
        }
        // A mark is at one place in few of the pictures: the middle one shows the plain ball, with its light.
        column.sort_by(f64::total_cmp);
        let plain = column[column.len() / 2];
        for which in 0..cuts.len() {
            let at = which * PLACES + k;
            let more = seen[at] - plain;
            if more.abs() > least {
                spots.push(Spot { picture: which, normal: *normal, facing: facings[at], more });
            }
        }
    }
    (spots, times_s)
}

/// Places spread evenly over a sphere (Fibonacci's spiral).
fn spread(k: usize) -> DVec3 {
    let z = 1.0 - (2.0 * k as f64 + 1.0) / PLACES as f64;
    let angle = core::f64::consts::PI * (3.0 - math::sqrt(5.0)) * k as f64;
    let level = math::sqrt(1.0 - z * z);
    DVec3::new(level * math::cos(angle), level * math::sin(angle), z)
}

/// How the lane changes the turning, picture by picture, as the fitted path has it: friction bends the axis and adds revs.
struct History {
    /// Length of each step and its middle, s, and how far the angular velocity has changed there, rad/s.
    steps: Vec<(f64, f64, DVec3)>,
    /// Steps before each picture.
    pictures: Vec<usize>,
}

/// Longest step over which the angular velocity is taken as constant, s: a degree or so of its change.
const STEP_S: f64 = 0.02;

impl History {
    fn new(path: &Path, times_s: &[f64]) -> Self {
        let (mut steps, mut pictures) = (Vec::new(), Vec::new());
        let mut now_s: f64 = 0.0;
        for &time_s in times_s {
            let span_s = time_s - now_s;
            let count = (span_s.abs() / STEP_S).ceil() as usize;
            for k in 0..count {
                let middle_s = now_s + span_s * (k as f64 + 0.5) / count as f64;
                steps.push((span_s / count as f64, middle_s, changed(path, middle_s)));
            }
            pictures.push(steps.len());
            now_s = time_s;
        }
        Self { steps, pictures }
    }

    /// How far the ball has turned in each picture, with an angular velocity at release, a share by which it changes more than
    /// expected, and what it grows by beside that, as a share a second.
    fn attitudes(&self, spin_rad_s: DVec3, more: f64, growth: f64) -> Vec<DQuat> {
        let mut attitude = DQuat::IDENTITY;
        let mut attitudes = Vec::with_capacity(self.pictures.len());
        let mut done = 0;
        for &until in &self.pictures {
            for (span_s, at_s, change) in &self.steps[done..until] {
                let spin_rad_s = spin_rad_s * (1.0 + growth * at_s) + *change * (1.0 + more);
                attitude = DQuat::from_scaled_axis(spin_rad_s * *span_s) * attitude;
            }
            done = until;
            attitudes.push(attitude);
        }
        attitudes
    }
}

/// Change of the angular velocity since the release, rad/s.
fn changed(path: &Path, time_s: f64) -> DVec3 {
    let rows = &path.rows;
    let next = rows.partition_point(|row| row.time_s <= time_s).clamp(1, rows.len() - 1);
    let (a, b) = (&rows[next - 1], &rows[next]);
    let t = ((time_s - a.time_s) / (b.time_s - a.time_s).max(1e-9)).clamp(0.0, 1.0);
    a.spin_rad_s.lerp(b.spin_rad_s, t) - rows[0].spin_rad_s
}
