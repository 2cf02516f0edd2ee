//! What was seen of a first ball, and how likely a throw would be seen so.
//!
//! This is the one model of what people see. The belief learns by it, and the account splits a throw from its luck by it.
//! Over all that could be called or felt the chances add up to 1, whatever was thrown.

use super::film::Film;
use boardwise_lane::Release;
use boardwise_score::PinSet;
use boardwise_search::Hit;
use boardwise_units::{Board, math};

/// How a throw felt to the bowler.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feel {
    /// As meant.
    Good,
    /// Faster than meant.
    Fast,
    /// Slower than meant.
    Slow,
    /// Inside of the target.
    In,
    /// Outside of the target.
    Out,
    /// The hand came late: less hand than meant.
    HandLate,
}

impl Feel {
    const ALL: [Self; 6] = [Self::Good, Self::Fast, Self::Slow, Self::In, Self::Out, Self::HandLate];

    /// Whether the bowler owned up to a bad throw.
    pub fn is_bad(self) -> bool {
        self != Self::Good
    }

    /// The chance that deviations are felt so by a bowler who names one of the six.
    fn chance(self, off: &[f64; 6]) -> f64 {
        self.strength(off) / Self::ALL.iter().map(|one| one.strength(off)).sum::<f64>()
    }

    /// How strongly deviations ask to be called so, in the order of a spread: laydown, launch, speed, rev rate, rotation,
    /// tilt. Out is toward the hand, which launch counts as positive.
    fn strength(self, off: &[f64; 6]) -> f64 {
        let toward = |by: f64| math::exp(-0.5 * ((by - 1.2) / 0.9).powi(2));
        match self {
            Self::Good => math::exp(-0.5 * off.iter().take(4).map(|z| (z / 1.1).powi(2)).sum::<f64>()),
            Self::Fast => toward(off[2]),
            Self::Slow => toward(-off[2]),
            Self::Out => toward(off[1]),
            Self::In => toward(-off[1]),
            Self::HandLate => toward(-off[3]),
        }
    }
}

/// What was seen of a first ball besides its pins. All may be missing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Noticed {
    /// How it hit.
    pub hit: Option<Hit>,
    /// Board at the arrows.
    pub arrows: Option<Board>,
    /// Board of the breakpoint.
    pub breakpoint: Option<Board>,
    /// How it felt.
    pub feel: Option<Feel>,
    /// What a film measured of it. Where it tells a board, the eye is not heard.
    pub film: Option<Film>,
}

/// A first ball as it was seen. Only what stands must be known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Lane of the pair, 0 or 1.
    pub lane: usize,
    /// The ball, by its place in the bag.
    pub ball: usize,
    /// What the bowler meant to throw.
    pub meant: Release,
    /// What stood afterwards, as the bowler sees the pins.
    pub standing: PinSet,
    /// What else was seen.
    pub noticed: Noticed,
}

/// How well people see boards, as standard deviations (our judgement).
pub(crate) const ARROWS_BOARDS: f64 = 0.5;
const BREAKPOINT_BOARDS: f64 = 1.2;
/// How often a hit is called otherwise than it was (our judgement), and what else it can be called.
const MISCALLED: f64 = 0.15;
const OTHER_HITS: f64 = 4.0;
/// How often what is seen has another cause than any world holds (our judgement).
const SURPRISE: f64 = 0.02;
/// The share of the worlds that one shot leaves at least, as an effective number: so much of the belief it can move, and no
/// more (our judgement).
const LEAST_LEFT: f64 = 0.5;
/// The same of a shot that the bowler owned up to as bad: it says little of the lane.
const LEAST_LEFT_OF_BAD: f64 = 0.9;

impl Noticed {
    /// Whether nothing was.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }

    /// How likely a throw that did this is seen so, but for a factor that is the same for all throws.
    pub(crate) fn likelihood(&self, hit: Hit, arrows: Board, breakpoint: Board, off: &[f64; 6]) -> f64 {
        self.of_arrows(arrows) * self.of_rest(hit, breakpoint, off)
    }

    /// The part of the board at the arrows in it.
    pub(super) fn of_arrows(&self, arrows: Board) -> f64 {
        near(self.arrows, arrows, ARROWS_BOARDS)
    }

    /// The part of the board at the breakpoint.
    pub(super) fn of_breakpoint(&self, breakpoint: Board) -> f64 {
        near(self.breakpoint, breakpoint, BREAKPOINT_BOARDS)
    }

    /// The part of all else.
    pub(super) fn of_rest(&self, hit: Hit, breakpoint: Board, off: &[f64; 6]) -> f64 {
        self.of_hit(hit) * self.of_breakpoint(breakpoint) * self.of_feel(off)
    }

    /// The part of what was called and felt.
    pub(super) fn of_calls(&self, hit: Hit, off: &[f64; 6]) -> f64 {
        self.of_hit(hit) * self.of_feel(off)
    }

    fn of_hit(&self, hit: Hit) -> f64 {
        match self.hit {
            None => 1.0,
            Some(called) if called == hit => 1.0 - MISCALLED,
            Some(_) => MISCALLED / OTHER_HITS,
        }
    }

    fn of_feel(&self, off: &[f64; 6]) -> f64 {
        self.feel.map_or(1.0, |feel| feel.chance(off))
    }

    /// Likelihoods of worlds, so flattened that the shot leaves the share of the worlds that it must leave.
    pub(super) fn held_back(&self, likelihood: &[f64]) -> Vec<f64> {
        let least = if self.feel.is_some_and(Feel::is_bad) { LEAST_LEFT_OF_BAD } else { LEAST_LEFT };
        let typical = likelihood.iter().sum::<f64>() / likelihood.len().max(1) as f64;
        let likelihood: Vec<f64> = likelihood.iter().map(|one| (1.0 - SURPRISE) * one + SURPRISE * typical).collect();
        flattened(&likelihood, least)
    }
}

fn near(seen: Option<Board>, is: Board, sd: f64) -> f64 {
    seen.map_or(1.0, |seen| math::exp(-0.5 * ((seen.0 - is.0) / sd).powi(2)))
}

/// The effective share of equal weights that unequal ones amount to: 1 if all are alike (Kish's effective sample size over
/// the size).
fn effective_share(weights: &[f64]) -> f64 {
    let (sum, squares) = weights.iter().fold((0.0, 0.0), |(sum, squares), w| (sum + w, squares + w * w));
    if squares > 0.0 { sum * sum / (squares * weights.len() as f64) } else { 1.0 }
}

/// Likelihoods to the highest power up to 1 that leaves an effective share of at least `least`.
fn flattened(likelihood: &[f64], least: f64) -> Vec<f64> {
    const HALVINGS: u32 = 24;
    if effective_share(likelihood) >= least {
        return likelihood.to_vec();
    }
    let powers = |t: f64| -> Vec<f64> { likelihood.iter().map(|one| math::pow(*one, t)).collect() };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if effective_share(&powers(middle)) >= least { low = middle } else { high = middle }
    }
    powers(low)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_what_may_be_called_or_felt_adds_up_to_a_whole() {
        for off in [[0.0; 6], [1.0, -2.0, 0.5, 3.0, 0.0, 0.0], [-3.5, 3.5, -3.5, 3.5, 3.5, -3.5]] {
            let sum: f64 = Feel::ALL.iter().map(|feel| feel.chance(&off)).sum();
            assert!((sum - 1.0).abs() < 1e-12);
        }
        let hits = [Hit::Pocket, Hit::High, Hit::Light, Hit::OtherSide, Hit::Gutter];
        for is in hits {
            let called = |hit| Noticed { hit: Some(hit), ..Noticed::default() };
            let sum: f64 = hits.map(|hit| called(hit).likelihood(is, Board(10.0), Board(5.0), &[0.0; 6])).iter().sum();
            assert!((sum - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn law_a_feel_is_likeliest_for_the_throw_it_names() {
        let throws = [
            (Feel::Good, [0.0; 6]),
            (Feel::Fast, [0.0, 0.0, 1.5, 0.0, 0.0, 0.0]),
            (Feel::Slow, [0.0, 0.0, -1.5, 0.0, 0.0, 0.0]),
            (Feel::In, [0.0, -1.5, 0.0, 0.0, 0.0, 0.0]),
            (Feel::Out, [0.0, 1.5, 0.0, 0.0, 0.0, 0.0]),
            (Feel::HandLate, [0.0, 0.0, 0.0, -1.5, 0.0, 0.0]),
        ];
        for (feel, off) in throws {
            let likeliest = Feel::ALL.into_iter().max_by(|a, b| a.chance(&off).total_cmp(&b.chance(&off)));
            assert_eq!(likeliest, Some(feel));
        }
    }

    #[test]
    fn law_no_shot_moves_more_of_the_belief_than_is_stated() {
        // One world explains what was seen, and no other does.
        let mut alone = vec![1e-9; 96];
        alone[40] = 1.0;
        for (feel, least) in [(None, LEAST_LEFT), (Some(Feel::Good), LEAST_LEFT), (Some(Feel::In), LEAST_LEFT_OF_BAD)] {
            let noticed = Noticed { feel, ..Noticed::default() };
            let left = effective_share(&noticed.held_back(&alone));
            assert!((left - least).abs() < 1e-3, "{feel:?}: {left}");
        }
        // What says little is left as it is, but for what no world foresees.
        let mild: Vec<f64> = (0..96).map(|k| 1.0 + 0.001 * f64::from(k)).collect();
        let held = Noticed::default().held_back(&mild);
        assert!(held.iter().zip(&mild).all(|(held, mild)| (held / mild - 1.0).abs() < 0.002));
    }
}
