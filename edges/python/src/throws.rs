//! Throws: many at once, each to where it ended, or one followed foot by foot.

use boardwise_files::search::lane::{self, ContactLaw, Fineness, LaneError, Release, Runway, Side};
use boardwise_files::search::{Payoff, Pocket, Strikes, throw_all};
use boardwise_files::units::{Board, Degrees, Feet, Mph, Rpm};
use numpy::{IntoPyArray, PyReadonlyArray1};
use pyo3::prelude::*;
use pyo3::types::PyDict;

use crate::kit::{Ball, Bowler, Lane};
use crate::refused;

/// Distance of the arrows that an aim means.
const ARROWS_FT: f64 = 15.0;

/// The release in these columns at one place; the message of a value that cannot be names the row.
fn checked(release: &Release, row: usize) -> PyResult<()> {
    release.check().map_err(|why| match why {
        LaneError::Range { key, value, low, high } => {
            refused(format!("{key}[{row}] = {value}: must be {low} to {high}"))
        }
        other => refused(format!("row {row}: {other}")),
    })
}

/// A release from plain numbers; with `arrows`, aimed at that board there.
fn release(
    laydown: f64,
    launch_deg: f64,
    arrows: Option<f64>,
    [speed_mph, rev_rate_rpm, rotation_deg, tilt_deg, loft_ft]: [f64; 5],
) -> Release {
    let release = Release {
        laydown: Board(laydown),
        launch: Degrees(launch_deg),
        speed: Mph(speed_mph),
        rev_rate: Rpm(rev_rate_rpm),
        rotation: Degrees(rotation_deg),
        tilt: Degrees(tilt_deg),
        loft: Feet(loft_ft),
    };
    arrows.map_or(release, |board| release.aimed_at(Board(board), Feet(ARROWS_FT)))
}

/// Throws every row; all columns have the same length. `direction` is the launch angle, or the board aimed at.
#[pyfunction]
#[pyo3(signature = (lane, ball, bowler, laydown, direction, aimed, speed_mph, rev_rate_rpm, rotation_deg, tilt_deg, loft_ft))]
pub fn throw<'py>(
    py: Python<'py>,
    lane: &Lane,
    ball: &Ball,
    bowler: &Bowler,
    laydown: PyReadonlyArray1<'py, f64>,
    direction: PyReadonlyArray1<'py, f64>,
    aimed: bool,
    speed_mph: PyReadonlyArray1<'py, f64>,
    rev_rate_rpm: PyReadonlyArray1<'py, f64>,
    rotation_deg: PyReadonlyArray1<'py, f64>,
    tilt_deg: PyReadonlyArray1<'py, f64>,
    loft_ft: PyReadonlyArray1<'py, f64>,
) -> PyResult<Bound<'py, PyDict>> {
    let columns = [&laydown, &direction, &speed_mph, &rev_rate_rpm, &rotation_deg, &tilt_deg, &loft_ft]
        .map(|column| column.as_array());
    let count = columns[0].len();
    if columns.iter().any(|column| column.len() != count) {
        return Err(refused("all columns must have the same length"));
    }
    let row = |k: usize| {
        let [laydown, direction, rest @ ..] = columns.each_ref().map(|column| column[k]);
        if aimed { release(laydown, 0.0, Some(direction), rest) } else { release(laydown, direction, None, rest) }
    };
    let releases: Vec<Release> = (0..count).map(row).collect();
    for (row, release) in releases.iter().enumerate() {
        checked(release, row)?;
    }
    let strikes =
        Strikes::new(boardwise_files::carry().map_err(refused)?, ball.body(), bowler.0.hand, Pocket::default());
    let ends = py.detach(|| {
        let runway = Runway::new(&lane.seen_by(bowler.0.hand), ball.body(), &ContactLaw::default());
        let finishes = throw_all(&runway, &releases);
        let column = |of: &dyn Fn(&lane::Finish) -> Option<f64>| -> Vec<f64> {
            finishes.iter().map(|finish| of(finish).unwrap_or(f64::NAN)).collect()
        };
        let met = |finish: &lane::Finish| finish.touch.filter(|_| finish.gutter.is_none());
        [
            ("entry_board", column(&|finish| Some(met(finish)?.board().0))),
            ("entry_angle_deg", column(&|finish| Some(met(finish)?.angle().0))),
            ("entry_speed_mph", column(&|finish| Some(speed_at_pins_mph(&met(finish)?)))),
            ("first_pin", column(&|finish| Some(f64::from(met(finish)?.pin)))),
            ("gutter_feet", column(&|finish| Some(finish.gutter?.0.0))),
            ("gutter_side", column(&|finish| Some(if finish.gutter?.1 == Side::Hand { -1.0 } else { 1.0 }))),
            ("breakpoint_board", column(&|finish| Some(finish.breakpoint.board.0))),
            ("breakpoint_feet", column(&|finish| Some(finish.breakpoint.feet.0))),
            ("exit_board", column(&|finish| Some(finish.exit?.board.0))),
            ("exit_feet", column(&|finish| Some(finish.exit?.feet.0))),
            ("arrows_board", column(&|finish| Some(finish.arrows.0))),
            ("time_s", column(&|finish| Some(finish.time_s))),
            ("strike", column(&|finish| Some(strikes.worth(finish)))),
        ]
    });
    let answer = PyDict::new(py);
    answer.set_item("launch_deg", releases.iter().map(|one| one.launch.0).collect::<Vec<_>>().into_pyarray(py))?;
    for (name, column) in ends {
        answer.set_item(name, column.into_pyarray(py))?;
    }
    Ok(answer)
}

/// One throw as finely as it can be followed: a row for each foot.
#[pyfunction]
#[pyo3(signature = (lane, ball, bowler, laydown, direction, aimed, speed_mph, rev_rate_rpm, rotation_deg, tilt_deg, loft_ft))]
pub fn path<'py>(
    py: Python<'py>,
    lane: &Lane,
    ball: &Ball,
    bowler: &Bowler,
    laydown: f64,
    direction: f64,
    aimed: bool,
    speed_mph: f64,
    rev_rate_rpm: f64,
    rotation_deg: f64,
    tilt_deg: f64,
    loft_ft: f64,
) -> PyResult<Bound<'py, PyDict>> {
    let rest = [speed_mph, rev_rate_rpm, rotation_deg, tilt_deg, loft_ft];
    let (launch_deg, arrows) = if aimed { (0.0, Some(direction)) } else { (direction, None) };
    let release = release(laydown, launch_deg, arrows, rest);
    checked(&release, 0)?;
    let path = py
        .detach(|| {
            let ground = lane.seen_by(bowler.0.hand);
            lane::throw(&ground, ball.body(), &release, &ContactLaw::default(), Fineness::default())
        })
        .map_err(refused)?;
    let answer = PyDict::new(py);
    let column = |of: &dyn Fn(&lane::PathRow) -> f64| path.rows.iter().map(of).collect::<Vec<_>>().into_pyarray(py);
    answer.set_item("feet", column(&|row| row.feet))?;
    answer.set_item("board", column(&|row| row.board))?;
    answer.set_item("angle_deg", column(&|row| row.angle.0))?;
    answer.set_item("speed_mph", column(&|row| row.speed.0))?;
    answer.set_item("rev_rate_rpm", column(&|row| row.rev_rate.0))?;
    answer.set_item("slip_m_s", column(&|row| row.slip_m_s))?;
    answer.set_item("friction", column(&|row| row.friction))?;
    answer.set_item("time_s", column(&|row| row.time_s))?;
    Ok(answer)
}

/// Speed at the pins of an entry.
fn speed_at_pins_mph(touch: &lane::PinTouch) -> f64 {
    Mph::from_metres_per_second(touch.entry.velocity_m_s.length()).0
}
