//! The search for lines.

use boardwise_files::search::{self, Conditions, Pocket, Progress, Search, Strikes};
use pyo3::prelude::*;
use std::collections::BTreeMap;

use crate::kit::{Ball, Bowler, Lane};
use crate::{racks, refused};

/// A line worth playing, and what comes of it with the bowler's spread.
#[pyclass(frozen, get_all, module = "boardwise")]
pub struct Line {
    /// Board under the middle of the ball at the foul line.
    laydown: f64,
    /// The board to look at, at the arrows.
    arrows: f64,
    /// The board to slide on, by the inner edge of the slide foot.
    slide: f64,
    /// Launch angle, positive toward the bowling-hand gutter.
    launch_deg: f64,
    /// Speed meant.
    speed_mph: f64,
    /// Axis rotation meant.
    rotation_deg: f64,
    /// The board closest to the bowling-hand gutter.
    breakpoint_board: f64,
    /// Its distance.
    breakpoint_feet: f64,
    /// The board where it leaves the oil.
    exit_board: Option<f64>,
    /// The board it comes in on, as meant.
    entry_board: Option<f64>,
    /// Entry angle, as meant.
    entry_angle_deg: Option<f64>,
    /// Chance of a strike, 0 to 1.
    strike: f64,
    /// Its standard error from the number of throws and racks.
    strike_error: f64,
    /// Share of throws in the pocket, 0 to 1.
    pocket: f64,
    /// How far a throw may be off toward the hand while its worth stays above half, boards at the arrows.
    miss_room_hand_boards: f64,
    /// The same away from the hand.
    miss_room_away_boards: f64,
    /// What else it leaves, by the pins that stand, and how often, 0 to 1.
    leaves: BTreeMap<String, f64>,
}

#[pymethods]
impl Line {
    fn __repr__(&self) -> String {
        format!("Line(slide={:.1}, arrows={:.1}, strike={:.3})", self.slide, self.arrows, self.strike)
    }
}

impl Line {
    fn new(line: &search::Line, bowler: &search::Bowler) -> Self {
        let first = line.first_ball.clone().unwrap_or_default();
        Self {
            laydown: line.release.laydown.0,
            arrows: line.arrows.0,
            slide: bowler.slide_board(line.release.laydown).0,
            launch_deg: line.release.launch.0,
            speed_mph: line.release.speed.0,
            rotation_deg: line.release.rotation.0,
            breakpoint_board: line.breakpoint.board.0,
            breakpoint_feet: line.breakpoint.feet.0,
            exit_board: line.exit.map(|place| place.board.0),
            entry_board: line.entry_board.map(|board| board.0),
            entry_angle_deg: line.entry_angle.map(|angle| angle.0),
            strike: first.strike,
            strike_error: first.strike_error,
            pocket: line.pocket,
            miss_room_hand_boards: line.miss_room.hand_boards,
            miss_room_away_boards: line.miss_room.away_boards,
            leaves: first.leaves.iter().map(|one| (racks::pins(one.leave.pins()), one.share)).collect(),
        }
    }
}

/// Distinct lines at the bowler's own speed and rotation, best first, over all that is not known of the lane.
#[pyfunction]
#[pyo3(signature = (lane, ball, bowler, *, lines=5, seed=1, throws_a_line=3072))]
pub fn find_lines(
    py: Python<'_>,
    lane: &Lane,
    ball: &Ball,
    bowler: &Bowler,
    lines: usize,
    seed: u64,
    throws_a_line: u32,
) -> PyResult<Vec<Line>> {
    if !(1..=50).contains(&lines) || !(64..=1_000_000).contains(&throws_a_line) {
        return Err(refused("lines must be 1 to 50, and throws_a_line 64 to 1000000"));
    }
    let carry = boardwise_files::carry().map_err(refused)?;
    let found = py.detach(|| {
        let strikes = Strikes::new(carry, ball.body(), bowler.0.hand, Pocket::default());
        let ground = lane.seen_by(bowler.0.hand);
        let conditions = Conditions::fresh(&ground, ball.body(), &Lane::unknowns(&[lane]), seed);
        search::find_lines(
            &conditions,
            &bowler.0,
            &strikes,
            &Search { seed, lines, throws_a_line },
            &Progress::default(),
        )
    });
    Ok(found.map_err(refused)?.lines.iter().map(|line| Line::new(line, &bowler.0)).collect())
}
