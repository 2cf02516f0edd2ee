//! The distribution of a score.

use alloc::vec;
use alloc::vec::Vec;
use boardwise_units::math::sqrt;

/// How likely every score is: of one game, or of several together.
///
/// ```
/// use boardwise_score::{Forecast, Game, Scoring, Skill};
/// let forecast = Forecast::new(&Skill::nine_or_ten(0.5, 0.8)?);
/// let game = forecast.of(&Game::new(Scoring::Traditional));
/// assert!((game.mean() - 210.25).abs() < 1e-9);
/// let three = game.plus(&game).plus(&game);
/// assert!((three.mean() - 630.75).abs() < 1e-9);
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Scores {
    /// The chance of every score from 0.
    chances: Vec<f64>,
}

/// The chances of winning, tying and losing; they add up to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Odds {
    /// The own score is higher.
    pub win: f64,
    /// Both are the same.
    pub tie: f64,
    /// The other's is higher.
    pub loss: f64,
}

impl Scores {
    /// A score that is certain.
    ///
    /// ```
    /// assert_eq!(boardwise_score::Scores::certain(180).mean(), 180.0);
    /// ```
    pub fn certain(score: u16) -> Self {
        let mut chances = vec![0.0; usize::from(score) + 1];
        chances[usize::from(score)] = 1.0;
        Self { chances }
    }

    pub(crate) const fn from_chances(chances: Vec<f64>) -> Self {
        Self { chances }
    }

    /// The chance of exactly this score.
    pub fn chance(&self, score: u32) -> f64 {
        self.chances.get(score as usize).copied().unwrap_or(0.0)
    }

    /// The chance of every score from 0 to the highest possible.
    pub fn chances(&self) -> &[f64] {
        &self.chances
    }

    /// The chance of this score or more.
    pub fn at_least(&self, target: u32) -> f64 {
        // From the top down, where the chances are smallest; rounding must not make a certainty more than certain.
        self.chances.iter().skip(target as usize).rev().sum::<f64>().min(1.0)
    }

    /// The mean.
    pub fn mean(&self) -> f64 {
        self.chances.iter().enumerate().map(|(score, chance)| score as f64 * chance).sum()
    }

    /// The standard deviation.
    pub fn sd(&self) -> f64 {
        let mean = self.mean();
        let square = |(score, chance): (usize, &f64)| (score as f64 - mean) * (score as f64 - mean) * chance;
        sqrt(self.chances.iter().enumerate().map(square).sum())
    }

    /// The lowest score that is not exceeded with at least this chance: 0.5 for the median, 0.1 and 0.9 for the ends of
    /// an interval that holds four games in five.
    ///
    /// ```
    /// use boardwise_score::Scores;
    /// assert_eq!(Scores::certain(180).quantile(0.5), 180);
    /// ```
    pub fn quantile(&self, chance: f64) -> u32 {
        let mut below = 0.0;
        let reached = self.chances.iter().position(|c| {
            below += c;
            // A hair of rounding must not push the top end past the last possible score.
            *c > 0.0 && below >= chance - 1e-12
        });
        let last = self.chances.iter().rposition(|&c| c > 0.0);
        reached.or(last).unwrap_or(0) as u32
    }

    /// The distribution of the sum with an independent other.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        let mut chances = vec![0.0; self.chances.len() + other.chances.len() - 1];
        for (at, &chance) in self.chances.iter().enumerate().filter(|(_, chance)| **chance > 0.0) {
            for (sum, c) in chances[at..].iter_mut().zip(&other.chances) {
                *sum += chance * c;
            }
        }
        Self { chances }
    }

    /// The chances against an independent other.
    ///
    /// ```
    /// use boardwise_score::Scores;
    /// let odds = Scores::certain(200).against(&Scores::certain(199));
    /// assert_eq!((odds.win, odds.tie, odds.loss), (1.0, 0.0, 0.0));
    /// ```
    pub fn against(&self, other: &Self) -> Odds {
        let mut odds = Odds { win: 0.0, tie: 0.0, loss: 0.0 };
        let mut below = 0.0;
        for score in 0..self.chances.len().max(other.chances.len()) as u32 {
            let (own, same) = (self.chance(score), other.chance(score));
            odds.win += own * below;
            odds.tie += own * same;
            below += same;
            odds.loss += own * (1.0 - below).max(0.0);
        }
        odds
    }
}
