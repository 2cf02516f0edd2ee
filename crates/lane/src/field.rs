//! A quantity that varies over the lane: one value every half board and half foot, bilinear between.

use alloc::sync::Arc;
use boardwise_units::{Board, FOOT_M, Feet, court};

/// Distance between nodes along the lane.
pub const NODE_FT: f64 = 0.5;

/// A scalar over the lane, seen from the hand that bowls: column 0 is the bowling-hand gutter. A clone shares the values until one of
/// the two is changed: many lanes differ in one field of several.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    values: Arc<[f64]>,
}

impl Field {
    /// Nodes across the lane: every half board from one edge (board 0.5) to the other (39.5).
    pub const ACROSS: usize = 2 * court::BOARDS + 1;
    /// Nodes along the lane: every half foot from the foul line to the head pin's row.
    pub const ALONG: usize = 121;

    /// The same value everywhere.
    pub fn constant(value: f64) -> Self {
        Self { values: core::iter::repeat_n(value, Self::ACROSS * Self::ALONG).collect() }
    }

    /// From a function of board and distance.
    pub fn from_fn(mut value: impl FnMut(Board, Feet) -> f64) -> Self {
        let nodes = 0..Self::ACROSS * Self::ALONG;
        Self { values: nodes.map(|k| value(Self::board(k % Self::ACROSS), Self::feet(k / Self::ACROSS))).collect() }
    }

    /// The board of a column of nodes.
    pub const fn board(column: usize) -> Board {
        Board(0.5 + 0.5 * column as f64)
    }

    /// The distance of a row of nodes.
    pub const fn feet(row: usize) -> Feet {
        Feet(NODE_FT * row as f64)
    }

    /// Nodes of one row.
    pub fn row(&self, row: usize) -> &[f64] {
        &self.values[row * Self::ACROSS..(row + 1) * Self::ACROSS]
    }

    /// Nodes of one row, to change.
    pub fn row_mut(&mut self, row: usize) -> &mut [f64] {
        &mut Arc::make_mut(&mut self.values)[row * Self::ACROSS..(row + 1) * Self::ACROSS]
    }

    /// All nodes, row after row.
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// The value at a place in metres: x from the centre line toward the bowling-hand side, y from the foul line.
    /// Beyond the edges the nearest value holds.
    pub fn at(&self, x_m: f64, y_m: f64) -> f64 {
        let across = (Board::from_metres(x_m).0 - 0.5) * 2.0;
        let along = Feet::from_metres(y_m).0 / NODE_FT;
        let (i, s) = cell(across, Self::ACROSS);
        let (j, t) = cell(along, Self::ALONG);
        let (near, far) = (self.row(j), self.row(j + 1));
        (near[i] * (1.0 - s) + near[i + 1] * s) * (1.0 - t) + (far[i] * (1.0 - s) + far[i + 1] * s) * t
    }

    /// The value on a column of nodes at a distance, feet; beyond the ends the nearest value holds.
    pub(crate) fn along(&self, column: usize, feet: f64) -> f64 {
        let (row, t) = cell(feet / NODE_FT, Self::ALONG);
        self.values[row * Self::ACROSS + column] * (1.0 - t) + self.values[(row + 1) * Self::ACROSS + column] * t
    }

    /// The value, if it is the same everywhere.
    pub(crate) fn even(&self) -> Option<f64> {
        let first = self.values[0];
        self.values.iter().all(|value| *value == first).then_some(first)
    }

    /// Mean over each board at a distance, from the bowling-hand side: the average of the bilinear surface.
    pub fn boards_at(&self, feet: Feet) -> [f64; court::BOARDS] {
        let y_m = feet.to_metres();
        core::array::from_fn(|k| {
            let at = |board: f64| self.at(Board(board).to_metres(), y_m);
            let middle = (k + 1) as f64;
            0.25 * at(middle - 0.5) + 0.5 * at(middle) + 0.25 * at(middle + 0.5)
        })
    }

    /// The integral over the lane, value times square metres (exact for the bilinear surface).
    pub fn integral(&self) -> f64 {
        let mut sum = 0.0;
        for row in 0..Self::ALONG {
            let across: f64 = self.row(row).iter().enumerate().map(|(k, v)| end_weight(k, Self::ACROSS) * v).sum();
            sum += end_weight(row, Self::ALONG) * across;
        }
        sum * NODE_AREA_M2
    }

    /// The integral over the lane beyond a distance, value times square metres, by the nodes that lie there.
    pub fn beyond(&self, feet: f64) -> f64 {
        let rows = (0..Self::ALONG).filter(|&row| Self::feet(row).0 > feet);
        let across =
            |row: usize| self.row(row).iter().enumerate().map(|(k, v)| end_weight(k, Self::ACROSS) * v).sum::<f64>();
        rows.map(|row| end_weight(row, Self::ALONG) * across(row)).sum::<f64>() * NODE_AREA_M2
    }

    /// Adds to the nodes around a place so that the integral grows by `amount` (value times square metres; less than nothing
    /// takes away). What is added is shared as the place lies between them; what is taken, as much as they hold there, so that an
    /// empty node gives nothing.
    pub(crate) fn add_at(&mut self, x_m: f64, y_m: f64, amount: f64) {
        let (i, s) = cell((Board::from_metres(x_m).0 - 0.5) * 2.0, Self::ACROSS);
        let (j, t) = cell(Feet::from_metres(y_m).0 / NODE_FT, Self::ALONG);
        let corners = [
            (i, j, (1.0 - s) * (1.0 - t)),
            (i + 1, j, s * (1.0 - t)),
            (i, j + 1, (1.0 - s) * t),
            (i + 1, j + 1, s * t),
        ];
        let share = |field: &Self, (i, j, weight): (usize, usize, f64)| {
            if amount < 0.0 { weight * field.values[j * Self::ACROSS + i] } else { weight }
        };
        let whole: f64 = corners.iter().map(|&corner| share(self, corner)).sum();
        if whole <= 0.0 {
            return;
        }
        let amounts = corners.map(|corner| amount * share(self, corner) / whole);
        let values = Arc::make_mut(&mut self.values);
        for ((i, j, _), amount) in corners.into_iter().zip(amounts) {
            values[j * Self::ACROSS + i] +=
                amount / (NODE_AREA_M2 * end_weight(i, Self::ACROSS) * end_weight(j, Self::ALONG));
        }
    }

    /// The same lane seen from the other gutter.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let mut mirror = self.clone();
        for row in 0..Self::ALONG {
            mirror.row_mut(row).reverse();
        }
        mirror
    }

    /// The same field with each value changed.
    #[must_use]
    pub fn map(&self, change: impl Fn(f64) -> f64) -> Self {
        Self { values: self.values.iter().map(|&v| change(v)).collect() }
    }
}

/// Area that one inner node stands for.
pub(crate) const NODE_AREA_M2: f64 = (0.5 * court::BOARD_M) * (NODE_FT * FOOT_M);

/// The cell between nodes in which a place lies, and how far along it; the nearest where it lies beyond.
fn cell(place: f64, nodes: usize) -> (usize, f64) {
    let place = place.clamp(0.0, (nodes - 1) as f64);
    let low = (place as usize).min(nodes - 2);
    (low, place - low as f64)
}

/// Nodes at an edge of the lane stand for half an area.
fn end_weight(k: usize, nodes: usize) -> f64 {
    if k == 0 || k == nodes - 1 { 0.5 } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_bilinear_fields_are_reproduced_and_integrated_exactly() {
        let f = Field::from_fn(|b, ft| 2.0 + 0.5 * b.0 - 0.1 * ft.0 + 0.03 * b.0 * ft.0);
        for (b, ft) in [(0.5, 0.0), (39.5, 60.0), (7.3, 31.21), (20.0, 59.99)] {
            let expect = 2.0 + 0.5 * b - 0.1 * ft + 0.03 * b * ft;
            assert!((f.at(Board(b).to_metres(), Feet(ft).to_metres()) - expect).abs() < 1e-9);
        }
        let area = court::WIDTH_M * court::HEAD_PIN_M;
        assert!((Field::constant(1.0).integral() - area).abs() < 1e-12);
        assert!((f.boards_at(Feet(12.2))[6] - (2.0 + 3.5 - 1.22 + 0.03 * 7.0 * 12.2)).abs() < 1e-9);
        assert_eq!(f.mirrored().mirrored(), f);
    }
}
