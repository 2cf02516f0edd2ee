//! The oil on a lane: laid by strokes or measured, and what a bowler asks of it.

use crate::LaneError;
use crate::field::{Field, NODE_AREA_M2, NODE_FT};
use alloc::vec::Vec;
use boardwise_units::{Board, Feet, Microlitres, OilUnits, court, math};

/// Which way the machine travels while it lays a stroke; the buffer draws oil along with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Forward oil: away from the foul line.
    Out,
    /// Reverse oil: back toward it.
    Back,
}

/// Oil laid evenly over a rectangle of the lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// First and last board covered, whole boards counted from the bowling-hand side.
    pub boards: (f64, f64),
    /// Where it starts and ends along the lane.
    pub feet: (f64, f64),
    /// Oil of the whole stroke. All the strokes of a usual pattern come to 16,000 to 30,000 microlitres; 1,000 over 25 boards
    /// and 40 ft is almost dry.
    pub oil: Microlitres,
    /// Which way it was laid.
    pub direction: Direction,
}

/// Film measured across the lane at one distance.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Distance of the reading.
    pub feet: f64,
    /// Boards measured, increasing, from the bowling-hand side, with the film found there.
    pub film: Vec<(f64, OilUnits)>,
}

/// Film thickness over the lane, in metres, and where the pattern ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// Thickness in metres, seen from the bowling-hand side.
    pub thickness_m: Field,
    /// Where the oil was meant to end.
    pub length: Feet,
}

impl Film {
    /// A film from strokes, drawn on by the buffer over about `smear_ft` in the direction of travel.
    ///
    /// Mass is conserved: the film holds exactly the oil of the strokes. Overlaps add up. Oil is drawn on as an
    /// exponential of length `smear_ft`, kept between the foul line and the pattern's end, where the buffer lifts.
    ///
    /// # Errors
    /// If a stroke leaves the lane, is empty, or carries less than no oil, or if `smear_ft` is not 0 to 20. With 0 each stroke
    /// lies as it is; 2 to 3 is usual (our judgement).
    pub fn from_strokes(strokes: &[Stroke], smear_ft: f64) -> Result<Self, LaneError> {
        if strokes.is_empty() {
            return Err(LaneError::NoOil);
        }
        if !(0.0..=20.0).contains(&smear_ft) {
            return Err(LaneError::range("smear_ft", smear_ft, 0.0, 20.0));
        }
        for stroke in strokes {
            stroke.check()?;
        }
        let length = strokes.iter().map(|s| s.feet.1).fold(0.0, f64::max);
        let mut field = Field::constant(0.0);
        for stroke in strokes {
            stroke.lay(&mut field, smear_ft, length);
        }
        Ok(Self { thickness_m: field, length: Feet(length) })
    }

    /// A film from readings, linear between boards and between distances; beyond the first and last reading the nearest
    /// holds, up to the pattern's end, where it stops within half a foot.
    ///
    /// # Errors
    /// If there is no reading, distances do not increase, or a value cannot be.
    pub fn from_readings(readings: &[Reading], length: Option<Feet>) -> Result<Self, LaneError> {
        let last = readings.last().ok_or(LaneError::NoOil)?;
        let length = length.unwrap_or(Feet(last.feet));
        if !(1.0..=court::HEAD_PIN_FT).contains(&length.0) {
            return Err(LaneError::range("length_ft", length.0, 1.0, court::HEAD_PIN_FT));
        }
        for pair in readings.windows(2) {
            if pair[1].feet <= pair[0].feet {
                return Err(LaneError::ReadingsOutOfOrder { feet: pair[1].feet });
            }
        }
        for reading in readings {
            reading.check()?;
        }
        let field = Field::from_fn(|board, feet| {
            if feet.0 > length.0 {
                return 0.0;
            }
            let after = readings.partition_point(|r| r.feet <= feet.0);
            let film = |k: usize| readings[k].at(board);
            match after {
                0 => film(0),
                k if k == readings.len() => film(k - 1),
                k => {
                    let (a, b) = (readings[k - 1].feet, readings[k].feet);
                    let t = (feet.0 - a) / (b - a);
                    film(k - 1) * (1.0 - t) + film(k) * t
                }
            }
        });
        Ok(Self { thickness_m: field, length })
    }

    /// All oil on the lane.
    pub fn volume(&self) -> Microlitres {
        Microlitres::from_cubic_metres(self.thickness_m.integral())
    }

    /// Film by board, averaged over each board, at a distance.
    pub fn boards_at(&self, feet: Feet) -> [OilUnits; court::BOARDS] {
        self.thickness_m.boards_at(feet).map(OilUnits::from_metres)
    }

    /// Ratio of the oil on the middle boards (18 to 22) to that on the outer ones (3 to 7 of both sides), per board
    /// over the whole pattern; None where the outside is dry.
    ///
    /// The choice of boards is common practice, no source; the sport limit is 3:1 \[P\].
    pub fn ratio(&self) -> Option<f64> {
        let mut per_board = [0.0; court::BOARDS];
        for row in 0..Field::ALONG {
            for (sum, film) in per_board.iter_mut().zip(self.thickness_m.boards_at(Field::feet(row))) {
                *sum += film;
            }
        }
        let mean = |first: usize, last: usize| -> f64 { per_board[first - 1..last].iter().sum::<f64>() / 5.0 };
        let outside = mean(3, 7).midpoint(mean(33, 37));
        let middle = mean(18, 22);
        (outside > 1e-3 * middle && outside > 0.0).then(|| middle / outside)
    }

    /// Exit board by the rule of 31: pattern length minus 31 \[S\].
    pub fn rule_of_31(&self) -> Board {
        Board(self.length.0 - 31.0)
    }

    /// The same oil seen from the other gutter.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self { thickness_m: self.thickness_m.mirrored(), length: self.length }
    }
}

impl Stroke {
    fn check(&self) -> Result<(), LaneError> {
        let (from, to) = self.boards;
        for (key, board) in [("boards", from), ("boards", to)] {
            if !(1.0..=39.0).contains(&board) {
                return Err(LaneError::range(key, board, 1.0, 39.0));
            }
        }
        if from > to {
            return Err(LaneError::Backwards { key: "boards", from, to });
        }
        let (start, end) = self.feet;
        for feet in [start, end] {
            if !(0.0..=court::HEAD_PIN_FT).contains(&feet) {
                return Err(LaneError::range("feet", feet, 0.0, court::HEAD_PIN_FT));
            }
        }
        if start >= end {
            return Err(LaneError::Backwards { key: "feet", from: start, to: end });
        }
        // 100 mL would flood a lane several times over.
        if !(0.0..=100_000.0).contains(&self.oil.0) {
            return Err(LaneError::range("microlitres", self.oil.0, 0.0, 100_000.0));
        }
        Ok(())
    }

    /// Adds this stroke to a film.
    fn lay(&self, field: &mut Field, smear_ft: f64, length_ft: f64) {
        let along = self.along(smear_ft, length_ft);
        let across: Vec<f64> = (0..Field::ACROSS)
            .map(|k| {
                // A node stands for a quarter board to each side of it, within the lane.
                let middle = Field::board(k).0;
                let low = (middle - 0.25).max(self.boards.0 - 0.5).max(0.5);
                let high = (middle + 0.25).min(self.boards.1 + 0.5).min(39.5);
                ((high - low) / 0.5).max(0.0)
            })
            .collect();
        // Nodes at an edge of the lane stand for half an area: their share is already half, so their film is double.
        let film = |k: usize, share: f64, nodes: usize| if k == 0 || k == nodes - 1 { 2.0 * share } else { share };
        let total = across.iter().sum::<f64>() * along.iter().sum::<f64>();
        let per_share_m = self.oil.to_cubic_metres() / (total * NODE_AREA_M2);
        for (row, &a) in along.iter().enumerate() {
            if a == 0.0 {
                continue;
            }
            let a = film(row, a, Field::ALONG);
            for (k, node) in field.row_mut(row).iter_mut().enumerate() {
                *node += per_share_m * a * film(k, across[k], Field::ACROSS);
            }
        }
    }

    /// Share of the stroke at each row of nodes, after the buffer has drawn it on.
    fn along(&self, smear_ft: f64, length_ft: f64) -> Vec<f64> {
        let (start, end) = self.feet;
        // The exponential's cumulative mass, in the direction of travel, of a source spread over [start, end].
        let laid = |feet: f64| -> f64 {
            let travelled = match self.direction {
                Direction::Out => feet - start,
                Direction::Back => end - feet,
            };
            let span = end - start;
            if smear_ft < 1e-9 {
                return travelled.clamp(0.0, span);
            }
            // Integral from 0 to `travelled` of (box convolved with exponential).
            let ramp = |u: f64| if u <= 0.0 { 0.0 } else { u - smear_ft * (1.0 - math::exp(-u / smear_ft)) };
            ramp(travelled) - ramp(travelled - span)
        };
        let share = |low: f64, high: f64| -> f64 {
            let (low, high) = (low.clamp(0.0, length_ft), high.clamp(0.0, length_ft));
            (laid(high) - laid(low)).abs()
        };
        (0..Field::ALONG)
            .map(|row| {
                let middle = Field::feet(row).0;
                share(middle - NODE_FT / 2.0, middle + NODE_FT / 2.0)
            })
            .collect()
    }
}

impl Reading {
    fn check(&self) -> Result<(), LaneError> {
        if !(0.0..=court::HEAD_PIN_FT).contains(&self.feet) {
            return Err(LaneError::range("feet", self.feet, 0.0, court::HEAD_PIN_FT));
        }
        if self.film.is_empty() {
            return Err(LaneError::NoOil);
        }
        for &(board, units) in &self.film {
            if !(0.5..=39.5).contains(&board) {
                return Err(LaneError::range("boards", board, 0.5, 39.5));
            }
            // A thousand units is a fifth of a millimetre: no lane holds that.
            if !(0.0..=1000.0).contains(&units.0) {
                return Err(LaneError::range("units", units.0, 0.0, 1000.0));
            }
        }
        for pair in self.film.windows(2) {
            if pair[1].0 <= pair[0].0 {
                return Err(LaneError::Backwards { key: "boards", from: pair[0].0, to: pair[1].0 });
            }
        }
        Ok(())
    }

    fn at(&self, board: Board) -> f64 {
        let after = self.film.partition_point(|&(b, _)| b <= board.0);
        let units = match after {
            0 => self.film[0].1.0,
            k if k == self.film.len() => self.film[k - 1].1.0,
            k => {
                let ((a, from), (b, to)) = (self.film[k - 1], self.film[k]);
                let t = (board.0 - a) / (b - a);
                from.0 * (1.0 - t) + to.0 * t
            }
        };
        OilUnits(units).to_metres()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn stroke(boards: (f64, f64), feet: (f64, f64), ul: f64, direction: Direction) -> Stroke {
        Stroke { boards, feet, oil: Microlitres(ul), direction }
    }

    proptest! {
        #[test]
        fn law_strokes_keep_their_oil(
            a in 1.0f64..20.0, w in 0.0f64..19.0, y in 0.0f64..40.0, l in 0.5f64..20.0,
            ul in 0.0f64..5000.0, smear in 0.0f64..6.0, out in any::<bool>(),
        ) {
            let d = if out { Direction::Out } else { Direction::Back };
            let strokes = [
                stroke((a, a + w), (y, y + l), ul, d),
                stroke((1.0, 39.0), (0.0, 10.0), 100.0, Direction::Back),
            ];
            let film = Film::from_strokes(&strokes, smear).unwrap();
            prop_assert!((film.volume().0 - ul - 100.0).abs() < 1e-9 * (ul + 100.0));
            prop_assert!(film.thickness_m.values().iter().all(|&h| h >= 0.0));
        }
    }

    #[test]
    fn law_the_buffer_draws_oil_the_way_it_travels() {
        let centre_of = |direction| {
            let film = Film::from_strokes(
                &[
                    stroke((5.0, 35.0), (20.0, 30.0), 1000.0, direction),
                    stroke((1.0, 1.0), (59.0, 60.0), 0.0, direction),
                ],
                3.0,
            )
            .unwrap();
            let (mut mass, mut moment) = (0.0, 0.0);
            for row in 0..Field::ALONG {
                let h = film.thickness_m.row(row)[40];
                mass += h;
                moment += h * Field::feet(row).0;
            }
            moment / mass
        };
        assert!((centre_of(Direction::Out) - 28.0).abs() < 0.1);
        assert!((centre_of(Direction::Back) - 22.0).abs() < 0.1);
    }

    #[test]
    fn law_readings_are_met_and_end_with_the_pattern() {
        let row =
            |feet, units: f64| Reading { feet, film: (1..=39).map(|b| (f64::from(b), OilUnits(units))).collect() };
        let film = Film::from_readings(&[row(5.0, 60.0), row(15.0, 20.0)], Some(Feet(32.0))).unwrap();
        assert!((film.boards_at(Feet(10.0))[9].0 - 40.0).abs() < 1e-9);
        assert!((film.boards_at(Feet(31.0))[9].0 - 20.0).abs() < 1e-9);
        assert!(film.boards_at(Feet(33.0))[9].0.abs() < 1e-12);
        assert_eq!(film.rule_of_31(), Board(1.0));
        assert!((film.ratio().unwrap() - 1.0).abs() < 1e-9);
        assert!(Film::from_readings(&[row(5.0, 60.0), row(5.0, 20.0)], None).is_err());
        assert!(Film::from_readings(&[row(5.0, f64::NAN)], None).is_err());
        assert!(Film::from_readings(&[], None).is_err());
    }

    #[test]
    fn law_strokes_off_the_lane_are_refused() {
        for s in [
            stroke((1.0, 41.0), (0.0, 10.0), 1.0, Direction::Out),
            stroke((5.0, 2.0), (0.0, 10.0), 1.0, Direction::Out),
            stroke((1.0, 2.0), (0.0, 66.0), 1.0, Direction::Out),
            stroke((1.0, 2.0), (10.0, 10.0), 1.0, Direction::Out),
            stroke((1.0, 2.0), (0.0, 10.0), -1.0, Direction::Out),
            stroke((1.0, f64::NAN), (0.0, 10.0), 1.0, Direction::Out),
        ] {
            assert!(Film::from_strokes(&[s], 1.0).is_err(), "{s:?}");
        }
    }
}
