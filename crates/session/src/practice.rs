//! Practice planned: which throws teach most, in which order, and what each outcome would mean.

use std::ops::RangeInclusive;

use boardwise_belief::{Belief, PracticeShot, move_in_words, plan_practice};
use boardwise_search::{Line, Progress, Seat};

use super::event::{seat, unknowns};
use super::rows::Rows;
use super::view::{Form, MeanSd, PracticeAnswer, PracticeShotView, ShiftView};
use super::{Failure, Work};
use boardwise_files::{KitEvent, KitPair};

/// What is asked of an event.
#[derive(Clone, Debug)]
pub struct Question {
    /// Throws on the pair, both lanes together; left out, twice the event's practice shots.
    pub shots: Option<u32>,
    /// Seed of everything random.
    pub seed: u64,
}

/// Throws that may be asked for.
pub const SHOTS: RangeInclusive<i64> = 1..=40;

/// What the columns say, with the cautions.
pub const NOTE: &str = "In the order that teaches most first. Target: board at the arrows. Comes in: entry board over what the lanes may be like.\n\
     Teaches: against the first throw, given those before it. If higher, if lighter: the move it asks for on that lane, from the line thrown.\n\
     Estimates and no promise. Never step past the foul line, and do not test on an approach that is wet or oily.\n";

/// Share of the work that goes into looking for lines.
const LOOKING: f64 = 0.5;

/// A plan with what it is for.
#[derive(Debug)]
pub struct Plan {
    /// The event.
    pub event: KitEvent,
    balls: Vec<String>,
    shots: Vec<PracticeShot>,
    seconds: f64,
}

impl Question {
    /// Plans the practice on the event's first pair.
    ///
    /// # Errors
    /// If it is cancelled, or the table of strikes cannot be read: a fault of the program.
    pub fn answer(&self, event: KitEvent, work: Work<'_>) -> Result<Plan, Failure> {
        let seat = seat(&event.seats[0]);
        let balls = seat.balls.iter().map(|ball| ball.id.clone()).collect();
        let (shots, seconds) = work.timed(|progress| self.shots(&event, &seat, progress))?;
        Ok(Plan { event, balls, shots, seconds })
    }

    fn shots(&self, event: &KitEvent, seat: &Seat, progress: &Progress) -> Result<Vec<PracticeShot>, Failure> {
        let pair = &event.pairs[0];
        let carry = boardwise_files::carry()?;
        let looking = progress.part(0.0, LOOKING);
        let fresh = pair.lanes.each_ref().map(|lane| lane.seen_by(seat.bowler.hand));
        let belief = Belief::new(fresh, seat.bowler.clone(), seat.balls.clone(), &unknowns(&pair.lanes), self.seed);
        let mut lines: Vec<(usize, Line)> = Vec::new();
        for ball in 0..seat.balls.len() {
            looking.report(ball as f64, seat.balls.len() as f64)?;
            lines.extend(belief.line(0, ball, &[], carry).map(|line| (ball, line)));
        }
        // Balls that may come to be played teach what matters; more than three make the practice a test of balls.
        lines.sort_by(|a, b| b.1.worth.total_cmp(&a.1.worth));
        lines.truncate(3);
        let lines: Vec<_> = lines.into_iter().map(|(ball, line)| (ball, line.release)).collect();
        let shots = self.shots.unwrap_or(2 * event.practice_shots).max(1) as usize;
        Ok(plan_practice(&belief, &[lines.clone(), lines], shots, carry, &progress.part(LOOKING, 1.0))?)
    }
}

impl Plan {
    /// The pair it is for.
    pub fn pair(&self) -> &KitPair {
        &self.event.pairs[0]
    }

    /// The answer as a view.
    pub fn view(&self) -> PracticeAnswer {
        let shots = self.shots.iter().map(|shot| PracticeShotView {
            lane: self.pair().numbers[shot.lane],
            ball: self.balls[shot.ball].clone(),
            laydown: shot.release.laydown.0,
            arrows_board: shot.aim().0,
            launch_deg: shot.release.launch.0,
            comes_in_board: MeanSd::of((shot.comes_in.mean, shot.comes_in.sd)),
            teaches_nats: shot.nats,
            if_high: shot.if_high.map(ShiftView::from),
            if_light: shot.if_light.map(ShiftView::from),
        });
        let bowler = &self.event.seats[0].bowler;
        PracticeAnswer {
            schema: Form,
            event: self.event.name.clone(),
            bowler: bowler.name.clone(),
            boards_from: bowler.hand.into(),
            shots: shots.collect(),
            seconds: self.seconds,
        }
    }

    /// The throws in order.
    pub fn rows(&self) -> Rows {
        let head = ["", "lane", "ball", "laydown", "target", "comes in", "teaches", "if higher", "if lighter"];
        let mut table = Rows::under(head, 0);
        let most = self.shots.first().map_or(1.0, |shot| shot.nats.max(1e-9));
        let meaning = |moved: Option<boardwise_search::Move>| moved.map_or_else(|| "-".to_owned(), move_in_words);
        for (k, shot) in self.shots.iter().enumerate() {
            table.cells.push(vec![
                (k + 1).to_string(),
                self.pair().numbers[shot.lane].to_string(),
                self.balls[shot.ball].clone(),
                format!("{:.1}", shot.release.laydown.0),
                format!("{:.1}", shot.aim().0),
                format!("{:.1} ± {:.1}", shot.comes_in.mean, shot.comes_in.sd),
                format!("{:.0}%", 100.0 * shot.nats / most),
                meaning(shot.if_high),
                meaning(shot.if_light),
            ]);
        }
        table
    }
}
