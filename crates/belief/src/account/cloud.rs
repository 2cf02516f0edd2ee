//! The throws a shot may have been: every world of lanes and bowler throws the line meant, with the same deviations.

use crate::Estimate;
use crate::belief::Belief;
use boardwise_lane::{Finish, Lane, Release, Runway};
use boardwise_pins::carry::Carry;
use boardwise_search::Spread;
use boardwise_search::World;
use boardwise_search::{FirstBall, Hit, Payoff};
use boardwise_units::Board;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// How many worlds and throws a world stand for the belief. Every shot takes others: what so few get wrong must not add up over a block.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample {
    worlds: usize,
    throws: u32,
    number: u64,
}

impl Sample {
    /// For the shot of this number. A batch throws 32 as fast as one; it is the worlds that cost time.
    pub const fn of_shot(number: usize) -> Self {
        Self { worlds: 12, throws: 32, number: number as u64 }
    }

    /// For the par, on which everything rests.
    pub const PAR: Self = Self { worlds: 48, throws: 64, number: 0 };

    /// Spread over all worlds, beginning with another one each time.
    fn worlds(self, belief: &Belief) -> Vec<World> {
        let all = belief.worlds();
        (0..self.worlds).map(|k| all[(k * all.len() / self.worlds + self.number as usize) % all.len()]).collect()
    }

    /// The deviations throws are weighed by.
    fn offs(self) -> Vec<[f64; 6]> {
        Spread::points(self.throws, 2 * self.number)
    }

    /// Others, to choose among lines by, so that having been chosen does not flatter a line.
    fn other_offs(self) -> Vec<[f64; 6]> {
        Spread::points(self.throws, 2 * self.number + 1)
    }
}

/// A throw that a shot may have been.
pub(super) struct Might {
    pub world: usize,
    pub off: [f64; 6],
    pub hit: Hit,
    pub arrows: Board,
    pub breakpoint: Board,
    pub leaves: FirstBall,
}

/// All that a shot may have been, world by world.
pub(super) struct Cloud(pub Vec<Might>);

impl Cloud {
    /// The board at which the line passes the arrows, and how far throws of it stray there, mean over the worlds.
    pub fn arrows(&self) -> (Board, f64) {
        let all: Vec<f64> = self.0.iter().map(|one| one.arrows.0).collect();
        let strays: Vec<f64> = self
            .0
            .chunk_by(|a, b| a.world == b.world)
            .map(|own| Estimate::of(&own.iter().map(|one| one.arrows.0).collect::<Vec<_>>()).sd)
            .collect();
        (Board(Estimate::of(&all).mean), Estimate::of(&strays).mean)
    }
}

/// A lane as a shot finds it, by the worlds: worked out once, and cut once for each ball that is thrown on it. Both take longer than the
/// throws.
pub(super) struct Ground<'a> {
    belief: &'a Belief,
    lane: usize,
    carry: &'a Carry,
    sample: Sample,
    worlds: Vec<World>,
    /// The lane by each of the worlds.
    grounds: Vec<Lane>,
    /// By ball.
    runways: BTreeMap<usize, Vec<Runway>>,
}

impl<'a> Ground<'a> {
    pub fn new(belief: &'a Belief, lane: usize, carry: &'a Carry, sample: Sample) -> Self {
        let worlds = sample.worlds(belief);
        let grounds = worlds.par_iter().map(|world| belief.lane(lane, world)).collect();
        Self { belief, lane, carry, sample, worlds, grounds, runways: BTreeMap::new() }
    }

    /// The throws that a shot meant so may have been.
    pub fn cloud(&mut self, ball: usize, meant: &Release) -> Cloud {
        let offs = self.sample.offs();
        let thrown = self.thrown(ball, meant, &offs);
        let strikes = self.belief.strikes(self.carry, ball);
        let throws = thrown.par_iter().enumerate().flat_map_iter(|(world, finishes)| {
            finishes.iter().zip(&offs).map(move |(finish, off)| Might {
                world,
                off: *off,
                hit: strikes.hit(finish),
                arrows: finish.arrows,
                breakpoint: finish.breakpoint.board,
                leaves: strikes.leaves_of(&[touch(finish)]),
            })
        });
        Cloud(throws.collect())
    }

    /// What throws of a line leave, world by world, with the deviations of [`Ground::cloud`].
    pub fn strays(&mut self, ball: usize, line: &Release) -> Vec<FirstBall> {
        self.leaves(ball, line, &self.sample.offs())
    }

    /// What throws of a line leave at a glance, to choose by.
    pub fn glance(&mut self, ball: usize, line: &Release) -> FirstBall {
        together(&self.leaves(ball, line, &self.sample.other_offs()))
    }

    fn leaves(&mut self, ball: usize, line: &Release, offs: &[[f64; 6]]) -> Vec<FirstBall> {
        let strikes = self.belief.strikes(self.carry, ball);
        let thrown = self.thrown(ball, line, offs);
        thrown.par_iter().map(|all| strikes.leaves_of(&all.iter().map(touch).collect::<Vec<_>>())).collect()
    }

    fn thrown(&mut self, ball: usize, line: &Release, offs: &[[f64; 6]]) -> Vec<Vec<Finish>> {
        let (belief, lane, worlds, grounds) = (self.belief, self.lane, &self.worlds, &self.grounds);
        let cut = |(world, ground): (&World, &Lane)| belief.runway_of(ground, lane, ball, world);
        let all = || worlds.par_iter().zip(grounds).map(cut).collect();
        let runways = self.runways.entry(ball).or_insert_with(all);
        let throw = |(runway, world): (&Runway, &World)| runway.throw_many(&belief.releases(world, line, offs));
        runways.par_iter().zip(worlds).map(throw).collect()
    }
}

fn touch(finish: &Finish) -> Option<boardwise_lane::PinTouch> {
    finish.touch.filter(|_| finish.gutter.is_none())
}

/// What several leave together, each as often.
pub(super) fn together(all: &[FirstBall]) -> FirstBall {
    let n = all.len().max(1) as f64;
    let shares = all.iter().flat_map(|first| {
        let leaves = first.leaves.iter().map(|one| (one.leave.pins(), one.share));
        leaves.chain([(boardwise_score::PinSet::NONE, first.strike)])
    });
    let mut by_pins = BTreeMap::new();
    for (pins, share) in shares {
        *by_pins.entry(pins).or_insert(0.0) += share / n;
    }
    FirstBall::new(by_pins, 0.0, all.iter().map(|first| first.beyond_table).sum::<f64>() / n)
}
