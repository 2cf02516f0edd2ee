//! Games together: a series, match play, a team that shares one game.

use crate::{Error, Odds, Scores};
use alloc::vec::Vec;

/// The finished games of a block, and the handicap that comes with each.
///
/// ```
/// use boardwise_score::Series;
/// let mut block = Series::new(8);
/// block.push(211)?;
/// block.push(178)?;
/// assert_eq!((block.scratch(), block.total()), (389, 405));
/// assert_eq!(block.over(200), -11);
/// // Three more games of 207, and 8 more pins with each, make a cut of 1050.
/// assert_eq!(block.needed(1050, 3), Some(207.0));
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Series {
    scores: Vec<u16>,
    handicap: u16,
}

impl Series {
    /// A series before its first game, with this many pins of handicap a game.
    pub const fn new(handicap: u16) -> Self {
        Self { scores: Vec::new(), handicap }
    }

    /// Adds a finished game, without its handicap.
    ///
    /// # Errors
    /// [`Error::NoSuchScore`] above 300.
    pub fn push(&mut self, score: u16) -> Result<(), Error> {
        if score > 300 {
            return Err(Error::NoSuchScore { score });
        }
        self.scores.push(score);
        Ok(())
    }

    /// The games' scores, in order, without handicap.
    pub fn scores(&self) -> &[u16] {
        &self.scores
    }

    /// Pins without handicap.
    pub fn scratch(&self) -> u32 {
        self.scores.iter().copied().map(u32::from).sum()
    }

    /// Pins with handicap.
    pub fn total(&self) -> u32 {
        self.scratch() + u32::from(self.handicap) * self.scores.len() as u32
    }

    /// Pins a game without handicap, `None` before the first.
    pub fn average(&self) -> Option<f64> {
        (!self.scores.is_empty()).then(|| f64::from(self.scratch()) / self.scores.len() as f64)
    }

    /// The best game, without handicap.
    pub fn high(&self) -> Option<u16> {
        self.scores.iter().copied().max()
    }

    /// The pace: pins over (or, negative, under) `par` a game, without handicap.
    pub fn over(&self, par: u16) -> i32 {
        self.scores.iter().map(|&score| i32::from(score) - i32::from(par)).sum()
    }

    /// Pins a game, without handicap, that `games` more must bring for a `target` with handicap. 0 if it is reached,
    /// `None` if even 300 every game would not do.
    pub fn needed(&self, target: u32, games: u32) -> Option<f64> {
        let lacking = target.saturating_sub(self.total() + games * u32::from(self.handicap));
        match lacking {
            0 => Some(0.0),
            _ if lacking > 300 * games => None,
            _ => Some(f64::from(lacking) / f64::from(games)),
        }
    }

    /// The chance that the total with handicap reaches `target`, given the distribution of the games to come together
    /// (from [`crate::Forecast::of_games`], without handicap).
    pub fn chance(&self, target: u32, games: u32, to_come: &Scores) -> f64 {
        to_come.at_least(target.saturating_sub(self.total() + games * u32::from(self.handicap)))
    }
}

/// Match play: bonus pins for a match won or tied, as the event sets them.
///
/// ```
/// let bonus = boardwise_score::MatchPlay { win: 30, tie: 15 };
/// assert_eq!((bonus.award(220, 219), bonus.award(200, 200), bonus.award(198, 199)), (250, 215, 198));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MatchPlay {
    /// Bonus pins for a win.
    pub win: u16,
    /// Bonus pins for a tie.
    pub tie: u16,
}

impl MatchPlay {
    /// Pins a match brings: the own score and the bonus it earns against the other's.
    pub fn award(self, own: u16, other: u16) -> u16 {
        own + match own.cmp(&other) {
            core::cmp::Ordering::Greater => self.win,
            core::cmp::Ordering::Equal => self.tie,
            core::cmp::Ordering::Less => 0,
        }
    }

    /// Pins a match brings on average, given both scores' distributions.
    pub fn expected(self, own: &Scores, other: &Scores) -> f64 {
        let Odds { win, tie, .. } = own.against(other);
        own.mean() + f64::from(self.win) * win + f64::from(self.tie) * tie
    }
}

/// A team that bowls one game together, its members taking frames in turn: with five, the first bowls frames 1 and 6,
/// the fifth 5 and 10 \[M, high confidence\].
///
/// ```
/// let team = boardwise_score::Baker::new(5)?;
/// assert_eq!((team.up(1), team.up(6), team.up(10)), (0, 0, 4));
/// assert!(boardwise_score::Baker::new(4).is_err());
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Baker {
    bowlers: usize,
}

impl Baker {
    /// One bowler, all frames.
    pub(crate) const ALONE: Self = Self { bowlers: 1 };

    /// A team of this many.
    ///
    /// # Errors
    /// [`Error::UnevenTeam`] unless ten frames can be shared evenly: 1, 2, 5 or 10.
    pub const fn new(bowlers: usize) -> Result<Self, Error> {
        if matches!(bowlers, 1 | 2 | 5 | 10) { Ok(Self { bowlers }) } else { Err(Error::UnevenTeam { bowlers }) }
    }

    /// Who bowls this frame (1 to 10), as a place in the line-up counted from 0.
    pub const fn up(self, frame: u8) -> usize {
        (frame as usize).saturating_sub(1) % self.bowlers
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_series_counts_every_game_once() {
        let mut block = Series::new(10);
        assert_eq!((block.average(), block.high(), block.total()), (None, None, 0));
        for score in [150, 250, 203] {
            block.push(score).unwrap();
        }
        assert_eq!(block.push(301), Err(Error::NoSuchScore { score: 301 }));
        assert_eq!((block.scratch(), block.total(), block.high()), (603, 633, Some(250)));
        assert_eq!((block.average(), block.over(200)), (Some(201.0), 3));
        assert_eq!(block.needed(633, 1), Some(0.0));
        assert_eq!(block.needed(943, 1), Some(300.0));
        assert_eq!(block.needed(944, 1), None);
        assert_eq!(block.needed(634, 0), None);
    }

    #[test]
    fn law_every_member_bowls_as_many_frames() {
        for bowlers in [1, 2, 5, 10] {
            let team = Baker::new(bowlers).unwrap();
            for who in 0..bowlers {
                assert_eq!((1..=10).filter(|&frame| team.up(frame) == who).count(), 10 / bowlers);
            }
        }
        for bowlers in [0, 3, 4, 6, 11] {
            assert_eq!(Baker::new(bowlers), Err(Error::UnevenTeam { bowlers }));
        }
    }
}
