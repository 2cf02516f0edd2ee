//! Levels: what bowlers score on the best line, once lane and day are known as after some games on it.

use super::{Row, SPARES};
use crate::typical::{OF_200, OF_220, dull, pattern, plastic, right_hander, shiny, strikes, urethane, wider};
use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Lane, Release};
use boardwise_search::{Bowler, Conditions, Progress, Search, SpareGame, Spread, find_lines, rank_by_game};

/// A right-hander whose shots spread by `share` of a usual one's.
fn bowler(share: f64) -> Bowler {
    Bowler { spread: wider(&Spread::default(), share), ..right_hander(Release::default()) }
}

/// Mean score and share of strikes of the best line of a ball.
fn level(lane: &Lane, ball: &Ball, bowler: &Bowler) -> (f64, f64) {
    let law = ContactLaw::default();
    let (search, spare) = (Search::default(), plastic());
    let mut found =
        find_lines(&Conditions::known(lane, ball, &law), bowler, &strikes(ball), &search, &Progress::default())
            .expect("not cancelled");
    let spares = SpareGame::new(&SPARES, Conditions::known(lane, &spare, &law), &spare, bowler, &search);
    rank_by_game(&mut found, |leave| spares.glance(leave)).expect("chances are chances");
    let best = found.lines.first();
    best.map_or((0.0, 0.0), |line| (line.game.map_or(0.0, |game| game.mean), 100.0 * line.worth))
}

/// The same of each ball, the best first.
fn levels(lane: &Lane, bowler: &Bowler) -> Vec<(f64, f64)> {
    let mut all: Vec<(f64, f64)> = [urethane(), dull(), shiny()].iter().map(|ball| level(lane, ball, bowler)).collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    all
}

pub(super) fn rows() -> Vec<Row> {
    let (house, flat) = (pattern(40.0, 0.2), pattern(40.0, 0.8));
    let (of_200, of_220) = (bowler(OF_200), bowler(OF_220));
    let (on_house, on_flat) = (levels(&house, &of_200), levels(&flat, &of_200));
    let best_220 = levels(&house, &of_220);
    vec![
        Row::new(
            "spread of a 200 average: house, pins a game",
            on_house[0].0,
            (198.0, 215.0),
            "USBC magazine 2012 [P, C]",
        ),
        Row::new(
            "the same: flat 40 ft, pins a game lower",
            on_house[0].0 - on_flat[0].0,
            (17.0, 28.0),
            "governing body's table, older [S]",
        ),
        Row::new(
            "the same: strikes on the house pattern, in 100",
            on_house[0].1,
            (0.0, 66.0),
            "above professionals [S]",
        ),
        Row::new(
            "spread of a 220 average: house, pins a game",
            best_220[0].0,
            (0.0, 240.0),
            "USBC magazine 2012 [P, C]",
        ),
        Row::new(
            "the right ball over the middling one, house, pins a game",
            on_house[0].0 - on_house[1].0,
            (0.0, 10.0),
            "World Bowling 2014 [S]",
        ),
        Row::new(
            "the right ball over the middling one, flat 40 ft, pins a game",
            on_flat[0].0 - on_flat[1].0,
            (0.0, 10.0),
            "World Bowling 2014 [S]",
        ),
    ]
}
