//! One run of a block after another: everybody throws in turn and the lanes change under them.

use super::plan::{BlockError, BlockPlan, Seat};
use crate::moves::pointed;
use crate::near::Look;
use crate::unknowns::spread_over;
use crate::{Bowler, Conditions, Hit, Line, Move, Payoff, Progress, Search, Site, Strikes, World};
use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Finish, Lane, Path, Release};
use boardwise_pins::carry::Carry;
use boardwise_score::{Pin, PinSet};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Feet, Hand, INCH_M, Microlitres, court};
use rayon::prelude::*;
use std::sync::atomic::{AtomicU32, Ordering};

/// A move that gains less of the strikes is not worth making: the throws behind a look cannot tell less apart.
const WORTH_A_MOVE: f64 = 0.02;
/// A change of ball that gains less is not worth making.
const WORTH_A_BALL: f64 = 0.03;
/// Throws behind what a stage states, and the worlds they are spread over.
const STATED_THROWS: u32 = 512;
const STATED_WORLDS: usize = 16;
/// Frames of a game.
pub(super) const FRAMES: u32 = 10;

/// What a ball can do at a stage.
#[derive(Clone, Debug, PartialEq)]
pub struct BallForm {
    /// Its place among our balls.
    pub ball: usize,
    /// Its best line.
    pub line: Line,
}

/// One lane at a stage, after our look at it.
#[derive(Clone, Debug, PartialEq)]
pub struct LaneStage {
    /// The lane as it is, from our hand's side.
    pub lane: Lane,
    /// The ball we go on with, by its place.
    pub ball: usize,
    /// The line we go on with.
    pub line: Line,
    /// The move from the line we were on.
    pub moved: Move,
    /// Strikes if we stay, 0 to 1.
    pub stay: f64,
    /// Strikes on the line and with the ball of the fresh lane, 0 to 1.
    pub first: f64,
    /// Each of our balls at its own best line that has any strikes; only where whole games end.
    pub balls: Vec<BallForm>,
}

/// The pair at some moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// Frames that everybody has bowled; stage 0 is the pair with fresh oil.
    pub frames: u32,
    /// Whether what others bowled before us, and practice, is over.
    pub practised: bool,
    /// Both lanes.
    pub lanes: [LaneStage; 2],
}

/// One run of a block.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Fresh, after practice, then look by look.
    pub stages: Vec<Stage>,
    /// Throws that wore the lanes.
    pub throws: u64,
    /// Oil that left the two lanes with the balls.
    pub taken: Microlitres,
}

/// A forecast: the same block several times, each with other throws.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// The runs, in order.
    pub runs: Vec<Run>,
}

/// Forecasts a block.
///
/// # Errors
/// If the plan cannot be bowled ([`BlockPlan::check`]), or `progress` is cancelled.
pub fn forecast_block(plan: &BlockPlan, carry: &Carry, progress: &Progress) -> Result<Block, BlockError> {
    plan.check()?;
    let done = AtomicU32::new(0);
    let frames = plan.games * FRAMES;
    let whole = f64::from(plan.runs * frames);
    let started = starts(plan, carry, progress)?;
    let runs = (0..plan.runs).into_par_iter().map(|index| {
        let mut pair = OnPair::new(plan, carry, &started, index, progress);
        let mut stages = vec![pair.look(0, false, true)?];
        pair.bowled_before()?;
        if plan.practice_shots + plan.games_before > 0 {
            pair.practise()?;
            stages.push(pair.look(0, true, true)?);
        }
        for frame in 0..frames {
            pair.frame(frame)?;
            let bowled = frame + 1;
            let game_over = bowled % FRAMES == 0;
            if bowled % plan.frames_a_look == 0 || game_over {
                stages.push(pair.look(bowled, true, game_over)?);
            }
            progress.report(f64::from(done.fetch_add(1, Ordering::Relaxed) + 1), whole)?;
        }
        Ok(Run { stages, throws: pair.throws, taken: pair.taken })
    });
    Ok(Block { runs: runs.collect::<Result<_, BlockError>>()? })
}

/// What the bowlers leave of the pair: as a right-hander sees it, fresh and after each game. Nobody looks for a line anew;
/// ours adapts as the others do.
///
/// # Errors
/// As [`forecast_block`].
pub fn traffic(plan: &BlockPlan, carry: &Carry, run: u32, progress: &Progress) -> Result<Vec<[Lane; 2]>, BlockError> {
    plan.check()?;
    let started = starts(plan, carry, progress)?;
    let mut pair = OnPair::new(plan, carry, &started, run, progress);
    pair.ours_adapts = true;
    pair.bowled_before()?;
    let mut left = vec![pair.lanes.clone()];
    pair.practise()?;
    for frame in 0..plan.games * FRAMES {
        pair.frame(frame)?;
        if (frame + 1) % FRAMES == 0 {
            left.push(pair.lanes.clone());
        }
    }
    Ok(left)
}

/// The worlds in which our lines are looked for: some of those that every answer is given over.
fn worlds(plan: &BlockPlan) -> Vec<World> {
    let all = plan.unknowns.worlds(plan.seed);
    let count = STATED_WORLDS.min(all.len());
    spread_over(count, all.len()).map(|place| all[place]).collect()
}

/// How hard a block looks for a line.
fn search(plan: &BlockPlan) -> Search {
    Search { seed: plan.seed, throws_a_line: STATED_THROWS, ..Search::default() }
}

/// What somebody plays on each lane: the ball's place and the release.
type Playing = [(usize, Release); 2];

/// The best line of each ball looked at, by its place.
type Forms = Vec<Option<Line>>;

/// What a bowler starts with on the fresh lanes.
struct Start {
    playing: Playing,
    forms: [Forms; 2],
}

/// What everybody starts with, in the order of the seats.
fn starts(plan: &BlockPlan, carry: &Carry, progress: &Progress) -> Result<Vec<Start>, BlockError> {
    let worlds = worlds(plan);
    let all = plan
        .seats
        .par_iter()
        .enumerate()
        .map(|(index, seat)| {
            // The others find their line as the lane is said to be, and adapt.
            let (ours, known) = (index == plan.ours, [World::AS_SAID]);
            let worlds = if ours { &worlds[..] } else { &known };
            let left = start(plan, carry, seat, ours, (0, worlds), progress)?;
            let alike = plan.pair[0] == plan.pair[1] && !ours;
            let right = if alike { left.clone() } else { start(plan, carry, seat, ours, (1, worlds), progress)? };
            Ok(Start { playing: [left.0, right.0], forms: [left.1, right.1] })
        })
        .collect::<Result<Vec<Start>, BlockError>>()?;
    for (_, release) in all.iter().flat_map(|start| start.playing) {
        release.check()?;
    }
    Ok(all)
}

/// What a bowler starts with on a lane, and the best line of each ball looked at: all of ours, the first ball of others.
fn start(
    plan: &BlockPlan,
    carry: &Carry,
    seat: &Seat,
    ours: bool,
    (number, worlds): (usize, &[World]),
    progress: &Progress,
) -> Result<((usize, Release), Forms), BlockError> {
    let lane = plan.pair[number].seen_by(seat.bowler.hand);
    let look_at = |ball: usize| {
        let payoff = Strikes::new(carry, &seat.balls[ball], seat.bowler.hand, plan.pocket);
        let site = Site { lane: number, fresh: &lane, now: &lane, ball: &seat.balls[ball], place: ball };
        let conditions = Conditions::new(&site, worlds, &ContactLaw::default());
        let look = Look::new(&conditions, &seat.bowler, &payoff, &search(plan));
        match seat.line {
            Some(line) if seat.starts_with.unwrap_or(0) == ball => Some(look.at(&line)),
            _ => look.anywhere(),
        }
    };
    let starts_with = seat.starts_with.or((!ours).then_some(0));
    let looked = |ball: usize| ours || starts_with == Some(ball);
    let form = |ball: usize| {
        progress.go_on()?;
        Ok(looked(ball).then(|| look_at(ball)).flatten())
    };
    let forms: Forms = (0..seat.balls.len()).into_par_iter().map(form).collect::<Result<_, BlockError>>()?;
    let worth = |ball: usize| forms[ball].as_ref().map_or(0.0, |line| line.worth);
    let ball = starts_with
        .unwrap_or_else(|| (0..seat.balls.len()).max_by(|&a, &b| worth(a).total_cmp(&worth(b))).unwrap_or_default());
    // Where nothing strikes at all the bowler's own release has to do.
    let release = forms[ball].as_ref().map_or(seat.bowler.release, |line| line.release);
    Ok(((ball, release), forms))
}

/// The pair in the middle of a run.
struct OnPair<'a> {
    plan: &'a BlockPlan,
    carry: &'a Carry,
    run: u32,
    progress: &'a Progress,
    /// As a right-hander sees them.
    lanes: [Lane; 2],
    playing: Vec<Playing>,
    first: Playing,
    /// Everybody's last first ball on each lane.
    last_hit: Vec<[Option<Hit>; 2]>,
    /// Each of our balls' best line as last known, by lane.
    forms: [Forms; 2],
    ours_adapts: bool,
    worlds: Vec<World>,
    throws: u64,
    taken: Microlitres,
}

impl<'a> OnPair<'a> {
    fn new(plan: &'a BlockPlan, carry: &'a Carry, started: &[Start], run: u32, progress: &'a Progress) -> Self {
        Self {
            plan,
            carry,
            run,
            progress,
            lanes: plan.pair.clone(),
            playing: started.iter().map(|start| start.playing).collect(),
            first: started[plan.ours].playing,
            last_hit: vec![[None; 2]; plan.seats.len()],
            forms: started[plan.ours].forms.clone(),
            ours_adapts: false,
            worlds: worlds(plan),
            throws: 0,
            taken: Microlitres(0.0),
        }
    }

    /// What the others bowled before we came.
    fn bowled_before(&mut self) -> Result<(), BlockError> {
        let ours = self.plan.ours;
        (0..self.plan.games_before * FRAMES).try_for_each(|frame| self.frame_of(frame, |seat| seat != ours))
    }

    /// Everybody's practice: first balls at full racks, lane after lane.
    fn practise(&mut self) -> Result<(), BlockError> {
        for _ in 0..self.plan.practice_shots {
            self.progress.go_on()?;
            for seat in 0..self.plan.seats.len() {
                for lane in 0..2 {
                    self.first_ball(seat, lane)?;
                }
            }
        }
        Ok(())
    }

    /// One frame of everybody. Neighbours in the order stand on different lanes, and everybody changes lanes after it.
    fn frame(&mut self, frame: u32) -> Result<(), BlockError> {
        self.frame_of(frame, |_| true)
    }

    fn frame_of(&mut self, frame: u32, bowls: impl Fn(usize) -> bool) -> Result<(), BlockError> {
        self.progress.go_on()?;
        for seat in (0..self.plan.seats.len()).filter(|&seat| bowls(seat)) {
            let lane = (frame as usize + seat) % 2;
            let left = self.first_ball(seat, lane)?;
            if frame % FRAMES + 1 < FRAMES {
                self.second_ball(seat, lane, left)?;
                continue;
            }
            // The tenth: two more balls after a strike, one after a spare; whether a spare is made is not thrown here but taken as yes.
            if left.is_empty() {
                let next = self.first_ball(seat, lane)?;
                if next.is_empty() {
                    self.first_ball(seat, lane)?;
                } else {
                    self.second_ball(seat, lane, next)?;
                }
            } else {
                self.second_ball(seat, lane, left)?;
                self.first_ball(seat, lane)?;
            }
        }
        Ok(())
    }

    /// A first ball: wears the lane; the bowler may adapt. What it leaves.
    fn first_ball(&mut self, seat: usize, lane: usize) -> Result<PinSet, BlockError> {
        let who = &self.plan.seats[seat];
        let (ball, meant) = self.playing[seat][lane];
        let ball = &who.balls[ball];
        let (path, mut stream) = self.throw(&who.bowler, ball, &meant, lane)?;
        let finish = Finish::from(&path);
        let strikes = Strikes::new(self.carry, ball, who.bowler.hand, self.plan.pocket);
        let hit = strikes.hit(&finish);
        let wrong = !matches!(hit, Hit::Pocket | Hit::Gutter);
        if wrong && self.last_hit[seat][lane] == Some(hit) && (seat != self.plan.ours || self.ours_adapts) {
            self.playing[seat][lane].1 = Move::usual(hit).of(&meant);
            self.last_hit[seat][lane] = None;
        } else {
            self.last_hit[seat][lane] = Some(hit);
        }
        let left = strikes.leaves_of(&[finish.touch.filter(|_| finish.gutter.is_none())]);
        Ok(left.drawn(stream.uniform()))
    }

    /// A second ball at what stands: straight across, pointed at the middle of it; its hook is left out of the aim.
    fn second_ball(&mut self, seat: usize, lane: usize, standing: PinSet) -> Result<(), BlockError> {
        let who = &self.plan.seats[seat];
        let (Some(ball), false) = (&who.spare_ball, standing.is_empty()) else { return Ok(()) };
        let standing = standing.for_hand(who.bowler.hand);
        let boards: Vec<f64> = standing.iter().map(board_of).collect();
        let target = boards.iter().sum::<f64>() / boards.len() as f64;
        // From the other side: as far from the middle as half the pins are.
        let laydown = Board(20.0 - 0.5 * (target - 20.0));
        let own = who.bowler.at_spares().release;
        let meant = pointed(&own, laydown, Board(target), Feet(60.0));
        self.throw(&who.bowler, ball, &meant, lane).map(|_| ())
    }

    /// Throws and wears; the stream goes on to what the pins do.
    fn throw(&mut self, who: &Bowler, ball: &Ball, meant: &Release, lane: usize) -> Result<(Path, Stream), BlockError> {
        let mut stream = Stream::keyed(self.plan.seed, "block throws", u64::from(self.run) << 32 | self.throws);
        self.throws += 1;
        let off: [f64; 6] = core::array::from_fn(|_| stream.normal());
        let release = kept_possible(who.spread.apply(meant, &off));
        let law = ContactLaw::default();
        let (path, taken) = if who.hand == Hand::Left {
            let mut mirror = self.lanes[lane].mirrored();
            let worn = mirror.wear(ball, &release, &law)?;
            self.lanes[lane] = mirror.mirrored();
            worn
        } else {
            self.lanes[lane].wear(ball, &release, &law)?
        };
        self.taken.0 += taken.on_cover.0 + taken.soaked.0;
        Ok((path, stream))
    }

    /// Our look at both lanes.
    fn look(&mut self, frames: u32, practised: bool, all_balls: bool) -> Result<Stage, BlockError> {
        Ok(Stage { frames, practised, lanes: [self.look_at(0, all_balls)?, self.look_at(1, all_balls)?] })
    }

    fn look_at(&mut self, lane: usize, all_balls: bool) -> Result<LaneStage, BlockError> {
        self.progress.go_on()?;
        let seat = self.plan.our_seat();
        let now = self.lanes[lane].seen_by(seat.bowler.hand);
        let search = search(self.plan);
        let fresh = self.plan.pair[lane].seen_by(seat.bowler.hand);
        let strikes = |ball: usize| Strikes::new(self.carry, &seat.balls[ball], seat.bowler.hand, self.plan.pocket);
        let conditions = |ball: usize| {
            let site = Site { lane, fresh: &fresh, now: &now, ball: &seat.balls[ball], place: ball };
            Conditions::new(&site, &self.worlds, &ContactLaw::default())
        };
        let (ball, release) = self.playing[self.plan.ours][lane];
        let in_hand = conditions(ball);
        let stay = Look::new(&in_hand, &seat.bowler, &strikes(ball), &search).at(&release);
        let (first_ball, first_release) = self.first[lane];
        let first = if first_ball == ball {
            Look::new(&in_hand, &seat.bowler, &strikes(ball), &search).at(&first_release).worth
        } else {
            Look::new(&conditions(first_ball), &seat.bowler, &strikes(first_ball), &search).at(&first_release).worth
        };
        // Every look finds the present ball's line anew; the other balls' only where a game ends.
        let asked: Vec<usize> = (0..seat.balls.len()).filter(|&one| one == ball || all_balls).collect();
        let known = |one: usize| {
            let mut known: Vec<Release> = self.forms[lane][one].iter().map(|line| line.release).collect();
            if one == ball {
                known.insert(0, release);
            }
            known
        };
        let look = |one: usize| {
            let payoff = strikes(one);
            let other = (one != ball).then(|| conditions(one));
            let look = Look::new(other.as_ref().unwrap_or(&in_hand), &seat.bowler, &payoff, &search);
            let known = known(one);
            let line = if known.is_empty() { look.anywhere() } else { look.near(&known) };
            line.map(|line| BallForm { ball: one, line })
        };
        let found: Vec<BallForm> = asked.into_par_iter().filter_map(look).collect();
        let stay_worth = stay.worth;
        let price = |one: usize| if one == ball { WORTH_A_MOVE } else { WORTH_A_BALL };
        let gain = |form: &BallForm| form.line.worth - stay_worth - price(form.ball);
        let best = found.iter().filter(|form| gain(form) > 0.0).max_by(|a, b| gain(a).total_cmp(&gain(b)));
        let (ball, line) = best.map_or((ball, stay), |form| (form.ball, form.line.clone()));
        for form in &found {
            self.forms[lane][form.ball] = Some(form.line.clone());
        }
        self.playing[self.plan.ours][lane] = (ball, line.release);
        let moved = Move::between(&release, &line.release);
        let balls = if all_balls { found } else { Vec::new() };
        Ok(LaneStage { lane: now, ball, line, moved, stay: stay_worth, first, balls })
    }
}

/// A stray throw still starts on the lane.
fn kept_possible(release: Release) -> Release {
    Release { laydown: Board(release.laydown.0.clamp(0.5, 39.5)), ..release }
}

/// The board a pin stands on, from the hand's side.
fn board_of(pin: Pin) -> f64 {
    let (x_in, _) = court::PIN_SPOTS_IN[usize::from(pin.number()) - 1];
    Board::from_metres(x_in * INCH_M).0
}
