//! The rim of a ball to a part of a pixel: where a picture stops being the ball and is the still scene again.
//!
//! What lies behind the ball is known, the ball's own brightness beside its rim is not. So each ray asks for every place of the rim
//! how well the picture is explained by the still scene beyond it and by one even shade within. A border in the scene behind the ball
//! then is no rim, and a rim before something as bright as the ball simply tells nothing.

use boardwise_units::math;
use glam::{DMat3, DVec2, DVec3};

use crate::Picture;
use crate::camera::View;
use crate::still::Still;

use super::{LOWEST_SINE, RADIUS_M, RAYS};

/// Samples along a ray, at most.
const MOST: usize = 41;
/// Places of the rim that are tried on a ray, at most.
const PLACES: usize = 31;
/// How far from the expected rim a ray looks: pixels, and share of the radius.
const REACH_PX: f64 = 4.0;
const REACH: f64 = 0.25;
/// Width of a sharp rim: a pixel, and what looking between pixels adds.
const SHARP_PX: f64 = 1.5;
/// Lengths of the blur down the picture that are tried, in radii.
const BLURS: [f64; 4] = [0.0, 0.06, 0.15, 0.35];
/// Error of the scene and of an even shade beyond the pixels' noise, levels.
const SHADE: f64 = 4.0;
/// How much shading may change over a ray's reach, levels.
const SLOPE: f64 = 12.0;
/// Most that a ray can say against a rim, in squared errors: a light or a mark on the ball says no more.
const MOST_SAID: f64 = 16.0;
/// Spread of the radius: balls differ by half a percent, and the lens spreads light.
const GROW: f64 = 0.006;
const GROW_PX: f64 = 0.12;

/// What a ray says: its direction, the least squared error of any place of the rim along it, and how much more each has.
struct Said {
    along: DVec2,
    least: f64,
    more: [f64; PLACES],
}

/// A ray's samples: the picture, the still scene.
#[derive(Clone, Copy)]
struct Samples {
    along: DVec2,
    seen: [f64; MOST],
    still: [f64; MOST],
}

/// Where samples and places of the rim lie on a ray.
struct Ruler {
    samples: usize,
    step_px: f64,
    places: usize,
}

/// How far the middle of the outline lies from `middle`, and its standard errors, pixels.
pub fn fit(
    picture: &Picture,
    still: &Still,
    view: &View,
    shift: DVec2,
    centre_m: DVec3,
    middle: DVec2,
    radius_px: f64,
) -> Option<(DVec2, DVec2)> {
    let (ruler, reach_px) = Ruler::new(radius_px);
    let (rim_m, right_m, up_m) = view.outline(centre_m, RADIUS_M)?;
    let mut rays: Vec<Samples> = Vec::with_capacity(RAYS);
    for k in 0..RAYS {
        let angle = core::f64::consts::TAU * (k as f64 + 0.5) / RAYS as f64;
        let (c, s) = (math::cos(angle), math::sin(angle));
        if s < -LOWEST_SINE {
            continue;
        }
        let rim = view.project(rim_m + right_m * c + up_m * s)? - middle;
        let along = rim.normalize();
        let mut ray = Samples { along, seen: [0.0; MOST], still: [0.0; MOST] };
        for j in 0..ruler.samples {
            let place = middle + rim + along * ruler.sample_px(j);
            ray.seen[j] = picture.at(place.x + shift.x, place.y + shift.y);
            ray.still[j] = still.at(place);
        }
        rays.push(ray);
    }
    let variance = still.noise * still.noise + SHADE * SHADE;
    let grow_sd = GROW * radius_px + GROW_PX;
    let mut best: Option<(f64, DVec3, Rays)> = None;
    for blur in BLURS {
        let width_px = |ray: &Samples| SHARP_PX + blur * radius_px * ray.along.y.abs();
        let said: Vec<Said> = rays.iter().map(|ray| ruler.ask(ray, width_px(ray), variance)).collect();
        let least: f64 = said.iter().map(|said| said.least).sum();
        let rays = Rays { said, ruler: &ruler, grow_sd };
        let (at, more) = rays.least(0.3 * reach_px);
        if best.as_ref().is_none_or(|best| least + more < best.0) {
            best = Some((least + more, at, rays));
        }
    }
    let (_, at, rays) = best?;
    let sd_px = rays.errors(at)?;
    Some((at.truncate(), sd_px))
}

impl Ruler {
    fn new(radius_px: f64) -> (Self, f64) {
        let reach_px = f64::max(REACH_PX, REACH * radius_px);
        let step_px = f64::max(0.5, 2.0 * reach_px / (MOST - 1) as f64);
        let half = (reach_px / step_px) as usize;
        // A rim needs some of the ball within and some of the scene beyond.
        let places = (2 * half - 5).min(PLACES);
        let ruler = Self { samples: 2 * half + 1, step_px, places };
        (ruler, reach_px)
    }

    /// How far beyond the expected rim a sample lies, pixels.
    fn sample_px(&self, j: usize) -> f64 {
        (j as f64 - 0.5 * (self.samples - 1) as f64) * self.step_px
    }

    /// How far beyond the expected rim a place of it lies that is tried, pixels.
    fn place_px(&self, k: usize) -> f64 {
        (k as f64 - 0.5 * (self.places - 1) as f64) * self.step_px
    }

    /// Tries every place of the rim on a ray.
    fn ask(&self, ray: &Samples, width_px: f64, variance: f64) -> Said {
        // Samples closer than a pixel see the same noise.
        let weight = self.step_px.min(1.0) / variance;
        let ease = variance / (SLOPE * SLOPE);
        let reach_px = self.sample_px(self.samples - 1);
        let mut more = [0.0; PLACES];
        for (k, more) in more.iter_mut().enumerate().take(self.places) {
            let place_px = self.place_px(k);
            // Shade of the ball as a level and a slope: the best of each in closed form.
            let (mut aa, mut ab, mut bb, mut ay, mut by, mut yy) = (1e-6, 0.0, ease, 0.0, 0.0, 0.0);
            for j in 0..self.samples {
                let inward_px = place_px - self.sample_px(j);
                let ball = (inward_px / width_px + 0.5).clamp(0.0, 1.0);
                let y = ray.seen[j] - ray.still[j] * (1.0 - ball);
                let (a, b) = (ball, ball * inward_px / reach_px);
                aa += a * a;
                ab += a * b;
                bb += b * b;
                ay += a * y;
                by += b * y;
                yy += y * y;
            }
            let det = aa * bb - ab * ab;
            let (level, slope) = ((bb * ay - ab * by) / det, (aa * by - ab * ay) / det);
            *more = weight * (yy - level * ay - slope * by).max(0.0);
        }
        let least = more[..self.places].iter().copied().fold(f64::INFINITY, f64::min);
        for more in &mut more[..self.places] {
            // A ray that nothing explains is worth less, and none is worth too much.
            *more = MOST_SAID * (1.0 - math::exp(-(*more - least) / (MOST_SAID * (1.0 + least / self.samples as f64))));
        }
        Said { along: ray.along, least: least.min(4.0 * self.samples as f64), more }
    }
}

/// All rays together, and how much the radius may differ.
struct Rays<'a> {
    said: Vec<Said>,
    ruler: &'a Ruler,
    grow_sd: f64,
}

impl Rays<'_> {
    /// Squared error of an outline moved by x and y, and grown by z.
    fn cost(&self, at: DVec3) -> f64 {
        let ruler = self.ruler;
        let last = (ruler.places - 1) as f64;
        let mut sum = at.z * at.z / (self.grow_sd * self.grow_sd);
        for said in &self.said {
            let beyond_px = said.along.dot(at.truncate()) + at.z;
            let k = (beyond_px / ruler.step_px + 0.5 * last).clamp(0.0, last - 1e-9);
            let (whole, part) = (k as usize, k.fract());
            // A parabola through three places, so that the least one is found between them.
            let middle = if part < 0.5 { whole } else { whole + 1 }.clamp(1, ruler.places - 2);
            let t = k - middle as f64;
            let (a, b, c) = (said.more[middle - 1], said.more[middle], said.more[middle + 1]);
            sum += b + 0.5 * t * (c - a) + 0.5 * t * t * (a - 2.0 * b + c);
        }
        sum
    }

    /// The outline with the least error near the expected one, and that error.
    fn least(&self, first_step_px: f64) -> (DVec3, f64) {
        let (mut at, mut cost, mut step_px) = (DVec3::ZERO, self.cost(DVec3::ZERO), first_step_px);
        while step_px > 0.01 {
            let mut better = false;
            for axis in [DVec3::Y, DVec3::X, DVec3::Z, DVec3::Y + DVec3::Z, DVec3::Y - DVec3::Z] {
                for way in [axis * step_px, axis * -step_px] {
                    let new = self.cost(at + way);
                    if new < cost {
                        (at, cost, better) = (at + way, new, true);
                    }
                }
            }
            if !better {
                step_px *= 0.5;
            }
        }
        (at, cost)
    }

    /// Standard errors across and down, from how fast the error grows around the least.
    fn errors(&self, at: DVec3) -> Option<DVec2> {
        let h = 0.6 * self.ruler.step_px;
        let axes = [DVec3::X, DVec3::Y, DVec3::Z].map(|axis| axis * h);
        let mut bend = DMat3::ZERO;
        for (i, a) in axes.into_iter().enumerate() {
            for (j, b) in axes.into_iter().enumerate() {
                let both =
                    self.cost(at + a + b) + self.cost(at - a - b) - self.cost(at + a - b) - self.cost(at - a + b);
                bend.col_mut(j)[i] = both / (4.0 * h * h) * 0.5;
            }
        }
        // An outline of which nothing holds one side is no measure.
        let inverse = bend.inverse();
        let variance = DVec2::new(inverse.x_axis.x, inverse.y_axis.y);
        (variance.is_finite() && variance.min_element() > 0.0)
            .then(|| DVec2::new(math::sqrt(variance.x), math::sqrt(variance.y)))
    }
}
