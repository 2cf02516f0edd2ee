//! What promises most of known lines and their parallels, before anything is moved to its best.

use crate::bench::{Bench, Candidate, best_apart};
use crate::grid::COARSE_AIM;
use crate::{Move, Payoff};
use boardwise_lane::Release;
use boardwise_units::math;

/// Throws behind a candidate here: enough to tell lines five points of strikes apart.
pub(crate) const NEAR_THROWS: u32 = 96;
/// How far the fan reaches to both sides of a known line, boards of feet; eyes go half as far.
const FAN_BOARDS: [f64; 6] = [-6.0, -4.0, -2.0, 2.0, 4.0, 6.0];

/// The best of these and of their parallels, none of them moved yet.
pub(crate) fn glimpse(bench: &Bench<'_>, payoff: &impl Payoff, starts: &[Release]) -> Option<Candidate> {
    let fan = |start: &Release| {
        let start = *start;
        FAN_BOARDS.map(|feet| Move { feet_boards: feet, eyes_boards: 0.5 * feet }.of(&start))
    };
    let tries: Vec<Release> = starts.iter().copied().chain(starts.iter().flat_map(fan)).collect();
    best_of(bench, payoff, &tries, NEAR_THROWS, 1, 0.0).pop()
}

/// The best of these tries that lie so far apart, so many at most.
pub(crate) fn best_of(
    bench: &Bench<'_>,
    payoff: &impl Payoff,
    tries: &[Release],
    throws: u32,
    most: usize,
    apart_boards: f64,
) -> Vec<Candidate> {
    let worths = bench.worths(payoff, tries, throws);
    let aimed = bench.aimed(payoff, tries);
    let counted = worths.iter().zip(aimed).map(|(worth, aimed)| worth.meant * math::pow(aimed, COARSE_AIM));
    best_apart(tries.iter().copied().zip(counted), most, apart_boards)
}
