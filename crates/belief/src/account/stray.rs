//! How far throws strayed at the arrows, measured from the boards logged.

use crate::belief::ARROWS_BOARDS;
use boardwise_search::mean_and_sd;
use boardwise_units::math;

/// Throws at the arrows about the boards at which they were meant to pass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stray {
    /// The lane it is about; None for both.
    pub lane: Option<usize>,
    /// The ball it is about, by its place; None for all.
    pub ball: Option<usize>,
    /// Shots behind it.
    pub shots: usize,
    /// Boards by which throws pass inside of where they were meant to, on average; outside, toward the hand, where less than nothing.
    pub off_boards: f64,
    /// Its standard error.
    pub off_error: f64,
    /// Standard deviation about that, boards, less what comes from reading the boards.
    pub sd_boards: f64,
    /// An interval that holds it 19 times in 20.
    pub sd_between: (f64, f64),
    /// What the bowler's spread as told, and the belief about today, say it is.
    pub sd_told: f64,
}

/// A board read at the arrows, against where the line meant passes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Passed {
    pub lane: usize,
    pub ball: usize,
    pub off_boards: f64,
    pub sd_told: f64,
}

/// Fewer shots say next to nothing of a spread: of six its interval reaches from six tenths to two and a half times.
const LEAST_SHOTS: usize = 6;

impl Stray {
    /// Of all shots; then by lane and by ball, where there are several of these with shots enough.
    pub(super) fn all(passed: &[Passed]) -> Vec<Self> {
        let of = |lane: Option<usize>, ball: Option<usize>| {
            let chosen: Vec<Passed> = passed
                .iter()
                .filter(|one| lane.is_none_or(|is| is == one.lane) && ball.is_none_or(|is| is == one.ball))
                .copied()
                .collect();
            Self::of(&chosen).map(|stray| Self { lane, ball, ..stray })
        };
        let several = |all: &mut Vec<usize>| {
            all.sort_unstable();
            all.dedup();
            all.len() > 1
        };
        let mut lanes: Vec<usize> = passed.iter().map(|one| one.lane).collect();
        let mut balls: Vec<usize> = passed.iter().map(|one| one.ball).collect();
        let mut all: Vec<Self> = of(None, None).into_iter().collect();
        if several(&mut lanes) {
            all.extend(lanes.into_iter().filter_map(|lane| of(Some(lane), None)));
        }
        if several(&mut balls) {
            all.extend(balls.into_iter().filter_map(|ball| of(None, Some(ball))));
        }
        all
    }

    fn of(passed: &[Passed]) -> Option<Self> {
        let off: Vec<f64> = passed.iter().map(|one| one.off_boards).collect();
        let (sd_boards, sd_between) = spread_at_arrows(&off)?;
        let (off_boards, seen_sd) = mean_and_sd(&off);
        let shots = passed.len();
        let n = shots as f64;
        let told = passed.iter().map(|one| one.sd_told * one.sd_told).sum::<f64>() / n;
        Some(Self {
            lane: None,
            ball: None,
            shots,
            off_boards,
            off_error: seen_sd / math::sqrt(n),
            sd_boards,
            sd_between,
            sd_told: math::sqrt(told),
        })
    }
}

/// How far throws stray at the arrows, one standard deviation in boards less what comes from reading the boards, and the interval that holds it
/// 19 times in 20 (chi-square). Of boards read less the boards meant; None of fewer than six.
pub fn spread_at_arrows(off_boards: &[f64]) -> Option<(f64, (f64, f64))> {
    if off_boards.len() < LEAST_SHOTS {
        return None;
    }
    let (_, seen_sd) = mean_and_sd(off_boards);
    // Reading a board strays by itself; what is left is the throw.
    let thrown = |square: f64| math::sqrt((square - ARROWS_BOARDS * ARROWS_BOARDS).max(0.0));
    let degrees = off_boards.len() - 1;
    let squares = degrees as f64 * seen_sd * seen_sd;
    let end = |share: f64| thrown(squares / chi_square_quantile(share, degrees));
    Some((thrown(seen_sd * seen_sd), (end(0.975), end(0.025))))
}

/// Chi-square's quantile: the value that so large a share stays below, for a whole number of degrees.
fn chi_square_quantile(share: f64, degrees: usize) -> f64 {
    let (mut low, mut high) = (0.0, 10.0 * degrees as f64 + 50.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if 1.0 - chi_square_above(middle, degrees) < share { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

/// How often chi-square is above a value: erfc and exp for one and two degrees, then two degrees at a time by the recurrence of the incomplete gamma
/// function, Q(a + 1, x) = Q(a, x) + x^a e^-x / Gamma(a + 1) (Abramowitz and Stegun 6.5.21).
fn chi_square_above(value: f64, degrees: usize) -> f64 {
    let x = 0.5 * value;
    let odd = degrees % 2 == 1;
    let (mut a, mut above) = if odd { (0.5, math::erfc(math::sqrt(x))) } else { (1.0, math::exp(-x)) };
    // x^a e^-x / Gamma(a + 1); Gamma(3/2) is half the root of pi.
    let mut term = if odd { math::sqrt(x / core::f64::consts::PI) * 2.0 } else { x } * math::exp(-x);
    while a < 0.5 * degrees as f64 {
        above += term;
        a += 1.0;
        term *= x / a;
    }
    above
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_units::stream::Stream;

    fn passed(count: usize, sd: f64, seed: u64) -> Vec<Passed> {
        let mut draw = Stream::keyed(seed, "arrows", 0);
        let one = |lane: usize, draw: &mut Stream| Passed {
            lane,
            ball: 0,
            off_boards: 0.4 + sd * draw.normal() + ARROWS_BOARDS * draw.normal(),
            sd_told: 0.9,
        };
        (0..count).map(|k| one(k % 2, &mut draw)).collect()
    }

    #[test]
    fn truth_chi_square_has_the_tabled_quantiles() {
        // Standard tables [C]: 95% bounds for 5 and 20 degrees.
        for (share, degrees, is) in [(0.025, 5, 0.8312), (0.975, 5, 12.8325), (0.025, 20, 9.5908), (0.975, 20, 34.1696)]
        {
            let told = chi_square_quantile(share, degrees);
            assert!((told - is).abs() < 1e-4, "{told} {is}");
        }
    }

    #[test]
    fn law_intervals_of_the_spread_hold_it_as_often_as_they_say() {
        const TRIES: u32 = 2000;
        let held = (0..TRIES)
            .filter(|seed| {
                let (low, high) = Stray::all(&passed(20, 1.2, u64::from(*seed)))[0].sd_between;
                (low..=high).contains(&1.2)
            })
            .count();
        // 95%, with three standard errors of so many tries: 1.5%.
        let share = held as f64 / f64::from(TRIES);
        assert!((share - 0.95).abs() < 0.015, "{share}");
    }

    #[test]
    fn law_few_shots_say_nothing_and_halves_are_told_apart() {
        assert_eq!(Stray::all(&passed(5, 1.0, 1)), Vec::new());
        let all = Stray::all(&passed(40, 1.0, 1));
        let lanes: Vec<_> = all.iter().map(|one| (one.lane, one.ball, one.shots)).collect();
        assert_eq!(lanes, [(None, None, 40), (Some(0), None, 20), (Some(1), None, 20)]);
        assert!((all[0].off_boards - 0.4).abs() < 3.0 * all[0].off_error);
        // Steadier than boards can be read: no spread can be made out, and its interval begins at none.
        let steady = Stray::all(&passed(30, 0.0, 2))[0];
        assert!(steady.sd_between.0 < 0.2 && steady.sd_boards < 0.3, "{steady:?}");
    }
}
