//! What to do between shots.

use crate::typical::{CARRY, wider};
use crate::world::Hidden;
use boardwise_belief::{Belief, Patience, Seen, Situation, Terms, Thrown, advise_on};
use boardwise_lane::{Lane, Release};
use boardwise_search::{Bowler, Hit, Move, Unknowns};
use serde::{Deserialize, Serialize};

#[derive(Clone, Copy, Debug, Deserialize, Eq, Ord, PartialEq, PartialOrd, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Policy {
    /// The first line to the end.
    Never,
    /// Two and one in from a high hit, out from a light one.
    Usual,
    /// The belief and its advice.
    Ours,
    /// The same without patience: a change whenever its gain is clear.
    Hasty,
    /// The same without a look ahead: only the next ball counts.
    Near,
    /// The lane known.
    Known,
}

impl Policy {
    pub const ALL: [Self; 6] = [Self::Never, Self::Usual, Self::Ours, Self::Hasty, Self::Near, Self::Known];

    pub fn name(self) -> &'static str {
        match self {
            Self::Never => "never move",
            Self::Usual => "usual 2 and 1",
            Self::Ours => "ours",
            Self::Hasty => "ours, no patience",
            Self::Near => "ours, next ball alone",
            Self::Known => "lane known",
        }
    }

    /// Whether the belief and its advice decide.
    pub fn is_advised(self) -> bool {
        matches!(self, Self::Ours | Self::Hasty | Self::Near)
    }
}

/// A policy at work on a pair.
pub struct Player<'a> {
    world: &'a Hidden,
    policy: Policy,
    /// What is meant on each lane.
    pub playing: [(usize, Release); 2],
    pub belief: Option<Belief>,
    /// First balls so far.
    seen: Vec<Seen>,
}

impl<'a> Player<'a> {
    pub fn new(world: &'a Hidden, policy: Policy) -> Self {
        let pair = [world.told.clone(), world.told.clone()];
        let belief = policy
            .is_advised()
            .then(|| Belief::new(pair, world.bowler.clone(), world.balls.clone(), &Unknowns::default(), world.index));
        Self { world, policy, playing: world.start, belief, seen: Vec::new() }
    }

    /// Before a shot. `fresh_look` is where a game begins: other balls are looked at too. The frame is none
    /// in practice.
    pub fn before(&mut self, lane: usize, fresh_look: bool, frame: Option<u8>, truth: &[Lane; 2]) {
        match self.policy {
            Policy::Ours => self.follow_advice(lane, fresh_look, frame, Patience::default()),
            Policy::Hasty => self.follow_advice(lane, fresh_look, frame, Patience::NONE),
            Policy::Near => self.follow_advice(lane, fresh_look, None, Patience::default()),
            Policy::Known => self.follow_truth(lane, fresh_look, truth),
            Policy::Never | Policy::Usual => {}
        }
    }

    fn follow_advice(&mut self, lane: usize, fresh_look: bool, frame: Option<u8>, patience: Patience) {
        let Some(belief) = &self.belief else { return };
        let (ball, release) = self.playing[lane];
        let known: Vec<(usize, Release)> = (0..belief.balls().len())
            .filter(|&other| fresh_look && other != ball)
            .map(|other| (other, release))
            .collect();
        let at = Situation::new((lane, ball, release), self.seen.clone());
        let at = at.with_lines(belief, &known, &CARRY);
        let others = self.world.others.iter();
        let others: Vec<Thrown<'_>> =
            others.map(|(ball, meant)| Thrown { lane, ball, meant: *meant, other_hand: false }).collect();
        let end_of_game = frame.and_then(|frame| at.end_of_game(belief, frame, &others).expect("possible"));
        let advice = advise_on(belief, &at, &Terms { patience, end_of_game, ..Terms::default() }, &CARRY);
        if let Some(choice) = advice.advised().map(|one| one.choice) {
            self.playing[lane] = (choice.ball, choice.release);
        }
    }

    fn follow_truth(&mut self, lane: usize, fresh_look: bool, truth: &[Lane; 2]) {
        let world = self.world;
        let today = |meant: &Release| world.truth.today(meant);
        let bowler = Bowler {
            release: today(&world.bowler.release),
            spread: wider(&world.bowler.spread, world.truth.spread()),
            ..world.bowler.clone()
        };
        let balls = (0..world.balls.len()).map(|ball| world.true_ball(ball, lane)).collect();
        let known = Belief::certain(truth.clone(), bowler, balls, world.law, 5);
        let (ball, release) = self.playing[lane];
        let asked: Vec<usize> = if fresh_look { (0..world.balls.len()).collect() } else { vec![ball] };
        let stay = known.strike(lane, ball, &today(&release), &CARRY).mean;
        let best = asked
            .into_iter()
            .filter_map(|one| Some((one, known.line(lane, one, &[today(&release)], &CARRY)?)))
            .max_by(|a, b| a.1.worth.total_cmp(&b.1.worth));
        if let Some((one, line)) = best.filter(|(_, line)| line.worth > stay + 0.005) {
            // What must be meant so that today's throw is that line.
            let usual = today(&Release::default());
            let asked = Release::default();
            self.playing[lane] = (
                one,
                Release {
                    speed: boardwise_units::Mph(line.release.speed.0 - usual.speed.0 + asked.speed.0),
                    launch: boardwise_units::Degrees(line.release.launch.0 - usual.launch.0 + asked.launch.0),
                    rev_rate: boardwise_units::Rpm(line.release.rev_rate.0 - usual.rev_rate.0 + asked.rev_rate.0),
                    ..line.release
                },
            );
        }
    }

    /// After a first ball.
    pub fn after(&mut self, seen: &Seen) {
        match self.policy {
            Policy::Usual => {
                if let Some(hit) = seen.noticed.hit.filter(|hit| *hit != Hit::Pocket) {
                    self.playing[seen.lane].1 = Move::usual(hit).of(&seen.meant);
                }
            }
            Policy::Ours | Policy::Hasty | Policy::Near => {
                self.seen.push(*seen);
                if let Some(belief) = &mut self.belief {
                    belief.saw(seen, &CARRY).expect("what was thrown is possible");
                }
            }
            Policy::Never | Policy::Known => {}
        }
    }

    /// After somebody else's ball, as they meant it.
    pub fn others(&mut self, lane: usize, ball: &boardwise_ball::Ball, meant: &Release) {
        if let Some(belief) = &mut self.belief {
            belief.thrown(lane, ball, meant).expect("possible");
        }
    }
}
