//! What each entry board and angle leaves: strike percentage and the commonest leaves.
//!
//! `cargo run --release -p boardwise-tools --bin sweep -- [racks] [step_ms]`

use boardwise_pins::{BallBody, Constants, Rack};
use std::collections::BTreeMap;

#[path = "../../../crates/pins/tests/shared/entries.rs"]
mod entries;

fn main() {
    let number = |n: usize, default: f64| std::env::args().nth(n).and_then(|a| a.parse().ok()).unwrap_or(default);
    let racks = number(1, 300.0) as u64;
    let mut constants = Constants::default();
    constants.step_s = number(2, constants.step_s * 1e3) / 1e3;
    let rack = Rack::new(constants);
    let ball = BallBody::of_pounds(15.0);
    let (mut steps, mut thrown) = (0_u64, 0_u32);
    let start = std::time::Instant::now();
    for degrees in [2.0, 4.0, 6.0, 8.0] {
        println!("\n{degrees} degrees");
        for half in 54..=78 {
            let board = f64::from(half) / 4.0;
            let mut leaves: BTreeMap<u16, u64> = BTreeMap::new();
            let (mut strikes, mut exits) = (0, 0.0);
            for i in 0..racks {
                let mut stream = entries::stream(i);
                let spread = 0.25 * (stream.uniform() - 0.5);
                let entry = entries::rolling(board + spread, degrees, 7.3, &ball);
                let outcome = rack.throw(&entry, &ball, &mut stream).expect("a legal throw");
                *leaves.entry(outcome.standing).or_default() += 1;
                strikes += u64::from(outcome.is_strike());
                exits += outcome.exit.map_or(0.0, |e| e.board().0) / racks as f64;
                steps += u64::from(outcome.steps);
                thrown += 1;
            }
            leaves.remove(&0);
            let mut order: Vec<_> = leaves.into_iter().collect();
            order.sort_by_key(|&(mask, n)| (std::cmp::Reverse(n), mask));
            let names: Vec<String> = order
                .iter()
                .take(7)
                .map(|&(m, n)| format!("{} {:.0}", entries::name(m), 100.0 * n as f64 / racks as f64))
                .collect();
            println!(
                "{board:5.1} {:5.1}%  out {exits:4.1}  {}",
                100.0 * strikes as f64 / racks as f64,
                names.join(", ")
            );
        }
    }
    let each_ms = start.elapsed().as_secs_f64() * 1e3 / f64::from(thrown);
    println!("\n{thrown} racks, {:.0} steps and {each_ms:.3} ms each", steps as f64 / f64::from(thrown));
}
