//! The spare, where something stands: where to stand, what to look at, which ball, how often it is made.

use std::fmt::Write;

use play::{Search, SpareGame};
use score::Leave;
use serde_json::json;

use super::meant::Meant;
use super::next::Question;
use crate::cli::carry::kind;
use crate::cli::leaves::{percent, pins_json};
use crate::cli::{Failure, output};
use crate::kit;

pub fn tell(question: &Question, leave: Leave, as_json: bool) -> Result<(), Failure> {
    let setting = &question.setting;
    let seat = &setting.seat;
    let ball = seat.spare_ball.as_ref().unwrap_or(&seat.balls[0]);
    let search = Search { seed: question.seed, ..Search::default() };
    // A ball for spares hardly feels what has been worn off: the lane is taken fresh.
    let lane = &setting.fresh[question.lane];
    let game = SpareGame::new(kit::spares()?, lane, ball, &seat.bowler, &search, &|_| ());
    let lines = game.lines(leave, 3);
    let seconds = question.start.elapsed().as_secs_f64();
    if as_json {
        let lines: Vec<_> = lines
            .iter()
            .map(|one| {
                json!({
                    "line": Meant::of(&one.line.release),
                    "make_pct": 100.0 * one.line.worth,
                    "make_se_pct": 100.0 * one.line.worth_error,
                    "mean_pins": one.down,
                })
            })
            .collect();
        return output::print_json(&json!({
            "schema": 1,
            "block": question.desk.begun.block.as_str(),
            "bowler": question.desk.begun.bowler.as_str(),
            "lane": question.number(),
            "ball": ball.id,
            "pins": pins_json(leave.pins()),
            "kind": kind(leave),
            "say": say(leave, lines.len(), &ball.id),
            "spares": lines,
            "seconds": seconds,
        }));
    }
    let mut text = format!("{}\n", say(leave, lines.len(), &ball.id));
    for (k, one) in lines.iter().enumerate() {
        let meant = Meant::of(&one.line.release);
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "{}  lay it down on {:.1}, look at {:.1} at the arrows: made {}",
            k + 1,
            meant.laydown,
            meant.arrows,
            percent(one.line.worth, one.line.worth_error)
        );
    }
    let _ = writeln!(text, "\nlane {}, taken fresh. An estimate, no promise.", question.number());
    output::print(&text)
}

fn say(leave: Leave, ways: usize, ball: &str) -> String {
    if ways == 0 {
        format!("Take what {} gives, with {ball}", leave.pins())
    } else {
        format!("{} with {ball}", leave.pins())
    }
}
