//! What was seen of a throw besides its pins, as chances.
//!
//! Unlike what the belief learns from, these are whole distributions: over all that could have been called or felt the chances add up to 1, whatever
//! was thrown. Only so is what a shot seemed to be, averaged over all that could have been seen of it, what the line comes to. The pins have no part
//! in it: what they did beyond the throw is luck.

use crate::Feel;
use boardwise_search::Hit;
use boardwise_units::{Board, math};

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
}

/// How well people see boards, as standard deviations (our judgement; the belief takes the same).
pub(super) const ARROWS_BOARDS: f64 = 0.5;
const BREAKPOINT_BOARDS: f64 = 1.2;
/// How often a hit is called otherwise than it was (our judgement; the belief takes the same), and what else it can be called.
const MISCALLED: f64 = 0.15;
const OTHER_HITS: f64 = 4.0;
const FEELS: [Feel; 6] = [Feel::Good, Feel::Fast, Feel::Slow, Feel::In, Feel::Out, Feel::HandLate];

impl Noticed {
    /// Whether nothing was.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }

    /// How likely a throw that did this is seen so, but for a factor that is the same for all throws. Deviations in the order of a spread.
    pub(super) fn likelihood(&self, hit: Hit, arrows: Board, breakpoint: Board, off: &[f64; 6]) -> f64 {
        let called = match self.hit {
            None => 1.0,
            Some(called) if called == hit => 1.0 - MISCALLED,
            Some(_) => MISCALLED / OTHER_HITS,
        };
        let near = |seen: Option<Board>, is: Board, sd: f64| {
            seen.map_or(1.0, |seen| math::exp(-0.5 * ((seen.0 - is.0) / sd).powi(2)))
        };
        let boards = near(self.arrows, arrows, ARROWS_BOARDS) * near(self.breakpoint, breakpoint, BREAKPOINT_BOARDS);
        called * boards * self.feel.map_or(1.0, |feel| felt(feel, off))
    }
}

/// The chance that deviations are felt so by a bowler who says one of the six.
fn felt(feel: Feel, off: &[f64; 6]) -> f64 {
    strength(feel, off) / FEELS.iter().map(|one| strength(*one, off)).sum::<f64>()
}

/// How strongly deviations ask to be called so. Out is toward the hand, which launch counts as positive.
fn strength(feel: Feel, off: &[f64; 6]) -> f64 {
    let toward = |by: f64| math::exp(-0.5 * ((by - 1.2) / 0.9).powi(2));
    match feel {
        Feel::Good => math::exp(-0.5 * off.iter().take(4).map(|z| (z / 1.1).powi(2)).sum::<f64>()),
        Feel::Fast => toward(off[2]),
        Feel::Slow => toward(-off[2]),
        Feel::Out => toward(off[1]),
        Feel::In => toward(-off[1]),
        Feel::HandLate => toward(-off[3]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_what_may_be_called_or_felt_adds_up_to_a_whole() {
        for off in [[0.0; 6], [1.0, -2.0, 0.5, 3.0, 0.0, 0.0], [-3.5, 3.5, -3.5, 3.5, 3.5, -3.5]] {
            let sum: f64 = FEELS.iter().map(|feel| felt(*feel, &off)).sum();
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
            let likeliest = FEELS.into_iter().max_by(|a, b| felt(*a, &off).total_cmp(&felt(*b, &off)));
            assert_eq!(likeliest, Some(feel));
        }
    }
}
