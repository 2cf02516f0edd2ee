//! The lane in the picture: a camera from points somebody gave, refined to the lane's edges and arrows.

mod edges;
mod rack;

use boardwise_units::{FOOT_M, court, math};
use glam::{DVec2, DVec3};
use nalgebra::DMatrix;

use crate::camera::{CAMERA, Camera, View};
use crate::least::{self, Problem};
use crate::{FilmError, Picture, Point};

/// Error of a point that a person taps, pixels of 1080 lines.
const TAP_PX: f64 = 4.0;
/// Largest error allowed at the arrows and at 60 ft, boards.
const ALLOWED_BOARDS: f64 = 0.75;
/// A tap that misses by more than this many of its errors was meant for another mark.
const WRONG_TAP: f64 = 6.0;

/// A camera that sees the lane, with its errors.
#[derive(Clone, Debug)]
pub struct SolvedLane {
    /// The camera.
    pub camera: Camera,
    /// Covariance of its parameters (place, angles, logarithm of the focal length, distortion).
    pub covariance: DMatrix<f64>,
    /// Error across the lane at the arrows, boards.
    pub arrows_boards: f64,
    /// Error across the lane at 60 ft, boards.
    pub pins_boards: f64,
    /// Places of the lane's edges and arrows that were found in the picture.
    pub found: usize,
}

/// Something of the lane seen in the picture: how far its projection is from where it is seen, along one direction.
#[derive(Clone, Copy, Debug)]
struct Seen {
    place_m: DVec3,
    at_px: DVec2,
    along: DVec2,
    sd_px: f64,
}

/// What is known of a camera before the lane is seen: parameters with standard deviations.
struct Usual {
    mean: [f64; CAMERA],
    sd: [f64; CAMERA],
}

impl Usual {
    /// Phones: a lens of about 26 mm on film of 36 mm, held nearly upright, some metres behind the foul line.
    fn for_picture(picture: &Picture) -> Self {
        let long = picture.width.max(picture.height) as f64;
        Self {
            mean: [0.0, -4.0, 1.9, 0.0, 0.1, 0.0, math::log(0.74 * long), 0.0],
            sd: [3.0, 4.0, 0.9, 0.6, 0.3, 0.1, 0.25, 0.08],
        }
    }
}

struct PoseProblem<'a> {
    seen: &'a [Seen],
    usual: &'a Usual,
    middle_px: DVec2,
}

const STEPS: [f64; CAMERA] = [1e-4, 1e-4, 1e-4, 1e-6, 1e-6, 1e-6, 1e-5, 1e-5];

impl Problem for PoseProblem<'_> {
    fn residuals(&self) -> usize {
        self.seen.len() + CAMERA
    }

    fn steps(&self) -> &[f64] {
        &STEPS
    }

    fn evaluate(&mut self, p: &[f64], out: &mut [f64]) -> bool {
        let view = Camera::from_parameters(p, self.middle_px).view();
        for (residual, seen) in out.iter_mut().zip(self.seen) {
            let Some(place) = view.project(seen.place_m) else { return false };
            *residual = (place - seen.at_px).dot(seen.along) / seen.sd_px;
        }
        for k in 0..CAMERA {
            out[self.seen.len() + k] = (p[k] - self.usual.mean[k]) / self.usual.sd[k];
        }
        p[2] > 0.2
    }
}

/// Finds the camera from points, and refines it on a picture of the still scene.
///
/// # Errors
/// If there are too few points, if no camera fits them, or if the lane is not known well enough afterwards.
pub fn solve_lane(picture: &Picture, points: &[Point]) -> Result<SolvedLane, FilmError> {
    if points.len() < 4 {
        return Err(FilmError::FewPoints { given: points.len() });
    }
    let usual = Usual::for_picture(picture);
    let middle_px = DVec2::new(0.5 * (picture.width as f64 - 1.0), 0.5 * (picture.height as f64 - 1.0));
    let tap_px = TAP_PX * picture.width.min(picture.height) as f64 / 1080.0;
    let taps: Vec<Seen> = points
        .iter()
        .flat_map(|point| {
            [DVec2::X, DVec2::Y].map(|along| Seen {
                place_m: point.mark.place_m(),
                at_px: point.seen_px,
                along,
                sd_px: tap_px,
            })
        })
        .collect();
    let first = from_taps(&taps, &usual, middle_px, points, tap_px)?;

    let (mut camera, mut seen) = (first, taps.clone());
    let mut fit = None;
    for reach_px in [12.0, 6.0, 4.0] {
        seen.truncate(0);
        seen.extend_from_slice(&taps);
        edges::find(picture, &camera.view(), reach_px * tap_px / TAP_PX, &mut seen);
        seen.extend(rack::find(picture, &camera.view(), reach_px * tap_px / TAP_PX));
        let mut problem = PoseProblem { seen: &seen, usual: &usual, middle_px };
        let Some(mut found) = least::fit(&mut problem, &camera.parameters(), 30) else { continue };
        // What misses by far was something else than an edge of the lane.
        for _ in 0..2 {
            let kept: Vec<Seen> =
                seen.iter().zip(&found.residuals).filter(|(_, r)| r.abs() < 3.5).map(|(seen, _)| *seen).collect();
            seen = kept;
            let mut problem = PoseProblem { seen: &seen, usual: &usual, middle_px };
            let Some(again) = least::fit(&mut problem, &found.parameters, 30) else { break };
            found = again;
        }
        camera = Camera::from_parameters(&found.parameters, middle_px);
        fit = Some(found);
    }
    let fit = fit.ok_or(FilmError::NoPose { worst_px: 0.0, mark: points[0].mark.to_string() })?;

    let found = seen.iter().filter(|seen| seen.sd_px < tap_px).count();
    // Residuals larger than they should be make every error larger.
    let freedom = (seen.len() as f64).max(9.0) - CAMERA as f64;
    let scale = (fit.cost / freedom).max(1.0);
    let covariance = fit.covariance * scale;
    let error = |feet: f64| boards_error(&camera, &covariance, feet);
    let (arrows_boards, pins_boards) = (error(15.0), error(60.0));
    if found < 12 || arrows_boards > ALLOWED_BOARDS || pins_boards > ALLOWED_BOARDS || scale > 9.0 {
        return Err(FilmError::PoorLane { arrows_boards, pins_boards, allowed_boards: ALLOWED_BOARDS });
    }
    Ok(SolvedLane { camera, covariance, arrows_boards, pins_boards, found })
}

/// The best camera for the points alone, from several places where people put one.
fn from_taps(
    taps: &[Seen],
    usual: &Usual,
    middle_px: DVec2,
    points: &[Point],
    tap_px: f64,
) -> Result<Camera, FilmError> {
    let mut best: Option<least::Fit> = None;
    let focal_px = math::exp(usual.mean[6]);
    let count = points.len() as f64;
    let mean_px = points.iter().map(|point| point.seen_px).sum::<DVec2>() / count;
    let mean_m = points.iter().map(|point| point.mark.place_m()).sum::<DVec3>() / count;
    for height_m in [1.2, 2.4] {
        for behind_m in [-2.0, -5.0, -9.0] {
            for right_m in [-2.0, 0.0, 2.0] {
                let place_m = DVec3::new(right_m, behind_m, height_m);
                let sight = mean_m - place_m;
                let off = (mean_px - middle_px) / focal_px;
                let mut start = usual.mean;
                start[..3].copy_from_slice(&[right_m, behind_m, height_m]);
                start[3] = math::atan2(sight.x, sight.y) - math::atan(off.x);
                start[4] = math::atan2(-sight.z, sight.truncate().length()) - math::atan(off.y);
                let mut problem = PoseProblem { seen: taps, usual, middle_px };
                if let Some(fit) = least::fit(&mut problem, &start, 60)
                    && best.as_ref().is_none_or(|best| fit.cost < best.cost)
                {
                    best = Some(fit);
                }
            }
        }
    }
    let worst = |fit: &least::Fit| {
        let misses = fit.residuals.chunks(2).take(points.len()).map(|r| math::hypot(r[0], r[1]));
        misses.enumerate().fold((0, 0.0), |worst, (k, miss)| if miss > worst.1 { (k, miss) } else { worst })
    };
    let best = best.ok_or_else(|| FilmError::NoPose { worst_px: f64::INFINITY, mark: points[0].mark.to_string() })?;
    let (which, miss) = worst(&best);
    if miss > WRONG_TAP {
        return Err(FilmError::NoPose { worst_px: miss * tap_px, mark: points[which].mark.to_string() });
    }
    Ok(Camera::from_parameters(&best.parameters, middle_px))
}

/// Standard error across the lane of a place seen at this distance, boards: the worst of three boards.
fn boards_error(camera: &Camera, covariance: &DMatrix<f64>, feet: f64) -> f64 {
    let view = camera.view();
    let at = camera.parameters();
    let one = |board: f64| {
        let place = DVec3::new((board - court::CENTRE_BOARD) * court::BOARD_M, feet * FOOT_M, 0.0);
        let seen = view.project(place)?;
        let mut slope = [0.0; CAMERA];
        for (k, slope) in slope.iter_mut().enumerate() {
            let mut moved = at;
            moved[k] += STEPS[k];
            let back = Camera::from_parameters(&moved, camera.middle_px).view().on_level(seen, 0.0)?;
            *slope = (back.x - place.x) / STEPS[k];
        }
        let mut variance = 0.0;
        for i in 0..CAMERA {
            for j in 0..CAMERA {
                variance += slope[i] * covariance[(i, j)] * slope[j];
            }
        }
        Some(math::sqrt(variance.max(0.0)) / court::BOARD_M)
    };
    [5.0, 20.0, 35.0].map(|board| one(board).unwrap_or(f64::INFINITY)).into_iter().fold(0.0, f64::max)
}

/// How a small step of the world looks in the picture there: direction of unit length, and pixels a metre.
fn looks(view: &View, place_m: DVec3, step_m: DVec3) -> Option<(DVec2, f64)> {
    let (from, to) = (view.project(place_m - step_m)?, view.project(place_m + step_m)?);
    let length = (to - from).length();
    (length > 1e-9).then(|| ((to - from) / length, length / (2.0 * step_m.length())))
}
