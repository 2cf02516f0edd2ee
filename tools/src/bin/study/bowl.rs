//! A block bowled.

use crate::policy::{Player, Policy};
use crate::typical::CARRY;
use crate::world::Hidden;
use boardwise_ball::Ball;
use boardwise_belief::{Noticed, Seen};
use boardwise_lane::{Finish, Lane, Release, Runway};
use boardwise_score::{Game, Leave, PinSet, Roll, Scoring};
use boardwise_search::{FirstBall, GameScore, Hit, Payoff, Pocket, Spread, Strikes, Throw, came_in};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Feet};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::LazyLock;

const GAMES: usize = 3;
const PRACTICE: u64 = 6;

/// Deviations behind a true chance: the same for all policies, and even. A few random ones would favour some lines.
static EVEN: LazyLock<Vec<[f64; 6]>> = LazyLock::new(|| Spread::points(256, 3));

/// What came of a block by one policy.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub struct Tally {
    scores: Vec<f64>,
    /// Mean score of games of such first balls, over the luck of single shots.
    expected: f64,
    struck: (u32, u32),
    /// How often something was changed before a first ball.
    #[serde(default)]
    pub changed: u32,
    /// True chance of a strike of each shot as meant, over the bowler's spread.
    chances: Vec<f64>,
    /// What the belief said of a strike, and whether it was one.
    pub predicted: Vec<(f64, bool)>,
    /// How far truth was from the belief's mean at the end, in its standard deviations.
    pub off: Vec<(String, f64)>,
}

impl Tally {
    pub fn mean_score(&self) -> f64 {
        self.scores.iter().sum::<f64>() / self.scores.len() as f64
    }
    pub fn expected(&self) -> f64 {
        self.expected
    }
    /// Mean true chance of a strike of what was meant: free of the luck of single shots.
    pub fn chance(&self) -> f64 {
        self.chances.iter().sum::<f64>() / self.chances.len() as f64
    }
    /// First balls that counted.
    pub fn shots(&self) -> u32 {
        self.struck.1
    }
    pub fn strikes(&self) -> f64 {
        f64::from(self.struck.0) / f64::from(self.struck.1)
    }
}

pub fn bowl(world: &Hidden, policy: Policy) -> Tally {
    let mut block = Bowled {
        world,
        player: Player::new(world, policy),
        lanes: world.lanes.clone(),
        told: Tally {
            scores: Vec::new(),
            expected: 0.0,
            struck: (0, 0),
            changed: 0,
            chances: Vec::new(),
            predicted: Vec::new(),
            off: Vec::new(),
        },
        shot: 0,
        leaves: BTreeMap::new(),
    };
    for k in 0..PRACTICE {
        for lane in 0..2 {
            block.first_ball(lane, k == 3, None);
            block.everybody_else(lane);
        }
    }
    for game in 0..GAMES {
        // Draws go by frame, so that every policy meets the same ones.
        let mut score = Game::new(Scoring::Traditional);
        while let Some((frame, _)) = score.up_next() {
            block.shot = 1000 * (game as u64 + 1) + 10 * u64::from(frame) + score.rolls().len() as u64 % 10;
            let lane = usize::from(frame) % 2;
            let full = score.deck().is_some_and(|deck| deck == boardwise_score::Deck::Pins(PinSet::ALL));
            let roll = if full {
                let left = block.first_ball(lane, frame <= 2, Some(frame));
                block.told.struck.1 += 1;
                block.told.struck.0 += u32::from(left.is_empty());
                Roll::Standing(left)
            } else {
                block.second_ball(&score)
            };
            score.push(roll).expect("a ball that can be");
            if full {
                block.everybody_else(lane);
            }
        }
        block.told.scores.push(f64::from(score.score()));
    }
    block.compare();
    block.told.expected = block.expected_game();
    block.told
}

struct Bowled<'a> {
    world: &'a Hidden,
    player: Player<'a>,
    lanes: [Lane; 2],
    told: Tally,
    shot: u64,
    /// Shares of what the first balls that count leave in truth, added up.
    leaves: BTreeMap<PinSet, f64>,
}

impl Bowled<'_> {
    /// In a frame, or in practice.
    fn first_ball(&mut self, lane: usize, fresh_look: bool, frame: Option<u8>) -> PinSet {
        let counts = frame.is_some();
        let before = self.player.playing[lane];
        self.player.before(lane, fresh_look, frame, &self.lanes);
        if counts {
            self.told.changed += u32::from(self.player.playing[lane] != before);
        }
        let (ball, meant) = self.player.playing[lane];
        if let Some(belief) = self.player.belief.as_ref().filter(|_| counts) {
            let chance = belief.strike(lane, ball, &meant, &CARRY).mean;
            self.told.predicted.push((chance, false));
        }
        if counts {
            let chance = self.true_first_ball(lane, ball, &meant);
            self.told.chances.push(chance);
        }
        self.shot += 1;
        let mut draw = Stream::keyed(100 + self.world.index, "study shot", 2 * self.shot + lane as u64);
        let off: [f64; 6] = core::array::from_fn(|_| draw.normal());
        let release = self.strayed(&meant, &off);
        let thrown = self.world.true_ball(ball, lane);
        let (path, _) = self.lanes[lane].wear(&thrown, &release, &self.world.law).expect("possible");
        let finish = Finish::from(&path);
        let strikes = Strikes::new(&CARRY, &thrown, self.world.bowler.hand, Pocket::default());
        let mut hit = strikes.hit(&finish);
        // The pins are those of one set of constants, unknown to the policies.
        let thrown = Throw { finish, world: 0, pins: self.world.truth.pins() };
        let left = strikes.first_ball(&[thrown]).expect("strikes know what is left");
        let standing = left.drawn(draw.uniform());
        if draw.uniform() < 0.1 {
            hit = [Hit::Pocket, Hit::High, Hit::Light][(draw.uniform() * 3.0) as usize % 3];
        }
        if counts && let Some(last) = self.told.predicted.last_mut() {
            last.1 = standing.is_empty();
        }
        self.player.after(&Seen {
            lane,
            ball,
            meant,
            standing,
            noticed: Noticed { hit: Some(hit), ..Noticed::default() },
        });
        standing
    }

    /// The board a good throw of a line comes in on, in truth.
    fn comes_in(&self, lane: usize, ball: usize, meant: &Release) -> f64 {
        let thrown = self.world.true_ball(ball, lane);
        let mut boards: Vec<f64> = self.evenly(lane, &thrown, meant).iter().map(came_in).collect();
        boards.sort_by(f64::total_cmp);
        boards[boards.len() / 2]
    }

    /// What a first ball leaves in truth, over the bowler's spread; what it leaves counts toward the expected game.
    fn true_first_ball(&mut self, lane: usize, ball: usize, meant: &Release) -> f64 {
        let thrown = self.world.true_ball(ball, lane);
        let strikes = Strikes::new(&CARRY, &thrown, self.world.bowler.hand, Pocket::default());
        let pins = self.world.truth.pins();
        let finishes = self.evenly(lane, &thrown, meant);
        let throws: Vec<Throw> = finishes.into_iter().map(|finish| Throw { finish, world: 0, pins }).collect();
        let first = strikes.first_ball(&throws).expect("strikes know what is left");
        *self.leaves.entry(PinSet::NONE).or_default() += first.strike;
        for one in &first.leaves {
            *self.leaves.entry(one.leave.pins()).or_default() += one.share;
        }
        first.strike
    }

    /// The mean score of games of first balls as they were, in truth: free of the luck of single shots.
    fn expected_game(&self) -> f64 {
        let count = self.told.chances.len().max(1) as f64;
        let shares = self.leaves.iter().map(|(pins, sum)| (*pins, sum / count));
        let second = |leave| self.world.seconds.get(&leave).copied().unwrap_or_default();
        GameScore::of(&FirstBall::new(shares, 0.0, 0.0), second).expect("chances").mean
    }

    /// Even throws of what is meant, on a lane as it really is now.
    fn evenly(&self, lane: usize, thrown: &Ball, meant: &Release) -> Vec<Finish> {
        let releases: Vec<Release> = EVEN.iter().map(|off| self.strayed(meant, off)).collect();
        Runway::new(&self.lanes[lane], thrown, &self.world.law).throw_many(&releases)
    }

    /// Today's throw when this is meant.
    fn strayed(&self, meant: &Release, off: &[f64; 6]) -> Release {
        let wider = self.world.truth.spread();
        let release = self.world.bowler.spread.apply(&self.world.truth.today(meant), &off.map(|z| wider * z));
        Release { laydown: Board(release.laydown.0.clamp(0.5, 39.5)), ..release }
    }

    fn second_ball(&self, score: &Game) -> Roll {
        let Some(boardwise_score::Deck::Pins(standing)) = score.deck() else { return Roll::Down(0) };
        let Ok(leave) = Leave::new(standing) else { return Roll::Down(0) };
        let second = self.world.seconds.get(&leave).copied().unwrap_or_default();
        let mut draw = Stream::keyed(100 + self.world.index, "study spare", self.shot);
        if draw.uniform() < second.make {
            return Roll::Standing(PinSet::NONE);
        }
        let most = f64::from(standing.len()) - 1.0;
        let missed = ((second.down - second.make * (most + 1.0)) / (1.0 - second.make).max(1e-9)).clamp(0.0, most);
        Roll::Down((missed + draw.uniform()).floor().min(most) as u8)
    }

    /// The others' balls after ours.
    fn everybody_else(&mut self, lane: usize) {
        for (k, (ball, meant)) in self.world.others.iter().enumerate() {
            let mut draw = Stream::keyed(100 + self.world.index, "study others", 10 * self.shot + k as u64);
            let release = Release {
                laydown: Board(meant.laydown.0 + 0.6 * draw.normal()),
                launch: boardwise_units::Degrees(meant.launch.0 + 0.22 * draw.normal()),
                ..*meant
            };
            self.lanes[lane].wear(ball, &release, &self.world.law).expect("possible");
            self.player.others(lane, ball, meant);
        }
    }

    /// The belief at the end against the truth.
    fn compare(&mut self) {
        let Some(belief) = &self.player.belief else { return };
        let truth = &self.world.truth;
        let comes_in = [0, 1].map(|lane| {
            let (ball, meant) = self.player.playing[lane];
            (belief.comes_in(lane, ball, &meant), self.comes_in(lane, ball, &meant))
        });
        let mut off = |name: &str, told: boardwise_belief::Estimate, is: f64| {
            if told.sd > 0.0 {
                self.told.off.push((name.to_owned(), (is - told.mean) / told.sd));
            }
        };
        for (lane, (believed, is)) in comes_in.into_iter().enumerate() {
            off("friction", belief.estimate(|guess| guess.friction(lane).ln()), truth.friction(lane).ln());
            // Fresh oil over what the pattern says, as it really lies there: its length and its walls are off too.
            let (board, down_lane) = (Board(8.0), Feet(0.6 * self.world.told.pattern_end().map_or(40.0, |end| end.0)));
            let film = |lane: &Lane, board: Board, feet: Feet| {
                lane.film().map_or(0.0, |film| film.thickness_m.at(board.to_metres(), feet.to_metres()))
            };
            let (heads, at) = (Feet(8.0), Board(12.0));
            let fresh = |board, feet| film(&self.world.lanes[lane], board, feet) / film(&self.world.told, board, feet);
            off("oil in the heads", belief.estimate(|g| g.oil(lane, at.0, heads.0).ln()), fresh(at, heads).ln());
            off(
                "oil down lane",
                belief.estimate(|g| g.oil(lane, board.0, down_lane.0).ln()),
                fresh(board, down_lane).ln(),
            );
            // What the card speaks of: oil that is left.
            let left = film(&self.lanes[lane], at, heads) / film(&self.world.told, at, heads);
            off("oil left in the heads", belief.oil_left(lane, at, heads).unwrap_or_default(), left);
            off("where the line comes in", believed, is);
            off("tilt", belief.estimate(|guess| guess.tilt(lane)), truth.tilt(lane));
        }
        let meant = Release::default();
        off("speed", belief.estimate(|guess| guess.today(&meant).speed.0), truth.today(&meant).speed.0);
        off("launch", belief.estimate(|guess| guess.today(&meant).launch.0), truth.today(&meant).launch.0);
        off("spread", belief.estimate(|guess| guess.spread().ln()), truth.spread().ln());
    }
}
