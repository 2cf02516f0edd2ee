//! Pictures of a block.

use boardwise_belief::Account;
use boardwise_figures::{Drawing, SeenShot, Share, Theme};
use boardwise_lane::{ContactLaw, Fineness, Place, TrackForm, throw};
use boardwise_record::{BallId, LaneId};
use boardwise_score::Roll;
use boardwise_units::Feet;

use super::super::belief_replay::{first_balls, hit};
use super::super::block_state::BlockState;
use super::super::line_meant::AsRelease;
use super::super::score_view::lane_words;
use super::Story;
use super::words::terms;
use crate::Failure;

/// Coarse enough for a path in a thousandth of a second, within a tenth of a board (see [`crate::spread`]).
const FINENESS: Fineness = Fineness { step_s: 4e-3, track: TrackForm::Ring };

/// The score sheet of a game, from 1 on.
pub fn sheet_picture(story: &Story, game: usize, theme: Theme) -> Option<Drawing> {
    let sheet = game.checked_sub(1).and_then(|place| story.sheet.games.get(place))?;
    Some(boardwise_figures::sheet_picture(sheet, &format!("Game {game}"), theme))
}

/// The lanes of a sheet, in the order in which they were first bowled on.
pub fn lanes_of(story: &Story) -> Vec<LaneId> {
    let mut lanes: Vec<LaneId> = Vec::new();
    for lane in first_balls(&story.sheet).filter_map(|(_, one)| one.lane.as_ref()) {
        if !lanes.contains(lane) {
            lanes.push(lane.clone());
        }
    }
    lanes
}

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

/// First balls on a lane, or all of them, where they were seen.
///
/// # Errors
/// As the picture of turning points.
pub fn shots_picture(story: &Story, lane: Option<&LaneId>, theme: Theme) -> Result<Drawing, Failure> {
    let turns = lane.map(|lane| turning(story, lane)).transpose()?.flatten();
    let chosen: Vec<(String, &boardwise_record::Delivery)> = first_balls(&story.sheet)
        .filter(|(_, one)| lane.is_none() || one.lane.as_ref() == lane)
        .map(|(number, one)| ((number + 1).to_string(), one))
        .collect();
    let seen: Vec<SeenShot<'_>> = chosen
        .iter()
        .map(|(label, one)| SeenShot {
            arrows: one.shot.arrows,
            breakpoint: one.shot.breakpoint.zip(turns).map(|(board, feet)| Place { board, feet }),
            hit: one.shot.hit.map(hit),
            left: match one.shot.roll {
                Roll::Standing(pins) => Some(pins),
                _ => None,
            },
            label,
        })
        .collect();
    let title = lane.map_or("First balls".to_owned(), |lane| format!("First balls, {}", lane_words(lane)));
    Ok(boardwise_figures::shots_picture(&seen, story.hand, &title, theme))
}

/// Where pins were won and lost, all games together.
pub fn account_picture(account: &Account, theme: Theme) -> Drawing {
    let terms = terms(&account.whole);
    let shares: Vec<Share<'_>> =
        terms.iter().map(|term| Share { label: term.name, points: term.pins, doubt: term.doubt }).collect();
    // What is added up is exact: all doubt is about which term it belongs to.
    let total = Share { label: "score less par", points: account.whole.terms.sum(), doubt: 0.0 };
    boardwise_figures::account_picture(&shares, total, "Pins won and lost", theme)
}
