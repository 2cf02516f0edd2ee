//! The ball followed from picture to picture: found first as something that rolls down the lane, then expected and found again.

use boardwise_units::court;
use glam::DVec2;

use crate::Picture;
use crate::ball::{self, Outline, RADIUS_M};
use crate::camera::View;
use crate::still::Still;

/// A ball seen in one picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sighting {
    /// Time of the picture's first row, seconds.
    pub time_s: f64,
    /// Row at which the ball was seen, as a share of the picture's height: rows are taken one after the other.
    pub row: f64,
    /// The outline.
    pub middle_px: DVec2,
    /// Its standard errors across and down, pixels.
    pub sd_px: DVec2,
    /// Radius expected there, pixels.
    pub radius_px: f64,
    /// Where the ball touches the lane, metres (x to the right), as this picture alone tells it.
    pub place_m: DVec2,
    /// How far the camera had moved against the still scene, pixels.
    pub shake_px: DVec2,
}

/// Speeds at which balls roll, m/s.
const SPEEDS_M_S: std::ops::RangeInclusive<f64> = 3.5..=15.0;
/// Farthest place at which a ball may be found first, metres.
const FIRST_FOUND_M: f64 = 16.0;
/// Where following ends, metres: before any pin is touched.
const END_M: f64 = court::HEAD_PIN_M - 0.30;
/// A ball unseen for so long is looked for anew, s: at once while it has not rolled far, for then it may have been somebody's leg.
const LOST_S: f64 = 0.3;
const LOST_SOON_S: f64 = 0.08;
/// How far something must have rolled to be taken for the ball, metres.
const SURE_M: f64 = 4.0;
/// How far from the ball a second one is looked for, and how far it must have rolled, metres: a ball's own shine on the lane rolls with it.
const APART_M: f64 = 2.0;
const SECOND_M: f64 = 6.0;
/// Slowest that a ball rolls, m/s.
const SLOWEST_M_S: f64 = 2.5;
/// Span over which a first chain is looked for, s.
const CHAIN_S: f64 = 0.4;
/// Span from which the next place is expected, s.
const RECENT_S: f64 = 0.22;
/// Candidates a picture.
const CANDIDATES: usize = 4;

/// A place at which a ball may stand, ready to be looked up: pixels inside it, and around its upper part.
struct Stand {
    place_m: DVec2,
    inside: [DVec2; 13],
    around: [DVec2; 9],
}

/// What is known of the ball so far.
enum State {
    /// Nothing: places that look like a ball, picture by picture.
    Looking,
    /// It rolls.
    Following,
    /// It came to the pins or left the lane.
    Done,
}

/// Follows one ball.
pub struct Track {
    stands: Vec<Stand>,
    candidates: Vec<Sighting>,
    pictures_s: Vec<f64>,
    sightings: Vec<Sighting>,
    /// Where something else was seen rolling, first and last: distance and time.
    second: Option<[(f64, f64); 2]>,
    /// When a second ball had rolled far beside the one that is followed, s.
    second_s: Option<f64>,
    state: State,
}

impl Track {
    /// Nothing seen yet; the camera says where balls may be seen.
    pub fn new(view: &View) -> Self {
        let mut stands = Vec::new();
        for along in 0..112 {
            for across in -10..=10 {
                let place_m = DVec2::new(0.05 * f64::from(across), 0.3 + 0.14 * f64::from(along));
                if place_m.y < FIRST_FOUND_M {
                    stands.extend(stand(view, place_m));
                }
            }
        }
        Self {
            stands,
            candidates: Vec::new(),
            pictures_s: Vec::new(),
            sightings: Vec::new(),
            second: None,
            second_s: None,
            state: State::Looking,
        }
    }

    /// Whether the ball's way is over.
    pub fn done(&self) -> bool {
        matches!(self.state, State::Done)
    }

    /// When a second ball was seen on the lane, s.
    pub fn second_s(&self) -> Option<f64> {
        self.second_s
    }

    /// What was seen, in order.
    pub fn sightings(&self) -> &[Sighting] {
        &self.sightings
    }

    /// Takes the next picture in.
    pub fn see(&mut self, picture: &Picture, still: &Still, view: &View, shift: DVec2) {
        match self.state {
            State::Looking => self.look(picture, still, view, shift),
            State::Following => self.follow(picture, still, view, shift),
            State::Done => {}
        }
    }

    fn look(&mut self, picture: &Picture, still: &Still, view: &View, shift: DVec2) {
        self.gather(picture, still, view, shift);
        if let Some(chain) = chain(&self.candidates, &self.pictures_s, picture.time_s) {
            self.join(chain);
            self.state = State::Following;
        }
    }

    /// Goes on from a new chain: after what was seen before, if one ball can have been seen in both.
    fn join(&mut self, chain: Vec<Sighting>) {
        let sure = self.sure();
        if let (Some(last), Some(first)) = (self.sightings.last().copied(), chain.first()) {
            let (step, span_s) = (first.place_m - last.place_m, first.time_s - last.time_s);
            let same = span_s > 0.0 && SPEEDS_M_S.contains(&(step.y / span_s));
            if !sure || !same {
                self.sightings.clear();
            }
        }
        let after_s = self.sightings.last().map_or(f64::NEG_INFINITY, |last| last.time_s);
        self.sightings.extend(chain.into_iter().filter(|s| s.time_s > after_s));
    }

    /// Whether what is followed has rolled far enough to be a ball.
    fn sure(&self) -> bool {
        let ends = self.sightings.first().zip(self.sightings.last());
        ends.is_some_and(|(first, last)| last.place_m.y - first.place_m.y > SURE_M)
    }

    /// Whether something else rolls down the lane as a ball does, well away from the one that is followed.
    fn look_for_second(&mut self, time_s: f64) {
        let apart = |c: &Sighting| {
            let with = self.sightings.iter().rev().find(|s| s.time_s <= c.time_s + 1e-9);
            with.is_none_or(|s| (s.place_m.y - c.place_m.y).abs() > APART_M)
        };
        let others: Vec<Sighting> = self.candidates.iter().filter(|c| apart(c)).copied().collect();
        let chain = chain(&others, &self.pictures_s, time_s);
        let Some((old, new)) = chain.as_ref().and_then(|chain| chain.first().zip(chain.last())) else { return };
        let now = (new.place_m.y, new.time_s);
        let [first, last] = self.second.unwrap_or([(old.place_m.y, old.time_s), now]);
        // One thing goes on rolling; a gap or a step back makes it another.
        let goes_on = now.1 - last.1 < LOST_S && now.0 > last.0 - 0.3 && now.0 - last.0 < 15.0 * LOST_S;
        let first = if goes_on { first } else { (old.place_m.y, old.time_s) };
        self.second = Some([first, now]);
        if now.0 - first.0 > SECOND_M && SPEEDS_M_S.contains(&((now.0 - first.0) / (now.1 - first.1).max(1e-3))) {
            self.second_s = Some(time_s);
        }
    }

    /// Keeps the places of a picture that look like a ball.
    fn gather(&mut self, picture: &Picture, still: &Still, view: &View, shift: DVec2) {
        let since_s = picture.time_s - CHAIN_S;
        self.candidates.retain(|c| c.time_s > since_s);
        self.pictures_s.retain(|t| *t > since_s);
        self.pictures_s.push(picture.time_s);
        let threshold = (4.0 * still.noise).clamp(9.0, 60.0) as u8;
        let mut best: [(f64, DVec2); CANDIDATES] = [(0.0, DVec2::ZERO); CANDIDATES];
        for stand in &self.stands {
            let share = |places: &[DVec2]| {
                let changed = places.iter().filter(|p| still.rough_change(picture, shift, **p) > threshold).count();
                changed as f64 / places.len() as f64
            };
            let inside = share(&stand.inside);
            if inside < 0.6 {
                continue;
            }
            let score = inside - share(&stand.around);
            if score > 0.45 {
                keep_best(&mut best, score, stand.place_m);
            }
        }
        for (score, place_m) in best {
            if score > 0.0
                && let Some(outline) = ball::outline(picture, still, view, shift, place_m)
                && (outline.place_m - place_m).length() < 0.8
            {
                self.candidates.push(sighting(picture, shift, &outline));
            }
        }
    }

    fn follow(&mut self, picture: &Picture, still: &Still, view: &View, shift: DVec2) {
        let sure = self.sure();
        if !sure || self.second_s.is_none() {
            self.gather(picture, still, view, shift);
        }
        if sure {
            self.look_for_second(picture.time_s);
        }
        let Some(last) = self.sightings.last().copied() else { return };
        let (place_m, speed_m_s) = expected(&self.sightings, picture.time_s);
        let unseen_s = picture.time_s - last.time_s;
        if sure && (place_m.y > END_M || place_m.x.abs() > 0.5 * court::WIDTH_M + 0.02) {
            self.state = State::Done;
            return;
        }
        if unseen_s > if sure { LOST_S } else { LOST_SOON_S } || speed_m_s.y < SLOWEST_M_S {
            self.state = State::Looking;
            return;
        }
        if let Some(outline) = ball::outline(picture, still, view, shift, place_m) {
            let off = outline.place_m - place_m;
            let wide = 0.06 + 0.4 * unseen_s;
            // Far away a pixel is many centimetres along the lane.
            let long = 0.15 + 0.02 * place_m.y + 0.1 * speed_m_s.y * unseen_s;
            if off.x.abs() < wide && off.y.abs() < long && outline.place_m.y < END_M {
                self.sightings.push(sighting(picture, shift, &outline));
            }
        }
    }
}

/// Puts a place among the best ones, unless a better one stands close by.
fn keep_best(best: &mut [(f64, DVec2); CANDIDATES], score: f64, place_m: DVec2) {
    const CLOSE_M: f64 = 0.45;
    if let Some(near) = best.iter_mut().find(|(had, place)| *had > 0.0 && place.distance(place_m) < CLOSE_M) {
        if score > near.0 {
            *near = (score, place_m);
        }
        return;
    }
    if let Some(worst) = best.iter_mut().min_by(|a, b| a.0.total_cmp(&b.0))
        && worst.0 < score
    {
        *worst = (score, place_m);
    }
}

fn sighting(picture: &Picture, shift: DVec2, outline: &Outline) -> Sighting {
    Sighting {
        time_s: picture.time_s,
        row: (outline.middle_px.y + shift.y) / picture.height as f64,
        middle_px: outline.middle_px,
        sd_px: outline.sd_px,
        radius_px: outline.radius_px,
        place_m: outline.place_m,
        shake_px: shift,
    }
}

fn stand(view: &View, place_m: DVec2) -> Option<Stand> {
    let centre_m = place_m.extend(RADIUS_M);
    let (rim_m, right_m, up_m) = view.outline(centre_m, RADIUS_M)?;
    let at = |share: f64, angle: f64| {
        let (c, s) = (boardwise_units::math::cos(angle), boardwise_units::math::sin(angle));
        view.project(rim_m + right_m * (c * share) + up_m * (s * share))
    };
    let mut inside = [at(0.0, 0.0)?; 13];
    for (k, place) in inside.iter_mut().enumerate().skip(1) {
        let share = if k % 2 == 0 { 0.4 } else { 0.75 };
        *place = at(share, core::f64::consts::TAU * k as f64 / 12.0)?;
    }
    let mut around = [DVec2::ZERO; 9];
    for (k, place) in around.iter_mut().enumerate() {
        *place = at(1.45, core::f64::consts::PI * (k as f64 - 0.5) / 7.0)?;
    }
    let in_front = inside.iter().chain(&around).all(|p| {
        p.x > 1.0 && p.y > 1.0 && p.x < 2.0 * view.camera.middle_px.x - 1.0 && p.y < 2.0 * view.camera.middle_px.y - 1.0
    });
    in_front.then_some(Stand { place_m, inside, around })
}

/// Candidates that move together as a ball does, up to the newest picture.
fn chain(candidates: &[Sighting], pictures_s: &[f64], now_s: f64) -> Option<Vec<Sighting>> {
    let newest = candidates.iter().filter(|c| c.time_s == now_s);
    let mut best: Option<Vec<Sighting>> = None;
    for new in newest {
        for old in candidates.iter().filter(|c| now_s - c.time_s > 0.09) {
            let speed = (new.place_m - old.place_m) / (new.time_s - old.time_s);
            if !SPEEDS_M_S.contains(&speed.y) || speed.x.abs() > 0.16 * speed.y {
                continue;
            }
            let mut along: Vec<Sighting> = Vec::new();
            for c in candidates {
                let off = c.place_m - (new.place_m + speed * (c.time_s - new.time_s));
                let fits = off.x.abs() < 0.06 && off.y.abs() < 0.12 + 0.02 * c.place_m.y;
                let taken = along.last().is_some_and(|had| had.time_s == c.time_s);
                if fits && !taken {
                    along.push(*c);
                }
            }
            let pictures = pictures_s.iter().filter(|t| **t >= old.time_s).count();
            let enough = along.len() >= 4 && along.len() * 5 >= pictures * 3;
            if enough && best.as_ref().is_none_or(|best| along.len() > best.len()) {
                best = Some(along);
            }
        }
    }
    best
}

/// Where the ball is expected, and its speed: a straight line through what was seen last.
fn expected(sightings: &[Sighting], time_s: f64) -> (DVec2, DVec2) {
    let last_s = sightings.last().map_or(0.0, |s| s.time_s);
    let recent = || sightings.iter().rev().take_while(|s| last_s - s.time_s <= RECENT_S);
    let (mut n, mut t, mut tt, mut p, mut tp) = (0.0, 0.0, 0.0, DVec2::ZERO, DVec2::ZERO);
    for s in recent() {
        let dt = s.time_s - last_s;
        n += 1.0;
        t += dt;
        tt += dt * dt;
        p += s.place_m;
        tp += s.place_m * dt;
    }
    let spread = n * tt - t * t;
    if spread < 1e-9 {
        return (p / f64::max(n, 1.0), DVec2::new(0.0, 8.0));
    }
    let speed = (tp * n - p * t) / spread;
    let middle = (p - speed * t) / n;
    (middle + speed * (time_s - last_s), speed)
}
