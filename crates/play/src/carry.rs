//! What first balls leave, from the carry table: strikes in place of pocket hits.

use crate::{Hit, Payoff, Pocket};
use ball::Ball;
use lane::Finish;
use measure::{Hand, math};
use pins::BallBody;
use pins::carry::{Approach, Carry, Leaves};
use score::{Leave, PinSet};
use std::collections::BTreeMap;

/// A leave and how often it comes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeaveShare {
    /// The pins that stand, numbered as they are.
    pub leave: Leave,
    /// Share of first balls that leave it, 0 to 1.
    pub share: f64,
}

/// What a line's first balls do at a full rack.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstBall {
    /// Share of strikes, 0 to 1.
    pub strike: f64,
    /// Standard error of the strikes, from the number of throws and from the racks behind the table. What the pins'
    /// constants do not know comes on top.
    pub strike_error: f64,
    /// Everything else, commonest first; with the strikes the shares sum to 1.
    pub leaves: Vec<LeaveShare>,
    /// Share of throws beyond what the table spans, answered from its edge.
    pub beyond_table: f64,
}

impl FirstBall {
    /// From chances of sets of pins, the empty set being a strike. They are scaled to sum to 1.
    pub fn new(shares: impl IntoIterator<Item = (PinSet, f64)>, strike_error: f64, beyond_table: f64) -> Self {
        let (mut strike, mut leaves) = (0.0, Vec::new());
        for (pins, share) in shares.into_iter().filter(|(_, share)| *share > 0.0) {
            match Leave::new(pins) {
                Ok(leave) => leaves.push(LeaveShare { leave, share }),
                Err(_) => strike += share,
            }
        }
        leaves.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.leave.cmp(&b.leave)));
        let whole = strike + leaves.iter().map(|l| l.share).sum::<f64>();
        if whole > 0.0 {
            strike /= whole;
            leaves.iter_mut().for_each(|l| l.share /= whole);
        }
        Self { strike, strike_error, leaves, beyond_table }
    }

    /// Share of first balls that leave a split.
    pub fn split(&self) -> f64 {
        self.leaves.iter().filter(|l| l.leave.is_split()).map(|l| l.share).sum()
    }

    /// Mean number of pins the first ball takes.
    pub fn pins(&self) -> f64 {
        let down = |l: &LeaveShare| l.share * f64::from(10 - l.leave.pins().len());
        10.0 * self.strike + self.leaves.iter().map(down).sum::<f64>()
    }
}

/// The ball as pins feel it: its weight and size, with the mean of its moments of inertia.
pub fn body_of(ball: &Ball) -> BallBody {
    let inertia = (ball.inertia_kg_m2.x + ball.inertia_kg_m2.y + ball.inertia_kg_m2.z) / 3.0;
    BallBody { mass_kg: ball.mass_kg, radius_m: ball.radius_m, gyration_m: math::sqrt(inertia / ball.mass_kg) }
}

/// Strikes, by the carry table: a finish is worth its chance of one.
///
/// A ball that touches any pin is looked up where its line meets the head pin or passes the head pin's row; the table
/// spans the whole lane. One that drops into a gutter, or touches no pin, leaves all ten.
#[derive(Clone, Copy, Debug)]
pub struct Strikes<'a> {
    carry: &'a Carry,
    body: BallBody,
    hand: Hand,
    pocket: Pocket,
}

impl<'a> Strikes<'a> {
    /// Strikes of a ball from a hand; the pocket only names the misses.
    pub fn new(carry: &'a Carry, ball: &Ball, hand: Hand, pocket: Pocket) -> Self {
        Self { carry, body: body_of(ball), hand, pocket }
    }

    /// The approach of a finish; None if it reaches no pin.
    pub fn approach(&self, finish: &Finish) -> Option<Approach> {
        let touch = finish.touch.filter(|_| finish.gutter.is_none())?;
        Some(Approach::of(&touch.entry, &self.body))
    }

    /// What finishes leave.
    pub fn leaves_of(&self, finishes: &[Finish]) -> FirstBall {
        let n = finishes.len().max(1) as f64;
        let (mut shares, mut leaves) = (vec![0.0; 1024], Leaves::default());
        let (mut strikes, mut beyond) = (Vec::with_capacity(finishes.len()), 0.0);
        // The table's error is shared by throws that read the same racks: those of one quarter board and degree.
        let mut cells: BTreeMap<(i32, i32), (f64, f64)> = BTreeMap::new();
        for finish in finishes {
            let Some(approach) = self.approach(finish) else {
                shares[usize::from(PinSet::ALL.bits())] += 1.0 / n;
                strikes.push(0.0);
                continue;
            };
            self.carry.leaves(&approach, self.hand, &mut leaves);
            for (mask, share) in leaves.iter() {
                shares[usize::from(mask)] += share / n;
            }
            strikes.push(leaves.strike());
            beyond += f64::from(u8::from(leaves.beyond_table)) / n;
            let cell = ((4.0 * approach.board).floor() as i32, approach.angle_deg.floor() as i32);
            let (weight, variance) = cells.entry(cell).or_default();
            *weight += 1.0 / n;
            *variance += leaves.strike_standard_error().powi(2) / n;
        }
        // A cell's mean variance times its weight squared.
        let table: f64 = cells.values().map(|(weight, variance)| weight * variance).sum();
        let (_, sd) = crate::bench::mean_and_sd(&strikes);
        let pins =
            shares.iter().enumerate().filter_map(|(bits, &share)| Some((PinSet::from_bits(bits as u16)?, share)));
        FirstBall::new(pins, (sd * sd / n + table).sqrt(), beyond)
    }
}

impl Payoff for Strikes<'_> {
    fn hit(&self, finish: &Finish) -> Hit {
        self.pocket.hit(finish)
    }

    fn worth(&self, finish: &Finish) -> f64 {
        self.approach(finish).map_or(0.0, |approach| self.carry.strike(&approach))
    }

    fn counts(&self) -> &'static str {
        "strikes"
    }

    fn first_ball(&self, finishes: &[Finish]) -> Option<FirstBall> {
        Some(self.leaves_of(finishes))
    }
}

/// The chance of a strike over entry board and angle.
#[derive(Clone, Debug, PartialEq)]
pub struct EntryMap {
    /// Entry boards of the columns.
    pub boards: Vec<f64>,
    /// Entry angles of the rows, degrees.
    pub angles_deg: Vec<f64>,
    /// Chance of a strike, 0 to 1, row after row.
    pub strike: Vec<f64>,
}

impl EntryMap {
    /// The map around the pocket for a ball that comes as in `like`, whatever its board and angle: boards 13 to 24, 0 to 9
    /// degrees.
    pub fn of(carry: &Carry, like: &Approach) -> Self {
        let boards: Vec<f64> = (0..=88).map(|k| 13.0 + 0.125 * f64::from(k)).collect();
        let angles_deg: Vec<f64> = (0..=36).map(|k| 0.25 * f64::from(k)).collect();
        let at = |&angle_deg: &f64, &board: &f64| carry.strike(&Approach { board, angle_deg, ..*like });
        let strike = angles_deg.iter().flat_map(|angle| boards.iter().map(move |board| at(angle, board))).collect();
        Self { boards, angles_deg, strike }
    }
}
