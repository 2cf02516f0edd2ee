//! Lines: where to lay a ball down and where to look, so that it strikes most often with this bowler's spread.

use boardwise_files::{BOWLERS, LANES, parse_bag, parse_bowler, parse_lane};
use boardwise_search::{Conditions, Pocket, Progress, Search, Strikes, Unknowns, find_lines};
use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    // The files of the demo kit are built in; `boardwise_files::read` reads your own.
    let (lane, bag, bowler) = (LANES[0], boardwise_files::BAGS[0], BOWLERS[0]);
    let bowler = parse_bowler(bowler.path, bowler.text.as_bytes())?.value;
    let lane = parse_lane(lane.path, lane.text.as_bytes())?.value.seen_by(bowler.hand);
    let bag = parse_bag(bag.path, bag.text.as_bytes())?.value;
    let ball = bag.balls().nth(2).expect("the demo bag holds seven balls").ball;

    // What is not known of lane, cover and pins: the answer is over many worlds that agree with what is said.
    let conditions = Conditions::fresh(&lane, &ball, &Unknowns::default(), 1);
    // What a throw is worth: its chance of a strike, by the carry table.
    let strikes = Strikes::new(boardwise_files::carry()?, &ball, bowler.hand, Pocket::default());
    let search = Search { lines: 3, throws_a_line: 2000, ..Search::default() };
    let found = find_lines(&conditions, &bowler, &strikes, &search, &Progress::default())?;

    println!("{} with {}, {} throws:", bowler.name, ball.id, found.throws);
    for line in &found.lines {
        let first_ball = line.first_ball.as_ref().expect("the carry table knows the pins");
        println!(
            "slide on {:.0}, look at {:.1}: {:.0}% strikes (standard error {:.1}), {:.1} boards of miss room",
            bowler.slide_board(line.release.laydown).0,
            line.arrows.0,
            100.0 * first_ball.strike,
            100.0 * first_ball.whole_error(),
            line.miss_room.hand_boards + line.miss_room.away_boards,
        );
        for left in first_ball.leaves.iter().take(2) {
            println!("    leaves the {} in {:.0}%", left.leave, 100.0 * left.share);
        }
    }
    Ok(())
}
