//! The block ahead, run once over the worlds of the brief: the lanes wear under everybody, and our line is looked for anew after
//! practice and as games end.

use boardwise_belief::{Belief, Estimate, Thrown};
use boardwise_lane::{Lane, Release};
use boardwise_pins::carry::Carry;
use boardwise_search::Move;

use crate::at_lanes::begin::Opening;
use crate::at_lanes::belief_replay::{Other, others};
use crate::at_lanes::desk::Setting;
use crate::at_lanes::line_meant::{AsRelease, LineMeant};
use crate::{Failure, Work};

/// A move and a change of ball that gain less of the strikes are not worth making: the same prices as in a forecast of the block
/// (our judgement).
const WORTH_A_MOVE: f64 = 0.02;
const WORTH_A_BALL: f64 = 0.03;
/// Balls that are looked at in earnest at each look.
const PROMISING: usize = 3;
/// Looks after games, at most.
const MOST_LOOKS: u32 = 4;
const FRAMES: usize = 10;

/// A lane at a look, and what to do on it from there on.
#[derive(Clone, Debug)]
pub struct Stage {
    /// Games bowled by then; 0 after practice.
    pub games: u32,
    /// The ball to go on with, by its place.
    pub ball: usize,
    /// What to mean.
    pub release: Release,
    /// The move from the line before, if there is one.
    pub moved: Move,
    /// Whether anything changes.
    pub changes: bool,
    /// Chance of a strike then.
    pub strike: Estimate,
    /// Chance of a strike on the line before.
    pub stay: Estimate,
    /// The lane by then, if everything is as said.
    pub now: Lane,
}

/// What balls come to on a lane at a look, each on its best line.
pub struct Showing {
    /// Lane of the pair.
    pub lane: usize,
    /// Games bowled by then.
    pub games: u32,
    /// Ball, and its share of strikes.
    pub strikes: Vec<(usize, f64)>,
}

/// The block ahead.
pub struct Ahead {
    /// The looks, lane by lane.
    pub stages: [Vec<Stage>; 2],
    /// What the balls come to at each, and on the fresh lanes first.
    pub showings: Vec<Showing>,
}

/// The pair in the middle of it.
struct OnPair<'a> {
    setting: &'a Setting,
    carry: &'a Carry,
    belief: Belief,
    others: Vec<Other>,
    /// Ball and line, lane by lane.
    playing: [(usize, Release); 2],
    /// The line last known of each ball, lane by lane.
    known: [Vec<(usize, Release)>; 2],
}

impl Ahead {
    /// Runs it.
    ///
    /// # Errors
    /// If it is cancelled.
    pub fn look(
        setting: &Setting,
        opening: &Opening,
        belief: &Belief,
        carry: &Carry,
        work: Work<'_>,
    ) -> Result<Self, Failure> {
        let own = &setting.seat.bowler.release;
        let forms = opening.forms();
        let known = |lane: usize| {
            let of = |(ball, line): (usize, &Option<LineMeant>)| Some((ball, line.as_ref()?.release(own)));
            forms[lane].iter().enumerate().filter_map(of).collect::<Vec<_>>()
        };
        let mut pair = OnPair {
            setting,
            carry,
            belief: belief.clone(),
            others: others(&opening.others, setting),
            playing: opening.lines.map(|line| (opening.ball, line.release(own))),
            known: [known(0), known(1)],
        };
        let fresh = |lane: usize| {
            let found = opening.found[lane].iter().enumerate();
            let strikes = found.filter_map(|(ball, line)| Some((ball, line.as_ref()?.worth))).collect();
            Showing { lane, games: 0, strikes }
        };
        let mut all = Self { stages: [Vec::new(), Vec::new()], showings: vec![fresh(0), fresh(1)] };
        let here = &setting.event.pairs[setting.pair];
        let every = here.games.div_ceil(MOST_LOOKS).max(1);
        let pieces = f64::from(here.games + 1);
        pair.before()?;
        if here.games_before + setting.event.practice_shots > 0 {
            pair.look(0, &mut all);
        }
        for game in 1..=here.games {
            work.report(f64::from(game), pieces)?;
            pair.game()?;
            if game % every == 0 || game == here.games {
                pair.look(game, &mut all);
            }
        }
        Ok(all)
    }
}

impl OnPair<'_> {
    fn ours(&self, lane: usize) -> Thrown<'_> {
        let (ball, meant) = self.playing[lane];
        Thrown { lane, ball: &self.setting.seat.balls[ball], meant, other_hand: false }
    }

    /// Games of others on the same oil, then everybody's practice.
    fn before(&mut self) -> Result<(), Failure> {
        let here = &self.setting.event.pairs[self.setting.pair];
        let mut belief = self.belief.clone();
        let mut throws = Vec::new();
        for frame in 0..here.games_before as usize * FRAMES {
            throws.extend(self.of_others(frame));
        }
        for lane in 0..2 {
            for _ in 0..self.setting.event.practice_shots {
                throws.push(self.ours(lane));
                throws.extend(self.others.iter().filter_map(|other| other.on(lane)));
            }
        }
        belief.thrown_all(&throws)?;
        self.belief = belief;
        Ok(())
    }

    /// What the others throw in a frame: neighbours in the order stand on different lanes.
    fn of_others(&self, frame: usize) -> impl Iterator<Item = Thrown<'_>> {
        self.others.iter().enumerate().filter_map(move |(k, other)| other.on((frame + k + 1) % 2))
    }

    /// A game of everybody: first balls alone, as the card counts them.
    fn game(&mut self) -> Result<(), Failure> {
        let mut belief = self.belief.clone();
        let throws = (0..FRAMES).flat_map(|frame| std::iter::once(self.ours(frame % 2)).chain(self.of_others(frame)));
        belief.thrown_all(&throws.collect::<Vec<_>>())?;
        self.belief = belief;
        Ok(())
    }

    fn look(&mut self, games: u32, all: &mut Ahead) {
        for lane in 0..2 {
            let (stage, showing) = self.look_at(lane, games);
            all.stages[lane].push(stage);
            all.showings.push(showing);
        }
    }

    fn look_at(&mut self, lane: usize, games: u32) -> (Stage, Showing) {
        let (ball, release) = self.playing[lane];
        let own = &self.setting.seat.bowler.release;
        let mut known = self.known[lane].clone();
        known.retain(|(other, _)| *other != ball);
        known.insert(0, (ball, release));
        let lines = self.belief.promising(lane, &known, PROMISING, self.carry);
        // As a bowler can mean it: what the record would keep of the line.
        let as_meant = |line: &Release| LineMeant::of(line).release(own);
        let tops = lines.iter().map(|(ball, line)| (*ball, as_meant(line)));
        let weighed: Vec<(usize, Release)> = std::iter::once((ball, release)).chain(tops).collect();
        let forecasts = self.belief.forecasts(lane, &weighed, self.carry);
        let mut strikes = weighed.into_iter().zip(forecasts).map(|((ball, line), one)| (ball, line, one.strike));
        let stay = strikes.next().map(|(.., strike)| strike).unwrap_or_default();
        let tops: Vec<(usize, Release, Estimate)> = strikes.collect();
        let gain = |(one, _, strike): &(usize, Release, Estimate)| {
            strike.mean - stay.mean - if *one == ball { WORTH_A_MOVE } else { WORTH_A_BALL }
        };
        let best = tops.iter().filter(|one| gain(one) > 0.0).max_by(|a, b| gain(a).total_cmp(&gain(b)));
        let (next, line, strike) = best.copied().unwrap_or((ball, release, stay));
        let moved = Move::between(&release, &line);
        for (ball, line, _) in &tops {
            known.retain(|(other, _)| other != ball);
            known.push((*ball, *line));
        }
        self.known[lane] = known;
        self.playing[lane] = (next, line);
        let now = self.belief.lane(lane, &boardwise_search::World::AS_SAID);
        let changes = next != ball || moved != Move::STAY;
        let stage = Stage { games, ball: next, release: line, moved, changes, strike, stay, now };
        let mut strikes: Vec<(usize, f64)> = tops.iter().map(|(ball, _, strike)| (*ball, strike.mean)).collect();
        if !strikes.iter().any(|(one, _)| *one == ball) {
            strikes.push((ball, stay.mean));
        }
        (stage, Showing { lane, games, strikes })
    }
}
