//! A bowler as the score sees them: how often each leave comes and is made.

use crate::tally::Rack;
use crate::{Deck, Error, Leave, PinSet};
use alloc::vec;
use alloc::vec::Vec;

/// How far chances may be from a whole before it is an error rather than rounding.
const WHOLE: f64 = 1e-9;

/// One leave, or all unnamed leaves of one count: how often it comes, and how often it is made.
///
/// ```
/// use boardwise_score::LeaveRate;
/// let ten_pin = LeaveRate::of("10".parse()?, 0.10, 0.95)?;
/// // Of the first balls, 0.5% leave this split. 3% of them are made, and a miss mostly takes two pins.
/// let big_four = LeaveRate::of("4-6-7-10".parse()?, 0.005, 0.03)?.missed(&[0.05, 0.15, 0.70, 0.10])?;
/// // All the other ways to knock down eight.
/// let eights = LeaveRate::counted(8, 0.06, 0.80)?;
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct LeaveRate {
    leave: Option<Leave>,
    standing: u8,
    chance: f64,
    make: f64,
    /// Pins that fall when it is missed, by number.
    missed: [f64; 10],
}

impl LeaveRate {
    /// First balls leave this with chance `chance`, and the second ball makes it with chance `make`. When it misses, all
    /// but one fall, unless [`LeaveRate::missed`] says otherwise.
    ///
    /// # Errors
    /// [`Error::NotAChance`] outside 0 to 1.
    pub fn of(leave: Leave, chance: f64, make: f64) -> Result<Self, Error> {
        Self::new(Some(leave), leave.pins().len(), chance, make)
    }

    /// As [`LeaveRate::of`] for all leaves with `down` pins down (0 to 9) that the skill does not name.
    ///
    /// # Errors
    /// [`Error::NotAChance`] outside 0 to 1, [`Error::LeavesNoSpare`] for more than nine down.
    pub fn counted(down: u8, chance: f64, make: f64) -> Result<Self, Error> {
        if down > 9 { Err(Error::LeavesNoSpare { down }) } else { Self::new(None, 10 - down, chance, make) }
    }

    fn new(leave: Option<Leave>, standing: u8, chance: f64, make: f64) -> Result<Self, Error> {
        let mut missed = [0.0; 10];
        missed[usize::from(standing) - 1] = 1.0;
        // There is only one leave of ten.
        let leave = if standing == 10 { Leave::new(PinSet::ALL).ok() } else { leave };
        Ok(Self { leave, standing, chance: a_chance(chance)?, make: a_chance(make)?, missed })
    }

    /// The same with other results of a miss: the chances that 0, 1, 2 ... pins fall, given that not all do.
    ///
    /// # Errors
    /// [`Error::NotAChance`], or [`Error::ChancesNotWhole`] if those of fewer pins than stand do not add up to 1.
    pub fn missed(mut self, chances: &[f64]) -> Result<Self, Error> {
        let possible = usize::from(self.standing).min(chances.len());
        self.missed = [0.0; 10];
        for (to, &chance) in self.missed.iter_mut().zip(&chances[..possible]) {
            *to = a_chance(chance)?;
        }
        whole(self.missed.iter().sum())?;
        Ok(self)
    }

    /// Chances of the pins the second ball takes, from 0 to all that stand.
    fn second(&self) -> [f64; 11] {
        let mut second = [0.0; 11];
        for (to, missed) in second.iter_mut().zip(self.missed) {
            *to = (1.0 - self.make) * missed;
        }
        second[usize::from(self.standing)] = self.make;
        second
    }
}

/// How often a bowler strikes, leaves each set of pins, and makes it. The same holds for every frame.
///
/// ```
/// use boardwise_score::{LeaveRate, Skill};
/// let skill = Skill::new(0.55, vec![
///     LeaveRate::of("10".parse()?, 0.15, 0.95)?,
///     LeaveRate::counted(9, 0.18, 0.96)?,
///     LeaveRate::counted(8, 0.12, 0.70)?,
/// ])?;
/// assert!((skill.first_ball()[9] - 0.33).abs() < 1e-12);
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Skill {
    strike: f64,
    leaves: Vec<LeaveRate>,
}

impl Skill {
    /// A bowler who strikes with chance `strike` and otherwise has these leaves.
    ///
    /// # Errors
    /// [`Error::NotAChance`]; [`Error::ChancesNotWhole`] if strike and leaves do not add up to 1; [`Error::LeaveTwice`].
    pub fn new(strike: f64, leaves: Vec<LeaveRate>) -> Result<Self, Error> {
        for (i, rate) in leaves.iter().enumerate() {
            if leaves[..i].iter().any(|other| (other.leave, other.standing) == (rate.leave, rate.standing)) {
                return Err(Error::LeaveTwice { standing: rate.standing });
            }
        }
        whole(a_chance(strike)? + leaves.iter().map(|leave| leave.chance).sum::<f64>())?;
        Ok(Self { strike, leaves })
    }

    /// The simplest bowler: strikes with chance `strike`, otherwise leaves one pin, and makes it with chance `spare`.
    ///
    /// # Errors
    /// [`Error::NotAChance`] outside 0 to 1.
    pub fn nine_or_ten(strike: f64, spare: f64) -> Result<Self, Error> {
        Self::new(strike, vec![LeaveRate::counted(9, 1.0 - a_chance(strike)?, spare)?])
    }

    /// The chance of a strike with a first ball.
    pub const fn strike(&self) -> f64 {
        self.strike
    }

    /// The chances that a first ball takes 0 to 10 pins.
    pub fn first_ball(&self) -> [f64; 11] {
        let mut first = [0.0; 11];
        for leave in &self.leaves {
            first[usize::from(10 - leave.standing)] += leave.chance;
        }
        first[10] = self.strike;
        first
    }

    /// The chances that a second ball at these pins takes 0, 1, 2 ... of them; the rest of the list is 0.
    ///
    /// - A leave that the skill names has its own chances.
    /// - Another leave has those of the unnamed leaves with as many pins, else those of all leaves with as many pins.
    /// - If only the number of pins is known, all leaves with as many pins count together, else the unnamed ones.
    /// - A full rack (after a foul or a gutter ball) counts as a first ball.
    /// - A number of pins that the skill never leaves is made as often as all leaves together; a miss leaves one pin.
    pub fn second_ball(&self, deck: Deck) -> [f64; 11] {
        let standing = deck.len();
        let together = |wanted: &dyn Fn(&LeaveRate) -> bool| {
            let listed = || self.leaves.iter().filter(|leave| leave.chance > 0.0 && wanted(leave));
            let all: f64 = listed().map(|leave| leave.chance).sum();
            let mut second = [0.0; 11];
            for leave in listed() {
                let share = leave.chance / all;
                second.iter_mut().zip(leave.second()).for_each(|(to, chance)| *to += share * chance);
            }
            (all > 0.0).then_some(second)
        };
        let named = |deck: Deck| match deck {
            // A leave that never comes may still be named, to say how often it is made.
            Deck::Pins(pins) => {
                self.leaves.iter().find(|l| l.leave.is_some_and(|leave| leave.pins() == pins)).map(LeaveRate::second)
            }
            Deck::Count(_) => None,
        };
        let unnamed =
            || self.leaves.iter().find(|l| l.leave.is_none() && l.standing == standing).map(LeaveRate::second);
        let of_count = || match deck {
            Deck::Pins(_) => unnamed().or_else(|| together(&|leave| leave.standing == standing)),
            Deck::Count(_) => together(&|leave| leave.standing == standing).or_else(unnamed),
        };
        let full = || (standing == 10).then(|| self.first_ball());
        named(deck).or_else(of_count).or_else(full).unwrap_or_else(|| self.unlisted(standing))
    }

    /// A second ball at a number of pins the skill never leaves.
    fn unlisted(&self, standing: u8) -> [f64; 11] {
        let missed: f64 = self.leaves.iter().map(|leave| leave.chance * (1.0 - leave.make)).sum();
        let all: f64 = self.leaves.iter().map(|leave| leave.chance).sum();
        let make = if all > 0.0 { 1.0 - missed / all } else { 1.0 };
        let mut second = [0.0; 11];
        if standing > 0 {
            second[usize::from(standing) - 1] = 1.0 - make;
        }
        second[usize::from(standing)] = make;
        second
    }

    /// The same bowler in a game in which they strike with chance `strike`. The leaves keep their shares of the rest.
    pub(crate) fn striking(&self, strike: f64) -> Self {
        let rest = 1.0 - self.strike;
        let scale = if rest > 0.0 { (1.0 - strike) / rest } else { 0.0 };
        let mut leaves = self.leaves.clone();
        for leave in &mut leaves {
            leave.chance *= scale;
        }
        Self { strike, leaves }
    }

    pub(crate) fn rack(&self) -> Rack<f64> {
        let mut pairs = [[0.0; 11]; 10];
        for leave in &self.leaves {
            let pair = &mut pairs[usize::from(10 - leave.standing)];
            pair.iter_mut().zip(leave.second()).for_each(|(to, second)| *to += leave.chance * second);
        }
        Rack { strike: self.strike, pairs, single: self.first_ball() }
    }
}

pub(crate) fn a_chance(value: f64) -> Result<f64, Error> {
    if (0.0..=1.0).contains(&value) { Ok(value) } else { Err(Error::NotAChance { value }) }
}

fn whole(sum: f64) -> Result<(), Error> {
    if (sum - 1.0).abs() <= WHOLE { Ok(()) } else { Err(Error::ChancesNotWhole { sum }) }
}
