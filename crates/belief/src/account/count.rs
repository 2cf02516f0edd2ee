//! The account: ball by ball, game by game.

use super::cloud::{Ground, Sample};
use super::error::AccountError;
use super::parts::Parts;
use super::split::{Split, Worthy, by_world};
use super::stray::{Passed, Stray};
use super::worth::{Ahead, Par, Worth, first_at_rack, leave};
use crate::belief::{Belief, Estimate, Noticed};
use boardwise_lane::Release;
use boardwise_pins::carry::Carry;
use boardwise_pins::spare::Second;
use boardwise_score::{Deck, Game, Leave, LeaveKind, Roll, Scoring, Thrown};
use boardwise_units::math;

/// How a first ball was thrown.
#[derive(Clone, Debug)]
pub struct Shot<'a> {
    /// What was thought of lanes and bowler just before it.
    pub belief: &'a Belief,
    /// The ball, by its place.
    pub ball: usize,
    /// What the bowler meant to throw.
    pub meant: Release,
    /// The best lines known on this lane then: ball, by its place, and release. May be empty; the line meant is always one of them.
    pub lines: Vec<(usize, Release)>,
    /// What was seen of it.
    pub noticed: Noticed,
}

/// A delivery as it counts.
#[derive(Clone, Debug)]
pub struct Delivery<'a> {
    /// What it did.
    pub roll: Roll,
    /// Lane of the pair, 0 or 1, if known.
    pub lane: Option<usize>,
    /// How it was thrown, if it was the first at its rack and that is known.
    pub shot: Option<Shot<'a>>,
}

/// A game, whole or as far as it went.
#[derive(Clone, Debug)]
pub struct Played<'a> {
    /// How it counts.
    pub scoring: Scoring,
    /// Its deliveries, in order.
    pub deliveries: Vec<Delivery<'a>>,
}

/// One delivery's part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Delivered {
    /// Game, from 0.
    pub game: usize,
    /// Lane, if known.
    pub lane: Option<usize>,
    /// Ball, by its place, of a first ball of which it is known.
    pub ball: Option<usize>,
    /// The delivery as the game counts it.
    pub thrown: Thrown,
    /// The final score to expect before it, and after it.
    pub expected: (f64, f64),
    /// What moved that.
    pub terms: Parts,
    /// How far each term may be off, as a standard deviation: for what is not known of the lanes and of which throw it was.
    pub doubts: Parts,
    /// How far each term goes by chance alone, as a standard deviation (at most, for execution).
    pub chance: Parts,
}

/// A game's account, or several together.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GameAccount {
    /// The score to expect before the first ball.
    pub par: f64,
    /// The score; of a game not over, the one to expect.
    pub score: f64,
    /// What made the difference: the sum of the terms is score less par.
    pub terms: Parts,
    /// How far each term may be off, as a standard deviation.
    pub doubts: Parts,
    /// How far each term goes by chance alone, as a standard deviation.
    pub chance: Parts,
}

/// Second balls at leaves of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SparesOf {
    /// The kind.
    pub kind: LeaveKind,
    /// How many were thrown at.
    pub tried: usize,
    /// How many were made.
    pub made: usize,
    /// How many this bowler makes of them on average.
    pub expected: f64,
    /// Pins won by them.
    pub pins: f64,
    /// How far that goes by chance alone, as a standard deviation.
    pub chance: f64,
}

/// Where pins were won and lost.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Account {
    /// Every delivery, in order.
    pub deliveries: Vec<Delivered>,
    /// Every game.
    pub games: Vec<GameAccount>,
    /// All of it.
    pub whole: GameAccount,
    /// Spares by kind, those that cost most first.
    pub spares: Vec<SparesOf>,
    /// How far throws strayed at the arrows: all first, then by lane and ball; empty of too few boards logged.
    pub strays: Vec<Stray>,
    /// The bowler's spread over the one told, as the belief has it before the last shot, from leaves and all else.
    pub spread: Option<Estimate>,
}

impl Account {
    /// The account of games in the order they were bowled. `second` says what this bowler's second ball does to a leave; it is asked once a leave.
    ///
    /// # Errors
    /// At the first ball, release, lane or chance that cannot be.
    pub fn of(
        par: &Par,
        games: &[Played<'_>],
        second: &dyn Fn(Leave) -> Second,
        carry: &Carry,
    ) -> Result<Self, AccountError> {
        let mut counting = Counting { worth: Worth::new(par, second)?, carry, passed: Vec::new(), shots: 0 };
        let mut account = Self::default();
        for (number, played) in games.iter().enumerate() {
            let told = counting.game(number, played, &mut account.deliveries)?;
            account.whole = account.whole.and(told);
            account.games.push(told);
        }
        account.spares = SparesOf::all(&account.deliveries, &mut counting.worth);
        account.strays = Stray::all(&counting.passed);
        let mut shots = games.iter().flat_map(|played| &played.deliveries).filter_map(|one| one.shot.as_ref());
        account.spread = shots.next_back().map(|shot| shot.belief.estimate(boardwise_search::World::spread));
        Ok(account)
    }
}

impl GameAccount {
    fn and(self, other: Self) -> Self {
        Self {
            par: self.par + other.par,
            score: self.score + other.score,
            terms: self.terms + other.terms,
            doubts: self.doubts.doubted(other.doubts),
            chance: self.chance.in_quadrature(other.chance),
        }
    }
}

/// The work.
struct Counting<'a> {
    worth: Worth<'a>,
    carry: &'a Carry,
    passed: Vec<Passed>,
    /// First balls so far whose throw was known.
    shots: usize,
}

/// Parts, doubts, chance.
type Part = (Parts, Parts, Parts);

impl Counting<'_> {
    fn game(
        &mut self,
        number: usize,
        played: &Played<'_>,
        all: &mut Vec<Delivered>,
    ) -> Result<GameAccount, AccountError> {
        self.worth.begin(lanes(played)?)?;
        let mut game = Game::new(played.scoring);
        let par = self.worth.of(&game);
        let mut told = GameAccount { par, score: par, ..GameAccount::default() };
        for (k, delivery) in played.deliveries.iter().enumerate() {
            check(delivery, number + 1, k + 1)?;
            let (before, first, at) = (game, first_at_rack(&game), leave(&game));
            let thrown = game.push(delivery.roll)?;
            let expected = (told.score, self.worth.of(&game));
            let (terms, doubts, chance) = match (at, &delivery.shot, delivery.lane) {
                (None, Some(shot), Some(lane)) if first => self.first_ball(&before, &thrown, expected, lane, shot)?,
                (Some(at), _, _) if thrown.roll != Roll::Foul => self.second_ball(&before, at, expected),
                _ => {
                    (Parts { untold: expected.1 - expected.0, ..Parts::default() }, Parts::default(), Parts::default())
                }
            };
            let ball = delivery.shot.as_ref().filter(|_| first).map(|shot| shot.ball);
            all.push(Delivered { game: number, lane: delivery.lane, ball, thrown, expected, terms, doubts, chance });
            told = told.and(GameAccount { par: 0.0, score: expected.1 - expected.0, terms, doubts, chance });
            told.score = expected.1;
        }
        Ok(told)
    }

    fn second_ball(&mut self, before: &Game, at: Leave, expected: (f64, f64)) -> Part {
        let (make, worth) = self.worth.spare(before, at);
        let terms = Parts { spares: expected.1 - expected.0, ..Parts::default() };
        let chance = Parts { spares: math::sqrt(make * (1.0 - make)) * worth.abs(), ..Parts::default() };
        (terms, Parts::default(), chance)
    }

    fn first_ball(
        &mut self,
        before: &Game,
        thrown: &Thrown,
        expected: (f64, f64),
        lane: usize,
        shot: &Shot<'_>,
    ) -> Result<Part, AccountError> {
        shot.lines.iter().map(|(_, line)| line).chain([&shot.meant]).try_for_each(Release::check)?;
        let ahead = self.worth.ahead(before);
        let mut ground = Ground::new(shot.belief, lane, self.carry, Sample::of_shot(self.shots));
        self.shots += 1;
        let cloud = ground.cloud(shot.ball, &shot.meant);
        let throws: Vec<Worthy> = cloud
            .0
            .iter()
            .map(|might| Worthy {
                world: might.world,
                worth: self.worth.mean(&ahead, &might.leaves),
                variance: self.worth.variance(&ahead, &might.leaves),
            })
            .collect();
        let (best, of_ball) = self.best(&ahead, &mut ground, shot, &by_world(&throws));
        if let Some(arrows) = shot.noticed.arrows {
            let (passes, sd_told) = cloud.arrows();
            self.passed.push(Passed { lane, ball: shot.ball, off_boards: arrows.0 - passes.0, sd_told });
        }
        let noticed: Vec<f64> = cloud
            .0
            .iter()
            .map(|might| shot.noticed.likelihood(might.hit, might.arrows, might.breakpoint, &might.off))
            .collect();
        let foul = thrown.roll == Roll::Foul;
        let read = Split::of(&throws, &noticed).filter(|_| !foul && !shot.noticed.is_nothing());
        let alike = Split::of(&throws, &vec![1.0; throws.len()]).unwrap_or_default();
        let split = read.unwrap_or(alike);
        let known = matches!(thrown.after, Deck::Pins(_));

        let offered = Estimate::of(&best);
        let apart = |a: &[f64], b: &[f64]| Estimate::of(&a.iter().zip(b).map(|(a, b)| a - b).collect::<Vec<_>>());
        let (by_ball, by_line) = (apart(&of_ball, &best), apart(&by_world(&throws), &of_ball));
        let rest = expected.1 - split.seemed;
        let (luck, untold) = if read.is_some() && known { (rest, 0.0) } else { (0.0, rest) };
        let terms = Parts {
            lanes: offered.mean - expected.0 + split.lanes,
            ball: by_ball.mean,
            line: by_line.mean,
            execution: split.execution,
            luck,
            spares: 0.0,
            untold,
        };
        let (mut doubts, mut chance) =
            (Parts { lanes: offered.sd, ball: by_ball.sd, line: by_line.sd, ..Parts::default() }, Parts::default());
        if read.is_some() {
            doubts.execution = split.execution_doubt;
            (chance.lanes, chance.execution) = (split.lanes_chance, split.execution_chance);
            if known {
                (doubts.luck, chance.luck) = (split.luck_doubt, split.luck_chance);
            } else {
                (doubts.untold, chance.untold) = (split.luck_doubt, split.luck_chance);
            }
        } else if !foul {
            chance.untold = math::hypot(math::hypot(split.lanes_chance, split.execution_chance), split.luck_chance);
        }
        Ok((terms, doubts, chance))
    }

    /// What the best line known is worth, world by world, and what the best one for the ball thrown is.
    fn best(&mut self, ahead: &Ahead, ground: &mut Ground<'_>, shot: &Shot<'_>, meant: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let own = (shot.ball, shot.meant);
        let mut lines: Vec<(usize, Release)> = vec![own];
        lines.extend(shot.lines.iter().filter(|line| **line != own));
        let glances: Vec<f64> = if lines.len() > 1 {
            lines.iter().map(|(ball, line)| self.worth.mean(ahead, &ground.glance(*ball, line))).collect()
        } else {
            vec![0.0]
        };
        let best = |of: Option<usize>| {
            let open = (0..lines.len()).filter(|k| of.is_none_or(|ball| lines[*k].0 == ball));
            // The first of equals: the line meant.
            open.fold(0, |best, k| if glances[k] > glances[best] { k } else { best })
        };
        let (any, of_ball) = (best(None), best(Some(shot.ball)));
        let mut worth = |k: usize| -> Vec<f64> {
            if k == 0 {
                return meant.to_vec();
            }
            ground.strays(lines[k].0, &lines[k].1).iter().map(|first| self.worth.mean(ahead, first)).collect()
        };
        let best = worth(any);
        let of_ball = if any == of_ball { best.clone() } else { worth(of_ball) };
        (best, of_ball)
    }
}

/// The lane of each frame. Lanes alternate frame by frame, so that one that is not known follows from the one before or after it.
fn lanes(played: &Played<'_>) -> Result<[usize; 10], boardwise_score::Error> {
    let mut known = [None; 10];
    let mut game = Game::new(played.scoring);
    for delivery in &played.deliveries {
        let frame = usize::from(game.push(delivery.roll)?.frame) - 1;
        known[frame] = known[frame].or(delivery.lane.filter(|lane| *lane < 2));
    }
    let first = known.iter().enumerate().find_map(|(frame, lane)| lane.map(|lane| (lane + frame) % 2));
    let mut last = 1 - first.unwrap_or(0);
    Ok(known.map(|lane| {
        last = lane.unwrap_or(1 - last);
        last
    }))
}

fn check(delivery: &Delivery<'_>, game: usize, number: usize) -> Result<(), AccountError> {
    let missing = |what, place, last| Err(AccountError::NoSuch { what, game, delivery: number, place, last });
    if let Some(lane) = delivery.lane.filter(|lane| *lane > 1) {
        return missing("lane", lane, 1);
    }
    let Some(shot) = &delivery.shot else { return Ok(()) };
    let balls = shot.belief.balls().len();
    let wrong = shot.lines.iter().map(|(ball, _)| *ball).chain([shot.ball]).find(|ball| *ball >= balls);
    wrong.map_or(Ok(()), |ball| missing("ball", ball, balls.saturating_sub(1)))
}

impl SparesOf {
    fn all(deliveries: &[Delivered], worth: &mut Worth<'_>) -> Vec<Self> {
        let mut all: Vec<Self> = Vec::new();
        let seconds = deliveries.iter().filter(|one| !one.thrown.first_at_rack && one.thrown.roll != Roll::Foul);
        for one in seconds {
            let Deck::Pins(pins) = one.thrown.before else { continue };
            let Ok(at) = Leave::new(pins) else { continue };
            let of = Self { kind: at.kind(), tried: 0, made: 0, expected: 0.0, pins: 0.0, chance: 0.0 };
            let place = all.iter().position(|sum| sum.kind == of.kind).unwrap_or_else(|| {
                all.push(of);
                all.len() - 1
            });
            let sum = &mut all[place];
            sum.tried += 1;
            sum.made += usize::from(one.thrown.is_spare());
            sum.expected += worth.make(at);
            sum.pins += one.terms.spares;
            sum.chance = math::hypot(sum.chance, one.chance.spares);
        }
        all.sort_by(|a, b| a.pins.total_cmp(&b.pins));
        all
    }
}
