//! A block: how two bowlers wear a pair of lanes over a game, and how far one of them has to move for it.

use boardwise_files::{BAGS, BOWLERS, LANES, parse_bag, parse_bowler, parse_lane};
use boardwise_search::ball::Ball;
use boardwise_search::units::Hand;
use boardwise_search::{BlockPlan, Pocket, Progress, Seat, Unknowns, forecast_block};
use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    let lane = parse_lane(LANES[0].path, LANES[0].text.as_bytes())?.value.seen_by(Hand::Right);
    let bag = parse_bag(BAGS[0].path, BAGS[0].text.as_bytes())?.value;
    let balls: Vec<Ball> = bag.balls().skip(2).take(2).map(|kit| kit.ball).collect();
    let seat = |bowler: usize| -> Result<Seat, Box<dyn Error>> {
        let bowler = parse_bowler(BOWLERS[bowler].path, BOWLERS[bowler].text.as_bytes())?.value;
        Ok(Seat { bowler, balls: balls.clone(), starts_with: None, line: None, spare_ball: None })
    };
    let plan = BlockPlan {
        pair: [lane.clone(), lane],
        seats: vec![seat(0)?, seat(1)?],
        ours: 0,
        practice_shots: 3,
        games_before: 0,
        games: 1,
        frames_a_look: 5,
        runs: 2,
        seed: 1,
        pocket: Pocket::default(),
        unknowns: Unknowns::default(),
    };

    // Long work tells how far it is, and goes on for as long as it is told to.
    let block = forecast_block(&plan, boardwise_files::carry()?, &Progress::default())?;
    println!("left lane, means of {} runs; moves are boards away from the bowling hand", plan.runs);
    for (number, stage) in block.outlook(0).iter().enumerate() {
        println!(
            "after {:.1} games{}: {:.0}% strikes, {:.0}% on the line before; feet {:+.1}, eyes {:+.1}",
            stage.games,
            if number > 0 && stage.practised { "" } else { " (fresh)" },
            100.0 * stage.strike.0,
            100.0 * stage.stay.0,
            stage.feet_moved.0,
            stage.eyes_moved.0,
        );
    }
    let last = block.runs[0].stages.len() - 1;
    if let Some(wear) = block.wear(last, 0, &plan.our_seat().balls) {
        println!("{:.0}% of the oil is gone, {:.0}% of it from the heads", 100.0 * wear.gone, 100.0 * wear.heads_gone);
    }
    Ok(())
}
