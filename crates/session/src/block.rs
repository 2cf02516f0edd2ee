//! A block forecast: how the lanes of each pair change, the lines, and the moves they ask for.

use std::fmt::Write;
use std::ops::RangeInclusive;

use boardwise_belief::half_boards;
use boardwise_figures::{Drawing, Theme, Trace, block_picture, wear_picture};
use boardwise_lane::{ContactLaw, Fineness, throw};
use boardwise_search::{Block, BlockPlan, LaneStage, Outlook, Wear, forecast_block};

use super::event::plan;
use super::rows::Rows;
use super::view::{
    BallShare, BallStrikes, BlockAnswer, BlockLane, BlockLine, BlockMoves, BlockPair, BlockStage, Form, MeanSd,
    PlaceView, WornFilm,
};
use super::{Failure, Work};
use boardwise_files::{Fault, KitEvent, KitPair};

/// What is asked of an event.
#[derive(Clone, Debug)]
pub struct Question {
    /// Ball to start with; left out, the one that strikes most on the fresh lane.
    pub ball: Option<String>,
    /// Frames after which the line is looked for anew.
    pub look: u32,
    /// Times to run the block, each with other throws.
    pub runs: u32,
    /// Seed of everything random.
    pub seed: u64,
}

/// Frames from one look to the next that may be asked for.
pub const LOOK: RangeInclusive<i64> = 1..=1000;
/// Runs that may be asked for.
pub const RUNS: RangeInclusive<i64> = 1..=100;

/// What the columns of a forecast say.
pub const NOTE: &str = "Moves: feet & eyes in boards, away from the hand (in) or toward it (out), mean of the runs that move there.\n\
     Strikes: mean over the runs, ± from run to run. If you stay: on the line of the row before. First line: of the fresh lane.\n\
     Room: boards by which a shot may be off, both sides together. Oil gone: from the heads / the rest of the pattern, two boards to each side\n\
     of the first line. A forecast is an estimate and no promise.\n";

/// The answer.
#[derive(Debug)]
pub struct Forecast {
    /// The event.
    pub event: KitEvent,
    /// Its pairs in order; at least one.
    pub pairs: Vec<OnPair>,
    runs: u32,
}

/// A pair with its forecast.
#[derive(Debug)]
pub struct OnPair {
    /// The pair.
    pub pair: KitPair,
    /// What was bowled on it.
    pub plan: BlockPlan,
    /// How it went.
    pub block: Block,
    /// Time it took.
    pub seconds: f64,
}

impl Question {
    /// Forecasts every pair.
    ///
    /// # Errors
    /// If the bag has no ball of that name, or it is cancelled.
    pub fn answer(&self, event: KitEvent, work: Work<'_>) -> Result<Forecast, Failure> {
        let event = with_ball(event, self.ball.as_deref())?;
        let carry = boardwise_files::carry()?;
        let mut pairs = Vec::new();
        let all = event.pairs.len() as f64;
        for (before, pair) in event.pairs.iter().enumerate() {
            let plan = plan(&event, pair, self.look, self.runs, self.seed);
            let progress = work.progress.part(before as f64 / all, (before + 1) as f64 / all);
            let here = Work { progress: &progress, ..work };
            let (block, seconds) = here.timed(|progress| forecast_block(&plan, carry, progress))?;
            pairs.push(OnPair { pair: pair.clone(), plan, block, seconds });
        }
        Ok(Forecast { event, pairs, runs: self.runs })
    }
}

impl Forecast {
    /// The answer as a view.
    pub fn view(&self) -> BlockAnswer {
        let bowler = &self.event.seats[0].bowler;
        BlockAnswer {
            schema: Form,
            event: self.event.name.clone(),
            bowler: bowler.name.clone(),
            boards_from: bowler.hand.into(),
            pairs: self.pairs.iter().map(OnPair::view).collect(),
            runs: self.runs,
        }
    }
}

/// The event with another ball for us to start with.
fn with_ball(mut event: KitEvent, asked: Option<&str>) -> Result<KitEvent, Fault> {
    if let Some(id) = asked {
        let seat = &mut event.seats[0];
        let balls = seat.bag.bag.balls();
        let place = balls.iter().position(|ball| ball.id == id).ok_or_else(|| Fault::Missing {
            what: "ball",
            name: id.to_owned(),
            known: balls.iter().map(|ball| ball.id.clone()).collect(),
        })?;
        seat.ball = Some(place);
    }
    Ok(event)
}

impl OnPair {
    /// The block as it goes.
    pub fn picture(&self, title: &str, theme: Theme) -> Drawing {
        let balls: Vec<&str> = self.plan.our_seat().balls.iter().map(|ball| ball.id.as_str()).collect();
        block_picture(&self.block, self.pair.numbers, &balls, title, theme)
    }

    /// The oil of the first lane, fresh and at the end; None where a line cannot be thrown.
    pub fn oil_picture(&self, theme: Theme) -> Option<Drawing> {
        let seat = self.plan.our_seat();
        let stages = &self.block.runs[0].stages;
        let ends = [&stages[0], &stages[stages.len() - 1]].map(|stage| &stage.lanes[0]);
        let paths = ends.map(|stage| {
            let ball = &seat.balls[stage.ball];
            throw(&stage.lane, ball, &stage.line.release, &ContactLaw::default(), Fineness::default())
        });
        let [Ok(first), Ok(last)] = paths else { return None };
        let traces = [Trace { label: "first line", path: &first }, Trace { label: "last line", path: &last }];
        let title = format!("lane {} after {} games", self.pair.numbers[0], self.plan.games);
        Some(wear_picture(&ends[0].lane, &ends[1].lane, seat.bowler.hand, &traces, &title, theme))
    }

    fn ball(&self, place: usize) -> &str {
        &self.plan.our_seat().balls[place].id
    }

    fn wear(&self, stage: usize, lane: usize) -> Option<Wear> {
        self.block.wear(stage, lane, &self.plan.our_seat().balls)
    }

    /// How often it was run, with how much work.
    pub fn work(&self) -> String {
        let runs = &self.block.runs;
        let throws: u64 = runs.iter().map(|run| run.throws).sum();
        format!("{} with {throws} throws in all, {:.1} s", runs.len(), self.seconds)
    }

    /// A lane of the pair from fresh to the end.
    pub fn rows(&self, lane: usize) -> Rows {
        let head =
            ["when", "ball", "move", "laydown", "arrows", "strikes", "if you stay", "first line", "room", "oil gone"];
        let stages = self.block.outlook(lane);
        Rows {
            cells: stages.iter().enumerate().map(|(k, one)| self.row(lane, k, one)).collect(),
            ..Rows::under(head, 3)
        }
    }

    fn view(&self) -> BlockPair {
        let lanes = (0..2).map(|lane| {
            let stages = self.block.outlook(lane);
            BlockLane {
                number: self.pair.numbers[lane],
                lane: self.pair.lanes[lane].name.clone(),
                stages: stages.iter().enumerate().map(|(k, one)| self.stage_view(lane, k, one)).collect(),
                first_line_pays_games: self.block.pays_until(lane),
            }
        });
        BlockPair {
            games: self.plan.games,
            games_before: self.plan.games_before,
            practice_shots: self.plan.practice_shots,
            lanes: lanes.collect(),
            throws: self.block.runs.iter().map(|run| run.throws).sum(),
            seconds: self.seconds,
        }
    }

    fn stage_view(&self, lane: usize, stage: usize, outlook: &Outlook) -> BlockStage {
        let film = self.wear(stage, lane).map(|wear| WornFilm {
            gone_pct: 100.0 * wear.gone,
            heads_gone_pct: 100.0 * wear.heads_gone,
            middle_gone_pct: 100.0 * wear.middle_gone,
            carried_down_ml: wear.beyond.0 / 1000.0,
        });
        let share =
            |&(ball, share): &(usize, f64)| BallShare { ball: self.ball(ball).to_owned(), runs_pct: 100.0 * share };
        let strikes = |&(ball, mean, sd): &(usize, f64, f64)| BallStrikes {
            ball: self.ball(ball).to_owned(),
            strike_pct: 100.0 * mean,
            sd: 100.0 * sd,
        };
        BlockStage {
            games: outlook.games,
            practised: outlook.practised,
            film,
            line: self.line_view(&self.block.runs[0].stages[stage].lanes[lane]),
            strike_pct: MeanSd::pct(outlook.strike),
            stay_strike_pct: MeanSd::pct(outlook.stay),
            first_line_strike_pct: MeanSd::pct(outlook.first),
            laydown: MeanSd::of(outlook.laydown),
            arrows_board: MeanSd::of(outlook.arrows),
            miss_room_boards: MeanSd::of(outlook.room),
            moves: BlockMoves {
                feet_boards: MeanSd::of(outlook.feet_moved),
                eyes_boards: MeanSd::of(outlook.eyes_moved),
                runs_pct: 100.0 * outlook.moves,
            },
            ball: outlook.balls.iter().map(share).collect(),
            balls: outlook.forms.iter().map(strikes).collect(),
        }
    }

    /// The line of the first run.
    fn line_view(&self, stage: &LaneStage) -> BlockLine {
        let line = &stage.line;
        BlockLine {
            ball: self.ball(stage.ball).to_owned(),
            laydown: line.release.laydown.0,
            launch_deg: line.release.launch.0,
            arrows_board: line.arrows.0,
            breakpoint: (&line.breakpoint).into(),
            exit: line.exit.as_ref().map(PlaceView::from),
            speed_mph: line.release.speed.0,
            rotation_deg: line.release.rotation.0,
            strike_pct: 100.0 * line.worth,
            pocket_pct: 100.0 * line.pocket,
            miss_room: line.miss_room.into(),
        }
    }

    /// A stage in cells.
    fn row(&self, lane: usize, stage: usize, outlook: &Outlook) -> Vec<String> {
        let pm = |(mean, sd): (f64, f64)| format!("{:.0}% ± {:.0}", 100.0 * mean, 100.0 * sd);
        let (ball, share) = outlook.balls[0];
        let ball = match share {
            s if s > 0.99 => self.ball(ball).to_owned(),
            s => format!("{} ({:.0}% of runs)", self.ball(ball), 100.0 * s),
        };
        let gone = self.wear(stage, lane);
        vec![
            when(outlook),
            ball,
            move_words(outlook),
            format!("{:.1} ± {:.1}", outlook.laydown.0, outlook.laydown.1),
            format!("{:.1} ± {:.1}", outlook.arrows.0, outlook.arrows.1),
            pm(outlook.strike),
            format!("{:.0}%", 100.0 * outlook.stay.0),
            format!("{:.0}%", 100.0 * outlook.first.0),
            format!("{:.1}", outlook.room.0),
            gone.map_or_else(
                || "-".to_owned(),
                |w| format!("{:.0}% / {:.0}%", 100.0 * w.heads_gone, 100.0 * w.middle_gone),
            ),
        ]
    }

    /// When another ball takes over.
    pub fn overtaking(&self, lane: usize) -> String {
        let stages = self.block.outlook(lane);
        let mut text = String::new();
        for pair in stages.windows(2) {
            let (was, is) = (pair[0].balls[0].0, pair[1].balls[0]);
            if was != is.0 {
                let _ = writeln!(
                    text,
                    "At {}: {} overtakes {} in {:.0}% of the runs.",
                    when(&pair[1]),
                    self.ball(is.0),
                    self.ball(was),
                    100.0 * is.1
                );
            }
        }
        text
    }

    /// How long the first line pays.
    pub fn pays(&self, lane: usize) -> String {
        let mut ends: Vec<f64> =
            self.block.pays_until(lane).into_iter().map(|end| end.unwrap_or(f64::INFINITY)).collect();
        ends.sort_by(f64::total_cmp);
        let middle = ends[(ends.len() - 1) / 2];
        let range = match (ends[0], ends[ends.len() - 1]) {
            (first, last) if last - first < 1e-9 || first.is_infinite() => String::new(),
            (first, last) if last.is_infinite() => {
                format!(" (from {first:.1} games on in some runs, to the end in others)")
            }
            (first, last) => format!(" ({first:.1} to {last:.1} over the runs)"),
        };
        if middle.is_infinite() {
            format!("The first line pays to the end{range}.\n")
        } else {
            format!("The first line falls ten points of strikes behind after {middle:.1} games{range}.\n")
        }
    }
}

/// A stage in a few words.
fn when(outlook: &Outlook) -> String {
    if !outlook.practised {
        "fresh".to_owned()
    } else if outlook.games == 0.0 {
        "first frame".to_owned()
    } else {
        format!("game {}, frame {}", (outlook.games - 0.05).floor() as u32 + 1, frame_of(outlook.games))
    }
}

/// The frame just bowled, 1 to 10.
fn frame_of(games: f64) -> u32 {
    let frames = (games * 10.0).round() as u32;
    (frames + 9) % 10 + 1
}

/// What the runs that move here do, as a bowler says it.
fn move_words(outlook: &Outlook) -> String {
    if outlook.moves == 0.0 {
        return "stay".to_owned();
    }
    let (feet, eyes) = (outlook.feet_moved.0 / outlook.moves, outlook.eyes_moved.0 / outlook.moves);
    let size = size_words(feet, eyes);
    if outlook.moves > 0.99 { size } else { format!("{size} ({:.0}% of runs)", 100.0 * outlook.moves) }
}

/// A move of feet and eyes, in half boards; less than a quarter of one is a change of ball alone.
fn size_words(feet: f64, eyes: f64) -> String {
    if feet.abs().max(eyes.abs()) < 0.25 {
        return "other ball".to_owned();
    }
    let (way, sign) = if feet + eyes < 0.0 { ("out", -1.0) } else { ("in", 1.0) };
    format!("{} & {} {way}", half_boards(sign * feet), half_boards(sign * eyes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_no_move_is_said_as_nothing_and_nothing() {
        for feet in -40..=40 {
            for eyes in -40..=40 {
                let said = size_words(0.1 * f64::from(feet), 0.1 * f64::from(eyes));
                assert!(
                    !said.starts_with("0 & 0 ") && said.split(' ').all(|word| word != "-0"),
                    "{feet} {eyes}: {said}"
                );
            }
        }
        assert_eq!(size_words(2.1, 0.9), "2 & 1 in");
        assert_eq!(size_words(-2.1, -0.9), "2 & 1 out");
        assert_eq!(size_words(0.3, 0.0), "0.5 & 0 in");
        assert_eq!(size_words(0.1, 0.1), "other ball");
    }
}
