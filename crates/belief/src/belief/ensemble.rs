//! The worlds, and what they come to.

use super::estimate::Estimate;
use super::evidence::Seen;
use super::foresight::Foreseen;
use super::moving::{move_by, worlds_of};
use super::shown::Shown;
use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Finish, Lane, LaneError, Place, Release, Runway};
use boardwise_pins::carry::Carry;
use boardwise_search::{
    Bowler, Conditions, Pocket, Site, Spread, Strikes, Unknowns, World, looks_off_lane_boards, spread_over,
};
use boardwise_units::{Board, Degrees, Feet, math};
use rayon::prelude::*;
use std::sync::Arc;

/// Throws of a world behind the likelihood of a shot.
pub(super) const THROWS: u32 = 32;
/// Keeps the deviations of balls that wear the lanes apart from those behind likelihoods.
const STRAYS: u64 = 0x5eed;

/// A throw as it may come of what was meant: the next of an even spread. One that strays beyond what is possible is thrown as meant.
fn strayed(spread: &Spread, meant: &Release, index: u32, seed: u64) -> Release {
    let release = spread.apply(meant, &Spread::point(index, seed ^ STRAYS));
    if release.check().is_ok() { release } else { *meant }
}

/// A ball of anybody that wears a lane.
#[derive(Clone, Copy, Debug)]
pub struct Thrown<'a> {
    /// Lane of the pair, 0 or 1.
    pub lane: usize,
    /// The ball.
    pub ball: &'a Ball,
    /// What was meant, seen from the hand that throws it.
    pub meant: Release,
    /// Whether that is not the bowler's hand: the ball wears the other side.
    pub other_hand: bool,
}

/// The belief about a pair of lanes and a bowler.
#[derive(Clone, Debug)]
pub struct Belief {
    bowler: Bowler,
    balls: Vec<Ball>,
    pocket: Pocket,
    pub(super) law: ContactLaw,
    /// Both lanes from the hand's side, fresh and as worn if everything is as told.
    pub(super) fresh: [Lane; 2],
    pub(super) now: [Lane; 2],
    pub(super) worlds: Vec<World>,
    pub(super) seed: u64,
    pub(super) shots: u64,
    /// Balls that have worn the lanes, anybody's.
    pub(super) worn: u32,
    /// The next first ball, thrown ahead; it rests on all of the above.
    pub(super) foreseen: Option<Foreseen>,
}

impl Belief {
    /// Before any shot. The lanes are seen from the bowling-hand side.
    pub fn new(fresh: [Lane; 2], bowler: Bowler, balls: Vec<Ball>, unknowns: &Unknowns, seed: u64) -> Self {
        Self {
            bowler,
            balls,
            pocket: Pocket::default(),
            law: ContactLaw::default(),
            now: fresh.clone(),
            fresh,
            worlds: unknowns.worlds(seed),
            seed,
            shots: 0,
            worn: 0,
            foreseen: None,
        }
    }

    /// A belief without doubt: these lanes as they are and a bowler who throws as told. For the best that could be done with everything known.
    pub fn certain(now: [Lane; 2], bowler: Bowler, balls: Vec<Ball>, law: ContactLaw, seed: u64) -> Self {
        Self {
            bowler,
            balls,
            pocket: Pocket::default(),
            law,
            fresh: now.clone(),
            now,
            worlds: vec![World::AS_SAID],
            seed,
            shots: 0,
            worn: 0,
            foreseen: None,
        }
    }

    /// The worlds, all alike in weight.
    pub fn worlds(&self) -> &[World] {
        &self.worlds
    }

    /// The bowler it is about.
    pub fn bowler(&self) -> &Bowler {
        &self.bowler
    }

    /// The balls, by their place.
    pub fn balls(&self) -> &[Ball] {
        &self.balls
    }

    /// Takes a ball in place of one of them from now on: the same one with another surface. What is believed of its cover stays.
    pub fn take_ball(&mut self, place: usize, ball: Ball) {
        if self.balls[place] != ball {
            self.foreseen.take_if(|foreseen| foreseen.is_with(place));
            self.balls[place] = ball;
        }
    }

    /// The mean of a quantity over the worlds, with its spread.
    pub fn estimate(&self, value: impl Fn(&World) -> f64) -> Estimate {
        Estimate::of(&self.worlds.iter().map(value).collect::<Vec<_>>())
    }

    /// The mean world.
    pub fn mean_world(&self) -> World {
        World::mean(&self.worlds)
    }

    /// A lane as a world has it now.
    pub fn lane(&self, lane: usize, world: &World) -> Lane {
        world.lane(lane, &self.fresh[lane], &self.now[lane])
    }

    /// A lane as a world has it once it is worn so, if everything is as told.
    pub(crate) fn lane_worn_to(&self, lane: usize, world: &World, worn: &Lane) -> Lane {
        world.lane(lane, &self.fresh[lane], worn)
    }

    /// A ball on a lane, as is said of them.
    pub(super) fn site(&self, lane: usize, ball: usize) -> Site<'_> {
        Site { lane, fresh: &self.fresh[lane], now: &self.now[lane], ball: &self.balls[ball], place: ball }
    }

    /// The lane in a world, cut for a ball.
    pub fn runway(&self, lane: usize, ball: usize, world: &World) -> Runway {
        self.site(lane, ball).runway(world, &self.law)
    }

    /// The same where the lane in that world is worked out already.
    pub(crate) fn runway_of(&self, ground: &Lane, lane: usize, ball: usize, world: &World) -> Runway {
        self.site(lane, ball).cut(ground, world, &self.law)
    }

    /// A lane as it is believed, cut for a ball as it grips there.
    pub(crate) fn runway_on(&self, ground: &Lane, gripping: &Ball) -> Runway {
        Runway::new(ground, gripping, &self.law)
    }

    /// Whether shots of several balls, just as meant, come in at the pocket in the mean world. Each ball is given by its place
    /// and as it would be thrown, with what is meant.
    pub(crate) fn aimed(&self, lane: usize, shots: &[(usize, &Ball, Vec<Release>)]) -> Vec<Vec<bool>> {
        let world = self.mean_world();
        let ground = self.lane(lane, &world);
        let of_ball = |(place, thrown, meant): &(usize, &Ball, Vec<Release>)| {
            let runway = self.runway_on(&ground, &world.ball(*place, lane, thrown));
            let today: Vec<Release> = meant.iter().map(|one| world.today(one)).collect();
            let finishes = runway.throw_many(&today);
            let aimed = |(finish, meant)| self.pocket.off_boards(finish) <= 0.0 && looks_off_lane_boards(meant) <= 0.0;
            finishes.iter().zip(meant).map(aimed).collect()
        };
        shots.par_iter().map(of_ball).collect()
    }

    /// A shot just as meant in the mean world.
    fn as_meant(&self, lane: usize, ball: usize, meant: &Release) -> Option<Finish> {
        let world = self.mean_world();
        self.runway(lane, ball, &world).throw_many(&[world.today(meant)]).pop()
    }

    /// The angle at which a shot just as meant comes in, in the mean world; None if it meets no pin.
    pub(crate) fn entry_angle(&self, lane: usize, ball: usize, meant: &Release) -> Option<Degrees> {
        Some(self.as_meant(lane, ball, meant)?.touch?.angle())
    }

    /// Oil that balls have carried past the pattern's end where a shot just as meant leaves it: its film there, metres.
    pub(crate) fn carried_m(&self, lane: usize, ball: usize, meant: &Release) -> f64 {
        const PAST: Feet = Feet(2.0);
        let exit = self.as_meant(lane, ball, meant).and_then(|finish| finish.exit);
        let film = |on: &Lane, at: Place| {
            let (x_m, y_m) = (at.board.to_metres(), Feet(at.feet.0 + PAST.0).to_metres());
            on.film().map_or(0.0, |film| film.thickness_m.at(x_m, y_m))
        };
        exit.map_or(0.0, |exit| film(&self.now[lane], exit) - film(&self.fresh[lane], exit))
    }

    /// A ball on a lane in so many of the worlds, spread over all.
    pub fn conditions(&self, lane: usize, ball: usize, worlds: usize) -> Conditions {
        Conditions::new(&self.site(lane, ball), &self.sample(worlds), &self.law)
    }

    /// Releases a bowler makes in a world when meaning this, at these deviations.
    pub(crate) fn releases(&self, world: &World, meant: &Release, offs: &[[f64; 6]]) -> Vec<Release> {
        self.bowler.thrown(meant, world, offs).collect()
    }

    /// Strikes of one of the balls.
    pub(crate) fn strikes<'a>(&self, carry: &'a Carry, ball: usize) -> Strikes<'a> {
        Strikes::new(carry, &self.balls[ball], self.bowler.hand, self.pocket)
    }

    /// Throws by every world what may be seen next: [`Belief::saw`] then takes less than a tenth of its time if it is told of just this. What is
    /// believed is the same with and without.
    ///
    /// # Errors
    /// If the release meant is not possible.
    pub fn foresee(&mut self, lane: usize, ball: usize, meant: &Release) -> Result<(), LaneError> {
        meant.check()?;
        let finishes = self.finishes_of(lane, ball, meant);
        self.foreseen = Some(Foreseen { lane, ball, meant: *meant, finishes });
        Ok(())
    }

    /// The throws of every world behind what the next shot teaches, made already or now.
    fn finishes_of(&self, lane: usize, ball: usize, meant: &Release) -> Arc<[Vec<Finish>]> {
        let known =
            self.foreseen.as_ref().filter(|known| (known.lane, known.ball, known.meant) == (lane, ball, *meant));
        known.map_or_else(|| self.thrown_by_each(lane, ball, meant), |known| Arc::clone(&known.finishes))
    }

    fn thrown_by_each(&self, lane: usize, ball: usize, meant: &Release) -> Arc<[Vec<Finish>]> {
        let offs = self.deviations();
        let throw = |world| self.runway(lane, ball, world).throw_many(&self.releases(world, meant, &offs));
        self.worlds.par_iter().map(throw).collect()
    }

    /// Deviations of the throws behind what the next shot teaches.
    pub(super) fn deviations(&self) -> Vec<[f64; 6]> {
        Spread::points(THROWS, self.seed.wrapping_add(self.shots))
    }

    /// Learns from a first ball, and wears the lane by it.
    ///
    /// # Errors
    /// If the release meant is not possible; the belief is then as it was.
    pub fn saw(&mut self, seen: &Seen, carry: &Carry) -> Result<(), LaneError> {
        seen.meant.check()?;
        self.worlds = match &seen.noticed.film {
            Some(film) => self.moved_by_film(seen, film, carry),
            None => self.moved(seen, carry),
        };
        (self.shots, self.foreseen) = (self.shots + 1, None);
        let (ball, today) = (self.balls[seen.ball].clone(), self.mean_world().today(&seen.meant));
        let release = strayed(&self.bowler.spread, &today, self.worn, self.seed);
        self.worn += 1;
        self.now[seen.lane].wear(&ball, &release, &self.law).map(|_| ())
    }

    /// The worlds after a first ball that was seen by eye.
    fn moved(&self, seen: &Seen, carry: &Carry) -> Vec<World> {
        let (offs, finishes) = (self.deviations(), self.finishes_of(seen.lane, seen.ball, &seen.meant));
        let strikes = self.strikes(carry, seen.ball);
        let shown: Vec<Shown> =
            finishes.par_iter().map(|finishes| Shown::by_world(seen, &strikes, finishes, &offs)).collect();
        let noticed = &seen.noticed;
        // Where the shot comes in is carried along, so that the second look begins where the first ends.
        let mut members: Vec<[f64; World::SIZE + 1]> = self.worlds.iter().zip(&shown).map(Shown::member).collect();
        if noticed.arrows.is_some() {
            let passed: Vec<f64> = shown.iter().map(|one| one.passed).collect();
            let likely: Vec<f64> = shown.iter().map(|one| one.arrows).collect();
            move_by(&mut members, &passed, &noticed.held_back(&likely));
        }
        let came_in: Vec<f64> = members.iter().map(|member| member[World::SIZE]).collect();
        let likely: Vec<f64> = shown.iter().map(|one| one.rest).collect();
        move_by(&mut members, &came_in, &noticed.held_back(&likely));
        worlds_of(&self.worlds, &members)
    }

    /// Wears a lane by a ball of anybody, as meant and as seen from our hand. Nobody throws twice alike: what wears is a throw strayed as a good league
    /// bowler's do, another with every ball; without that the wear would lie in a groove deeper and narrower than any lane's.
    ///
    /// # Errors
    /// If the release is not possible.
    pub fn thrown(&mut self, lane: usize, ball: &Ball, meant: &Release) -> Result<(), LaneError> {
        self.thrown_all(&[Thrown { lane, ball, meant: *meant, other_hand: false }])
    }

    /// Wears the pair by balls of anybody, as [`Belief::thrown`], each on its lane, in their order on each. The two lanes are worn side by side.
    ///
    /// # Errors
    /// If a release is not possible; the belief is then as it was.
    pub fn thrown_all(&mut self, throws: &[Thrown<'_>]) -> Result<(), LaneError> {
        self.now = self.worn_by(throws)?;
        self.worn += throws.len() as u32;
        self.foreseen.take_if(|foreseen| throws.iter().any(|one| foreseen.is_on(one.lane)));
        Ok(())
    }

    /// The pair as it will lie after balls of anybody, if everything is as told.
    ///
    /// # Errors
    /// If a release is not possible.
    pub fn worn_by(&self, throws: &[Thrown<'_>]) -> Result<[Lane; 2], LaneError> {
        let (law, usual, first, seed) = (self.law, Spread::default(), self.worn, self.seed);
        let worn = |lane: usize, now: &Lane| {
            let mut now = now.clone();
            for (k, one) in throws.iter().enumerate().filter(|(_, one)| one.lane == lane) {
                one.meant.check()?;
                let release = strayed(&usual, &one.meant, first + k as u32, seed);
                if one.other_hand {
                    let mut seen = now.mirrored();
                    seen.wear(one.ball, &release, &law)?;
                    now = seen.mirrored();
                } else {
                    now.wear(one.ball, &release, &law)?;
                }
            }
            Ok(now)
        };
        let (left, right) = rayon::join(|| worn(0, &self.now[0]), || worn(1, &self.now[1]));
        Ok([left?, right?])
    }

    /// So many of the worlds, spread over all.
    pub fn sample(&self, count: usize) -> Vec<World> {
        self.spread_over(count).into_iter().map(|place| self.worlds[place]).collect()
    }

    /// Their places.
    pub(crate) fn spread_over(&self, count: usize) -> Vec<usize> {
        spread_over(count.min(self.worlds.len()), self.worlds.len()).collect()
    }

    /// The belief left if only those worlds are kept whose value is; None if none is.
    pub(crate) fn part(&self, values: &[f64], keep: impl Fn(f64) -> bool) -> Option<Self> {
        let kept = self.worlds.iter().zip(values).filter(|(_, value)| keep(**value));
        let worlds: Vec<World> = kept.map(|(world, _)| *world).collect();
        (!worlds.is_empty()).then(|| Self { worlds, foreseen: None, ..self.clone() })
    }

    /// Oil left at a place of what the pattern says, over the worlds: wear, and how the lane differs from what was told. None where
    /// friction is given or there was no oil.
    pub fn oil_left(&self, lane: usize, board: Board, feet: Feet) -> Option<Estimate> {
        let (x_m, y_m) = (board.to_metres(), feet.to_metres());
        let fresh = self.fresh[lane].film()?.thickness_m.at(x_m, y_m);
        let now = self.now[lane].film()?.thickness_m.at(x_m, y_m);
        (fresh > 1e-9).then(|| {
            self.estimate(|world| {
                math::pow((now / fresh).min(1.0), world.wear(lane)) * world.oil(lane, board.0, feet.0)
            })
        })
    }
}
