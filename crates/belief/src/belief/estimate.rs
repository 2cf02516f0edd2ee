//! What is made of many worlds or throws: a mean with its spread, and where a good throw comes in.

use boardwise_lane::Finish;
use boardwise_search::came_in;
use boardwise_units::math;

/// A mean with its spread over the worlds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

impl Estimate {
    /// Of these values.
    pub fn of(values: &[f64]) -> Self {
        let n = values.len().max(1) as f64;
        let mean = values.iter().sum::<f64>() / n;
        let square = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>();
        Self { mean, sd: math::sqrt(square / n) }
    }
}

/// The board a good throw comes in on: the median of throws meant alike, which a few lost in a gutter do not move.
pub(crate) fn good_throw(finishes: &[Finish]) -> f64 {
    let mut boards: Vec<f64> = finishes.iter().map(came_in).collect();
    boards.sort_by(f64::total_cmp);
    let middle = boards.len() / 2;
    match boards.len() {
        0 => 0.0,
        even if even % 2 == 0 => f64::midpoint(boards[middle - 1], boards[middle]),
        _ => boards[middle],
    }
}
