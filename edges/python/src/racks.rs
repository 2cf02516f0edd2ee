//! Racks: what a ball that meets the pins so leaves, by the engine or by the table made with it.

use boardwise_files::search::pins::carry::Approach;
use boardwise_files::search::pins::{BallBody, ensemble};
use boardwise_files::search::score::PinSet;
use boardwise_files::units::Mph;
use boardwise_files::units::stream::Stream;
use numpy::{IntoPyArray, PyArray1, PyReadonlyArray1};
use pyo3::prelude::*;
use rayon::prelude::*;

use crate::refused;

/// An approach as people measure it; a ball of the usual size.
fn approach(board: f64, angle_deg: f64, speed_mph: f64, weight_lb: f64) -> PyResult<Approach> {
    for (name, value, low, high) in [
        ("board", board, 0.5, 39.5),
        ("angle_deg", angle_deg, -20.0, 20.0),
        ("speed_mph", speed_mph, 5.0, 40.0),
        ("weight_lb", weight_lb, 6.0, 16.0),
    ] {
        if !(low..=high).contains(&value) {
            return Err(refused(format!("{name} = {value}: must be {low} to {high}")));
        }
    }
    Ok(Approach { board, angle_deg, speed_m_s: Mph(speed_mph).to_metres_per_second(), weight_lb, roll: 1.0 })
}

/// Throws `racks` times at ten pins, spread evenly over the sets of the pins' constants. Gives the pins that stand after each,
/// pin 1 in bit 0: a strike is 0.
#[pyfunction]
#[pyo3(signature = (board, angle_deg, speed_mph, weight_lb, racks, seed))]
pub fn throw_racks(
    py: Python<'_>,
    board: f64,
    angle_deg: f64,
    speed_mph: f64,
    weight_lb: f64,
    racks: u32,
    seed: u64,
) -> PyResult<Bound<'_, PyArray1<u16>>> {
    let approach = approach(board, angle_deg, speed_mph, weight_lb)?;
    let standing = py.detach(|| {
        let (entry, _) = approach.entry();
        let body = BallBody::of_pounds(weight_lb);
        let sets = ensemble::racks();
        (0..racks)
            .into_par_iter()
            .map(|number| {
                let mut stream = Stream::keyed(seed, "racks from a script", u64::from(number));
                let outcome = sets[number as usize % sets.len()].throw(&entry, &body, &mut stream)?;
                Ok(outcome.left().bits())
            })
            .collect::<Result<Vec<u16>, _>>()
            .map_err(|why: boardwise_files::search::pins::ThrowError| refused(why))
    })?;
    Ok(standing.into_pyarray(py))
}

/// The chance of a strike for each approach, by the carry table. All columns have the same length.
#[pyfunction]
#[pyo3(signature = (board, angle_deg, speed_mph, weight_lb))]
pub fn strike_chance<'py>(
    py: Python<'py>,
    board: PyReadonlyArray1<'py, f64>,
    angle_deg: PyReadonlyArray1<'py, f64>,
    speed_mph: PyReadonlyArray1<'py, f64>,
    weight_lb: f64,
) -> PyResult<Bound<'py, PyArray1<f64>>> {
    let (board, angle_deg, speed_mph) = (board.as_array(), angle_deg.as_array(), speed_mph.as_array());
    if angle_deg.len() != board.len() || speed_mph.len() != board.len() {
        return Err(refused("all columns must have the same length"));
    }
    let carry = boardwise_files::carry().map_err(refused)?;
    let chance = |k: usize| Ok(carry.strike(&approach(board[k], angle_deg[k], speed_mph[k], weight_lb)?));
    Ok((0..board.len()).map(chance).collect::<PyResult<Vec<f64>>>()?.into_pyarray(py))
}

/// The pins in words, as `4-9`.
pub fn pins(standing: PinSet) -> String {
    standing.to_string()
}
