//! One probability: what every command says of the same line before the first shot.

use super::Row;
use crate::typical::{CARRY, adapting, dull, pattern, plastic, shiny, strikes, urethane};
use boardwise_ball::Ball;
use boardwise_belief::{Belief, Change, Situation, advise};
use boardwise_lane::Lane;
use boardwise_search::{
    BagPlan, BlockPlan, Conditions, Pocket, Progress, Search, Seat, Unknowns, find_lines, forecast_block, weigh_bag,
};

const SEED: u64 = 1;
/// Points within which the answers are to agree.
const AGREE: (f64, f64) = (-3.0, 3.0);

pub(super) fn rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for (name, lane) in [("house 40 ft", pattern(40.0, 0.2)), ("flat 32 ft", pattern(32.0, 0.8))] {
        for (ball, place) in [("urethane", 0), ("dull strong", 1), ("shiny weak", 2)] {
            rows.extend(of_line(&format!("{name}, {ball}"), &lane, place));
        }
    }
    rows
}

/// What each says of the best line of a ball, less what `line` says, in points of strikes.
fn of_line(name: &str, lane: &Lane, place: usize) -> Vec<Row> {
    let balls: Vec<Ball> = vec![urethane(), dull(), shiny()];
    let (bowler, unknowns, ball) = (adapting(), Unknowns::default(), &balls[place]);
    let conditions = Conditions::fresh(lane, ball, &unknowns, SEED);
    let found = find_lines(&conditions, &bowler, &strikes(ball), &Search::default(), &Progress::default())
        .expect("not cancelled");
    let Some(line) = found.lines.first() else { return Vec::new() };
    let told = 100.0 * line.worth;
    let mut rows = Vec::new();
    let mut row = |who: &str, is: f64| {
        rows.push(Row::new(
            format!("{name}: {who} less `line`, points of strikes"),
            is - told,
            AGREE,
            "issue: one probability",
        ));
    };
    let belief = Belief::new([lane.clone(), lane.clone()], bowler.clone(), balls.clone(), &unknowns, SEED);
    row("the belief behind `practice`", 100.0 * belief.strike(0, place, &line.release, &CARRY).mean);
    let at = Situation::new((0, place, line.release), Vec::new());
    let advice = advise(&belief, &at, &CARRY);
    let stay = advice.choices.iter().find(|choice| choice.change == Change::Stay);
    row("the first `next`", 100.0 * stay.map_or(f64::NAN, |stay| stay.strike.mean));
    let seat = Seat {
        bowler,
        balls: balls.clone(),
        starts_with: Some(place),
        line: Some(line.release),
        spare_ball: Some(plastic()),
    };
    let plan = BlockPlan {
        pair: [lane.clone(), lane.clone()],
        seats: vec![seat],
        ours: 0,
        practice_shots: 0,
        games_before: 0,
        games: 1,
        frames_a_look: 10,
        runs: 1,
        seed: SEED,
        pocket: Pocket::default(),
        unknowns,
    };
    let go_on = Progress::default();
    if let Ok(block) = forecast_block(&plan, &CARRY, &go_on) {
        row("`block`", 100.0 * block.runs[0].stages[0].lanes[0].stay);
    }
    let bag = BagPlan { block: plan, surfaces: Vec::new(), turnouts: 1 };
    if let Ok(weighed) = weigh_bag(&bag, &CARRY, &super::SPARES, &go_on)
        && let Some(form) = &weighed.forms[place][0]
    {
        // A bag finds a line of its own; what the belief says of that line is the measure.
        let own = belief.strike(0, place, &form.line.release, &CARRY).mean;
        row("`bag`, by what the belief says of its own line,", 100.0 * (form.line.worth - own) + told);
    }
    rows
}
