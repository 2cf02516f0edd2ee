//! The still scene: what the picture shows without the ball, and how the camera shakes against it.

use glam::{DVec2, DVec3};

use crate::camera::View;
use crate::{FilmError, Picture};

/// Pictures averaged into the first still scene.
pub const FIRST: usize = 8;
/// Most that a camera may move, in thousandths of the picture's longer side.
const MOST_MOVE: f64 = 0.012;
/// Updates of the still scene a second: a level of brightness each.
const UPDATES_HZ: f64 = 25.0;
/// How like the still scene a picture must be, as a share of what is usual, to be laid over it; a picture that is less so may be moved
/// farther than slopes can tell. And from which share down, and for how long, the scene is gone (all our judgement).
const FOUND: f64 = 0.7;
const GONE: f64 = 0.5;
const GONE_S: f64 = 0.25;
/// Places at which the shake is measured.
const ANCHORS: usize = 4000;

/// A place with much contrast, with which pictures are laid over each other.
#[derive(Clone, Copy, Debug)]
struct Anchor {
    at: usize,
    slope: DVec2,
    luma: f64,
}

impl Anchor {
    /// How much brighter a moved picture is here, levels.
    fn off(&self, picture: &Picture, shift: DVec2) -> f64 {
        let (row, column) = (self.at / picture.width, self.at % picture.width);
        picture.at(column as f64 + shift.x, row as f64 + shift.y) - self.luma
    }
}

/// How far something counts that differs so much, levels: what differs by much is covered by somebody.
fn weight(off: f64) -> f64 {
    1.0 / (1.0 + (off / 12.0) * (off / 12.0))
}

/// A picture laid over the still scene.
struct Aligned {
    /// How far it is moved, pixels.
    shift: DVec2,
    /// How far it is like the still scene then, 0 to 1.
    alike: f64,
}

/// The scene without the ball.
pub struct Still {
    picture: Picture,
    /// Sums of the first pictures.
    sums: Vec<u16>,
    summed: u16,
    anchors: Vec<Anchor>,
    /// First and last column of each row that may show the ball.
    spans: Vec<(usize, usize)>,
    updated_s: f64,
    /// How like the still scene pictures were at best, 0 to 1.
    usual: f64,
    /// When a picture was last like it, s.
    like_s: f64,
    /// Standard deviation of a pixel's noise, levels.
    pub noise: f64,
}

impl Still {
    /// Nothing seen yet.
    pub fn new() -> Self {
        Self {
            picture: Picture::default(),
            sums: Vec::new(),
            summed: 0,
            anchors: Vec::new(),
            spans: Vec::new(),
            updated_s: 0.0,
            usual: 0.0,
            like_s: 0.0,
            noise: 2.0,
        }
    }

    /// Takes one of the first pictures in.
    pub fn learn(&mut self, picture: &Picture) {
        if self.summed == 0 {
            self.sums = vec![0; picture.luma.len()];
            (self.picture.width, self.picture.height) = (picture.width, picture.height);
        }
        self.summed += 1;
        for (sum, luma) in self.sums.iter_mut().zip(&picture.luma) {
            *sum += u16::from(*luma);
        }
    }

    /// The mean of the pictures so far, with `last` as one of them to tell the noise from.
    pub fn settle(&mut self, last: &Picture) -> &Picture {
        let count = self.summed.max(1);
        self.picture.luma = self.sums.iter().map(|sum| ((sum + count / 2) / count) as u8).collect();
        let mut squares = 0u64;
        for (mean, luma) in self.picture.luma.iter().zip(&last.luma).step_by(7) {
            let off = i64::from(*mean) - i64::from(*luma);
            squares += (off * off).min(400) as u64;
        }
        let of = (self.picture.luma.len() / 7).max(1) as f64;
        // The last picture is one of those averaged.
        let share = 1.0 - 1.0 / f64::from(count);
        self.noise = (squares as f64 / of / share.max(0.3)).sqrt().max(1.0);
        self.anchor();
        &self.picture
    }

    /// Chooses the places that tell the shake: the strongest slopes of brightness, spread over the picture.
    fn anchor(&mut self) {
        let (width, height) = (self.picture.width, self.picture.height);
        let side = (((width * height) as f64 / ANCHORS as f64).sqrt() as usize).max(4);
        self.anchors.clear();
        for top in (4..height.saturating_sub(side + 4)).step_by(side) {
            for left in (4..width.saturating_sub(side + 4)).step_by(side) {
                let mut best: Option<(f64, Anchor)> = None;
                for row in (top..top + side).step_by(2) {
                    for column in (left..left + side).step_by(2) {
                        let at = row * width + column;
                        let luma = |at: usize| f64::from(self.picture.luma[at]);
                        let slope = DVec2::new(
                            (luma(at + 2) - luma(at - 2)) / 4.0,
                            (luma(at + 2 * width) - luma(at - 2 * width)) / 4.0,
                        );
                        let steep = slope.length_squared();
                        if steep > 25.0 && best.is_none_or(|(most, _)| steep > most) {
                            best = Some((steep, Anchor { at, slope, luma: luma(at) }));
                        }
                    }
                }
                self.anchors.extend(best.map(|(_, anchor)| anchor));
            }
        }
    }

    /// How far a picture is moved against the still scene, pixels.
    ///
    /// # Errors
    /// If the camera itself was moved, or the scene is gone.
    pub fn shake(&mut self, picture: &Picture) -> Result<DVec2, FilmError> {
        if self.anchors.len() < 30 {
            return Ok(DVec2::ZERO);
        }
        let allowed = MOST_MOVE * picture.width.max(picture.height) as f64;
        let mut aligned = self.lay(picture, DVec2::ZERO);
        if aligned.alike < FOUND * self.usual {
            // Slopes lead home from a few pixels only: a farther way is searched for.
            let far = self.lay(picture, self.search(picture, allowed));
            if far.alike > FOUND * self.usual {
                aligned = far;
            }
        }
        let Aligned { shift, alike } = aligned;
        if shift.length() > allowed {
            return Err(FilmError::Moved { pixels: shift.length(), time_s: picture.time_s });
        }
        self.usual = self.usual.max(alike);
        if alike > GONE * self.usual {
            self.like_s = picture.time_s;
        } else if picture.time_s - self.like_s > GONE_S {
            return Err(FilmError::SceneGone { time_s: self.like_s });
        }
        Ok(shift)
    }

    /// Lays a picture over the still scene, from a first guess on.
    fn lay(&self, picture: &Picture, guess: DVec2) -> Aligned {
        let (mut shift, mut alike) = (guess, 0.0);
        for _ in 0..4 {
            let (mut xx, mut xy, mut yy, mut bx, mut by) = (1e-9, 0.0, 1e-9, 0.0, 0.0);
            let mut weights = 0.0;
            for anchor in &self.anchors {
                let off = anchor.off(picture, shift);
                let (weight, slope) = (weight(off), anchor.slope);
                weights += weight;
                xx += weight * slope.x * slope.x;
                xy += weight * slope.x * slope.y;
                yy += weight * slope.y * slope.y;
                bx += weight * slope.x * off;
                by += weight * slope.y * off;
            }
            alike = weights / self.anchors.len() as f64;
            let det = xx * yy - xy * xy;
            let step = DVec2::new(yy * bx - xy * by, xx * by - xy * bx) / det;
            if !step.is_finite() {
                break;
            }
            shift -= step.clamp_length_max(3.0);
            if step.length_squared() < 1e-4 {
                break;
            }
        }
        Aligned { shift, alike }
    }

    /// The shift at which most of the picture is like the still scene, up to a few times what is allowed.
    fn search(&self, picture: &Picture, allowed: f64) -> DVec2 {
        const STEPS: i32 = 20;
        let step_px = 3.0 * allowed / f64::from(STEPS);
        let every = (self.anchors.len() / 400).max(1);
        let alike = |shift: DVec2| -> f64 {
            self.anchors.iter().step_by(every).map(|anchor| weight(anchor.off(picture, shift))).sum()
        };
        let (mut best, mut most) = (DVec2::ZERO, 0.0);
        for down in -STEPS..=STEPS {
            for across in -STEPS..=STEPS {
                let shift = step_px * DVec2::new(f64::from(across), f64::from(down));
                let alike = alike(shift);
                if alike > most {
                    (best, most) = (shift, alike);
                }
            }
        }
        best
    }

    /// Marks the part of the picture where a ball on the lane can be seen.
    pub fn look_at_lane(&mut self, view: &View) {
        let (width, height) = (self.picture.width, self.picture.height);
        self.spans = vec![(usize::MAX, 0); height];
        let mut last: Option<[DVec2; 4]> = None;
        for k in 0..400 {
            let y_m = 0.05 * f64::from(k);
            let corner = |x_m: f64, z_m: f64| view.project(DVec3::new(x_m, y_m, z_m));
            let (Some(a), Some(b), Some(c), Some(d)) =
                (corner(-0.85, 0.0), corner(0.85, 0.0), corner(-0.85, 0.3), corner(0.85, 0.3))
            else {
                continue;
            };
            let corners = [a, b, c, d];
            let all = corners.into_iter().chain(last.unwrap_or(corners));
            let (low, high) = all.fold((DVec2::MAX, DVec2::MIN), |(low, high), p| (low.min(p), high.max(p)));
            last = Some(corners);
            if high.x < 0.0 || high.y < 0.0 || low.x > width as f64 || low.y > height as f64 {
                continue;
            }
            let columns = (low.x.max(0.0) as usize, (high.x.ceil().max(0.0) as usize).min(width - 1));
            let rows = low.y.max(0.0) as usize..=(high.y.ceil().max(0.0) as usize).min(height - 1);
            for span in &mut self.spans[rows] {
                *span = (span.0.min(columns.0), span.1.max(columns.1));
            }
        }
    }

    /// Lets slow changes of light into the still scene: a level at most, so that a ball passes without a trace.
    pub fn follow(&mut self, picture: &Picture, shift: DVec2) {
        if picture.time_s - self.updated_s < 1.0 / UPDATES_HZ {
            return;
        }
        self.updated_s = picture.time_s;
        let (right, down) = (shift.x.round() as isize, shift.y.round() as isize);
        let (width, height) = (self.picture.width.cast_signed(), self.picture.height.cast_signed());
        for (row, &(from, to)) in self.spans.iter().enumerate() {
            let there = row.cast_signed() + down;
            if from > to || there < 0 || there >= height {
                continue;
            }
            let from = from.cast_signed().max(-right);
            let to = to.cast_signed().min(width - 1 - right);
            if from > to {
                continue;
            }
            let still = row.cast_signed() * width;
            let seen = there * width + right;
            let still = &mut self.picture.luma[(still + from) as usize..=(still + to) as usize];
            let seen = &picture.luma[(seen + from) as usize..=(seen + to) as usize];
            for (still, seen) in still.iter_mut().zip(seen) {
                *still = still.saturating_add(u8::from(*seen > *still)).saturating_sub(u8::from(*seen < *still));
            }
        }
    }

    /// Brightness of the still scene between pixels, levels.
    pub fn at(&self, place: DVec2) -> f64 {
        self.picture.at(place.x, place.y)
    }

    /// How much a picture differs from the still scene at a place of the still scene, levels.
    #[inline]
    pub fn change(&self, picture: &Picture, shift: DVec2, place: DVec2) -> f64 {
        (picture.at(place.x + shift.x, place.y + shift.y) - self.picture.at(place.x, place.y)).abs()
    }

    /// As [`change`](Self::change), to the nearest pixel.
    #[inline]
    pub fn rough_change(&self, picture: &Picture, shift: DVec2, place: DVec2) -> u8 {
        let pixel = |p: DVec2| {
            let column = (p.x + 0.5).clamp(0.0, (picture.width - 1) as f64) as usize;
            let row = (p.y + 0.5).clamp(0.0, (picture.height - 1) as f64) as usize;
            row * picture.width + column
        };
        picture.luma[pixel(place + shift)].abs_diff(self.picture.luma[pixel(place)])
    }
}
