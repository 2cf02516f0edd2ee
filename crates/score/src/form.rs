//! Form: games in which everything carries, and games in which nothing does.

use crate::Error;
use alloc::vec;
use alloc::vec::Vec;
use boardwise_units::math::{exp, log};

/// Games of one bowler that differ more than chance alone makes them: the log odds of a strike move from game to game
/// with this standard deviation, and stay within a game. Strikes then come in good and bad games, not because one strike
/// brings the next.
///
/// After Yaari and David, *"Hot hand" on strike: bowling data indicates correlation to recent past results, not
/// causality*, `PLoS` ONE 7 (2012) e30112 \[M: the finding, that games differ in their strike rate; the normal
/// distribution of the log odds is this crate's choice\].
///
/// ```
/// use boardwise_score::{Forecast, Form, Game, Scoring, Skill};
/// let skill = Skill::nine_or_ten(0.5, 0.8)?;
/// let new_game = Game::new(Scoring::Traditional);
/// let alike = Forecast::new(&skill).of(&new_game);
/// let differing = Forecast::with_form(&skill, Form::new(0.5)?).of(&new_game);
/// assert!(differing.sd() > alike.sd());
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Form {
    sd: f64,
}

/// Nodes of the quadrature over form: with fifteen, no chance of a target is off by more than 1e-4 at a swing of 1
/// \[C: tests/forecast.rs\].
const NODES: usize = 15;

impl Form {
    /// The standard deviation, between games, of the log odds of a strike.
    ///
    /// # Errors
    /// [`Error::FormOutOfRange`] outside 0 to 1. (At 1, a bowler who strikes half the time strikes 27% or less in one
    /// game of six, and 73% or more in another.)
    pub fn new(sd: f64) -> Result<Self, Error> {
        if (0.0..=1.0).contains(&sd) { Ok(Self { sd }) } else { Err(Error::FormOutOfRange { value: sd }) }
    }

    /// Weights and strike chances of the games of a bowler who strikes with chance `strike` on average over them.
    pub(crate) fn games(self, strike: f64) -> Vec<(f64, f64)> {
        if self.sd <= 0.0 || strike <= 0.0 || strike >= 1.0 {
            return vec![(1.0, strike)];
        }
        let nodes = hermite::<NODES>();
        let at = |centre: f64| nodes.map(|(z, weight)| (weight, 1.0 / (1.0 + exp(-centre - self.sd * z))));
        let mean = |centre: f64| at(centre).iter().map(|(weight, chance)| weight * chance).sum::<f64>();
        // The middle game is not the average game: look for the centre whose average is `strike`, which lies within
        // a few swings of its log odds.
        let odds = log(strike / (1.0 - strike));
        let reach = 8.0 * self.sd;
        let centre = bisect(odds - reach, odds + reach, |centre| mean(centre) < strike);
        at(centre).to_vec()
    }
}

/// The place between `low` and `high` where `below` turns from true to false.
fn bisect(mut low: f64, mut high: f64, below: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Nodes and weights of Gauss-Hermite quadrature for the standard normal distribution: exact for polynomials up to degree
/// 2N - 1. The roots of each Hermite polynomial lie between those of the one before (Abramowitz and Stegun, ch. 22 and
/// 25.4.46 \[M\]), so bisection finds them all.
fn hermite<const N: usize>() -> [(f64, f64); N] {
    // He_n(x), and He_{n-1}(x) before it, by x He_n - n He_{n-1}.
    let value = |n: usize, x: f64| (0..n).fold((0.0, 1.0), |(before, this), k| (this, x * this - k as f64 * before));
    let mut roots = [0.0; N];
    for n in 2..=N {
        // All roots are within 2 sqrt(n) < n + 2 of zero.
        let bound = n as f64 + 2.0;
        let inner = roots;
        for (i, root) in roots[..n].iter_mut().enumerate() {
            let low = if i == 0 { -bound } else { inner[i - 1] };
            let high = if i == n - 1 { bound } else { inner[i] };
            // The largest root is passed from minus to plus, the next one from plus to minus, and so on.
            let sign = if (n - i) % 2 == 1 { -1.0 } else { 1.0 };
            *root = bisect(low, high, |x| sign * value(n, x).1 > 0.0);
        }
    }
    // The weight is (n - 1)! / (n He_{n-1}(x)^2), for weights that sum to 1.
    let factorial: f64 = (1..N).map(|k| k as f64).product();
    roots.map(|x| {
        let before = value(N, x).0;
        (x, factorial / (N as f64 * before * before))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn truth_quadrature_has_the_moments_of_the_normal_distribution() {
        // E[z^2k] = (2k - 1)!! of the standard normal distribution [M, closed form]; exact up to degree 2N - 1.
        let nodes = hermite::<NODES>();
        let moment = |degree: i32| nodes.iter().map(|(z, weight)| weight * z.powi(degree)).sum::<f64>();
        let mut exact = 1.0;
        for k in (0..).take(NODES) {
            if k > 0 {
                exact *= f64::from(2 * k - 1);
            }
            assert!((moment(2 * k) / exact - 1.0).abs() < 1e-10, "degree {}: {}", 2 * k, moment(2 * k));
            assert!(moment(2 * k + 1).abs() / exact < 1e-8, "degree {}", 2 * k + 1);
        }
    }

    #[test]
    fn law_the_average_game_strikes_as_asked() {
        for strike in [0.01, 0.3, 0.6, 0.99] {
            for sd in [0.1, 0.5, 1.0] {
                let games = Form::new(sd).unwrap().games(strike);
                let weight: f64 = games.iter().map(|game| game.0).sum();
                let mean: f64 = games.iter().map(|game| game.0 * game.1).sum();
                assert!((weight - 1.0).abs() < 1e-12 && (mean - strike).abs() < 1e-12, "{strike} {sd}: {mean}");
            }
        }
    }

    #[test]
    fn law_no_swing_is_one_kind_of_game() {
        assert_eq!(Form::default().games(0.4), [(1.0, 0.4)]);
        assert!(Form::new(-0.1).is_err() && Form::new(1.1).is_err() && Form::new(f64::NAN).is_err());
    }
}
