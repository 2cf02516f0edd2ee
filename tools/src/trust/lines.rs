//! Lines: over all that is not known, none of it fitted.

use super::Row;
use crate::typical::{dull, pattern, plastic, rev_dominant, right_hander, shiny, strikes, urethane};
use boardwise_ball::Ball;
use boardwise_lane::{Lane, Release};
use boardwise_search::{Conditions, Line, Progress, Search, Unknowns, find_lines};
use boardwise_units::{Degrees, Rpm};

/// Outer boards of a competition pattern against its middle ones, and of a house pattern.
const FLAT: f64 = 0.8;
const HOUSE: f64 = 0.2;
const SEED: u64 = 1;

/// The bowlers a rule is asked of.
fn bowlers() -> [(&'static str, Release); 4] {
    let own = rev_dominant();
    [
        ("typical", Release::default()),
        ("rev-dominant", own),
        (
            "rev-dominant, hand taken out",
            Release { rotation: Degrees(30.0), rev_rate: Rpm(own.rev_rate.0 - 60.0), ..own },
        ),
        ("straighter", Release { rotation: Degrees(25.0), rev_rate: Rpm(250.0), ..Release::default() }),
    ]
}

pub(super) fn best(lane: &Lane, ball: &Ball, release: &Release) -> Option<Line> {
    let search = Search { seed: SEED, lines: 3, ..Search::default() };
    let conditions = Conditions::fresh(lane, ball, &Unknowns::default(), SEED);
    find_lines(&conditions, &right_hander(*release), &strikes(ball), &search, &Progress::default())
        .expect("not cancelled")
        .lines
        .into_iter()
        .next()
}

/// The best line of the best of three balls.
fn best_of_bag(lane: &Lane, release: &Release) -> Option<Line> {
    let balls = [urethane(), dull(), shiny()];
    let lines = balls.iter().filter_map(|ball| best(lane, ball, release));
    lines.max_by(|a, b| a.worth.total_cmp(&b.worth))
}

pub(super) fn rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for (who, release) in bowlers() {
        for length in [32.0, 35.0, 38.0, 40.0, 42.0, 45.0] {
            let Some(line) = best_of_bag(&pattern(length, FLAT), &release) else { continue };
            let exit = line.exit.map_or(f64::NAN, |exit| exit.board.0);
            let what = format!("{who}, {length:.0} ft: exit of the best line, board");
            if length > 32.0 {
                let rule = length - 31.0;
                rows.push(Row::new(what, exit, (rule - 3.0, rule + 3.0), "length less 31 [S]"));
            } else {
                rows.push(Row::new(what, exit, (1.0, 5.5), "common practice, no source"));
                let what = format!("{who}, 32 ft: laydown of the best line, board");
                rows.push(Row::new(what, line.release.laydown.0, (1.0, 15.0), "common practice, no source"));
            }
        }
    }
    let room = |outside: f64| {
        let line = best(&pattern(40.0, outside), &shiny(), &Release::default());
        line.map_or(0.0, |line| line.miss_room.hand_boards + line.miss_room.away_boards)
    };
    let (house, flat) = (room(HOUSE), room(FLAT));
    rows.push(Row::new(
        "miss room on a house pattern over that on a flat 40 ft",
        house / flat,
        (2.0, f64::INFINITY),
        "common practice, no source",
    ));
    for (length, outside) in [(32.0, FLAT), (40.0, HOUSE), (42.0, FLAT)] {
        let lane = pattern(length, outside);
        let worth = |line: Option<Line>| line.map_or(0.0, |line| 100.0 * line.worth);
        let lead = worth(best_of_bag(&lane, &Release::default())) - worth(best(&lane, &plastic(), &Release::default()));
        let what = format!("{length:.0} ft, outside {outside}: strikes of the best ball over plastic, points");
        rows.push(Row::new(what, lead, (0.5, f64::INFINITY), "common practice, no source"));
    }
    rows
}
