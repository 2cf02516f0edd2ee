//! Every choice thrown by the same worlds with the same deviations.

use super::choices::{Choices, Open};
use super::frames::Frames;
use super::{Change, NextShot, SURE, Situation, Terms};
use crate::belief::{Belief, Estimate, good_throw, information_nats};
use boardwise_lane::{Finish, Lane, Release, Runway};
use boardwise_pins::carry::Carry;
use boardwise_search::{Move, Payoff, Spread, Throw, World, came_in};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Frames of a game.
const FRAMES: f64 = 10.0;

/// What a choice comes to by one world.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Outcome {
    strike: f64,
    split: f64,
    /// Pins a game, luck left out.
    pub pins: f64,
    /// Pins a game with all strikes, lucky ones too.
    all_pins: f64,
    /// The board a good throw comes in on, and the variance of all.
    board: f64,
    stray: f64,
}

/// What is open on a lane, to be weighed by worlds.
pub(super) struct Weighing<'a> {
    pub belief: &'a Belief,
    pub at: &'a Situation,
    pub choices: &'a Choices,
    /// Those of the choices that are left.
    pub open: &'a [Open],
    pub terms: &'a Terms,
    pub carry: &'a Carry,
}

/// The lane by one world, as far as it has been worked out.
pub(super) struct Ground {
    lane: Lane,
    /// Cut for balls as they would be thrown, by their place among [`Choices::grips`].
    cut: BTreeMap<usize, Runway>,
}

impl Ground {
    /// Not cut for any ball yet.
    pub fn new(lane: Lane) -> Self {
        Self { lane, cut: BTreeMap::new() }
    }
}

impl Weighing<'_> {
    /// By the worlds at these places, with so many throws each: by world, then by choice. What is known of their grounds is used up, and known
    /// afterwards are those of the worlds that come `again`.
    pub fn outcomes(
        &self,
        (worlds, throws): (&[usize], u32),
        grounds: &mut BTreeMap<usize, Ground>,
        again: &[usize],
    ) -> Vec<Vec<Outcome>> {
        let offs = Spread::points(throws, 0);
        let known = worlds.iter().map(|place| (*place, grounds.remove(place))).collect::<Vec<_>>();
        let (outcomes, used): (Vec<Vec<Outcome>>, Vec<_>) = known
            .into_par_iter()
            .map(|(place, ground)| {
                let world = &self.belief.worlds()[place];
                let mut ground = ground.unwrap_or_else(|| Ground::new(self.belief.lane(self.at.lane, world)));
                let outcomes = self.by_world(world, &mut ground, &offs);
                (outcomes, (place, again.contains(&place).then_some(ground)))
            })
            .unzip();
        *grounds = used.into_iter().filter_map(|(place, ground)| Some((place, ground?))).collect();
        outcomes
    }

    /// The place of staying among what is open.
    pub fn stay(&self) -> usize {
        self.open.iter().position(|one| one.change == Change::Stay).unwrap_or_default()
    }

    /// What these outcomes say of each choice. `trend` is what each has won or lost by the end of the game, pins a game.
    pub fn judge(&self, outcomes: &[Vec<Outcome>], trend: &[f64]) -> Vec<NextShot> {
        let (open, stay) = (self.open, self.stay());
        let estimate = |value: &dyn Fn(&[Outcome]) -> f64| {
            Estimate::of(&outcomes.iter().map(|all| value(all)).collect::<Vec<_>>())
        };
        open.iter()
            .enumerate()
            .map(|(k, one)| {
                let now = estimate(&|all| all[k].pins - all[stay].pins).mean;
                let later = lasting(now, now + trend[k] - trend[stay]) - now;
                let mut gains: Vec<f64> = outcomes.iter().map(|all| all[k].pins - all[stay].pins + later).collect();
                let pins_gain = Estimate::of(&gains);
                gains.sort_by(f64::total_cmp);
                let better = gains.iter().filter(|gain| **gain > 0.0).count();
                // What worlds disagree about, over what one throw blurs.
                let (comes_in, blur) = (estimate(&|all| all[k].board), estimate(&|all| all[k].stray).mean);
                NextShot {
                    choice: one.choice,
                    change: one.change,
                    moved: Move::between(&self.at.release, &one.choice.release),
                    strike: estimate(&|all| all[k].strike),
                    split: estimate(&|all| all[k].split),
                    comes_in,
                    pins: estimate(&|all| all[k].pins),
                    gain: estimate(&|all| all[k].strike - all[stay].strike),
                    pins_gain,
                    pins_gain_with_luck: estimate(&|all| all[k].all_pins - all[stay].all_pins + later).mean,
                    pins_gain_at_least: quantile(&gains, 1.0 - SURE),
                    better: better as f64 / gains.len().max(1) as f64,
                    teaches_nats: information_nats(comes_in.sd * comes_in.sd, blur),
                    net: pins_gain.mean - one.change.price(),
                }
            })
            .collect()
    }

    /// All choices by one world. Those with one ball are thrown together: throws advance in packs, and a pack that is not full takes as long.
    pub fn by_world(&self, world: &World, ground: &mut Ground, offs: &[[f64; 6]]) -> Vec<Outcome> {
        let &Self { belief, at, choices, open, terms, carry } = self;
        let mut outcomes = vec![Outcome::default(); open.len()];
        for (grip, ball) in choices.grips.iter().enumerate() {
            let thrown: Vec<usize> = (0..open.len()).filter(|&k| open[k].grip == grip).collect();
            if thrown.is_empty() {
                continue;
            }
            let releases: Vec<Release> =
                thrown.iter().flat_map(|&k| belief.releases(world, &open[k].choice.release, offs)).collect();
            let place = open[thrown[0]].choice.ball;
            let cut = || belief.runway_on(&ground.lane, &world.ball(place, at.lane, ball));
            let runway = ground.cut.entry(grip).or_insert_with(cut);
            let strikes = belief.strikes(carry, place);
            let throws: Vec<Throw> = runway
                .throw_many(&releases)
                .into_iter()
                .map(|finish| Throw { finish, world: 0, pins: world.pins() })
                .collect();
            for (&k, throws) in thrown.iter().zip(throws.chunks(offs.len())) {
                let first = strikes.first_ball(throws).unwrap_or_default();
                let lucky = throws.iter().filter(|one| !strikes.is_meant(&one.finish));
                let luck = lucky.map(|one| strikes.worth(&one.finish)).sum::<f64>() / throws.len().max(1) as f64;
                let finishes: Vec<Finish> = throws.iter().map(|one| one.finish).collect();
                let boards = Estimate::of(&finishes.iter().map(came_in).collect::<Vec<_>>());
                outcomes[k] = Outcome {
                    strike: first.strike,
                    split: first.split(),
                    pins: FRAMES * Frames::of(&first.without_strikes(luck), &terms.makes).pins(),
                    all_pins: FRAMES * Frames::of(&first, &terms.makes).pins(),
                    board: good_throw(&finishes),
                    stray: boards.sd * boards.sd,
                };
            }
        }
        outcomes
    }
}

/// The value that so large a share of these, in order, stays below; nothing of none.
fn quantile(ordered: &[f64], share: f64) -> f64 {
    let Some(last) = ordered.len().checked_sub(1) else { return 0.0 };
    let at = share * last as f64;
    let (low, high) = (ordered[at.floor() as usize], ordered[at.ceil() as usize]);
    low + (high - low) * at.fract()
}

/// The mean of a gain over the rest of the game, given it now and at the end. One that is lost on the way counts until then. What
/// it grows by counts no more than what it is now: nobody moves before the lane asks for it.
fn lasting(now: f64, end: f64) -> f64 {
    if now <= 0.0 {
        now
    } else if end >= 0.0 {
        f64::midpoint(now, end).min(2.0 * now)
    } else {
        0.5 * now * now / (now - end)
    }
}

#[cfg(test)]
mod tests {
    use super::lasting;

    #[test]
    fn law_a_gain_counts_while_it_lasts_and_one_to_come_waits() {
        assert_eq!(lasting(4.0, 4.0), 4.0);
        assert_eq!(lasting(4.0, 8.0), 6.0);
        assert_eq!(lasting(4.0, 0.0), 2.0);
        // Half of the way at a mean of two.
        assert_eq!(lasting(4.0, -4.0), 1.0);
        assert_eq!(lasting(-1.0, 9.0), -1.0);
        // A gain that is hardly there yet brings no great one to come.
        assert_eq!(lasting(0.1, 20.0), 0.2);
        assert!(lasting(4.0, -1e9) > 0.0);
    }
}
