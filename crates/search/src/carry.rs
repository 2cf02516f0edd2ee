//! What first balls leave, from the carry table: strikes in place of pocket hits.

use crate::{Hit, Payoff, Pocket, Throw};
use boardwise_ball::Ball;
use boardwise_lane::{Finish, PinTouch};
use boardwise_pins::carry::{Approach, Carry, Leaves};
use boardwise_pins::{BallBody, Rack, ThrowError, mirrored};
use boardwise_score::{Leave, PinSet};
use boardwise_units::stream::Stream;
use boardwise_units::{Hand, math};
use rayon::prelude::*;
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
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FirstBall {
    /// Share of strikes, 0 to 1.
    pub strike: f64,
    /// Standard error of the strikes, from the number of throws and from the racks behind the table.
    pub strike_error: f64,
    /// What comes on top because the pins' constants are not known: the standard deviation over the sets that all give what
    /// is published. Lines share most of it, so it says how sure a chance is, not how two lines compare.
    pub sets_error: f64,
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
            for leave in &mut leaves {
                leave.share /= whole;
            }
        }
        Self { strike, strike_error, sets_error: 0.0, leaves, beyond_table }
    }

    /// The same if so large a share of all first balls had not struck, but left what the others leave.
    #[must_use]
    pub fn without_strikes(&self, share: f64) -> Self {
        let strike = (self.strike - share).max(0.0);
        let scale = if self.strike < 1.0 { (1.0 - strike) / (1.0 - self.strike) } else { 0.0 };
        let leaves = self.leaves.iter().map(|one| LeaveShare { share: scale * one.share, ..*one }).collect();
        Self { strike, leaves, ..self.clone() }
    }

    /// What one first ball leaves, by a number drawn evenly from 0 to 1.
    pub fn drawn(&self, uniform: f64) -> PinSet {
        let mut at = uniform - self.strike;
        let mut standing = PinSet::NONE;
        for one in &self.leaves {
            if at < 0.0 {
                break;
            }
            at -= one.share;
            standing = one.leave.pins();
        }
        standing
    }

    /// Standard error of the strikes as a chance by itself: throws, racks and the pins' constants together.
    pub fn whole_error(&self) -> f64 {
        math::hypot(self.strike_error, self.sets_error)
    }

    /// Share of first balls that leave a split.
    pub fn split(&self) -> f64 {
        self.leaves.iter().filter(|l| l.leave.is_split()).fold(0.0, |sum, l| sum + l.share)
    }

    /// Mean number of pins the first ball takes.
    pub fn pins(&self) -> f64 {
        let down = |l: &LeaveShare| l.share * f64::from(10 - l.leave.pins().len());
        10.0 * self.strike + self.leaves.iter().map(down).sum::<f64>()
    }
}

/// The ball as pins feel it: its weight and size, with the mean of its moments of inertia.
pub fn body_of(ball: &Ball) -> BallBody {
    BallBody::from(ball)
}

/// Strikes, by the carry table: a finish is worth its chance of one.
///
/// A ball that touches any pin is looked up where its line of entry crosses the head pin's row; the table spans the whole
/// lane. One that drops into a gutter, or touches no pin, leaves all ten.
///
/// The table is in the crate `boardwise-files`, a dependency of its own:
/// `Strikes::new(boardwise_files::carry()?, &ball, bowler.hand, Pocket::default())`. A line found with it says how often it strikes
/// in `line.first_ball`.
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

    /// What the table knows of an entry.
    fn approach(&self, touch: &PinTouch) -> Approach {
        let approach = Approach::of(&touch.entry, &self.body);
        // A ball that rolls does so to within a hair, which must not count as beyond the table.
        let rolls = (approach.roll - 1.0).abs() < 0.02;
        Approach { roll: if rolls { 1.0 } else { approach.roll }, ..approach }
    }

    /// The chance that a finish leaves just these pins standing; none standing is a strike.
    pub fn chance_of(&self, finish: &Finish, standing: PinSet) -> f64 {
        let Some(touch) = touch(finish) else { return f64::from(u8::from(standing == PinSet::ALL)) };
        if standing.is_empty() {
            return self.carry.strike(&self.approach(&touch));
        }
        let mut leaves = Leaves::default();
        self.carry.leaves(&self.approach(&touch), self.hand, &mut leaves);
        leaves.probability(standing.bits())
    }

    /// What balls leave, given where each first touches a pin; None for those that touch none.
    pub fn leaves_of(&self, touches: &[Option<PinTouch>]) -> FirstBall {
        let n = touches.len().max(1) as f64;
        let (mut shares, mut leaves) = (vec![0.0; 1024], Leaves::default());
        let (mut strikes, mut beyond) = (Vec::with_capacity(touches.len()), 0.0);
        let mut of_sets = vec![0.0; self.carry.sets()];
        // The table's error is shared by throws that read the same racks: those of one quarter board and degree.
        let mut cells: BTreeMap<(i32, i32), (f64, f64)> = BTreeMap::new();
        for touch in touches {
            let Some(approach) = touch.as_ref().map(|touch| self.approach(touch)) else {
                shares[usize::from(PinSet::ALL.bits())] += 1.0 / n;
                strikes.push(0.0);
                continue;
            };
            self.carry.leaves(&approach, self.hand, &mut leaves);
            for (mask, share) in leaves.iter() {
                shares[usize::from(mask)] += share / n;
            }
            strikes.push(leaves.strike());
            self.carry.add_strike_of_sets(&approach, 1.0 / n, &mut of_sets);
            beyond += f64::from(u8::from(leaves.beyond_table)) / n;
            let cell = ((4.0 * approach.board).floor() as i32, approach.angle_deg.floor() as i32);
            let (weight, variance) = cells.entry(cell).or_default();
            *weight += 1.0 / n;
            *variance += leaves.count_error().powi(2) / n;
        }
        // A cell's mean variance times its weight squared.
        let table: f64 = cells.values().map(|(weight, variance)| weight * variance).sum();
        let (_, sd) = crate::bench::mean_and_sd(&strikes);
        let (_, over_sets) = crate::bench::mean_and_sd(&of_sets);
        // Each set has its share of the racks, whose chance is not the constants'.
        let by_chance = of_sets.len() as f64 * table;
        let pins =
            shares.iter().enumerate().filter_map(|(bits, &share)| Some((PinSet::from_bits(bits as u16)?, share)));
        let sets_error = (over_sets * over_sets - by_chance).max(0.0).sqrt();
        FirstBall { sets_error, ..FirstBall::new(pins, (sd * sd / n + table).sqrt(), beyond) }
    }
}

/// The first touch of a finish; none from a gutter.
fn touch(finish: &Finish) -> Option<PinTouch> {
    finish.touch.filter(|_| finish.gutter.is_none())
}

impl Payoff for Strikes<'_> {
    fn hit(&self, finish: &Finish) -> Hit {
        self.pocket.hit(finish)
    }

    fn worth(&self, finish: &Finish) -> f64 {
        touch(finish).map_or(0.0, |touch| self.carry.strike(&self.approach(&touch)))
    }

    fn worth_in(&self, finish: &Finish, pins: Option<u32>) -> f64 {
        let Some(set) = pins.filter(|_| self.carry.sets() > 0) else { return self.worth(finish) };
        let set = set as usize % self.carry.sets();
        touch(finish).map_or(0.0, |touch| self.carry.strike_of_set(&self.approach(&touch), set))
    }

    /// In the pocket: crossing over and light strikes are luck (common practice, no source).
    fn is_meant(&self, finish: &Finish) -> bool {
        self.hit(finish) == Hit::Pocket
    }

    fn counts(&self) -> &'static str {
        "strikes"
    }

    fn off_aim_boards(&self, finish: &Finish) -> f64 {
        self.pocket.off_boards(finish)
    }

    fn first_ball(&self, throws: &[Throw]) -> Option<FirstBall> {
        Some(self.leaves_of(&throws.iter().map(|throw| touch(&throw.finish)).collect::<Vec<_>>()))
    }
}

/// What the table says of one approach.
pub fn looked_up(carry: &Carry, approach: &Approach, hand: Hand) -> FirstBall {
    let mut leaves = Leaves::default();
    carry.leaves(approach, hand, &mut leaves);
    let shares = leaves.iter().filter_map(|(mask, share)| Some((PinSet::from_bits(mask)?, share)));
    let beyond = f64::from(u8::from(leaves.beyond_table));
    FirstBall { sets_error: leaves.sets_error(), ..FirstBall::new(shares, leaves.count_error(), beyond) }
}

/// Throws `racks` times at ten pins, each time with the pins a little off their spots in another way.
///
/// # Errors
/// As [`Rack::throw`].
pub fn throw_racks(
    rack: &Rack,
    approach: &Approach,
    ball: &Ball,
    hand: Hand,
    racks: u32,
    seed: u64,
) -> Result<FirstBall, ThrowError> {
    let (entry, body) = (approach.entry().0, body_of(ball));
    let standing: Vec<u16> = (0..racks)
        .into_par_iter()
        .map(|k| {
            let mut stream = Stream::keyed(seed, "carry racks", k.into());
            let standing = rack.throw(&entry, &body, &mut stream)?.standing;
            Ok(if hand == Hand::Left { mirrored(standing) } else { standing })
        })
        .collect::<Result<_, ThrowError>>()?;
    let mut counts = vec![0_u32; 1024];
    for pins in standing {
        counts[usize::from(pins)] += 1;
    }
    let n = f64::from(racks.max(1));
    // One success and one failure more: racks without a strike do not make one impossible.
    let strike = (f64::from(counts[0]) + 1.0) / (n + 2.0);
    let shares = counts.iter().enumerate();
    let shares = shares.filter_map(|(bits, &count)| Some((PinSet::from_bits(bits as u16)?, f64::from(count) / n)));
    Ok(FirstBall::new(shares, (strike * (1.0 - strike) / n).sqrt(), 0.0))
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
