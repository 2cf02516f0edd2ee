//! What came and went between two states of a lane.

use crate::oil::{Cells, round_up, runs};
use boardwise_units::court;

/// Steps of colour to each side of no change.
pub(crate) const STEPS_A_SIDE: usize = 8;
/// A smaller part of the scale counts as no change: a tenth of the colours, which is a hundredth of the oil.
const NOTHING: f64 = 0.1;

/// The change of a film board by board and foot by foot.
pub(crate) struct Change {
    values: Vec<[f64; court::BOARDS]>,
    /// The end of the scale, both ways.
    pub most: f64,
}

impl Change {
    pub fn between(fresh: &Cells, now: &Cells) -> Self {
        let row = |(a, b): (&[f64; court::BOARDS], &[f64; court::BOARDS])| std::array::from_fn(|k| b[k] - a[k]);
        let values: Vec<[f64; court::BOARDS]> = fresh.values.iter().zip(&now.values).map(row).collect();
        let most = round_up(values.iter().flatten().map(|value| value.abs()).fold(0.0, f64::max));
        Self { values, most }
    }

    /// Where a change stands between -1 (gone) and 1 (laid down). It follows the root of the change: the oil laid on dry
    /// boards is little beside what the heads lose, but matters as much.
    pub fn part(&self, value: f64) -> f64 {
        (value.abs() / self.most).min(1.0).sqrt().copysign(value)
    }

    /// One path of rectangles per step of colour, with its part of the scale.
    pub fn paths(&self, place: impl Fn(f64, f64) -> (f64, f64)) -> Vec<(f64, String)> {
        let step_of = |value: f64| {
            let part = self.part(value);
            (part.abs() > NOTHING).then(|| {
                let side = ((part.abs() * STEPS_A_SIDE as f64) as usize).min(STEPS_A_SIDE - 1);
                if part < 0.0 { STEPS_A_SIDE - 1 - side } else { STEPS_A_SIDE + side }
            })
        };
        let paths = runs(&self.values, 2 * STEPS_A_SIDE, step_of, place);
        let part = |step: usize| (step as f64 + 0.5) / STEPS_A_SIDE as f64 - 1.0;
        paths.into_iter().map(|(step, d)| (part(step), d)).collect()
    }

    /// Boards and feet, evenly apart, at which oil was laid down: places for signs that need no colour.
    pub fn laid_at(&self) -> Vec<(f64, f64)> {
        let grid = (0..self.values.len()).flat_map(|foot| {
            let first = if foot % 2 == 0 { 0 } else { 2 };
            (first..court::BOARDS).step_by(4).map(move |board| (foot, board))
        });
        let laid = grid.filter(|&(foot, board)| self.part(self.values[foot][board]) > NOTHING);
        laid.map(|(foot, board)| (board as f64 + 1.0, foot as f64 + 0.5)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_lane::{Coating, Film, Lane, Reading};
    use boardwise_units::{Feet, OilUnits};

    fn lane(end: f64, units: f64) -> Lane {
        let film = [Reading { feet: 20.0, film: vec![(1.0, OilUnits(units)), (39.0, OilUnits(units))] }];
        Lane::new(Coating::Oil(Film::from_readings(&film, Some(Feet(end))).expect("a film")))
    }

    #[test]
    fn law_what_went_is_gone_and_what_came_is_laid() {
        let (fresh, now) = (Cells::of(&lane(30.0, 20.0)), Cells::of(&lane(40.0, 15.0)));
        let change = Change::between(&fresh, &now);
        assert_eq!(change.most, 15.0);
        // 5 of 15 gone to 30 ft, all 15 laid from there to 40 ft, and nothing beyond.
        assert!((change.part(-5.0) + (1.0_f64 / 3.0).sqrt()).abs() < 1e-12);
        let parts: Vec<f64> = change.paths(|board, feet| (board, feet)).iter().map(|one| one.0).collect();
        assert!(parts.iter().any(|part| *part < 0.0) && parts.iter().any(|part| *part > 0.9), "{parts:?}");
        let laid = change.laid_at();
        assert!(laid.len() > 50 && laid.iter().all(|(_, feet)| (30.0..41.0).contains(feet)));
        // The other way round the same places are gone.
        assert!(Change::between(&now, &fresh).laid_at().iter().all(|(_, feet)| *feet < 31.0));
    }

    #[test]
    fn law_an_unchanged_lane_shows_no_change() {
        let cells = Cells::of(&lane(30.0, 20.0));
        let change = Change::between(&cells, &cells);
        assert!(change.paths(|board, feet| (board, feet)).is_empty() && change.laid_at().is_empty());
    }
}
