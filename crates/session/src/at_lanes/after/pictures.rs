//! Pictures of a block.

use boardwise_belief::Account;
use boardwise_figures::{Drawing, SeenShot, Share, Theme};
use boardwise_lane::Place;
use boardwise_record::LaneId;
use boardwise_score::Roll;

use super::super::belief_replay::{first_balls, hit};
use super::super::score_view::lane_words;
use super::Story;
use super::finding::Parted;
use super::turning::turning;
use super::words::Term;
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

/// Where pins were won and lost, all games together: what can be changed, the dearest first, then all the rest as one.
pub fn account_picture(account: &Account, theme: Theme) -> Drawing {
    let share = |term: &Term| Share {
        label: term.name,
        points: term.pins,
        doubt: term.doubt,
        chance: term.chance,
        stands_out: term.stands_out(),
    };
    let parted = Parted::of(&account.whole);
    // Nobody can act on the rest, so nothing of it is to stand out.
    let rest = Share { stands_out: false, ..share(&parted.rest_together()) };
    let shares: Vec<Share<'_>> = parted.own.iter().map(share).chain([rest]).collect();
    // What is added up is exact: all doubt is about which term it belongs to.
    let total =
        Share { label: "in all", points: account.whole.terms.sum(), doubt: 0.0, chance: 0.0, stands_out: false };
    boardwise_figures::account_picture(&shares, total, "Pins won and lost", theme)
}
