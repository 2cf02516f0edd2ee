//! The special engine beside a general one: the same constants, the same entries.
//!
//! `cargo run --release -p pins --example agree -- [racks] [general_step_ms] [friction]`
//!
//! The last scales the friction of ball and pins against pins. The two engines give a blow's friction another direction
//! (examples/blows.rs), so that without friction they should agree best.

use pins::{BallBody, Constants, Rack};
use std::collections::BTreeMap;
use std::time::Instant;

#[path = "shared/entries.rs"]
mod entries;
#[path = "shared/general.rs"]
mod general;

/// Board and angle of the entries compared.
const ENTRIES: [(f64, f64); 8] =
    [(17.5, 6.0), (17.5, 4.0), (16.5, 7.0), (15.5, 4.0), (18.5, 5.0), (19.0, 5.0), (14.5, 6.0), (16.0, 2.0)];

fn main() {
    let number = |n: usize, default: f64| std::env::args().nth(n).and_then(|a| a.parse().ok()).unwrap_or(default);
    let (racks, step_ms, friction) = (number(1, 100.0) as u64, number(2, 0.25), number(3, 1.0));
    let mut constants = Constants { restitution_jitter: 0.0, friction_jitter: 0.0, ..Constants::default() };
    constants.ball_pin.friction *= friction;
    constants.pin_pin.friction *= friction;
    constants.ball_deck = general::ball_deck(&constants);
    let (rack, peer) = (Rack::new(constants), general::General::new(constants, step_ms / 1e3));
    let ball = BallBody::of_pounds(15.0);
    println!(
        "{racks} racks each; general engine at {step_ms} ms; {friction} of the friction\nentry       strikes        pins left       ms a rack"
    );
    for (board, degrees) in ENTRIES {
        let mut sums = [(0.0, 0.0, 0.0, 0.0); 2];
        let mut leaves: BTreeMap<u16, [u32; 2]> = BTreeMap::new();
        for i in 0..racks {
            let mut stream = entries::stream(i);
            let entry = entries::rolling(board + 0.5 * (stream.uniform() - 0.5), degrees, 7.3, &ball);
            let start = Instant::now();
            let ours = rack.throw(&entry, &ball, &mut stream.clone()).expect("a legal throw").standing;
            let between = Instant::now();
            let (theirs, _) = peer.throw(&entry, &ball, &mut stream);
            let times = [between - start, between.elapsed()];
            for (k, standing) in [ours, theirs].into_iter().enumerate() {
                let left = f64::from(standing.count_ones());
                sums[k].0 += f64::from(u8::from(standing == 0)) / racks as f64;
                sums[k].1 += left / racks as f64;
                sums[k].2 += left * left / racks as f64;
                sums[k].3 += times[k].as_secs_f64() * 1e3 / racks as f64;
                leaves.entry(standing).or_default()[k] += 1;
            }
        }
        let [ours, theirs] = sums;
        let p = f64::midpoint(ours.0, theirs.0);
        let strike_error = (2.0 * p * (1.0 - p) / racks as f64).sqrt();
        let variance = |s: (f64, f64, f64, f64)| s.2 - s.1 * s.1;
        let left_error = ((variance(ours) + variance(theirs)) / racks as f64).sqrt();
        println!(
            "{board:4} {degrees}deg  {:5.1} {:5.1} ({:+.1} s.e.)  {:.2} {:.2} ({:+.1} s.e.)  {:.2} {:.1}",
            100.0 * ours.0,
            100.0 * theirs.0,
            (ours.0 - theirs.0) / strike_error.max(1e-9),
            ours.1,
            theirs.1,
            (ours.1 - theirs.1) / left_error.max(1e-9),
            ours.3,
            theirs.3
        );
        let mut order: Vec<_> = leaves.into_iter().collect();
        order.sort_by_key(|&(mask, [a, b])| (std::cmp::Reverse(a + b), mask));
        let names: Vec<String> =
            order.iter().take(7).map(|&(mask, [a, b])| format!("{} {a}/{b}", entries::name(mask))).collect();
        println!("            {}", names.join(", "));
    }
}
