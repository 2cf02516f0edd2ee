//! The evening before: where to start, what a miss does, which balls to have, which moves to expect, what to throw in practice, and
//! the spares. All of it comes from one set of unknowns, the one that the first card of a block answers over: the same worlds, ball
//! and lines.

mod ahead;
#[cfg(feature = "pdf")]
pub(crate) mod paper;
mod words;

use boardwise_belief::{Belief, Estimate, PracticeShot, plan_practice};
use boardwise_figures::{Drawing, Theme, UprightLane};
use boardwise_lane::{ContactLaw, Release, throw};
use boardwise_pins::carry::Carry;
use boardwise_score::Leave;
use boardwise_search::{Conditions, Line, Move, Search, SpareGame, SpareLine};
use boardwise_units::{Mph, court};

use crate::at_lanes::begin::{LINES_SEED, Opening};
use crate::at_lanes::desk::Setting;
use crate::at_lanes::line_meant::AsRelease;
use crate::at_lanes::screen::{FINENESS, expected};
use crate::{Failure, Work};
pub use ahead::Stage;
use ahead::{Ahead, Showing};
use boardwise_files::{Fault, KitEvent, KitPair};
#[cfg(feature = "pdf")]
pub use paper::page;
pub use words::{CAUTION, half};

/// Balls to have, beside the one for spares.
const TAKE: usize = 3;
/// Practice throws that are told: nobody remembers more.
const MOST_SHOTS: u32 = 6;
/// A ball that strikes so much less than the first, 0 to 1, is not thrown in practice: it is there for later.
const WORTH_A_THROW: f64 = 0.03;
/// Leaves that are told, and how often one must come to be worth it.
const LEAVES: usize = 3;
const WORTH_A_NOTE: f64 = 0.01;
/// By how much a miss is off: boards at the target, and miles an hour.
const OFF_BOARDS: f64 = 1.0;
const OFF_MPH: f64 = 0.5;
/// Where the parts of the work end, as shares of all of it.
const FOUND: f64 = 0.3;
const LOOKED_AHEAD: f64 = 0.75;
const PLANNED: f64 = 0.9;

/// What is asked of an event.
#[derive(Clone, Debug)]
pub struct Question {
    /// Which pair, from 1 on.
    pub pair: u32,
    /// Seed of everything random.
    pub seed: u64,
}

impl Default for Question {
    fn default() -> Self {
        Self { pair: 1, seed: LINES_SEED }
    }
}

/// Where to start on a lane.
#[derive(Clone, Debug)]
pub struct Start {
    /// What to mean.
    pub release: Release,
    /// Chance of a strike over the worlds, 0 to 1.
    pub strike: Estimate,
    /// The board a good throw comes in on.
    pub comes_in: Estimate,
    /// What was found of the line; None where no line of this ball finds the pocket, and where the event states the line.
    pub line: Option<Line>,
    /// What misses do.
    pub misses: Vec<Miss>,
}

/// A miss and what it does.
#[derive(Clone, Debug)]
pub struct Miss {
    /// What was off.
    pub off: Off,
    /// Chance of a strike then.
    pub strike: Estimate,
    /// The board it comes in on.
    pub comes_in: Estimate,
}

/// What is off in a miss.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Off {
    /// A board inside the target.
    In,
    /// A board outside the target.
    Out,
    /// Faster than usual.
    Fast,
    /// Slower.
    Slow,
}

impl Off {
    const ALL: [Self; 4] = [Self::In, Self::Out, Self::Slow, Self::Fast];

    /// A release that is off so.
    fn of(self, meant: &Release) -> Release {
        let aimed = |eyes_boards| Move { feet_boards: 0.0, eyes_boards }.of(meant);
        let at = |more| Release { speed: Mph(meant.speed.0 + more), ..*meant };
        match self {
            Self::In => aimed(OFF_BOARDS),
            Self::Out => aimed(-OFF_BOARDS),
            Self::Fast => at(OFF_MPH),
            Self::Slow => at(-OFF_MPH),
        }
    }
}

/// A ball to have.
#[derive(Clone, Debug)]
pub struct Taken {
    /// Its place among the balls for full racks.
    pub ball: usize,
    /// Its line and chance of a strike on each fresh lane; None where it finds no pocket there.
    pub fresh: [Option<(Release, Estimate)>; 2],
    /// Where and when it is the best: lane, and games bowled by then.
    pub best_at: Vec<(usize, u32)>,
}

/// How to make a leave on a lane.
#[derive(Clone, Debug)]
pub struct SpareNote {
    /// Which lane; None for both.
    pub lane: Option<usize>,
    /// What stands.
    pub leave: Leave,
    /// Share of first balls that leave it, 0 to 1.
    pub share: f64,
    /// How to make it.
    pub line: SpareLine,
}

/// The brief.
pub struct Brief {
    /// The event.
    pub event: KitEvent,
    /// Which pair of it, from 0 on.
    pub pair: usize,
    /// The ball to start with, by its place among those for full racks.
    pub ball: usize,
    /// Where to start, lane by lane.
    pub starts: [Start; 2],
    /// The balls to have, the first one first.
    pub take: Vec<Taken>,
    /// The moves to expect, lane by lane, from the first look on.
    pub ahead: [Vec<Stage>; 2],
    /// The practice, in order.
    pub practice: Vec<PracticeShot>,
    /// The spares.
    pub spares: Vec<SpareNote>,
    /// Time it took.
    pub seconds: f64,
    /// The worlds on fresh lanes.
    belief: Belief,
    /// Names of the balls for full racks, with their finish.
    balls: Vec<String>,
    spare_ball: Option<String>,
}

impl Question {
    /// Works the brief out.
    ///
    /// # Errors
    /// If the event has no such pair; if it is cancelled.
    pub fn answer(&self, event: KitEvent, work: Work<'_>) -> Result<Brief, Failure> {
        let pairs = event.pairs.len();
        let pair = (self.pair as usize).wrapping_sub(1);
        if pair >= pairs {
            let allowed = format!("the event has pairs 1 to {pairs}");
            return Err(Fault::Field { field: "pair", value: self.pair.to_string(), allowed }.into());
        }
        let (brief, seconds) = work.timed(|_| self.brief(event, pair, work))?;
        Ok(Brief { seconds, ..brief })
    }

    fn brief(&self, event: KitEvent, pair: usize, work: Work<'_>) -> Result<Brief, Failure> {
        let carry = boardwise_files::carry()?;
        let setting = Setting::of(event, pair);
        let opening = Opening::find(&setting, None, self.seed)?;
        work.report(FOUND, 1.0)?;
        let seat = &setting.seat;
        let belief =
            Belief::new(setting.fresh.clone(), seat.bowler.clone(), seat.balls.clone(), &setting.unknowns, self.seed);
        let starts = [0, 1].map(|lane| start(&setting, &opening, &belief, lane, carry));
        let part = |from, to| work.progress.part(from, to);
        let (looking, planning, sparing) = (part(FOUND, LOOKED_AHEAD), part(LOOKED_AHEAD, PLANNED), part(PLANNED, 1.0));
        let Ahead { stages, showings } =
            Ahead::look(&setting, &opening, &belief, carry, Work { progress: &looking, ..work })?;
        let take = balls(&setting, &opening, &belief, &showings, carry);
        let lines = [0, 1].map(|lane| {
            let own = |one: &Taken| {
                if one.ball == opening.ball {
                    return Some((one.ball, starts[lane].release));
                }
                let good = |strike: Estimate| strike.mean > starts[lane].strike.mean - WORTH_A_THROW;
                one.fresh[lane].filter(|(_, strike)| good(*strike)).map(|(release, _)| (one.ball, release))
            };
            take.iter().filter_map(own).collect::<Vec<_>>()
        });
        let shots = (2 * setting.event.practice_shots).min(MOST_SHOTS) as usize;
        let practice = plan_practice(&belief, &lines, shots, carry, &planning)?;
        let spares = spares(&setting, &starts, self.seed, Work { progress: &sparing, ..work })?;
        let bag = &setting.event.seats[0].bag;
        let words = |id: &str| bag.get(id).map_or_else(|| id.to_owned(), |one| one.words());
        Ok(Brief {
            pair,
            ball: opening.ball,
            starts,
            take,
            ahead: stages,
            practice,
            spares,
            seconds: 0.0,
            belief,
            balls: seat.balls.iter().map(|ball| words(&ball.id)).collect(),
            spare_ball: seat.spare_ball.as_ref().map(|ball| ball.id.clone()),
            event: setting.event,
        })
    }
}

fn start(setting: &Setting, opening: &Opening, belief: &Belief, lane: usize, carry: &Carry) -> Start {
    let (ball, own) = (opening.ball, &setting.seat.bowler.release);
    let release = opening.lines[lane].release(own);
    let off = Off::ALL.map(|off| off.of(&release));
    let thrown: Vec<(usize, Release)> = std::iter::once(release).chain(off).map(|one| (ball, one)).collect();
    let mut forecasts = belief.forecasts(lane, &thrown, carry).into_iter();
    let (strike, comes_in) = forecasts.next().map(|one| (one.strike, one.comes_in)).unwrap_or_default();
    let missed = Off::ALL.into_iter().zip(forecasts);
    Start {
        release,
        strike,
        comes_in,
        line: opening.found[lane][ball].clone().filter(|_| setting.seat.line.is_none()),
        misses: missed.map(|(off, one)| Miss { off, strike: one.strike, comes_in: one.comes_in }).collect(),
    }
}

/// The balls to have: the one to start with, then whichever adds most where it is best, over all lanes and looks.
fn balls(setting: &Setting, opening: &Opening, belief: &Belief, showings: &[Showing], carry: &Carry) -> Vec<Taken> {
    let own = &setting.seat.bowler.release;
    let mut set = vec![opening.ball];
    let worth = |at: &Showing, set: &[usize]| {
        at.strikes.iter().filter(|(ball, _)| set.contains(ball)).map(|(_, worth)| *worth).fold(0.0, f64::max)
    };
    let total = |set: &[usize]| showings.iter().map(|at| worth(at, set)).sum::<f64>();
    while set.len() < TAKE.min(setting.seat.balls.len()) {
        let with = |ball: usize| total(&[set.as_slice(), &[ball]].concat());
        let rest = (0..setting.seat.balls.len()).filter(|ball| !set.contains(ball));
        // Of two that add nothing, the one that stands in best when it must.
        let alone = |ball: usize| total(&[ball]);
        let best =
            rest.max_by(|&a, &b| with(a).total_cmp(&with(b)).then(alone(a).total_cmp(&alone(b))).then(b.cmp(&a)));
        let Some(best) = best else { break };
        set.push(best);
    }
    let best_of = |at: &Showing| {
        let known = at.strikes.iter().filter(|(ball, _)| set.contains(ball));
        known.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(ball, _)| *ball)
    };
    let forms = opening.forms();
    let fresh = [0, 1].map(|lane| {
        let meant = |ball: usize| if ball == opening.ball { Some(opening.lines[lane]) } else { forms[lane][ball] };
        let lines: Vec<(usize, Release)> =
            set.iter().filter_map(|&ball| Some((ball, meant(ball)?.release(own)))).collect();
        let strikes = belief.forecasts(lane, &lines, carry).into_iter().map(|one| one.strike);
        lines.iter().copied().zip(strikes).collect::<Vec<_>>()
    });
    let of = |lane: &Vec<((usize, Release), Estimate)>, ball: usize| {
        lane.iter().find(|((one, _), _)| *one == ball).map(|((_, release), strike)| (*release, *strike))
    };
    let taken = |&ball: &usize| Taken {
        ball,
        fresh: fresh.each_ref().map(|lane| of(lane, ball)),
        best_at: showings.iter().filter(|at| best_of(at) == Some(ball)).map(|at| (at.lane, at.games)).collect(),
    };
    set.iter().map(taken).collect()
}

/// How to make what the first line leaves most, as the card will say it.
fn spares(setting: &Setting, starts: &[Start; 2], seed: u64, work: Work<'_>) -> Result<Vec<SpareNote>, Failure> {
    let seat = &setting.seat;
    let ball = seat.spare_ball.as_ref().unwrap_or(&seat.balls[0]);
    let search = Search { seed, ..Search::default() };
    let alike = setting.fresh[0] == setting.fresh[1];
    let mut notes = Vec::new();
    for lane in if alike { 0..1 } else { 0..2 } {
        let Some(first) = starts[lane].line.as_ref().and_then(|line| line.first_ball.as_ref()) else { continue };
        let conditions = Conditions::fresh(&setting.fresh[lane], ball, &setting.unknowns, seed);
        let game = SpareGame::new(boardwise_files::spares()?, conditions, ball, &seat.bowler, &search);
        let often = first.leaves.iter().filter(|one| one.share >= WORTH_A_NOTE && one.leave.pins().len() < 10);
        for (k, one) in often.take(LEAVES).enumerate() {
            work.report((lane * LEAVES + k) as f64, (2 * LEAVES) as f64)?;
            let line = game.lines(one.leave, 1).into_iter().next();
            let lane = (!alike).then_some(lane);
            notes.extend(line.map(|line| SpareNote { lane, leave: one.leave, share: one.share, line }));
        }
    }
    Ok(notes)
}

impl Brief {
    /// The pair that it is for.
    pub fn on(&self) -> &KitPair {
        &self.event.pairs[self.pair]
    }

    /// The board to slide on for a line, and the one to look at.
    fn stand_and_look(&self, release: &Release) -> (f64, f64) {
        let slide = self.event.seats[0].bowler.slide_board(release.laydown).0;
        (slide, boardwise_search::aim(release).0)
    }

    /// A ball for full racks, with its finish.
    pub fn ball_words(&self, ball: usize) -> &str {
        &self.balls[ball]
    }

    /// A lane fresh, with the line to start on, wider where it is less sure, and dotted where the lane leads at the end. Lying or
    /// upright.
    pub fn picture(&self, lane: usize, lying: bool, theme: Theme) -> Drawing {
        let start = &self.starts[lane];
        let mean = self.belief.lane(lane, &self.belief.mean_world());
        let path = |stage: &Stage| {
            let ball = &self.belief.balls()[stage.ball];
            let path = throw(&stage.now, ball, &stage.release, &ContactLaw::default(), FINENESS).ok()?;
            Some(path.rows.iter().map(|row| (row.board, row.feet)).collect::<Vec<_>>())
        };
        let last: Vec<_> = self.ahead[lane].last().and_then(path).into_iter().collect();
        let number = self.on().numbers[lane];
        let drawn = UprightLane {
            lane: &mean,
            hand: self.event.seats[0].bowler.hand,
            title: &format!("lane {number} fresh, with the line to start on; dotted, the line at the end"),
            line: &expected(&self.belief, lane, self.ball, &start.release),
            before: &[],
            shots: &last,
            travelled: &[true; court::BOARDS],
            height: UprightLane::LOW,
        };
        if lying { drawn.lying(theme) } else { drawn.draw(theme) }
    }
}
