//! The grid of arrivals that the table of spares spans.

use super::Arrival;
use crate::body::BallBody;
use crate::carry::CarryError;
use crate::carry::bytes::Cursor;
use crate::carry::plan::fingerprint;
use crate::constants::Constants;
use crate::outcome::{FULL_RACK, Mask};
use alloc::vec::Vec;
use boardwise_units::court;
use core::ops::Range;

/// What to throw at every leave.
#[derive(Clone, Debug, PartialEq)]
pub struct SparePlan {
    /// Boards at the head pin's row, evenly spaced from 0.5 to 39.5.
    pub boards: u16,
    /// Angles, degrees, evenly spaced from minus this to this.
    pub widest_deg: f64,
    /// How many angles, an odd number.
    pub angles: u16,
    /// Speed at the pins, m/s.
    pub speed_m_s: f64,
    /// Weight of the ball, pounds.
    pub weight_lb: f64,
    /// Surface speed of the ball's forward roll over its speed.
    pub roll: f64,
    /// Surface speed of its side roll over its speed, positive as a hook's: it still drives the ball away from the hand.
    pub side_roll: f64,
    /// Racks a cell, a multiple of the number of sets of constants.
    pub racks: u32,
    /// Seed of the whole table.
    pub seed: u64,
}

impl SparePlan {
    /// The plan of the embedded table: half boards, every 2 degrees. A plastic ball let go at 18 mph comes to the pins at
    /// about 7.3 m/s with six tenths of its roll \[C: `boardwise_lane::throw` on the demo lanes\]; on oil it keeps nearly all of
    /// its side roll, of 350 rpm at 35 degrees a quarter of its speed and more \[C\].
    pub fn full() -> Self {
        Self {
            boards: 79,
            widest_deg: 6.0,
            angles: 7,
            speed_m_s: 7.3,
            weight_lb: 15.0,
            roll: 0.6,
            side_roll: 0.25,
            racks: 120,
            seed: 1,
        }
    }

    /// The leaves thrown at, in order: all of them, since side roll tells a leave from its mirror image.
    ///
    /// ```
    /// assert_eq!(boardwise_pins::spare::SparePlan::leaves().count(), 1023);
    /// ```
    pub fn leaves() -> impl Iterator<Item = Mask> {
        1..=FULL_RACK
    }

    /// The leaves, by their place in [`SparePlan::leaves`], of one of `shards` nearly equal parts.
    pub fn shard(number: u32, shards: u32) -> Range<u32> {
        let leaves = Self::leaves().count() as u64;
        let edge = |n: u32| (leaves * u64::from(n) / u64::from(shards)) as u32;
        edge(number)..edge(number + 1)
    }

    /// Racks of some leaves.
    pub fn racks_of(&self, leaves: Range<u32>) -> u64 {
        let all = Self::leaves().skip(leaves.start as usize).take(leaves.len());
        let cells: usize = all.map(|leave| self.cells().filter(|at| self.reaches(leave, at)).count()).sum();
        cells as u64 * u64::from(self.racks)
    }

    pub(super) fn ball(&self) -> BallBody {
        BallBody::of_pounds(self.weight_lb)
    }

    /// Boards from one cell to the next.
    pub(super) fn board_step(&self) -> f64 {
        court::BOARDS as f64 / f64::from(self.boards - 1)
    }

    /// Degrees from one row to the next.
    pub(super) fn angle_step(&self) -> f64 {
        2.0 * self.widest_deg / f64::from(self.angles - 1)
    }

    /// The middle of a cell; boards change fastest.
    pub(super) fn cell(&self, number: usize) -> Arrival {
        let (row, column) = (number / usize::from(self.boards), number % usize::from(self.boards));
        Arrival {
            board: 0.5 + self.board_step() * column as f64,
            angle_deg: self.angle_step() * row as f64 - self.widest_deg,
        }
    }

    /// The cells of one leave, in order.
    pub(super) fn cells(&self) -> impl Iterator<Item = Arrival> {
        (0..usize::from(self.boards) * usize::from(self.angles)).map(|number| self.cell(number))
    }

    /// Whether a ball of this cell can touch a pin of the leave; the rest are not thrown. Half a cell and five standard
    /// deviations of a pin's place are allowed for.
    pub(super) fn reaches(&self, leave: Mask, at: &Arrival) -> bool {
        at.reaches(leave, &self.ball(), 0.5 * self.board_step() * court::BOARD_M + 0.005)
    }

    pub(super) fn check(&self) -> Result<(), CarryError> {
        let odd = self.angles % 2 == 1 && (3..=99).contains(&self.angles) && (2..=999).contains(&self.boards);
        let numbers = [
            (self.widest_deg, 0.1, 30.0),
            (self.speed_m_s, 1.0, 30.0),
            (self.weight_lb, 1.0, 50.0),
            (self.roll, 0.0, 5.0),
            (self.side_roll, -5.0, 5.0),
        ];
        let inside = numbers.iter().all(|&(value, low, high)| (low..=high).contains(&value));
        if odd && inside && (1..=50_000).contains(&self.racks) { Ok(()) } else { Err(CarryError::BadPlan) }
    }

    pub(super) fn write(&self, out: &mut Vec<u8>) {
        out.extend_from_slice(&self.boards.to_le_bytes());
        out.extend_from_slice(&self.angles.to_le_bytes());
        for value in [self.widest_deg, self.speed_m_s, self.weight_lb, self.roll, self.side_roll] {
            out.extend_from_slice(&value.to_le_bytes());
        }
        out.extend_from_slice(&self.racks.to_le_bytes());
        out.extend_from_slice(&self.seed.to_le_bytes());
    }

    pub(super) fn read(from: &mut Cursor) -> Result<Self, CarryError> {
        let (boards, angles) = (from.u16()?, from.u16()?);
        let (widest_deg, speed_m_s, weight_lb) = (from.f64()?, from.f64()?, from.f64()?);
        let (roll, side_roll) = (from.f64()?, from.f64()?);
        let (racks, seed) = (from.u32()?, from.u64()?);
        let plan = Self { boards, widest_deg, angles, speed_m_s, weight_lb, roll, side_roll, racks, seed };
        plan.check()?;
        Ok(plan)
    }

    /// A number that tells plans, constants and physics apart.
    pub fn fingerprint<'a>(&self, sets: impl IntoIterator<Item = &'a Constants>) -> u64 {
        fingerprint(sets, |bytes| self.write(bytes))
    }
}
