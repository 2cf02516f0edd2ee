//! Racks of a professional's entries as numbers, for a peer outside, and for timing.
//!
//! `cargo run --release -p boardwise-tools --bin racks -- FROM TO [list]`
//!
//! With `list` a line for each rack: place, velocity and spin of the ball, twenty displacements of pins, and the pins left
//! here as bits; without it only how many strikes there were.

use boardwise_pins::ensemble::ENSEMBLE;
use boardwise_pins::{BallBody, Constants, Rack};

#[path = "../../../crates/pins/tests/shared/entries.rs"]
mod entries;

fn main() {
    let number = |n: usize| std::env::args().nth(n).and_then(|a| a.parse().ok()).unwrap_or(0_u64);
    let list = std::env::args().nth(3).is_some();
    let constants =
        Constants { restitution_jitter: 0.0, friction_jitter: 0.0, pin_mass_spread_kg: 0.0, ..Constants::default() };
    let (rack, ball, spread) = (Rack::new(constants), BallBody::of_pounds(15.0), ENSEMBLE[0].professionals);
    let mut strikes = 0;
    for index in number(1)..number(2) {
        let mut stream = entries::stream(index);
        let entry = spread.draw(&ball, &mut stream);
        let mut spots = stream.clone();
        let standing = rack.throw(&entry, &ball, &mut stream).expect("a legal throw").standing;
        strikes += u32::from(standing == 0);
        if list {
            let (v, w) = (entry.velocity_m_s, entry.spin_rad_s);
            let mut line = vec![entry.x_m, entry.y_m - boardwise_units::court::HEAD_PIN_M, v.x, v.y, w.x, w.y, w.z];
            for _ in 0..10 {
                line.extend([spots.normal() * constants.spot_jitter_m, spots.normal() * constants.spot_jitter_m]);
                let _ = (spots.normal(), spots.uniform());
            }
            let words: Vec<String> = line.iter().map(|number| format!("{number:.7}")).collect();
            println!("{} {standing}", words.join(" "));
        }
    }
    if !list {
        println!("{strikes} strikes");
    }
}
