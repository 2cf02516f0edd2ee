//! One throw: followed to the pins, and what it leaves.

use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Fineness, LaneError, Path, PathRow, PinTouch, Place, Release, Side, throw};
use boardwise_search::{FirstBall, Pocket, Strikes};
use boardwise_units::court;

use super::leaves::leave_views;
use super::view::{
    EntryView, Form, GutterView, OneThrow, PathPoint, PlaceView, ReleaseView, ThrowAnswer, ThrowEnds, Thrown,
};
use super::{ARROWS_FT, Failure, Scene};
use boardwise_files::KitBall;

/// One throw of the scene, as finely as it can be followed.
///
/// # Errors
/// If the release is not possible.
pub fn path(scene: &Scene, ball: &Ball, release: &Release) -> Result<Path, LaneError> {
    throw(&scene.lane, ball, release, &ContactLaw::default(), Fineness::default())
}

/// What the throw as meant leaves, by the carry table.
///
/// # Errors
/// If the table built in cannot be read.
pub fn left(scene: &Scene, ball: &Ball, path: &Path) -> Result<FirstBall, Failure> {
    let strikes = Strikes::new(boardwise_files::carry()?, ball, scene.bowler.hand, Pocket::default());
    Ok(strikes.leaves_of(&[path.touch.filter(|_| path.gutter.is_none())]))
}

/// Throws of one release with several balls; one throw stands for itself.
///
/// # Errors
/// As [`left`].
pub fn view(scene: &Scene, release: &Release, thrown: &[(&KitBall, Path)]) -> Result<ThrowAnswer, Failure> {
    let throws = thrown.iter().map(|(ball, path)| one(scene, ball, path));
    let mut throws = throws.collect::<Result<Vec<_>, _>>()?;
    let thrown = match throws.pop() {
        Some(only) if throws.is_empty() => Thrown::One(Box::new(only)),
        last => {
            throws.extend(last);
            Thrown::Several { throws }
        }
    };
    Ok(ThrowAnswer {
        schema: Form,
        lane: scene.lane_name.clone(),
        bowler: scene.bowler.name.clone(),
        boards_from: scene.bowler.hand.into(),
        release: release.into(),
        thrown,
    })
}

impl From<&Release> for ReleaseView {
    fn from(release: &Release) -> Self {
        Self {
            laydown: release.laydown.0,
            launch_deg: release.launch.0,
            speed_mph: release.speed.0,
            rev_rate_rpm: release.rev_rate.0,
            rotation_deg: release.rotation.0,
            tilt_deg: release.tilt.0,
            loft_ft: release.loft.0,
        }
    }
}

/// A throw with its path foot by foot and what it leaves.
fn one(scene: &Scene, ball: &KitBall, path: &Path) -> Result<OneThrow, Failure> {
    let left = left(scene, &ball.ball, path)?;
    Ok(OneThrow {
        ends: ends(ball, path),
        strike_pct: 100.0 * left.strike,
        leaves: leave_views(&left),
        path: path.rows.iter().map(PathPoint::from).collect(),
    })
}

/// Where a throw turns, leaves the oil and ends.
pub fn ends(one: &KitBall, path: &Path) -> ThrowEnds {
    ThrowEnds {
        ball: one.ball.id.clone(),
        finish: one.finish.clone(),
        entry: path.touch.as_ref().map(EntryView::from),
        gutter: path.gutter.map(|(feet, side)| GutterView { feet: feet.0, side: side.into() }),
        breakpoint: (&path.breakpoint).into(),
        exit: path.exit.as_ref().map(PlaceView::from),
        arrows: path.arrows.as_ref().map(|place| PlaceView { board: place.board.0, feet: ARROWS_FT }),
        roll_feet: path.roll.map(|feet| feet.0),
        time_s: path.time_s,
    }
}

impl From<&PinTouch> for EntryView {
    fn from(touch: &PinTouch) -> Self {
        Self {
            board: touch.board().0,
            angle_deg: touch.angle().0,
            speed_mph: touch.speed().0,
            feet: court::HEAD_PIN_FT,
            first_pin: touch.pin,
        }
    }
}

impl From<&PathRow> for PathPoint {
    fn from(row: &PathRow) -> Self {
        Self {
            feet: row.feet,
            board: row.board,
            angle_deg: row.angle.0,
            speed_mph: row.speed.0,
            rev_rate_rpm: row.rev_rate.0,
            slip_mps: row.slip_m_s,
            friction: row.friction,
        }
    }
}

/// A gutter's side in a word.
pub fn side_word(side: Side) -> &'static str {
    match side {
        Side::Hand => "hand",
        Side::Away => "away",
    }
}

/// A place in words; a ball that only moves away from the hand was closest to its gutter where it was laid down.
pub fn place_words(place: &Place) -> String {
    if place.feet.0 < 0.5 { "foul line".to_owned() } else { format!("{:.1} at {:.0} ft", place.board.0, place.feet.0) }
}
