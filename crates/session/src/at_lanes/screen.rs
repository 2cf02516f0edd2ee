//! What the screen at the lanes shows beside the card: how the block stands, and where the line is believed to run.

use boardwise_belief::Belief;
use boardwise_figures::{Drawing, Expected, Theme, UprightLane};
use boardwise_lane::{ContactLaw, Fineness, Path, Release, TrackForm, throw};
use boardwise_units::court;

use super::belief_replay::BeliefReplay;
use super::block_state::BlockState;
use super::frame_rules;
use super::line_meant::AsRelease;
use super::outlook::sheet_view;
use super::score_view::Certain;
use crate::Failure;
use crate::view::{BallInBag, Form, ScreenView};

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
    let balls = own.bag.balls().map(|one| BallInBag {
        for_racks: setting.seat.balls.iter().any(|ball| ball.id == one.ball.id),
        words: one.words(),
        id: one.ball.id,
    });
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

/// The lane of the pair as it is believed to be, upright or on its side: the present line, the last shots, and the boards nobody has crossed.
pub fn picture(
    state: &BlockState,
    replay: &BeliefReplay,
    lane: usize,
    ball: usize,
    (theme, lying): (Theme, bool),
) -> Drawing {
    let BlockState { setting, lines, .. } = state;
    let belief = &replay.belief;
    let bowler = &setting.seat.bowler;
    let meant = lines.on(lane, None).release(&bowler.release);
    let line = expected(belief, lane, ball, &meant);
    let on_lane: Vec<_> = replay.seen.iter().filter(|seen| seen.lane == lane).collect();
    let mean = belief.lane(lane, &belief.mean_world());
    let thrown = |seen: &boardwise_belief::Seen| {
        let ball = belief.mean_world().ball(seen.ball, lane, &belief.balls()[seen.ball]);
        let path = throw(&mean, &ball, &seen.meant, &ContactLaw::default(), FINENESS).ok()?;
        Some(path.rows.iter().map(|row| (row.board, row.feet)).collect::<Vec<_>>())
    };
    let shots: Vec<Vec<(f64, f64)>> = on_lane.iter().rev().take(SHOTS).filter_map(|seen| thrown(seen)).collect();
    let mut travelled = [false; court::BOARDS];
    let crossed = shots.iter().flatten();
    for (board, _) in crossed.filter(|(board, _)| (0.5..39.5).contains(board)) {
        // A ball's track and the doubt about it cover a board to each side.
        let middle = (board.round() as usize).clamp(1, court::BOARDS) - 1;
        travelled[middle.saturating_sub(1)..=(middle + 1).min(court::BOARDS - 1)].fill(true);
    }
    let lane = UprightLane {
        lane: &mean,
        hand: bowler.hand,
        title: &format!("lane {} with the present line", setting.numbers[lane]),
        line: &line,
        shots: &shots,
        travelled: &travelled,
        height: UprightLane::LOW,
    };
    if lying { lane.lying(theme) } else { lane.draw(theme) }
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
