//! The set of balls that together serve a block best.

use super::weigh::{Form, Prepared, Weighed};
use crate::mean::mean_and_sd;
use thiserror::Error;

/// Why a set cannot be chosen.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum BagError {
    /// No ball asked for.
    #[error("0 balls: ask for at least one")]
    NoneAsked,
    /// More balls than there are.
    #[error("{asked} balls: there are {has} for full racks")]
    TooMany {
        /// How many were asked for.
        asked: usize,
        /// How many there are.
        has: usize,
    },
}

/// A ball of the set.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// The ball, by its place among the weighed.
    pub ball: usize,
    /// Pins a game that the set would lose without it, mean over the moments.
    pub adds: f64,
    /// Standard error of that over the turnouts; none with one.
    pub adds_error: Option<f64>,
    /// By stage (games bowled), the share of turnouts in which it is the set's best.
    pub best_at: Vec<f64>,
}

/// What could stand in for a ball.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandIn {
    /// The ball of another ball that costs least.
    pub ball: usize,
    /// Pins a game lost where the one is better, gains left out: 0 is full overlap.
    pub costs: f64,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The set, the ball that adds most first.
    pub set: Vec<Chosen>,
    /// Mean score with the set's best ball at each moment.
    pub score: f64,
    /// Mean score with the best of everything in the bag.
    pub whole_bag: f64,
    /// For every ball what overlaps with it most.
    pub stand_ins: Vec<Option<StandIn>>,
}

/// Chooses `count` balls, each with one surface, whose best at each moment has the highest mean score.
///
/// All sets are tried where that is possible (up to a million), else balls are added one by one and swapped while that helps.
///
/// # Errors
/// If no ball or more than there are is asked for.
pub fn choose(weighed: &Weighed, count: usize) -> Result<Choice, BagError> {
    let scores: Vec<Vec<f64>> =
        weighed.forms.iter().map(|forms| forms.iter().map(|form| score(form.as_ref())).collect()).collect();
    let mut places: Vec<usize> = weighed.prepared.iter().map(|one| one.place).collect();
    places.dedup();
    if count == 0 {
        return Err(BagError::NoneAsked);
    }
    if count > places.len() {
        return Err(BagError::TooMany { asked: count, has: places.len() });
    }
    let one_of: Vec<Vec<usize>> = places
        .iter()
        .map(|place| (0..scores.len()).filter(|&k| weighed.prepared[k].place == *place).collect())
        .collect();
    let best = best_set(&scores, &one_of, count);
    let mean = mean_best(&scores, &best);
    let mut set: Vec<Chosen> = best.iter().map(|&one| chosen(weighed, &scores, &best, one)).collect();
    set.sort_by(|a, b| b.adds.total_cmp(&a.adds));
    let all: Vec<usize> = (0..scores.len()).collect();
    let stand_ins = all.iter().map(|&one| stand_in(&weighed.prepared, &scores, one)).collect();
    Ok(Choice { set, score: mean, whole_bag: mean_best(&scores, &all), stand_ins })
}

/// A game's mean score; a ball that strikes nowhere would be rolled for nine pins and spares at best, and is counted as nothing.
fn score(form: Option<&Form>) -> f64 {
    form.map_or(0.0, |form| form.game.mean)
}

fn best_at(scores: &[Vec<f64>], set: &[usize], moment: usize) -> f64 {
    set.iter().map(|&one| scores[one][moment]).fold(0.0, f64::max)
}

fn mean_best(scores: &[Vec<f64>], set: &[usize]) -> f64 {
    let moments = scores.first().map_or(0, Vec::len);
    (0..moments).map(|moment| best_at(scores, set, moment)).sum::<f64>() / moments.max(1) as f64
}

/// Most sets tried one by one.
const MOST_SETS: f64 = 1e6;

fn best_set(scores: &[Vec<f64>], one_of: &[Vec<usize>], count: usize) -> Vec<usize> {
    let surfaces = one_of.iter().map(Vec::len).max().unwrap_or(1) as f64;
    let balls = one_of.len();
    let sets = (0..count).fold(1.0, |n, k| n * surfaces * (balls - k) as f64 / (k + 1) as f64);
    if sets <= MOST_SETS {
        let mut best = (f64::NEG_INFINITY, Vec::new());
        every_set(one_of, count, &mut Vec::new(), &mut |set| {
            let mean = mean_best(scores, set);
            if mean > best.0 {
                best = (mean, set.to_vec());
            }
        });
        return best.1;
    }
    grown_set(scores, one_of, count)
}

/// Calls `try_it` with every choice of `count` balls and one surface each.
fn every_set(one_of: &[Vec<usize>], count: usize, set: &mut Vec<usize>, try_it: &mut impl FnMut(&[usize])) {
    if count == 0 {
        return try_it(set);
    }
    for first in 0..=one_of.len().saturating_sub(count) {
        for &one in &one_of[first] {
            set.push(one);
            every_set(&one_of[first + 1..], count - 1, set, try_it);
            set.pop();
        }
    }
}

/// Adds the ball that helps most until there are enough, then swaps while a swap helps.
fn grown_set(scores: &[Vec<f64>], one_of: &[Vec<usize>], count: usize) -> Vec<usize> {
    // By ball, so that no ball is taken twice.
    let mut set: Vec<(usize, usize)> = Vec::new();
    let mean = |set: &[(usize, usize)]| mean_best(scores, &set.iter().map(|one| one.1).collect::<Vec<_>>());
    let with = |set: &[(usize, usize)]| {
        let open = (0..one_of.len()).filter(|ball| !set.iter().any(|one| one.0 == *ball));
        open.flat_map(|ball| one_of[ball].iter().map(move |&one| (ball, one)))
            .map(|one| {
                let grown = [set, &[one]].concat();
                (mean(&grown), grown)
            })
            .max_by(|a, b| a.0.total_cmp(&b.0))
    };
    while let Some((_, grown)) = with(&set).filter(|_| set.len() < count) {
        set = grown;
    }
    loop {
        let now = mean(&set);
        let swapped = (0..set.len())
            .filter_map(|k| with(&[&set[..k], &set[k + 1..]].concat()))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|(mean, _)| *mean > now);
        match swapped {
            Some((_, better)) => set = better,
            None => return set.into_iter().map(|one| one.1).collect(),
        }
    }
}

fn chosen(weighed: &Weighed, scores: &[Vec<f64>], set: &[usize], one: usize) -> Chosen {
    let without: Vec<usize> = set.iter().copied().filter(|&other| other != one).collect();
    let loss = |moment: usize| best_at(scores, set, moment) - best_at(scores, &without, moment);
    let moments = &weighed.moments;
    let of_turnout = |turnout: usize| {
        let here: Vec<f64> = (0..moments.len()).filter(|&m| moments[m].turnout == turnout).map(loss).collect();
        here.iter().sum::<f64>() / here.len().max(1) as f64
    };
    let by_turnout: Vec<f64> = (0..weighed.turnouts.len()).map(of_turnout).collect();
    let (adds, sd) = mean_and_sd(&by_turnout);
    let adds_error = (by_turnout.len() > 1).then(|| sd / (by_turnout.len() as f64).sqrt());
    let stages = moments.iter().map(|moment| moment.games + 1).max().unwrap_or(0);
    let is_best = |moment: usize| scores[one][moment] > 0.0 && scores[one][moment] >= best_at(scores, set, moment);
    let best_at = (0..stages)
        .map(|games| {
            let here: Vec<usize> = (0..moments.len()).filter(|&m| moments[m].games == games).collect();
            here.iter().filter(|&&m| is_best(m)).count() as f64 / here.len().max(1) as f64
        })
        .collect();
    Chosen { ball: one, adds, adds_error, best_at }
}

fn stand_in(prepared: &[Prepared], scores: &[Vec<f64>], one: usize) -> Option<StandIn> {
    let costs = |other: usize| {
        let lost = scores[one].iter().zip(&scores[other]).map(|(a, b)| (a - b).max(0.0));
        lost.sum::<f64>() / scores[one].len().max(1) as f64
    };
    (0..prepared.len())
        .filter(|&other| prepared[other].place != prepared[one].place)
        .map(|other| StandIn { ball: other, costs: costs(other) })
        .min_by(|a, b| a.costs.total_cmp(&b.costs))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three balls, the first with two surfaces, at four moments.
    fn scores() -> (Vec<Vec<f64>>, Vec<Vec<usize>>) {
        let scores = vec![
            vec![200.0, 190.0, 150.0, 150.0],
            vec![150.0, 150.0, 205.0, 150.0],
            vec![180.0, 185.0, 200.0, 160.0],
            vec![100.0, 100.0, 100.0, 190.0],
        ];
        (scores, vec![vec![0, 1], vec![2], vec![3]])
    }

    #[test]
    fn law_a_set_covers_the_moments_and_takes_a_ball_once() {
        let (scores, one_of) = scores();
        assert_eq!(best_set(&scores, &one_of, 1), [2]);
        let two = best_set(&scores, &one_of, 2);
        // 180 185 200 190 beats 200 190 200 160 and 200 190 150 190.
        assert_eq!(two, [2, 3], "{}", mean_best(&scores, &two));
        assert_eq!(best_set(&scores, &one_of, 3), [0, 2, 3]);
        for count in 1..=3 {
            let grown = grown_set(&scores, &one_of, count);
            assert!((mean_best(&scores, &grown) - mean_best(&scores, &best_set(&scores, &one_of, count))).abs() < 1e-9);
        }
    }
}
