//! What a block comes to over its runs.

use super::run::{Block, FRAMES, LaneStage, Run};
use crate::mean::mean_and_sd;
use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Field, Fineness, Lane, Path};
use boardwise_units::Microlitres;

/// What became of a lane's oil.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wear {
    /// Share of all oil that left the lane, 0 to 1.
    pub gone: f64,
    /// Share gone from the heads (to 15 ft) on the boards within two of a path, 0 to 1.
    pub heads_gone: f64,
    /// The same from there to the pattern's end.
    pub middle_gone: f64,
    /// Oil beyond the pattern's end: carrydown.
    pub beyond: Microlitres,
}

/// Boards to each side of a path that count as played.
const PLAYED_BOARDS: f64 = 2.0;
/// Where the heads end.
const HEADS_FT: f64 = 15.0;

impl Wear {
    /// Of a lane since it was fresh, along a path. None where friction is given and nothing wears.
    pub fn of(fresh: &Lane, now: &Lane, path: &Path) -> Option<Self> {
        let (before, after) = (fresh.film()?, now.film()?);
        let end = before.length.0;
        let share = |before: f64, after: f64| if before > 0.0 { 1.0 - after / before } else { 0.0 };
        let along = |field: &Field, from: f64, to: f64| -> f64 {
            let rows = path.rows.iter().filter(|row| (from..to).contains(&row.feet));
            rows.map(|row| played(field, row.feet, row.board)).sum()
        };
        let gone =
            |from: f64, to: f64| share(along(&before.thickness_m, from, to), along(&after.thickness_m, from, to));
        let beyond = |field: &Field| field.beyond(end);
        Some(Self {
            gone: share(before.volume().0, after.volume().0),
            heads_gone: gone(0.0, HEADS_FT),
            middle_gone: gone(HEADS_FT, end),
            beyond: Microlitres::from_cubic_metres(beyond(&after.thickness_m)),
        })
    }
}

/// Mean film around a board at a distance.
fn played(field: &Field, feet: f64, board: f64) -> f64 {
    let row = (feet / boardwise_lane::NODE_FT).round() as usize;
    let near = field.row(row).iter().enumerate().filter(|(k, _)| (Field::board(*k).0 - board).abs() <= PLAYED_BOARDS);
    near.map(|(_, film)| film).sum()
}

/// One lane at a stage over all runs: mean and standard deviation from run to run.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    /// Games that everybody has bowled.
    pub games: f64,
    /// Whether practice is over.
    pub practised: bool,
    /// Strikes on the line found, 0 to 1.
    pub strike: (f64, f64),
    /// Strikes on the line of the stage before.
    pub stay: (f64, f64),
    /// Strikes on the line of the fresh lane.
    pub first: (f64, f64),
    /// Laydown board of the line found.
    pub laydown: (f64, f64),
    /// Its board at the arrows.
    pub arrows: (f64, f64),
    /// Miss room, both sides together, boards.
    pub room: (f64, f64),
    /// Feet moved since the stage before, boards in.
    pub feet_moved: (f64, f64),
    /// Eyes moved since the stage before, boards in.
    pub eyes_moved: (f64, f64),
    /// Share of runs that move or change ball here.
    pub moves: f64,
    /// Share of runs that go on with each ball, by its place; the commonest first.
    pub balls: Vec<(usize, f64)>,
    /// Each ball's strikes at its own best line, by its place; only where games end.
    pub forms: Vec<(usize, f64, f64)>,
}

/// A line whose strikes have fallen this far behind the best no longer pays.
const NO_LONGER_PAYS: f64 = 0.10;

impl Block {
    /// A lane's stages over all runs.
    pub fn outlook(&self, lane: usize) -> Vec<Outlook> {
        let stages = self.runs.iter().map(|run| run.stages.len()).min().unwrap_or(0);
        (0..stages).map(|stage| self.outlook_at(stage, lane)).collect()
    }

    fn outlook_at(&self, stage: usize, lane: usize) -> Outlook {
        let at: Vec<&LaneStage> = self.runs.iter().map(|run| &run.stages[stage].lanes[lane]).collect();
        let over = |value: &dyn Fn(&LaneStage) -> f64| mean_and_sd(&at.iter().map(|s| value(s)).collect::<Vec<_>>());
        let share = |count: usize| count as f64 / at.len().max(1) as f64;
        let most = at.iter().map(|s| s.ball).chain(at.iter().flat_map(|s| s.balls.iter().map(|f| f.ball))).max();
        let places = 0..=most.unwrap_or(0);
        let mut balls: Vec<(usize, f64)> = places
            .clone()
            .map(|ball| (ball, share(at.iter().filter(|s| s.ball == ball).count())))
            .filter(|(_, share)| *share > 0.0)
            .collect();
        balls.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let forms = places.filter_map(|ball| {
            let known = at.iter().flat_map(|s| &s.balls).filter(|form| form.ball == ball);
            let worth: Vec<f64> = known.map(|form| form.line.worth).collect();
            let (mean, sd) = mean_and_sd(&worth);
            (!worth.is_empty()).then_some((ball, mean, sd))
        });
        let before =
            |s: usize| self.runs.iter().filter(move |_| stage > 0).map(move |run| run.stages[s].lanes[lane].ball);
        let changed = if stage > 0 {
            let was: Vec<usize> = before(stage - 1).collect();
            at.iter().zip(was).filter(|(now, was)| now.ball != *was || now.moved != crate::Move::STAY).count()
        } else {
            0
        };
        Outlook {
            games: f64::from(self.runs[0].stages[stage].frames) / f64::from(FRAMES),
            practised: self.runs[0].stages[stage].practised,
            strike: over(&|s| s.line.worth),
            stay: over(&|s| s.stay),
            first: over(&|s| s.first),
            laydown: over(&|s| s.line.release.laydown.0),
            arrows: over(&|s| s.line.arrows.0),
            room: over(&|s| s.line.miss_room.hand_boards + s.line.miss_room.away_boards),
            feet_moved: over(&|s| s.moved.feet_boards),
            eyes_moved: over(&|s| s.moved.eyes_boards),
            moves: share(changed),
            balls,
            forms: forms.collect(),
        }
    }

    /// What became of a lane's oil by a stage, mean over the runs, along the line of the fresh lane. None where nothing wears.
    pub fn wear(&self, stage: usize, lane: usize, balls: &[Ball]) -> Option<Wear> {
        let of_run = |run: &Run| {
            let (fresh, now) = (&run.stages[0].lanes[lane], &run.stages[stage].lanes[lane]);
            let (law, fine) = (ContactLaw::default(), Fineness::default());
            let path =
                boardwise_lane::throw(&fresh.lane, balls.get(fresh.ball)?, &fresh.line.release, &law, fine).ok()?;
            Wear::of(&fresh.lane, &now.lane, &path)
        };
        let all: Vec<Wear> = self.runs.iter().map(of_run).collect::<Option<_>>()?;
        let mean = |value: &dyn Fn(&Wear) -> f64| mean_and_sd(&all.iter().map(value).collect::<Vec<_>>()).0;
        Some(Wear {
            gone: mean(&|w| w.gone),
            heads_gone: mean(&|w| w.heads_gone),
            middle_gone: mean(&|w| w.middle_gone),
            beyond: Microlitres(mean(&|w| w.beyond.0)),
        })
    }

    /// Games after which the first line of a lane no longer pays (ten points of strikes behind the best), run by run; None for a run in which it pays
    /// to the end.
    pub fn pays_until(&self, lane: usize) -> Vec<Option<f64>> {
        let stops = |stage: &&super::Stage| {
            let here = &stage.lanes[lane];
            here.line.worth.max(here.stay) - here.first > NO_LONGER_PAYS
        };
        let games = |stage: &super::Stage| f64::from(stage.frames) / f64::from(FRAMES);
        self.runs.iter().map(|run| run.stages.iter().find(stops).map(games)).collect()
    }
}
