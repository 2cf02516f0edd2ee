//! The whole way from pictures to a measured throw.

use boardwise_units::{FOOT_M, Hand};

use crate::fit;
use crate::result::Estimate;
use crate::spin::{self, CutOut, Thrown};
use crate::still::{FIRST, Still};
use crate::track::Track;
use crate::{FilmError, Measured, Picture, Pictures, Point, solve_lane};

/// What the film itself does not show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// The bowling hand: boards count from its side.
    pub hand: Hand,
    /// Where the oil ends, feet, if anybody knows: the exit is read there.
    pub pattern_ft: Option<f64>,
    /// How many times slower the film shows what happened than it was, such as 8 for 240 pictures a second shown as 30.
    pub slowed: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self { hand: Hand::Right, pattern_ft: None, slowed: 1.0 }
    }
}

/// Smallest and largest side of a picture, pixels.
const SIDES: std::ops::RangeInclusive<usize> = 160..=8192;
/// Standard errors from which on a value of the first feet is not given, boards and degrees.
const LEAST_SURE_BOARDS: f64 = 0.5;
const LEAST_SURE_DEG: f64 = 0.4;
/// Shortest film, pictures.
const LEAST: usize = 20;

/// Measures the one throw of a film.
///
/// # Errors
/// If the film cannot be read, the lane or the ball is not found in it, or what is found makes no throw.
pub fn measure(film: &mut impl Pictures, points: &[Point], settings: &Settings) -> Result<Measured, FilmError> {
    let mut picture = Picture::default();
    let mut still = Still::new();
    let mut pictures = 0;
    while pictures < FIRST && film.next(&mut picture)? {
        let Picture { width, height, .. } = picture;
        if !SIDES.contains(&width) || !SIDES.contains(&height) {
            return Err(FilmError::Size { width, height });
        }
        still.learn(&picture);
        pictures += 1;
    }
    if pictures < FIRST {
        return Err(FilmError::TooShort { pictures, least: LEAST });
    }
    let (width, height) = (picture.width, picture.height);
    let lane = solve_lane(still.settle(&picture), points)?;
    let view = lane.camera.view();
    still.look_at_lane(&view);
    let mut track = Track::new(&view);
    let mut cuts = Vec::new();
    while !track.done() && film.next(&mut picture)? {
        pictures += 1;
        if (picture.width, picture.height) != (width, height) {
            return Err(FilmError::Size { width: picture.width, height: picture.height });
        }
        picture.time_s /= settings.slowed;
        let shift = still.shake(&picture)?;
        track.see(&picture, &still, &view, shift);
        let newest = track.sightings().last().filter(|s| s.time_s == picture.time_s);
        cuts.extend(newest.and_then(|s| CutOut::of(&picture, s, shift)));
        still.follow(&picture, shift);
    }
    if pictures < LEAST {
        return Err(FilmError::TooShort { pictures, least: LEAST });
    }
    if let Some(time_s) = track.second_s() {
        return Err(FilmError::TwoBalls { time_s });
    }
    let sightings = track.sightings();
    let fitted = fit::fit(sightings, &lane, settings.hand, settings.pattern_ft)?;
    let thrown = Thrown {
        path: &fitted.path,
        view: &fitted.camera.view(),
        start_s: fitted.start_s,
        readout_s: fitted.readout_s,
        sign: if settings.hand == Hand::Left { -1.0 } else { 1.0 },
        noise: still.noise,
    };
    let spin = spin::measure(&cuts, &thrown);
    let seen_ft = |at: Option<&crate::Sighting>| at.map_or(0.0, |s| s.place_m.y / FOOT_M);
    let [laydown, launch, arrows, board, feet, exit, entry, angle, release, pins] = fitted.estimates;
    let known = |estimate: Option<Estimate>| estimate.ok_or(FilmError::NoThrow { miss: fitted.misfit });
    // Where the ball was first seen far down the lane, what came before is a guess.
    let seen = |estimate: Option<Estimate>, most: f64| estimate.filter(|estimate| estimate.error < most);
    Ok(Measured {
        laydown: seen(laydown, LEAST_SURE_BOARDS),
        launch: seen(launch, LEAST_SURE_DEG),
        arrows: seen(arrows, LEAST_SURE_BOARDS),
        breakpoint_board: known(board)?,
        breakpoint_ft: known(feet)?,
        exit,
        entry,
        entry_angle: angle,
        release_speed: known(release)?,
        pins_speed: pins,
        pictures,
        sightings: sightings.to_vec(),
        seen_ft: (seen_ft(sightings.first()), seen_ft(sightings.last())),
        lane_boards: (lane.arrows_boards, lane.pins_boards),
        misfit: fitted.misfit,
        camera: fitted.camera,
        hand: settings.hand,
        start_s: fitted.start_s,
        readout_s: fitted.readout_s,
        path: fitted.path,
        spin,
    })
}
