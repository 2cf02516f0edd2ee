//! Best lines by pattern length and ball, for a typical bowler on flat and on walled patterns; at the end the table of docs/calibration.md: where lines as good
//! as the best leave the flat ones, over six searches.

#[allow(dead_code, reason = "the rules of thumb use the rest")]
#[path = "../../../crates/search/tests/typical/mod.rs"]
mod typical;

use boardwise_lane::Release;
use boardwise_search::{Conditions, Progress, Search, Unknowns, find_lines};
use typical::rules::{exit_board, lines_by_seed, mean, mean_as_good};
use typical::{dull, pattern, right_hander, shiny, strikes, urethane};

const LENGTHS_FT: [f64; 6] = [32.0, 35.0, 38.0, 40.0, 42.0, 45.0];

fn main() {
    lines();
    println!("length rule urethane dull shiny");
    for length in LENGTHS_FT {
        let lane = pattern(length, 0.8);
        let exits = [urethane(), dull(), shiny()].map(|ball| {
            let all = lines_by_seed(&lane, &ball, &Release::default());
            mean(all.iter().map(|lines| mean_as_good(lines, exit_board)))
        });
        println!("{length} {} {:.1} {:.1} {:.1}", length - 31.0, exits[0], exits[1], exits[2]);
    }
}

fn lines() {
    let bowler = right_hander(Release::default());
    for outside in [0.8, 0.2] {
        for length in LENGTHS_FT {
            let lane = pattern(length, outside);
            let film = lane.film().unwrap();
            println!(
                "-- {length} ft, outside {outside}: {:.1} mL ratio {:.1} heads {:.0} units, exit rule {:.0}",
                film.volume().0 / 1000.0,
                film.ratio().unwrap(),
                film.boards_at(boardwise_units::Feet(5.0))[19].0,
                length - 31.0
            );
            for (name, ball) in [("urethane", urethane()), ("dull strong", dull()), ("shiny weak", shiny())] {
                let start = std::time::Instant::now();
                let conditions = Conditions::fresh(&lane, &ball, &Unknowns::default(), 1);
                let found = find_lines(
                    &conditions,
                    &bowler,
                    &strikes(&ball),
                    &Search { lines: 2, ..Search::default() },
                    &Progress::default(),
                )
                .expect("not cancelled");
                for l in &found.lines {
                    let e = l.exit.map_or(0.0, |p| p.board.0);
                    println!(
                        "{name:12} lay {:4.1} launch {:4.2} arrows {:4.1} bp {:4.1}@{:2.0} exit {e:4.1} entry {:4.1} {:3.1}deg strikes {:4.1}% pocket {:4.1}% high {:2.0} light {:2.0} gut {:2.0} room {:.1}/{:.1}  ({} throws {:.2}s)",
                        l.release.laydown.0,
                        l.release.launch.0,
                        l.arrows.0,
                        l.breakpoint.board.0,
                        l.breakpoint.feet.0,
                        l.entry_board.map_or(0.0, |b| b.0),
                        l.entry_angle.map_or(0.0, |b| b.0),
                        l.worth * 100.0,
                        l.pocket * 100.0,
                        100.0 * l.misses.high,
                        100.0 * l.misses.light,
                        100.0 * l.misses.gutter,
                        l.miss_room.hand_boards,
                        l.miss_room.away_boards,
                        found.throws,
                        start.elapsed().as_secs_f64()
                    );
                }
            }
        }
    }
}
