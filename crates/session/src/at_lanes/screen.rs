//! What the screen at the lanes shows beside the card: how the block stands, and where the line is believed to run.

use boardwise_ball::CoverKind;
use boardwise_belief::Belief;
use boardwise_figures::{Drawing, Expected, Theme, UprightLane};
use boardwise_lane::{ContactLaw, Fineness, Path, Release, TrackForm, throw};
use boardwise_search::aim;
use boardwise_units::court;

use super::begin;
use super::belief_replay::BeliefReplay;
use super::block_state::BlockState;
use super::frame_rules;
use super::line_meant::{AsRelease, LineMeant};
use super::names::{ball_name, surface_words};
use super::outlook::sheet_view;
use super::score_view::Certain;
use crate::Failure;
use crate::view::{BallInBag, Form, NewestView, RangeView, ScreenView, ThrowingView};
use boardwise_files::Fault;

/// Guesses whose paths make the ribbon of a line: enough for the band that holds eight in ten.
const WORLDS: usize = 16;
/// Coarse enough for sixteen paths at once, within a tenth of a board (see [`crate::spread`]).
pub(crate) const FINENESS: Fineness = Fineness { step_s: 4e-3, track: TrackForm::Ring };
/// Shots that fade on the lane.
const SHOTS: usize = 3;

/// How a block stands, with all that a page needs to log the next shot.
///
/// # Errors
/// If nobody can say what the game may come to.
pub fn view(state: &BlockState) -> Result<ScreenView, Failure> {
    let BlockState { desk, setting, sheet, .. } = state;
    let own = &setting.event.seats[0];
    let balls = own.bag.balls().enumerate().map(|(place, one)| BallInBag {
        for_racks: setting.seat.balls.iter().any(|ball| ball.id == one.ball.id),
        words: one.words(),
        name: ball_name(&one.ball.id),
        surface: surface_words(state.surfaces.on(place, None).unwrap_or_else(|| begin::surface(one.prepared))),
        workable: one.ball.cover.kind != CoverKind::Plastic,
        id: one.ball.id,
    });
    let usual = &own.bowler.release;
    let throwing = (0..2).map(|lane| {
        let release = state.lines.on(lane, None).release(usual);
        ThrowingView {
            slide_board: setting.seat.bowler.slide_board(release.laydown).0,
            look_board: aim(&release).0,
            usual_hand: (release.speed.0 - usual.speed.0).abs() < 0.05
                && (release.rotation.0 - usual.rotation.0).abs() < 0.5,
        }
    });
    let range = &setting.seat.bowler.range;
    let kit_id = |ball: &boardwise_record::BallId| {
        let place = desk.begun.in_bag(ball)?;
        own.bag.bag.balls().get(place).map(|ball| ball.id.clone())
    };
    Ok(ScreenView {
        schema: Form,
        block: desk.begun.block.to_string(),
        event: setting.event.name.clone(),
        bowler: own.bowler.name.clone(),
        hand: own.bowler.hand.into(),
        counting: sheet.block.counting.as_str(),
        games: sheet.block.games,
        lanes: (0..2).map(|lane| state.lane_line(lane)).collect(),
        throwing: throwing.collect(),
        range: RangeView {
            speed_mph: [range.speed.0.0, range.speed.1.0],
            rotation_deg: [range.rotation.0.0, range.rotation.1.0],
        },
        newest: state.newest.as_ref().map(|one| NewestView { key: one.key.to_string(), words: one.words.clone() }),
        lane: setting.numbers[state.lane_up()],
        balls: balls.collect(),
        in_hand: sheet.ball.as_ref().and_then(kit_id),
        spare_ball: setting.seat.spare_ball.as_ref().map(|ball| ball.id.clone()),
        so_far: sheet.games.last().and_then(|game| Certain::of(game).words("")),
        sheet: sheet_view(sheet, Some(state), None)?,
        rules: sheet.block.counting.scoring().map(frame_rules::of),
        step: sheet.games.last().map_or(0, frame_rules::step_of),
    })
}

/// What a picture of a lane is to show.
pub struct Shown {
    /// Which lane of the pair.
    pub lane: usize,
    /// The ball and the line that the card says; none where it says to stay.
    pub said: Option<(usize, LineMeant)>,
    /// The ball in hand, by its place among those of the belief.
    pub in_hand: usize,
    /// Colours, and whether the lane lies on its side.
    pub look: (Theme, bool),
}

/// The lane of the pair as it is believed to be, upright or on its side: the line that the card says, the present one where that is another,
/// the last shots, and the boards that nobody has crossed in this block.
///
/// # Errors
/// If the line that is said cannot be thrown.
pub fn picture(state: &BlockState, replay: &BeliefReplay, shown: &Shown) -> Result<Drawing, Failure> {
    let BlockState { setting, lines, .. } = state;
    let Shown { lane, said, in_hand, look: (theme, lying) } = *shown;
    let belief = &replay.belief;
    let bowler = &setting.seat.bowler;
    let present = lines.on(lane, None);
    let (ball, line) = said.unwrap_or((in_hand, present));
    let release = line.release(&bowler.release);
    release.check().map_err(|why| Fault::Field { field: "line", value: line.words(), allowed: why.to_string() })?;
    let mean_world = belief.mean_world();
    let mean = belief.lane(lane, &mean_world);
    let in_mean = |(ball, release): (usize, &Release)| {
        let ball = mean_world.ball(ball, lane, &belief.balls()[ball]);
        let path = throw(&mean, &ball, release, &ContactLaw::default(), FINENESS).ok()?;
        Some(path.rows.iter().map(|row| (row.board, row.feet)).collect::<Vec<_>>())
    };
    // Shots that were meant alike are thrown once.
    let mut meant: Vec<(usize, Release, Vec<_>)> = Vec::new();
    let mut shots = Vec::new();
    for seen in replay.seen.iter().rev().filter(|seen| seen.lane == lane) {
        let known = meant.iter().find(|(ball, release, _)| *ball == seen.ball && *release == seen.meant);
        let path = if let Some((.., path)) = known {
            path.clone()
        } else {
            let Some(path) = in_mean((seen.ball, &seen.meant)) else { continue };
            meant.push((seen.ball, seen.meant, path.clone()));
            path
        };
        if shots.len() < SHOTS {
            shots.push(path);
        }
    }
    let before = said.and_then(|_| in_mean((in_hand, &present.release(&bowler.release)))).unwrap_or_default();
    let lane = UprightLane {
        lane: &mean,
        hand: bowler.hand,
        title: &format!("lane {} with the line for the next ball", setting.numbers[lane]),
        line: &expected(belief, lane, ball, &release),
        before: &before,
        shots: &shots,
        travelled: &crossed(meant.iter().flat_map(|(.., path)| path)),
        height: UprightLane::LOW,
    };
    Ok(if lying { lane.lying(theme) } else { lane.draw(theme) })
}

/// The lane with the line that makes what stands. A ball for spares is thrown on the fresh lane, as its answer has it.
///
/// # Errors
/// If the line cannot be thrown.
pub fn spare_picture(
    state: &BlockState,
    lane: usize,
    line: LineMeant,
    (theme, lying): (Theme, bool),
) -> Result<Drawing, Failure> {
    let setting = &state.setting;
    let seat = &setting.seat;
    let ball = seat.spare_ball.as_ref().unwrap_or(&seat.balls[0]);
    let release = line.release(&seat.bowler.release);
    let refused = |why: String| Fault::Field { field: "line", value: line.words(), allowed: why };
    let path = throw(&setting.fresh[lane], ball, &release, &ContactLaw::default(), FINENESS);
    let path = path.map_err(|why| refused(why.to_string()))?;
    let lane = UprightLane {
        lane: &setting.fresh[lane],
        hand: seat.bowler.hand,
        title: &format!("lane {} with the line for the spare", setting.numbers[lane]),
        line: &ribbon(&[path]),
        before: &[],
        shots: &[],
        travelled: &[true; court::BOARDS],
        height: UprightLane::LOW,
    };
    Ok(if lying { lane.lying(theme) } else { lane.draw(theme) })
}

/// Boards that these paths cross, from board 1 on. A ball's track and the doubt about it cover a board to each side.
fn crossed<'a>(path: impl Iterator<Item = &'a (f64, f64)>) -> [bool; court::BOARDS] {
    let mut travelled = [false; court::BOARDS];
    for (board, _) in path.filter(|(board, _)| (0.5..39.5).contains(board)) {
        let middle = (board.round() as usize).clamp(1, court::BOARDS) - 1;
        travelled[middle.saturating_sub(1)..=(middle + 1).min(court::BOARDS - 1)].fill(true);
    }
    travelled
}

/// Where a line runs on a lane by the belief, foot by foot.
pub(crate) fn expected(belief: &Belief, lane: usize, ball: usize, meant: &Release) -> Vec<Expected> {
    let worlds = belief.sample(WORLDS);
    let paths: Vec<Path> = worlds
        .iter()
        .filter_map(|world| {
            let ground = belief.lane(lane, world);
            let law = ContactLaw::default();
            throw(&ground, &world.ball(ball, lane, &belief.balls()[ball]), &world.today(meant), &law, FINENESS).ok()
        })
        .collect();
    ribbon(&paths)
}

/// Where eight in ten of the paths run, foot by foot.
fn ribbon(paths: &[Path]) -> Vec<Expected> {
    let feet = (0..=60).map(f64::from);
    feet.filter_map(|feet| {
        let at = |path: &Path| path.rows.iter().find(|row| (row.feet - feet).abs() < 0.01).map(|row| row.board);
        let mut boards: Vec<f64> = paths.iter().filter_map(at).collect();
        boards.sort_by(f64::total_cmp);
        let last = boards.len().checked_sub(1)?;
        let quantile = |share: f64| boards[(share * last as f64).round() as usize];
        Some(Expected { feet, board: quantile(0.5), low: quantile(0.1), high: quantile(0.9) })
    })
    .collect()
}
