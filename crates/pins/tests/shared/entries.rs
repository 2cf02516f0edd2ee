//! Entries for the examples and tests: a rolling ball at a board, an angle and a speed.
#![allow(dead_code)]

use boardwise_ball::Entry;
use boardwise_pins::BallBody;
use boardwise_pins::carry::Approach;
use boardwise_pins::ensemble::Professionals;
use boardwise_units::Pounds;
use boardwise_units::stream::Stream;

/// The stream of the rack with this number.
pub fn stream(index: u64) -> Stream {
    Stream::keyed(20, "example racks", index)
}

/// A ball that rolls without slip and comes in on `board` of the head pin's row.
pub fn rolling(board: f64, angle_deg: f64, speed_m_s: f64, ball: &BallBody) -> Entry {
    let weight_lb = Pounds::from_kilograms(ball.mass_kg).0;
    Approach { board, angle_deg, speed_m_s, weight_lb, roll: 1.0 }.entry().0
}

/// A leave by its pin numbers, "3-10".
pub fn name(mask: u16) -> String {
    let pins: Vec<String> = (0..10).filter(|i| mask >> i & 1 == 1).map(|i| (i + 1).to_string()).collect();
    if pins.is_empty() { "strike".into() } else { pins.join("-") }
}

/// How often each set of pins is left, over racks `from..to`.
pub fn leaves(
    rack: &boardwise_pins::Rack,
    professionals: &Professionals,
    ball: &BallBody,
    from: u64,
    to: u64,
) -> [u32; 1024] {
    let mut counts = [0; 1024];
    for index in from..to {
        let mut draw = Stream::keyed(61, "professional entries", index);
        let entry = professionals.draw(ball, &mut draw);
        let outcome = rack.throw(&entry, ball, &mut Stream::keyed(62, "racks", index)).expect("a legal throw");
        counts[usize::from(outcome.standing)] += 1;
    }
    counts
}
