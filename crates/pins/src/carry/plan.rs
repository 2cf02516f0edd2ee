//! The grid of entries that the table spans.

use super::CarryError;
use super::bytes::{Cursor, checksum};
use crate::body::BallBody;
use crate::constants::Constants;
use crate::impulse::Surface;
use crate::outcome::FULL_RACK;
use crate::spare::Arrival;
use alloc::vec::Vec;
use boardwise_ball::Entry;
use boardwise_units::{Pounds, court, math};
use core::ops::Range;

/// Changes when the rack's physics does, so that old shards are not mixed with new ones.
const PHYSICS: u32 = 5;
/// The five axes, in order.
pub(super) const AXES: usize = 5;

/// An entry as the table knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Approach {
    /// Entry board: where the ball's line of entry crosses the head pin's row, 60 ft.
    pub board: f64,
    /// Entry angle in degrees, positive from the bowling-hand side toward the pocket.
    pub angle_deg: f64,
    /// Speed at the pins, m/s: some three miles an hour below the speed at release. `Mph::to_metres_per_second` converts.
    pub speed_m_s: f64,
    /// Weight of the ball, pounds.
    pub weight_lb: f64,
    /// Surface speed of the ball's forward roll over its speed: 1 rolls, 0 slides without turning.
    pub roll: f64,
}

impl Approach {
    /// The approach of an entry, wherever on its way it is given.
    pub fn of(entry: &Entry, ball: &BallBody) -> Self {
        let Arrival { board, angle_deg } = Arrival::of(entry);
        let v = entry.velocity_m_s;
        let speed = math::hypot(v.x, v.y);
        Self {
            board,
            angle_deg,
            speed_m_s: speed,
            weight_lb: Pounds::from_kilograms(ball.mass_kg).0,
            roll: (entry.spin_rad_s.y * v.x - entry.spin_rad_s.x * v.y) * ball.radius_m / (speed * speed),
        }
    }

    /// A ball and an entry that approach so, with no spin but roll: at first contact with the head pin, or at its row.
    pub fn entry(&self) -> (Entry, BallBody) {
        let ball = BallBody::of_pounds(self.weight_lb);
        let arrival = Arrival { board: self.board, angle_deg: self.angle_deg };
        (arrival.entry(FULL_RACK, &ball, self.speed_m_s, (self.roll, 0.0)), ball)
    }

    pub(super) fn coordinates(&self) -> [f64; AXES] {
        [self.board, self.angle_deg, self.speed_m_s, self.weight_lb, self.roll]
    }
}

/// What to throw: the grid, how often at each cell, and the seed.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Entry boards, rising.
    pub boards: Vec<f64>,
    /// Entry angles, degrees, rising, none negative: those are the mirror image of positive ones.
    pub angles_deg: Vec<f64>,
    /// Speeds at the pins, m/s, rising.
    pub speeds_m_s: Vec<f64>,
    /// Ball weights, pounds, rising.
    pub weights_lb: Vec<f64>,
    /// Rolls, rising.
    pub rolls: Vec<f64>,
    /// Racks a cell on boards 14.5-25.5 at 2-8 degrees, where bowlers live. A multiple of the number of sets of constants.
    pub racks_at_home: u32,
    /// Racks a cell elsewhere, likewise.
    pub racks_elsewhere: u32,
    /// Seed of the whole table.
    pub seed: u64,
}

impl Plan {
    /// The plan of the embedded table: a quarter of a board near the pocket, coarser where only strays go.
    /// 2000 racks give a standard error of 1.1 points at 50% strikes \[C: sqrt(p (1-p)/n)\], the 100 of one set 5.
    pub fn full() -> Self {
        let mut boards: Vec<f64> = (0..12).map(f64::from).collect();
        boards.extend((0..64).map(|k| 12.0 + 0.25 * f64::from(k)));
        boards.extend((0..13).map(|k| 28.0 + f64::from(k)));
        Self {
            boards,
            angles_deg: (0..10).map(f64::from).collect(),
            speeds_m_s: [6.2, 7.3, 8.6].to_vec(),
            weights_lb: [12.0, 14.0, 16.0].to_vec(),
            rolls: [0.7, 1.0].to_vec(),
            racks_at_home: 2000,
            racks_elsewhere: 400,
            seed: 1,
        }
    }

    /// Number of cells.
    pub fn cells(&self) -> u32 {
        self.axes().iter().map(|axis| axis.len() as u32).product()
    }

    /// The cells of one of `shards` nearly equal parts.
    pub fn shard(&self, number: u32, shards: u32) -> Range<u32> {
        let edge = |n: u32| (u64::from(self.cells()) * u64::from(n) / u64::from(shards)) as u32;
        edge(number)..edge(number + 1)
    }

    pub(super) fn axes(&self) -> [&[f64]; AXES] {
        [&self.boards, &self.angles_deg, &self.speeds_m_s, &self.weights_lb, &self.rolls]
    }

    /// The middle of a cell and the width of boards it stands for. The board changes fastest.
    pub(super) fn cell(&self, number: u32) -> (Approach, f64) {
        let mut rest = number as usize;
        let index = self.axes().map(|axis| {
            let i = rest % axis.len();
            rest /= axis.len();
            i
        });
        let at = |axis: usize| self.axes()[axis][index[axis]];
        let i = index[0];
        let (below, above) = (i.saturating_sub(1), (i + 1).min(self.boards.len() - 1));
        let width = (self.boards[above] - self.boards[below]) / (above - below).max(1) as f64;
        let [board, angle_deg, speed_m_s, weight_lb, roll] = [0, 1, 2, 3, 4].map(at);
        (Approach { board, angle_deg, speed_m_s, weight_lb, roll }, width)
    }

    /// Racks to throw at a cell.
    pub(super) fn racks(&self, approach: &Approach) -> u32 {
        let off_centre = (approach.board - court::CENTRE_BOARD).abs();
        let home = off_centre <= 5.5 && (2.0..=8.0).contains(&approach.angle_deg);
        if home { self.racks_at_home } else { self.racks_elsewhere }
    }

    /// Racks of the whole plan.
    pub fn total_racks(&self) -> u64 {
        (0..self.cells()).map(|cell| u64::from(self.racks(&self.cell(cell).0))).sum()
    }

    pub(super) fn check(&self) -> Result<(), CarryError> {
        let rising = |axis: &[f64]| {
            !axis.is_empty()
                && axis.len() < 4096
                && axis.iter().all(|v| v.is_finite())
                && axis.is_sorted_by(|a, b| a < b)
        };
        let sizes: u64 = self.axes().iter().map(|axis| axis.len() as u64).product();
        let racks = self.racks_at_home.min(self.racks_elsewhere) > 0;
        if self.axes().into_iter().all(rising) && sizes < 1 << 24 && racks && self.angles_deg[0] >= 0.0 {
            Ok(())
        } else {
            Err(CarryError::BadPlan)
        }
    }

    pub(super) fn write(&self, out: &mut Vec<u8>) {
        for axis in self.axes() {
            out.extend_from_slice(&(axis.len() as u16).to_le_bytes());
            for value in axis {
                out.extend_from_slice(&value.to_le_bytes());
            }
        }
        out.extend_from_slice(&self.racks_at_home.to_le_bytes());
        out.extend_from_slice(&self.racks_elsewhere.to_le_bytes());
        out.extend_from_slice(&self.seed.to_le_bytes());
    }

    pub(super) fn read(from: &mut Cursor) -> Result<Self, CarryError> {
        let mut axis = || -> Result<Vec<f64>, CarryError> {
            let n = from.u16()?;
            (0..n).map(|_| from.f64()).collect()
        };
        let (boards, angles_deg, speeds_m_s, weights_lb, rolls) = (axis()?, axis()?, axis()?, axis()?, axis()?);
        let (racks_at_home, racks_elsewhere, seed) = (from.u32()?, from.u32()?, from.u64()?);
        let plan = Self { boards, angles_deg, speeds_m_s, weights_lb, rolls, racks_at_home, racks_elsewhere, seed };
        plan.check()?;
        Ok(plan)
    }

    /// A number that tells plans, constants and physics apart.
    pub fn fingerprint<'a>(&self, sets: impl IntoIterator<Item = &'a Constants>) -> u64 {
        fingerprint(sets, |bytes| self.write(bytes))
    }
}

/// A number that tells physics, sets of constants and a written plan apart.
pub(crate) fn fingerprint<'a>(
    sets: impl IntoIterator<Item = &'a Constants>,
    write_plan: impl FnOnce(&mut Vec<u8>),
) -> u64 {
    let mut bytes = PHYSICS.to_le_bytes().to_vec();
    write_plan(&mut bytes);
    for constants in sets {
        write_constants(constants, &mut bytes);
    }
    checksum(&bytes)
}

/// What tells tables of other constants apart.
fn write_constants(c: &Constants, out: &mut Vec<u8>) {
    let pair = |s: Surface| [s.restitution, s.friction];
    let surfaces = [c.ball_pin, c.pin_pin, c.pin_deck, c.kickback, c.cushion, c.ball_deck].map(pair);
    let rest =
        [c.pin_mass_kg, c.pin_mass_spread_kg, c.spot_jitter_m, c.restitution_jitter, c.friction_jitter, c.step_s];
    for value in surfaces.as_flattened().iter().chain(&rest) {
        out.extend_from_slice(&value.to_le_bytes());
    }
}
