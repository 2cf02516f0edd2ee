//! The forecast of a block: what a pair of lanes becomes, and what a bowler's ball still strikes on it.

use boardwise_files::search::{BlockPlan, LaneStage, Pocket, Progress, Seat, forecast_block};
use boardwise_files::units::Hand;
use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::PyDict;

use crate::kit::{Ball, Bowler, Lane};
use crate::refused;

/// Frames of a game.
const FRAMES: u32 = 10;

/// Somebody on the pair, with the ball they throw at full racks.
fn seat(bowler: &Bowler, ball: &Ball, spare_ball: Option<&Ball>) -> Seat {
    Seat {
        bowler: bowler.0.clone(),
        balls: vec![ball.body().clone()],
        starts_with: Some(0),
        line: None,
        spare_ball: spare_ball.map(|ball| ball.body().clone()),
    }
}

/// Forecasts a block on a pair: a row for each run, moment (fresh, and after each game) and lane. `others` are on the pair, too, in
/// bowling order after ours.
#[pyfunction]
#[pyo3(signature = (lane, right_lane, ball, bowler, others, spare_ball, games, practice_shots, runs, seed))]
pub fn forecast<'py>(
    py: Python<'py>,
    lane: &Lane,
    right_lane: &Lane,
    ball: &Ball,
    bowler: &Bowler,
    others: Vec<(PyRef<'py, Bowler>, PyRef<'py, Ball>)>,
    spare_ball: Option<&Ball>,
    games: u32,
    practice_shots: u32,
    runs: u32,
    seed: u64,
) -> PyResult<Bound<'py, PyDict>> {
    let ours = seat(bowler, ball, spare_ball);
    let others = others.iter().map(|(bowler, ball)| seat(bowler, ball, spare_ball));
    let plan = BlockPlan {
        pair: [lane.seen_by(Hand::Right), right_lane.seen_by(Hand::Right)],
        seats: [ours].into_iter().chain(others).collect(),
        ours: 0,
        practice_shots,
        games_before: 0,
        games,
        frames_a_look: FRAMES,
        runs,
        seed,
        pocket: Pocket::default(),
        unknowns: Lane::unknowns(&[lane, right_lane]),
    };
    let carry = boardwise_files::carry().map_err(refused)?;
    let block = py.detach(|| forecast_block(&plan, carry, &Progress::default())).map_err(refused)?;
    let mut rows: Vec<(usize, u32, usize, &LaneStage)> = Vec::new();
    for (run, one) in block.runs.iter().enumerate() {
        // Of the fresh lanes and the lanes after practice, both before the first frame, the first is told.
        let moments = one.stages.iter().filter(|stage| !stage.practised || stage.frames > 0);
        for stage in moments {
            rows.extend(stage.lanes.iter().enumerate().map(|(side, lane)| (run, stage.frames / FRAMES, side, lane)));
        }
    }
    let answer = PyDict::new(py);
    let whole = |of: &dyn Fn(&(usize, u32, usize, &LaneStage)) -> i64| rows.iter().map(of).collect::<Vec<_>>();
    answer.set_item("run", whole(&|row| row.0 as i64).into_pyarray(py))?;
    answer.set_item("games", whole(&|row| i64::from(row.1)).into_pyarray(py))?;
    answer.set_item("lane", whole(&|row| row.2 as i64).into_pyarray(py))?;
    let columns: [(&str, fn(&LaneStage) -> f64); 8] = [
        ("strike", |stage| stage.line.worth),
        ("stay", |stage| stage.stay),
        ("first_line", |stage| stage.first),
        ("pocket", |stage| stage.line.pocket),
        ("laydown", |stage| stage.line.release.laydown.0),
        ("arrows", |stage| stage.line.arrows.0),
        ("miss_room_hand_boards", |stage| stage.line.miss_room.hand_boards),
        ("miss_room_away_boards", |stage| stage.line.miss_room.away_boards),
    ];
    for (name, of) in columns {
        answer.set_item(name, rows.iter().map(|row| of(row.3)).collect::<Vec<f64>>().into_pyarray(py))?;
    }
    Ok(answer)
}
