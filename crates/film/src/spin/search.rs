//! The way of turning for which marks seen in all pictures fall on each other.

use boardwise_units::{Degrees, math};
use glam::DVec3;

use super::{History, Spot};

/// Rev rates that are tried, rad/s: 60 to 650 rpm.
const SLOWEST_RAD_S: f64 = 6.3;
const FASTEST_RAD_S: f64 = 68.0;
/// Cells along each side of the cube around the ball: about 15 degrees each.
const CELLS: usize = 8;
/// Most marks on a ball.
const MOST_MARKS: usize = 3;
/// A mark weaker than this share of the strongest is none.
const FAINTEST: f64 = 0.3;
/// How far from its middle a mark reaches, as a cosine: 24 degrees.
const REACH: f64 = 0.914;
/// Spots needed.
const LEAST_SPOTS: usize = 25;
/// Share of all that is seen of marks which must fall on them.
const LEAST_SHARE: f64 = 0.5;

/// Ways of turning with another rev rate that are refined beside the best, and the share of its score from which one explains the spots as well.
const RIVALS: usize = 8;
const AS_GOOD: f64 = 0.85;

/// A way of turning with the marks at time 0.
#[derive(Clone, Debug)]
pub struct Found {
    /// Angular velocity, rad/s.
    pub spin_rad_s: DVec3,
    /// Where the marks are at time 0.
    pub marks: Vec<DVec3>,
}

/// The way of turning that explains the spots best; None where there are too few, or they do not fall on each other.
pub fn best(spots: &[Spot], history: &History) -> Option<Found> {
    if spots.len() < LEAST_SPOTS {
        return None;
    }
    let span_s: f64 = history.steps.iter().map(|(span_s, ..)| span_s.abs()).sum();
    // A tenth of a turn over the whole film.
    let step_rad_s = 0.6 / span_s.max(0.1);
    let steps = ((FASTEST_RAD_S - SLOWEST_RAD_S) / step_rad_s) as usize;
    let mut top: Vec<(f64, DVec3)> = Vec::new();
    for rotation_deg in (-20..=110).step_by(10) {
        for tilt_deg in [-15, -5, 5, 15, 25, 35] {
            let (a, t) = (Degrees(f64::from(rotation_deg)).to_radians(), Degrees(f64::from(tilt_deg)).to_radians());
            let axis = DVec3::new(-math::cos(t) * math::cos(a), -math::cos(t) * math::sin(a), math::sin(t));
            for k in 0..=steps {
                let spin = axis * (SLOWEST_RAD_S + step_rad_s * k as f64);
                top.push((gathered(spots, history, spin), spin));
            }
        }
    }
    top.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (_, leader) = *top.first()?;
    let rivals: Vec<(f64, DVec3)> =
        top.iter().filter(|(_, spin)| is_another(*spin, leader)).take(RIVALS).copied().collect();
    top.truncate(12);
    top.extend(rivals);
    // Each of the best is refined on its own.
    for (score, spin) in &mut top {
        let mut step = 0.5 * step_rad_s;
        while step > 0.04 * step_rad_s {
            let across = spin.any_orthonormal_vector();
            let along = spin.normalize();
            let mut better = false;
            for way in [along, across, along.cross(across)] {
                // Turning the axis moves marks less than turning faster does.
                let way = if way == along { way } else { way * (0.15 * spin.length() / step_rad_s) };
                for new in [*spin + way * step, *spin - way * step] {
                    let new_score = gathered(spots, history, new);
                    if new_score > *score && thrown_so(new) {
                        (*score, *spin, better) = (new_score, new, true);
                    }
                }
            }
            if !better {
                step *= 0.5;
            }
        }
    }
    let &(score, spin_rad_s) = top.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    // Marks alike may fall on each other in more than one way: then nobody knows which it was.
    if top.iter().any(|(rival, spin)| is_another(*spin, spin_rad_s) && *rival > AS_GOOD * score) {
        return None;
    }
    marks(spots, history, spin_rad_s)
}

/// Whether a way of turning is another than this: faster or slower by a tenth.
fn is_another(spin_rad_s: DVec3, this: DVec3) -> bool {
    (spin_rad_s.length() / this.length() - 1.0).abs() > 0.1
}

/// Whether anybody throws so: forward, not too fast, not on its pole.
fn thrown_so(spin_rad_s: DVec3) -> bool {
    let rate = spin_rad_s.length();
    let forward = spin_rad_s.x < 0.35 * rate && spin_rad_s.y < 0.5 * rate;
    (SLOWEST_RAD_S..=FASTEST_RAD_S).contains(&rate) && forward && spin_rad_s.z.abs() < 0.75 * rate
}

/// How much falls on few cells: the sum of squares of what each cell holds. A spot is shared among the cells around it.
fn gathered(spots: &[Spot], history: &History, spin_rad_s: DVec3) -> f64 {
    const SIDE: usize = CELLS + 1;
    let mut cells = [0.0f32; SIDE * SIDE * SIDE];
    let attitudes = history.attitudes(spin_rad_s, 0.0, 0.0);
    for spot in spots {
        let body = attitudes[spot.picture].conjugate() * spot.normal;
        let at = (body + DVec3::ONE) * (0.5 * CELLS as f64);
        let low = at.floor().min(DVec3::splat(CELLS as f64 - 1.0));
        let part = at - low;
        let base = (low.x as usize * SIDE + low.y as usize) * SIDE + low.z as usize;
        let more = (spot.more * spot.facing) as f32;
        for corner in 0..8 {
            let (i, j, k) = (corner & 1, corner >> 1 & 1, corner >> 2);
            let share = |which: usize, part: f64| if which == 1 { part } else { 1.0 - part };
            let weight = share(i, part.x) * share(j, part.y) * share(k, part.z);
            cells[base + (i * SIDE + j) * SIDE + k] += more * weight as f32;
        }
    }
    cells.iter().map(|cell| f64::from(cell * cell)).sum()
}

/// Where the marks are, for a way of turning.
fn marks(spots: &[Spot], history: &History, spin_rad_s: DVec3) -> Option<Found> {
    let attitudes = history.attitudes(spin_rad_s, 0.0, 0.0);
    let mut left: Vec<(DVec3, f64)> = spots
        .iter()
        .map(|spot| (attitudes[spot.picture].conjugate() * spot.normal, spot.more.abs() * spot.facing))
        .collect();
    let all: f64 = left.iter().map(|(_, more)| more).sum();
    let (mut marks, mut strongest, mut held_by_marks) = (Vec::new(), 0.0, 0.0);
    while marks.len() < MOST_MARKS {
        let held = |at: DVec3| left.iter().filter(|(body, _)| body.dot(at) > REACH).map(|(_, more)| more).sum::<f64>();
        let Some((held_here, at)) = left
            .iter()
            .step_by(1 + left.len() / 300)
            .map(|(body, _)| (held(*body), *body))
            .max_by(|a, b| a.0.total_cmp(&b.0))
        else {
            break;
        };
        if held_here < FAINTEST * strongest {
            break;
        }
        let middle: DVec3 =
            left.iter().filter(|(body, _)| body.dot(at) > REACH).map(|(body, more)| *body * *more).sum();
        marks.push(middle.normalize());
        strongest = f64::max(strongest, held_here);
        held_by_marks += held_here;
        left.retain(|(body, _)| body.dot(at) <= REACH);
    }
    (held_by_marks > LEAST_SHARE * all).then_some(Found { spin_rad_s, marks })
}
