//! Pictures of a block.

use boardwise_belief::Account;
use boardwise_figures::{Drawing, SeenShot, Share, Theme};
use boardwise_lane::Place;
use boardwise_record::LaneId;
use boardwise_score::Roll;

use super::super::belief_replay::{first_balls, hit};
use super::super::score_view::lane_words;
use super::Story;
use super::turning::turning;
use super::words::terms;
use crate::Failure;

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
