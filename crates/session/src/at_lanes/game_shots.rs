//! The shots of a game, each with what was meant.

use boardwise_record::Delivery;
use boardwise_score::Deck;
use boardwise_search::aim;

use super::block_state::BlockState;
use super::line_meant::AsRelease;
use super::names::half_boards;
use super::score_view::shot_view;
use crate::view::{Form, GameShots, ShotMeant, pin_numbers};

/// Shots shown where nothing is counted.
const MOST_SHOWN: usize = 20;

/// The shots of a game, each with what was meant.
pub fn game_shots(state: &BlockState, game: u16) -> GameShots {
    let BlockState { desk, setting, sheet, lines, .. } = state;
    let own = &setting.seat.bowler;
    let meant = |delivery: &Delivery| {
        let lane = delivery.lane.as_ref().and_then(|lane| desk.begun.on_pair(lane))?;
        let release = lines.on(lane, Some(delivery.place)).release(&own.release);
        let (slide, look) = (own.slide_board(release.laydown).0, aim(&release).0);
        Some(format!("slide {}, look at {}", half_boards(slide), half_boards(look)))
    };
    let of_game = sheet.deliveries.iter().enumerate().filter(|(_, one)| one.game == game);
    let mut shots: Vec<ShotMeant> = of_game
        .map(|(k, one)| ShotMeant {
            shot: shot_view(k + 1, one),
            before: one.thrown.and_then(|thrown| match thrown.before {
                Deck::Pins(pins) => Some(pin_numbers(pins)),
                Deck::Count(_) => None,
            }),
            ball_id: one
                .ball
                .as_ref()
                .and_then(|ball| desk.begun.in_bag(ball))
                .and_then(|place| setting.event.seats[0].bag.bag.balls().get(place).map(|ball| ball.id.clone())),
            first: one.thrown.is_none_or(|thrown| thrown.first_at_rack),
            meant: meant(one),
        })
        .collect();
    if game == 0 {
        shots.drain(..shots.len().saturating_sub(MOST_SHOWN));
    }
    GameShots { schema: Form, block: desk.begun.block.to_string(), game, games: sheet.games.len(), shots }
}
