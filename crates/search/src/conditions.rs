//! What a ball meets: the lane as it may be in every world, cut for the ball as it may grip there.

use crate::unknowns::spread_over;
use crate::{Bowler, Spread, Unknowns, World};
use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Finish, Lane, Release, Runway};
use rayon::prelude::*;

/// A ball on a lane of a pair, as is said of them.
#[derive(Clone, Copy, Debug)]
pub struct Site<'a> {
    /// Which lane of the pair, 0 or 1.
    pub lane: usize,
    /// The lane with fresh oil, seen from the bowling-hand side.
    pub fresh: &'a Lane,
    /// The lane as it is worn if everything is as said.
    pub now: &'a Lane,
    /// The ball.
    pub ball: &'a Ball,
    /// The ball's place in the bag.
    pub place: usize,
}

impl<'a> Site<'a> {
    /// A ball on a fresh lane that stands alone.
    pub const fn fresh(lane: &'a Lane, ball: &'a Ball) -> Self {
        Self { lane: 0, fresh: lane, now: lane, ball, place: 0 }
    }

    /// The lane cut for the ball as both are in a world.
    pub fn runway(&self, world: &World, law: &ContactLaw) -> Runway {
        self.cut(&world.lane(self.lane, self.fresh, self.now), world, law)
    }

    /// The same where the lane in that world is worked out already.
    pub fn cut(&self, ground: &Lane, world: &World, law: &ContactLaw) -> Runway {
        Runway::new(ground, &world.ball(self.place, self.lane, self.ball), law)
    }
}

/// A throw in one of the worlds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Throw {
    /// What came of it.
    pub finish: Finish,
    /// The place of its world among those of the conditions.
    pub world: usize,
    /// The set of the pins' constants that holds there ([`World::pins`]).
    pub pins: Option<u32>,
}

/// A site in several worlds, ready to be thrown on.
#[derive(Clone, Debug)]
pub struct Conditions {
    /// Each world with its lane, cut for the ball.
    worlds: Vec<(World, Runway)>,
    /// The mean world: where a shot as meant is aimed.
    middle: (World, Runway),
}

/// A lane as it is in each of several worlds, and in their mean.
struct Grounds {
    worlds: Vec<(World, Lane)>,
    middle: (World, Lane),
}

impl Grounds {
    /// Of a site's lane.
    fn of(site: &Site<'_>, worlds: &[World]) -> Self {
        let ground = |world: &World| (*world, world.lane(site.lane, site.fresh, site.now));
        Self { worlds: worlds.par_iter().map(ground).collect(), middle: ground(&World::mean(worlds)) }
    }
}

/// Fewest throws a world is asked for at a time: throws advance in packs, and a pack hardly filled takes as long.
const LEAST_A_WORLD: u32 = 4;

impl Conditions {
    /// The site in these worlds. Without any, as it is said to be.
    pub fn new(site: &Site<'_>, worlds: &[World], law: &ContactLaw) -> Self {
        Self::cut(site, &Grounds::of(site, worlds), law)
    }

    /// Several balls on the same lane in these worlds: the lane of a world is worked out once for all of them.
    pub fn on_one_lane(sites: &[Site<'_>], worlds: &[World], law: &ContactLaw) -> Vec<Self> {
        let Some(first) = sites.first() else { return Vec::new() };
        let grounds = Grounds::of(first, worlds);
        sites.par_iter().map(|site| Self::cut(site, &grounds, law)).collect()
    }

    fn cut(site: &Site<'_>, grounds: &Grounds, law: &ContactLaw) -> Self {
        let cut = |(world, ground): &(World, Lane)| (*world, site.cut(ground, world, law));
        let middle = cut(&grounds.middle);
        let worlds = match grounds.worlds.as_slice() {
            [] => vec![middle.clone()],
            some => some.par_iter().map(cut).collect(),
        };
        Self { worlds, middle }
    }

    /// A ball on a fresh lane over what is not known of them. A line that must hold in every world strikes less often than on
    /// a lane [known](Self::known) to be as said.
    pub fn fresh(lane: &Lane, ball: &Ball, unknowns: &Unknowns, seed: u64) -> Self {
        Self::new(&Site::fresh(lane, ball), &unknowns.worlds(seed), &ContactLaw::default())
    }

    /// A ball on a lane, both known to be as said, under a law of contact.
    pub fn known(lane: &Lane, ball: &Ball, law: &ContactLaw) -> Self {
        Self::new(&Site::fresh(lane, ball), &[], law)
    }

    /// What a throw just as meant does in the mean world.
    pub fn as_meant(&self, meant: &[Release]) -> Vec<Finish> {
        let (world, runway) = &self.middle;
        runway.throw_many(&meant.iter().map(|one| world.today(one)).collect::<Vec<_>>())
    }

    /// Throws each of these lines about `count` times in all, spread evenly over the worlds and over the bowler's own
    /// deviations, and says what `of` makes of each throw. The same worlds and
    /// deviations serve every line, so that differences are those of the lines.
    pub fn throw_each<T: Send>(
        &self,
        bowler: &Bowler,
        meant: &[Release],
        count: u32,
        seed: u64,
        of: impl Fn(&Throw) -> T + Sync,
    ) -> Vec<Vec<T>> {
        let least_a_world = LEAST_A_WORLD.div_ceil(meant.len().max(1) as u32);
        self.throw_over(bowler, meant, (count, least_a_world), seed, of)
    }

    /// The same over as many worlds as there are throws of a line, so that what is thrown of one line does not depend on how
    /// many others are asked for. Made for many lines at once.
    pub fn throw_widely<T: Send>(
        &self,
        bowler: &Bowler,
        meant: &[Release],
        count: u32,
        seed: u64,
        of: impl Fn(&Throw) -> T + Sync,
    ) -> Vec<Vec<T>> {
        self.throw_over(bowler, meant, (count, 1), seed, of)
    }

    fn throw_over<T: Send>(
        &self,
        bowler: &Bowler,
        meant: &[Release],
        (count, least_a_world): (u32, u32),
        seed: u64,
        of: impl Fn(&Throw) -> T + Sync,
    ) -> Vec<Vec<T>> {
        let worlds = (count / least_a_world).clamp(1, self.worlds.len() as u32);
        let each = count.div_ceil(worlds);
        let places: Vec<usize> = spread_over(worlds as usize, self.worlds.len()).collect();
        let by_world: Vec<Vec<T>> = places
            .par_iter()
            .enumerate()
            .map(|(nth, &place)| {
                let (world, runway) = &self.worlds[place];
                let first = nth as u32 * each;
                let offs: Vec<[f64; 6]> = (first..first + each).map(|index| Spread::point(index, seed)).collect();
                let releases: Vec<Release> = meant.iter().flat_map(|one| bowler.thrown(one, world, &offs)).collect();
                let throw = |finish| Throw { finish, world: place, pins: world.pins() };
                runway.throw_many(&releases).into_iter().map(|finish| of(&throw(finish))).collect()
            })
            .collect();
        let mut by_line: Vec<Vec<T>> = meant.iter().map(|_| Vec::with_capacity(places.len() * each as usize)).collect();
        for thrown in by_world {
            let mut thrown = thrown.into_iter();
            for line in &mut by_line {
                line.extend(thrown.by_ref().take(each as usize));
            }
        }
        by_line
    }
}

/// Throws all of these on a lane cut for a ball, in order, by all threads. The answers are those of [`Runway::throw_many`] to
/// the bit.
pub fn throw_all(runway: &Runway, releases: &[Release]) -> Vec<Finish> {
    const A_PIECE: usize = 512;
    releases.par_chunks(A_PIECE).flat_map_iter(|some| runway.throw_many(some)).collect()
}
