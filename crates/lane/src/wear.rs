//! What a ball takes from the lane, and what it lays down.
//!
//! One law of exchange moves the oil ([`crate::Contact::gain_m`]): what is free of the lane's film and of the cover's meets and splits in the
//! middle. Depletion is what is taken where there is oil; carrydown is what comes back where there
//! is none. The oil is in one of three places, and its sum never changes: on the lane, on the cover, soaked into it.
//!
//! Weak spots: what a pass wears is narrower than the film's half boards, so it thins a whole half board a little; the cover meets only what
//! the last revolution left on it; every throw starts with a clean track; oil does not level out (that takes hours \[C\]).

use crate::LaneError;
use crate::friction::{Contact, ContactLaw};
use crate::path::Path;
use crate::release::Release;
use crate::surface::{Coating, Lane};
use crate::throw::throw_with;
use crate::track::{Met, Pass, RingTrack, Track};
use alloc::vec::Vec;
use boardwise_ball::Ball;
use boardwise_units::{Microlitres, math};
use glam::DVec2;

/// The step of a throw that wears the lane, s: the exchange changes by less than a thousandth with a finer one.
const STEP_S: f64 = 1e-3;

/// A cover sanded at about 1500 grit, whose swath is the law's.
const SWATH_RA_M: f64 = 0.6e-6;
/// How the width grows with roughness: a dull cover wets more lane than a shiny one (our judgement, no source).
const SWATH_POWER: f64 = 0.2;

/// Width of the lane that a ball's contact wears, m.
fn swath_m(ball: &Ball, law: &ContactLaw) -> f64 {
    law.swath_m * math::pow(ball.surface.ra_m / SWATH_RA_M, SWATH_POWER)
}

/// Oil that a ball took off the lane in a throw.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TakenOil {
    /// Still on the cover as the ball leaves the lane.
    pub on_cover: Microlitres,
    /// Soaked into the cover.
    pub soaked: Microlitres,
}

impl TakenOil {
    /// What a towel takes off: this share (0 to 1) of the oil on the cover.
    pub fn wiped(&mut self, share: f64) -> Microlitres {
        let wiped = Microlitres(self.on_cover.0 * share.clamp(0.0, 1.0));
        self.on_cover.0 -= wiped.0;
        wiped
    }
}

impl Lane {
    /// Throws a ball and leaves the lane as the throw leaves it. A lane whose friction is given outright does not change.
    ///
    /// Each throw begins with a clean ball. Its path is followed with the ball's own track as a ring ([`TrackForm::Ring`](crate::TrackForm::Ring)),
    /// so that it ends about a tenth of a board, at worst half a board, from that of [`throw`](crate::throw()). Nobody throws twice alike: throws that are just the
    /// same wear one narrow groove, and move the line faster than a bowler's do.
    ///
    /// # Errors
    /// If the release is not possible ([`Release::check`]); the lane is then as it was.
    ///
    /// ```
    /// use boardwise_ball::{Ball, BallSpec, CoverKind};
    /// use boardwise_lane::{Coating, ContactLaw, Direction, Film, Lane, Release, Stroke};
    /// use boardwise_units::Microlitres;
    ///
    /// let stroke = Stroke { boards: (2.0, 38.0), feet: (0.0, 40.0), oil: Microlitres(20_000.0), direction: Direction::Out };
    /// let mut lane = Lane::new(Coating::Oil(Film::from_strokes(&[stroke], 2.0)?));
    /// let ball = Ball::new(BallSpec::new("any", CoverKind::Reactive)).unwrap().0;
    /// let (_, taken) = lane.wear(&ball, &Release::default(), &ContactLaw::default())?;
    /// let left = lane.film().unwrap().volume().0;
    /// assert!((left + taken.on_cover.0 + taken.soaked.0 - 20_000.0).abs() < 1e-6);
    /// # Ok::<(), boardwise_lane::LaneError>(())
    /// ```
    pub fn wear(&mut self, ball: &Ball, release: &Release, law: &ContactLaw) -> Result<(Path, TakenOil), LaneError> {
        let mut track = WearTrack::new(ball, law);
        let path = throw_with(&mut track, self, ball, release, law, STEP_S)?;
        if let Coating::Oil(film) = &mut self.coating {
            for (place_m, taken_m3) in &track.taken {
                film.thickness_m.add_at(place_m.x, place_m.y, -taken_m3);
            }
        }
        let taken = TakenOil {
            on_cover: Microlitres::from_cubic_metres(track.on_cover_m3),
            soaked: Microlitres::from_cubic_metres(track.soaked_m3),
        };
        Ok((path, taken))
    }
}

/// A track that writes down what it takes and where. The lane changes only after the throw: a ball meets a place once.
struct WearTrack {
    ring: RingTrack,
    radius_m: f64,
    swath_m: f64,
    taken: Vec<(DVec2, f64)>,
    on_cover_m3: f64,
    soaked_m3: f64,
    time_s: f64,
}

impl WearTrack {
    fn new(ball: &Ball, law: &ContactLaw) -> Self {
        Self {
            ring: RingTrack::new(ball.radius_m),
            radius_m: ball.radius_m,
            swath_m: swath_m(ball, law),
            taken: Vec::new(),
            on_cover_m3: 0.0,
            soaked_m3: 0.0,
            time_s: 0.0,
        }
    }
}

impl Track for WearTrack {
    fn film_m(&self, pass: &Pass, contact: &Contact) -> f64 {
        self.ring.film_m(pass, contact)
    }

    fn lay(&mut self, pass: &Pass, contact: &Contact, before_m: f64, met: Met) {
        self.ring.lay(pass, contact, before_m, met);
        let gain_m = contact.gain_m(met.lane_m, before_m, met.sweep);
        // Every spot soaks at the same rate, so the whole does.
        let soaks = self.on_cover_m3 * (1.0 - math::exp((self.time_s - pass.time_s) / contact.absorption_s));
        self.on_cover_m3 -= soaks;
        self.soaked_m3 += soaks;
        self.time_s = pass.time_s;
        let passed_m = self.radius_m * pass.contact.cross(pass.axis).length() * pass.step_rad;
        let taken_m3 = gain_m * self.swath_m * passed_m;
        self.on_cover_m3 += taken_m3;
        self.taken.push((pass.place_m, taken_m3));
    }
}
