//! The recursion behind counts and chances: from every frame of a game, how much weight falls on every number of pins to
//! come. With chances as weights it gives distributions, with whole numbers it counts games.

use alloc::vec;
use alloc::vec::Vec;
use core::ops::{AddAssign, Mul};

/// What the recursion can add up: chances or counts.
pub(crate) trait Weight: Copy + Default + PartialEq + AddAssign + Mul<Output = Self> + From<u8> {}
impl<W: Copy + Default + PartialEq + AddAssign + Mul<Output = W> + From<u8>> Weight for W {}

/// The weights of what a bowler may do at a full rack.
#[derive(Clone, Debug)]
pub(crate) struct Rack<W> {
    /// A strike.
    pub strike: W,
    /// `pairs[a][b]`: `a` pins with the first ball, then `b` of those that stand.
    pub pairs: [[W; 11]; 10],
    /// `single[n]`: `n` pins with a ball that nothing follows.
    pub single: [W; 11],
}

/// Bonuses still owed to earlier frames.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Owed {
    Nothing,
    /// A spare counts the next ball.
    Spare,
    /// A strike counts the next two balls.
    Strike,
    /// Two strikes: one counts the next ball, one the next two.
    Double,
}

impl Owed {
    const ALL: [Self; 4] = [Self::Nothing, Self::Spare, Self::Strike, Self::Double];

    /// How many times the next two balls count.
    pub const fn times(self) -> (usize, usize) {
        match self {
            Self::Nothing => (1, 1),
            Self::Spare => (2, 1),
            Self::Strike => (2, 2),
            Self::Double => (3, 2),
        }
    }

    pub const fn after_strike(self) -> Self {
        match self {
            Self::Strike | Self::Double => Self::Double,
            Self::Nothing | Self::Spare => Self::Strike,
        }
    }
}

/// Weight by pins to come, from 0.
pub(crate) type Line<W> = Vec<W>;

/// Adds `weight` times `line`, moved up by `pins`, to `sum`.
pub(crate) fn add<W: Weight>(sum: &mut [W], line: &[W], pins: usize, weight: W) {
    if weight == W::default() {
        return;
    }
    for (to, &from) in sum[pins..].iter_mut().zip(line) {
        *to += weight * from;
    }
}

/// The pins to come from the start of every frame, by what is owed.
#[derive(Clone, Debug)]
pub(crate) struct Traditional<W> {
    frames: Vec<[Line<W>; 4]>,
}

impl<W: Weight> Traditional<W> {
    /// Works from the tenth frame back; `racks` says who bowls each frame.
    pub fn new(racks: [&Rack<W>; 10]) -> Self {
        let mut frames = vec![Owed::ALL.map(|owed| tenth(racks[9], owed))];
        for rack in racks[..9].iter().rev() {
            let after = &frames[frames.len() - 1];
            frames.push(Owed::ALL.map(|owed| before(rack, owed, after)));
        }
        frames.reverse();
        Self { frames }
    }

    /// The pins to come from the start of `frame` (1 to 10).
    pub fn from(&self, frame: u8, owed: Owed) -> &[W] {
        &self.frames[usize::from(frame) - 1][owed as usize]
    }
}

/// One frame put before the frames after it.
fn before<W: Weight>(rack: &Rack<W>, owed: Owed, after: &[Line<W>; 4]) -> Line<W> {
    let (first, second) = owed.times();
    // Many pairs bring the same pins: gather their weights first, then move each line once.
    let (mut opens, mut spares) = ([W::default(); 31], [W::default(); 31]);
    for (a, pair) in rack.pairs.iter().enumerate() {
        for (b, &weight) in pair.iter().enumerate().take(11 - a) {
            let ends = if a + b == 10 { &mut spares } else { &mut opens };
            ends[first * a + second * b] += weight;
        }
    }
    let mut line = vec![W::default(); 30 + after[Owed::Double as usize].len()];
    for pins in 0..31 {
        add(&mut line, &after[Owed::Nothing as usize], pins, opens[pins]);
        add(&mut line, &after[Owed::Spare as usize], pins, spares[pins]);
    }
    add(&mut line, &after[owed.after_strike() as usize], 10 * first, rack.strike);
    line
}

/// The tenth frame with its fill balls.
fn tenth<W: Weight>(rack: &Rack<W>, owed: Owed) -> Line<W> {
    let (first, second) = owed.times();
    let mut line = vec![W::default(); 61];
    for (a, pair) in rack.pairs.iter().enumerate() {
        for (b, &weight) in pair.iter().enumerate().take(11 - a) {
            let pins = first * a + second * b;
            if a + b == 10 {
                add(&mut line, &rack.single, pins, weight);
            } else {
                line[pins] += weight;
            }
        }
    }
    add(&mut line, &two_fills(rack, second), 10 * first, rack.strike);
    line
}

/// The two fill balls after a strike in the tenth frame, the first of them counting `times`.
pub(crate) fn two_fills<W: Weight>(rack: &Rack<W>, times: usize) -> [W; 31] {
    let mut line = [W::default(); 31];
    for (a, pair) in rack.pairs.iter().enumerate() {
        for (b, &weight) in pair.iter().enumerate().take(11 - a) {
            line[times * a + b] += weight;
        }
    }
    add(&mut line, &rack.single, 10 * times, rack.strike);
    line
}

/// The same for current-frame scoring, where nothing is ever owed.
#[derive(Clone, Debug)]
pub(crate) struct CurrentFrame<W> {
    frames: Vec<Line<W>>,
}

impl<W: Weight> CurrentFrame<W> {
    pub fn new(racks: [&Rack<W>; 10]) -> Self {
        let mut frames = vec![vec![W::from(1)]];
        for rack in racks.iter().rev() {
            let after = &frames[frames.len() - 1];
            let mut points = [W::default(); 31];
            points[30] = rack.strike;
            for (a, pair) in rack.pairs.iter().enumerate() {
                for (b, &weight) in pair.iter().enumerate().take(11 - a) {
                    points[if a + b == 10 { 10 + a } else { a + b }] += weight;
                }
            }
            let mut line = vec![W::default(); 30 + after.len()];
            for (pins, &weight) in points.iter().enumerate() {
                add(&mut line, after, pins, weight);
            }
            frames.push(line);
        }
        frames.reverse();
        Self { frames }
    }

    /// The points to come from the start of `frame` (1 to 11).
    pub fn from(&self, frame: u8) -> &[W] {
        &self.frames[usize::from(frame) - 1]
    }
}
