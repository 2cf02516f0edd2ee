//! How often bowlers of several spreads make leaves: the table of docs/spares.md.
//!
//! `cargo run --release -p boardwise-tools --bin spare_table -- crates/files/data/spares/spares.bin`

#[allow(dead_code, reason = "the rules of thumb use the rest")]
#[path = "../../../crates/search/tests/typical/mod.rs"]
mod typical;

use boardwise_pins::spare::Spares;
use boardwise_pins::{Constants, Rack};
use boardwise_score::Leave;
use boardwise_search::{Conditions, Progress, Search, SpareGame, Unknowns};
use boardwise_units::Hand;
use std::error::Error;
use std::time::Instant;
use typical::{OF_160, OF_200, OF_220, pattern, plastic, spare_bowler};

const LEAVES: [&str; 22] = [
    "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "6-10", "4-7", "3-6-10", "2-4-5", "2-8", "2-4-5-8", "3-10",
    "2-7", "5-7", "1-2-4-10", "4-6", "7-10",
];

fn main() -> Result<(), Box<dyn Error>> {
    let file = std::env::args().nth(1).ok_or("name the table")?;
    let (table, rack) = (Spares::parse(&std::fs::read(file)?)?, Rack::new(Constants::default()));
    let ball = plastic();
    for outside in [0.2, 0.8] {
        let lane = pattern(40.0, outside);
        println!("== 40 ft, outer boards hold {outside} of the middle's oil");
        for (name, share) in [("220", OF_220), ("200", OF_200), ("160", OF_160)] {
            let bowler = spare_bowler(Hand::Right, share);
            let start = Instant::now();
            let spares = SpareGame::new(
                &table,
                Conditions::fresh(&lane, &ball, &Unknowns::default(), 1),
                &ball,
                &bowler,
                &Search::default(),
            );
            println!("-- {name} average; map in {:.2} s", start.elapsed().as_secs_f64());
            for leave in LEAVES {
                let leave: Leave = leave.parse()?;
                let (start, second) = (Instant::now(), spares.second(leave));
                let (quick_s, start) = (start.elapsed().as_secs_f64(), Instant::now());
                let lines = spares.lines(leave, 1);
                let line_s = start.elapsed().as_secs_f64();
                print!("{:10} {:5.1}%", leave.pins().to_string(), 100.0 * second.make);
                if let Some(best) = lines.first() {
                    let (line, start) = (&best.line, Instant::now());
                    let after = spares.after(&rack, leave, &line.release, 400);
                    let made = after.iter().find(|r| r.pins.is_empty()).map_or(0.0, |r| r.share);
                    print!(
                        "  line {:5.1}% ± {:.1} down {:.2}, racks {:5.1}%; from {:4.1} at {:5.2}°, board {:4.1} at {:4.1}°; {quick_s:.3} s, {line_s:.2} s, {:.2} s; left:",
                        100.0 * line.worth,
                        100.0 * line.worth_error,
                        best.down,
                        100.0 * made,
                        line.release.laydown.0,
                        line.release.launch.0,
                        line.entry_board.map_or(0.0, |b| b.0),
                        line.entry_angle.map_or(0.0, |a| a.0),
                        start.elapsed().as_secs_f64(),
                    );
                    for rest in after.iter().filter(|r| !r.pins.is_empty()).take(3) {
                        print!(" {} {:.0}%", rest.pins, 100.0 * rest.share);
                    }
                }
                println!();
            }
            let all: Vec<Leave> = Leave::all().collect();
            let start = Instant::now();
            spares.seconds(&all, &Progress::default()).expect("not cancelled");
            println!("all 1,023 leaves: {:.2} s", start.elapsed().as_secs_f64());
        }
    }
    Ok(())
}
