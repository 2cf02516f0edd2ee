//! Edges and arrows of the lane, found near where a first camera expects them.

use boardwise_units::{INCH_M, court};
use glam::{DVec2, DVec3};

use super::{Seen, looks};
use crate::camera::View;
use crate::{Mark, Picture};

/// Error of an edge that was found, pixels.
const EDGE_PX: f64 = 0.35;
/// Weakest step of brightness that counts as an edge.
const LEAST_STEP: f64 = 5.0;
/// Step of an edge below which it is another's, as a share of the middle one.
const FAINT: f64 = 0.4;
/// Distances along each side of the lane at which its edge is looked for.
const ALONG: i32 = 40;
/// Half the width over which an arrow is looked for, metres.
const ARROW_REACH_M: f64 = 2.2 * INCH_M;

/// Appends what is found of the lane.
pub(super) fn find(picture: &Picture, view: &View, reach_px: f64, seen: &mut Vec<Seen>) {
    let half_m = 0.5 * court::WIDTH_M;
    let mut edges: Vec<(Seen, f64)> = Vec::new();
    for side in [-1.0, 1.0] {
        for k in 0..ALONG {
            // Evenly spaced in the picture rather than on the lane: distances grow in proportion.
            let y_m = 0.5 * f64::powi(1.094, k);
            if y_m < court::HEAD_PIN_M {
                let place_m = DVec3::new(side * half_m, y_m, 0.0);
                edges.extend(edge(picture, view, place_m, DVec3::Y * 0.05, DVec3::X * -side * 0.02, reach_px));
            }
        }
    }
    for k in -4..=4 {
        let place_m = DVec3::new(f64::from(k) * 0.22 * half_m, 0.0, 0.0);
        edges.extend(edge(picture, view, place_m, DVec3::X * 0.05, DVec3::Y * 0.02, reach_px));
    }
    // Somebody who stands before the lane hides its edge, and what is found there instead is mostly fainter.
    let mut steps: Vec<f64> = edges.iter().map(|(_, step)| *step).collect();
    steps.sort_by(f64::total_cmp);
    let least = steps.get(steps.len() / 2).map_or(0.0, |step| FAINT * step);
    seen.extend(edges.into_iter().filter(|(_, step)| *step >= least).map(|(seen, _)| seen));
    for number in 1..=7 {
        seen.extend(arrow(picture, view, Mark::Arrow(number).place_m()));
    }
}

/// Steps across an edge, pixels.
const STEP_PX: f64 = 0.5;

/// An edge that runs along `run_m`, with the brighter lane toward `lane_m`, and its step of brightness.
fn edge(
    picture: &Picture,
    view: &View,
    place_m: DVec3,
    run_m: DVec3,
    lane_m: DVec3,
    reach_px: f64,
) -> Option<(Seen, f64)> {
    let expected = view.project(place_m)?;
    let (run, _) = looks(view, place_m, run_m)?;
    let (toward, _) = looks(view, place_m, lane_m)?;
    let normal = DVec2::new(-run.y, run.x);
    let normal = if normal.dot(toward) < 0.0 { -normal } else { normal };
    if !picture.holds(expected.x, expected.y, reach_px + 4.0) {
        return None;
    }
    let half = (reach_px / STEP_PX) as i32;
    // Rise over two pixels, averaged over a short run of the edge.
    let rise = |offset: f64| {
        let mut sum = 0.0;
        for along in [-2.0, 0.0, 2.0] {
            let at = expected + normal * offset + run * along;
            let (inside, outside) = (at + normal, at - normal);
            sum += picture.at(inside.x, inside.y) - picture.at(outside.x, outside.y);
        }
        sum / 3.0
    };
    let mut best = (0, LEAST_STEP);
    for k in -half..=half {
        let here = rise(f64::from(k) * STEP_PX);
        if here > best.1 {
            best = (k, here);
        }
    }
    if best.1 <= LEAST_STEP || best.0.abs() == half {
        return None;
    }
    let offset = f64::from(best.0) * STEP_PX;
    let (before, after) = (rise(offset - STEP_PX), rise(offset + STEP_PX));
    let bend = before - 2.0 * best.1 + after;
    let fine = if bend < 0.0 { (0.5 * (before - after) / bend).clamp(-1.0, 1.0) * STEP_PX } else { 0.0 };
    Some((Seen { place_m, at_px: expected + normal * (offset + fine), along: normal, sd_px: EDGE_PX }, best.1))
}

/// An arrow: the middle of what is darker than the lane beside it, across the lane. Along the lane its place is known less well.
fn arrow(picture: &Picture, view: &View, tip_m: DVec3) -> Option<Seen> {
    const SAMPLES: usize = 45;
    let middle_m = tip_m - DVec3::Y * (3.0 * INCH_M);
    let (across, px_a_metre) = looks(view, middle_m, DVec3::X * 0.02)?;
    let mut dark = [0.0; SAMPLES];
    for (k, dark) in dark.iter_mut().enumerate() {
        let x_m = ARROW_REACH_M * (2.0 * k as f64 / (SAMPLES - 1) as f64 - 1.0);
        for back_in in [1.5, 2.2, 2.9, 3.6, 4.3] {
            let seen = view.project(tip_m + DVec3::new(x_m, -back_in * INCH_M, 0.0))?;
            if !picture.holds(seen.x, seen.y, 3.0) {
                return None;
            }
            *dark -= picture.at(seen.x, seen.y) / 5.0;
        }
    }
    let rim = SAMPLES / 6;
    let base = (dark[..rim].iter().sum::<f64>() + dark[SAMPLES - rim..].iter().sum::<f64>()) / (2 * rim) as f64;
    let peak = dark.iter().fold(f64::MIN, |peak, d| peak.max(d - base));
    if peak < LEAST_STEP {
        return None;
    }
    let (mut weight, mut moment) = (0.0, 0.0);
    for (k, dark) in dark.iter().enumerate() {
        let w = (dark - base - 0.35 * peak).max(0.0);
        weight += w;
        moment += w * (2.0 * k as f64 / (SAMPLES - 1) as f64 - 1.0);
    }
    let x_m = ARROW_REACH_M * moment / weight;
    let expected = view.project(middle_m)?;
    let sd_px = (EDGE_PX * EDGE_PX + (0.002 * px_a_metre) * (0.002 * px_a_metre)).sqrt();
    let at_px = expected + across * (x_m * px_a_metre);
    // Across the picture's image of the lane's length, so that a place wrong along the lane does not count.
    let (run, _) = looks(view, middle_m, DVec3::Y * 0.05)?;
    let normal = DVec2::new(-run.y, run.x);
    Some(Seen { place_m: middle_m, at_px, along: normal, sd_px })
}
