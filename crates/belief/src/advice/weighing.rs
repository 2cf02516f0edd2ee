//! Every choice thrown by the same worlds with the same deviations.

use super::choices::{Choices, Open, price};
use super::frames::{Frames, Makes, STRIKE_PINS};
use super::{Change, NextShot};
use crate::belief::{Belief, Told};
use boardwise_lane::{Lane, Release, Runway};
use boardwise_pins::carry::Carry;
use boardwise_search::{Payoff, Spread, Throw, World, came_in};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// What a choice comes to by one world.
#[derive(Clone, Copy, Debug, Default)]
struct Outcome {
    strike: f64,
    split: f64,
    pins: f64,
    /// Mean and variance of the board it comes in on.
    board: f64,
    stray: f64,
}

/// What is open on a lane, to be weighed by worlds.
pub(super) struct Weighing<'a> {
    pub belief: &'a Belief,
    pub lane: usize,
    pub choices: &'a Choices,
    /// Those of the choices that are left.
    pub open: &'a [Open],
    pub makes: &'a Makes,
    pub carry: &'a Carry,
}

/// The lane by one world, as far as it has been worked out.
pub(super) struct Ground {
    lane: Lane,
    /// Cut for balls as they would be thrown, by their place among [`Choices::grips`].
    cut: BTreeMap<usize, Runway>,
}

impl Weighing<'_> {
    /// By the worlds at these places, with so many throws each. What is known of their grounds is used up, and known afterwards are those of the worlds
    /// that come `again`.
    pub fn weigh(
        &self,
        (worlds, throws): (&[usize], u32),
        grounds: &mut BTreeMap<usize, Ground>,
        again: &[usize],
    ) -> Vec<NextShot> {
        let offs = Spread::points(throws, 0);
        let known = worlds.iter().map(|place| (*place, grounds.remove(place))).collect::<Vec<_>>();
        // By world, then by choice.
        let (outcomes, used): (Vec<Vec<Outcome>>, Vec<_>) = known
            .into_par_iter()
            .map(|(place, ground)| {
                let world = &self.belief.worlds()[place];
                let lane = || self.belief.lane(self.lane, world);
                let mut ground = ground.unwrap_or_else(|| Ground { lane: lane(), cut: BTreeMap::new() });
                let outcomes = self.by_world(world, &mut ground, &offs);
                (outcomes, (place, again.contains(&place).then_some(ground)))
            })
            .unzip();
        *grounds = used.into_iter().filter_map(|(place, ground)| Some((place, ground?))).collect();
        let open = self.open;
        let stay = open.iter().position(|one| one.change == Change::Stay).unwrap_or_default();
        let told =
            |value: &dyn Fn(&[Outcome]) -> f64| Told::of(&outcomes.iter().map(|all| value(all)).collect::<Vec<_>>());
        open.iter()
            .enumerate()
            .map(|(k, one)| {
                let pins_gain = told(&|all| all[k].pins - all[stay].pins);
                let better = outcomes.iter().filter(|all| all[k].pins > all[stay].pins).count();
                // The linear case, as for practice: what worlds disagree about over what one throw blurs.
                let (comes_in, blur) = (told(&|all| all[k].board), told(&|all| all[k].stray).mean);
                NextShot {
                    change: one.change,
                    ball: one.ball,
                    release: one.release,
                    strike: told(&|all| all[k].strike),
                    split: told(&|all| all[k].split),
                    comes_in,
                    pins: told(&|all| all[k].pins),
                    gain: told(&|all| all[k].strike - all[stay].strike),
                    pins_gain,
                    better: better as f64 / outcomes.len().max(1) as f64,
                    teaches_nats: 0.5 * (1.0 + comes_in.sd * comes_in.sd / blur.max(1e-6)).ln(),
                    net: pins_gain.mean / STRIKE_PINS - price(one.change),
                }
            })
            .collect()
    }

    /// All choices by one world. Those with one ball are thrown together: throws advance in packs, and a pack that is not full takes as long.
    fn by_world(&self, world: &World, ground: &mut Ground, offs: &[[f64; 6]]) -> Vec<Outcome> {
        let &Self { belief, lane, choices, open, makes, carry } = self;
        let mut outcomes = vec![Outcome::default(); open.len()];
        for (grip, ball) in choices.grips.iter().enumerate() {
            let thrown: Vec<usize> = (0..open.len()).filter(|&k| open[k].grip == grip).collect();
            if thrown.is_empty() {
                continue;
            }
            let releases: Vec<Release> =
                thrown.iter().flat_map(|&k| belief.releases(world, &open[k].release, offs)).collect();
            let place = open[thrown[0]].ball;
            let cut = || belief.runway_on(&ground.lane, &world.ball(place, lane, ball));
            let runway = ground.cut.entry(grip).or_insert_with(cut);
            let strikes = belief.strikes(carry, place);
            let throws: Vec<Throw> = runway
                .throw_many(&releases)
                .into_iter()
                .map(|finish| Throw { finish, world: 0, pins: world.pins() })
                .collect();
            for (&k, throws) in thrown.iter().zip(throws.chunks(offs.len())) {
                let frames = strikes.first_ball(throws).map_or_else(Frames::default, |first| Frames::of(&first, makes));
                let boards = Told::of(&throws.iter().map(|one| came_in(&one.finish)).collect::<Vec<_>>());
                outcomes[k] = Outcome {
                    strike: frames.strike,
                    split: frames.split,
                    pins: frames.pins(),
                    board: boards.mean,
                    stray: boards.sd * boards.sd,
                };
            }
        }
        outcomes
    }
}
