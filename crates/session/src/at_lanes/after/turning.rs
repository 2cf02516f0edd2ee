//! Where a line turns.

use boardwise_lane::{ContactLaw, Fineness, TrackForm, throw};
use boardwise_record::{BallId, LaneId};
use boardwise_units::Feet;

use super::super::block_state::BlockState;
use super::super::line_meant::AsRelease;
use super::Story;
use crate::Failure;

/// Coarse enough for a path in a thousandth of a second, within a tenth of a board (see [`crate::spread`]).
const FINENESS: Fineness = Fineness { step_s: 4e-3, track: TrackForm::Ring };

/// How far down the present line turns on a lane as it lay when the block began; None where its event is not kept. The record has the
/// boards of breakpoints, not their distance.
///
/// # Errors
/// If such a ball cannot be thrown.
pub fn turning(story: &Story, lane: &LaneId) -> Result<Option<Feet>, Failure> {
    let (Ok(state), Some(lane)) = (&story.event, story.lane_of_pair(lane)) else { return Ok(None) };
    let BlockState { desk, setting, lines, .. } = state;
    let meant = lines.on(lane, None).release(&setting.seat.bowler.release);
    let bag = setting.event.seats[0].bag.bag.balls();
    let in_bag = |ball: &BallId| desk.begun.in_bag(ball).and_then(|place| bag.get(place));
    let in_hand = story.sheet.ball.as_ref().and_then(in_bag);
    let ball =
        in_hand.filter(|one| setting.seat.balls.iter().any(|ball| ball.id == one.id)).unwrap_or(&setting.seat.balls[0]);
    let ground = &setting.fresh[lane];
    let path = throw(ground, ball, &meant, &ContactLaw::default(), FINENESS)?;
    Ok(Some(path.breakpoint.feet))
}
