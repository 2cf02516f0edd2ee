//! Moving an ensemble by what was seen, without choosing among its members.
//!
//! What was seen bears on a quantity that each member predicts. The likelihoods turn the members' values of it into a
//! weighted distribution. Each member's value is moved to its rank in that distribution, and everything else about the member
//! follows by regression on it (after Anderson, "A non-Gaussian ensemble filter update", Monthly Weather Review 2010). The
//! regression is on normal scores, not on the values (Gaussian anamorphosis, after Bertino, Evensen & Wackernagel, "Sequential
//! data assimilation techniques in oceanography", International Statistical Review 2003; both from memory). So a few balls
//! lost in a gutter do not bend what all others show. What has nothing to do with the quantity keeps its spread. For a linear
//! quantity and normal numbers this is the exact posterior, but for sampling.

use boardwise_search::World;
use boardwise_units::stream::normal_quantile;

/// Moves members by a quantity they predict and the likelihood of what was seen given each. All stay where they are if a
/// quantity is not a number, or if all predict the same.
pub(super) fn move_by<const N: usize>(members: &mut [[f64; N]], predicted: &[f64], likelihood: &[f64]) {
    let count = members.len();
    let whole: f64 = likelihood.iter().sum();
    if count < 4 || predicted.len() != count || likelihood.len() != count || !whole.is_finite() || whole <= 0.0 {
        return;
    }
    if predicted.iter().any(|one| !one.is_finite()) || predicted.iter().all(|one| *one == predicted[0]) {
        return;
    }
    let scores = scores(predicted, likelihood);
    let n = count as f64;
    let variance = scores.iter().map(|score| score.before * score.before).sum::<f64>() / n;
    for k in 0..N {
        let own = members.iter().map(|member| member[k]).sum::<f64>() / n;
        let spread = members.iter().map(|member| (member[k] - own).powi(2)).sum::<f64>() / n;
        let together =
            members.iter().zip(&scores).map(|(member, score)| (member[k] - own) * score.before).sum::<f64>() / n;
        if spread <= 0.0 {
            continue;
        }
        // So few members show a correlation where there is none: what chance alone would show is taken off.
        let r2 = (together * together / (spread * variance)).min(1.0);
        let sure = (1.0 - (1.0 - r2) / (r2 * (n - 2.0)).max(1e-12)).max(0.0);
        let slope = sure * together / variance;
        for (member, score) in members.iter_mut().zip(&scores) {
            member[k] += slope * (score.after - score.before);
        }
    }
}

/// The worlds with the numbers that their members begin with; what is carried along behind them is left.
pub(super) fn worlds_of<const N: usize>(worlds: &[World], members: &[[f64; N]]) -> Vec<World> {
    let moved = worlds.iter().zip(members);
    moved.map(|(world, member)| world.with_numbers(core::array::from_fn(|k| member[k]))).collect()
}

/// Where a member stands among all, as a standard normal number.
#[derive(Clone, Copy, Debug, Default)]
struct Score {
    /// By its rank among the values as they are.
    before: f64,
    /// By the place, among the values as they are, of the value that has its rank once they are weighted.
    after: f64,
}

/// The scores of values before and after they are weighted. Equal values rank in the order in which they stand. No value goes
/// beyond the outermost ones.
fn scores(values: &[f64], weights: &[f64]) -> Vec<Score> {
    let count = values.len();
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let whole: f64 = weights.iter().sum();
    // Places of the values in the weighted distribution, each at the middle of its weight.
    let mut below = 0.0;
    let places: Vec<f64> = order
        .iter()
        .map(|&k| {
            let place = (below + 0.5 * weights[k]) / whole;
            below += weights[k];
            place
        })
        .collect();
    let score = |rank: f64| normal_quantile((rank + 0.5) / count as f64);
    let mut scores = vec![Score::default(); count];
    let mut at = 0;
    for (rank, &k) in order.iter().enumerate() {
        let share = (rank as f64 + 0.5) / count as f64;
        while at + 2 < count && places[at + 1] < share {
            at += 1;
        }
        let (low, high) = (places[at], places[at + 1]);
        let along = if high > low { ((share - low) / (high - low)).clamp(0.0, 1.0) } else { 0.5 };
        scores[k] = Score { before: score(rank as f64), after: score(at as f64 + along) };
    }
    scores
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Estimate;
    use boardwise_units::stream::normal_quantile;

    fn estimate<const N: usize>(members: &[[f64; N]], value: impl Fn(&[f64; N]) -> f64) -> (f64, f64) {
        let estimate = Estimate::of(&members.iter().map(value).collect::<Vec<_>>());
        (estimate.mean, estimate.sd)
    }

    #[test]
    fn truth_a_linear_normal_case_has_the_exact_posterior() {
        // Unknowns N(1, 4), G = 2 th, noise 1, seen 3: mean 25/17, variance 4/17 [C from textbook formulas]. A second number that depends on th by a
        // half of it and noise of variance 1 goes to mean 5 + 0.5 (25/17 - 1), variance 1 + 0.25 * 4/17.
        let count = 4000;
        let mut members: Vec<[f64; 2]> = (0..count)
            .map(|k| {
                let at = |k: usize| normal_quantile((k as f64 + 0.5) / count as f64);
                // The second ones in an order that has nothing to do with the first.
                let th = 1.0 + 2.0 * at(k);
                [th, 5.0 + 0.5 * (th - 1.0) + at(k * 2473 % count)]
            })
            .collect();
        let predicted: Vec<f64> = members.iter().map(|m| 2.0 * m[0]).collect();
        let likelihood: Vec<f64> = predicted.iter().map(|g| (-0.5 * (3.0 - g).powi(2)).exp()).collect();
        move_by(&mut members, &predicted, &likelihood);
        let (mean, sd) = estimate(&members, |m| m[0]);
        assert!((mean - 25.0 / 17.0).abs() < 0.002 && (sd * sd - 4.0 / 17.0).abs() < 0.003, "{mean} {}", sd * sd);
        let (mean, sd) = estimate(&members, |m| m[1]);
        assert!(
            (mean - (5.0 + 0.5 * 8.0 / 17.0)).abs() < 0.02 && (sd * sd - (1.0 + 1.0 / 17.0)).abs() < 0.03,
            "{mean}"
        );
    }

    #[test]
    fn law_what_has_nothing_to_do_with_it_keeps_its_spread() {
        let count = 96;
        let mut members: Vec<[f64; 2]> = (0..count).map(|k| [f64::from(k), f64::from(k * 37 % count) / 10.0]).collect();
        let before = estimate(&members, |m| m[1]).1;
        for _ in 0..50 {
            let predicted: Vec<f64> = members.iter().map(|m| m[0]).collect();
            let likelihood: Vec<f64> = predicted.iter().map(|g| (-0.5 * ((g - 50.0) / 30.0).powi(2)).exp()).collect();
            move_by(&mut members, &predicted, &likelihood);
        }
        assert!(estimate(&members, |m| m[0]).1 < 8.0);
        assert!((estimate(&members, |m| m[1]).1 / before - 1.0).abs() < 0.1);
        let untouched = members.clone();
        move_by(&mut members, &[1.0; 96], &[0.0; 96]);
        assert_eq!(members, untouched, "what says nothing changes nothing");
        let likelihood: Vec<f64> = (1..=count).map(f64::from).collect();
        move_by(&mut members, &[1.0; 96], &likelihood);
        assert_eq!(members, untouched, "all predict the same");
        let mut predicted: Vec<f64> = (0..count).map(f64::from).collect();
        predicted[3] = f64::NAN;
        move_by(&mut members, &predicted, &likelihood);
        assert_eq!(members, untouched, "one predicts no number");
    }
}
