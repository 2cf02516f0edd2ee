//! How long to wait before a line is given up: one shot is no reason to move.

use super::Situation;
use crate::belief::{Feel, Seen};
use boardwise_search::Hit;

/// How much must speak against a line before a change is advised (common practice, no source: "one bad shot is no reason to
/// move"; the numbers are our judgement).
///
/// A shot that missed the pocket speaks with three points against its line, one in the pocket that did not strike with two. A
/// strike has none, nor a throw that the bowler owned up to as bad. A miss that felt good counts twice. So two misses are
/// enough, or three tens on pocket hits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Patience {
    /// Points after a strike.
    pub after_strike: u32,
    /// Points after any other shot.
    pub otherwise: u32,
    /// How many of the last shots on the line are counted.
    pub of_last: usize,
}

const MISSED: u32 = 3;
const IN_POCKET: u32 = 2;

impl Default for Patience {
    fn default() -> Self {
        Self { after_strike: 3 * MISSED, otherwise: 2 * MISSED, of_last: 6 }
    }
}

impl Patience {
    /// A change whenever the numbers ask for it.
    pub const NONE: Self = Self { after_strike: 0, otherwise: 0, of_last: 0 };

    /// Whether too little speaks against the line in use. A line on which nothing was thrown yet has only the numbers to
    /// speak for it.
    pub fn asks_to_stay(&self, at: &Situation) -> bool {
        let of_line: Vec<&Seen> = at.on_this_line().take(self.of_last).collect();
        if of_line.is_empty() {
            return false;
        }
        let newest = of_line.iter().find(|shot| !owned_up(shot));
        let needed = match newest {
            Some(newest) if newest.standing.is_empty() => self.after_strike,
            _ => self.otherwise,
        };
        of_line.into_iter().map(against).sum::<u32>() < needed
    }
}

/// Whether the bowler said that it was no throw as meant.
pub(super) fn owned_up(shot: &Seen) -> bool {
    shot.noticed.feel.is_some_and(Feel::is_bad)
}

fn against(shot: &Seen) -> u32 {
    if shot.standing.is_empty() || owned_up(shot) {
        return 0;
    }
    match (shot.noticed.hit, shot.noticed.feel) {
        (Some(Hit::Pocket), _) => IN_POCKET,
        (_, Some(Feel::Good)) => 2 * MISSED,
        _ => MISSED,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Noticed;
    use boardwise_lane::Release;

    fn shot(pins: &str, feel: Option<Feel>) -> Seen {
        let noticed = Noticed { feel, ..Noticed::default() };
        Seen { lane: 0, ball: 0, meant: Release::default(), standing: pins.parse().unwrap(), noticed }
    }

    #[test]
    fn law_one_miss_asks_to_stay_and_two_or_a_good_throw_do_not() {
        let asks = |shots: &[(&str, Option<Feel>)]| {
            let seen = shots.iter().map(|(pins, feel)| shot(pins, *feel)).collect();
            Patience::default().asks_to_stay(&Situation::new((0, 0, Release::default()), seen))
        };
        let bad = Some(Feel::In);
        assert!(!asks(&[]), "nothing was thrown on this line yet");
        assert!(asks(&[("none", None), ("none", None), ("4", None)]), "one bad shot among good ones");
        assert!(asks(&[("none", None), ("4", bad), ("4", bad)]), "owned up to, twice");
        assert!(asks(&[("4", None), ("4-9", None), ("none", None)]), "a strike after two bad ones");
        assert!(!asks(&[("4", None), ("4-9", None)]), "two bad ones");
        assert!(!asks(&[("4", Some(Feel::Good))]), "a good throw that missed");
        let ten = || {
            let noticed = Noticed { hit: Some(Hit::Pocket), ..Noticed::default() };
            Seen { noticed, ..shot("10", None) }
        };
        let tens = |count: usize| {
            let at = Situation::new((0, 0, Release::default()), (0..count).map(|_| ten()).collect());
            Patience::default().asks_to_stay(&at)
        };
        assert!(tens(2) && !tens(3), "three tens in a row");
        assert!(!asks(&[("4", None), ("10", None), ("4", None), ("none", None)]), "several, whatever came last");
        // What lies long ago is forgotten.
        let long_ago = [&[("4", None); 3][..], &[("none", None); 6]].concat();
        assert!(asks(&long_ago));
    }

    #[test]
    fn law_another_line_begins_anew() {
        let moved = Release { laydown: boardwise_units::Board(14.0), ..Release::default() };
        let mut seen = vec![shot("4", None), shot("4", None)];
        let at = |seen: &[Seen]| Situation::new((0, 0, moved), seen.to_vec());
        assert!(!Patience::default().asks_to_stay(&at(&seen)), "nothing thrown there yet");
        seen.push(Seen { meant: moved, ..shot("4", None) });
        assert!(Patience::default().asks_to_stay(&at(&seen)), "one shot there");
        assert!(!Patience::NONE.asks_to_stay(&at(&seen)));
    }
}
