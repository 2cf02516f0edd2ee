//! Entries for the examples and tests: a rolling ball at a board, an angle and a speed.
#![allow(dead_code)]

use boardwise_ball::Entry;
use boardwise_pins::BallBody;
use boardwise_pins::carry::Approach;
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

/// How a professional's balls come in. Means and deviations at the pins; those of board and angle are fitted
/// (examples/calibrate.rs).
#[derive(Clone, Copy, Debug)]
pub struct Spread {
    /// Entry board at the head pin's row and its deviation.
    pub board: (f64, f64),
    /// Entry angle and its deviation, degrees.
    pub degrees: (f64, f64),
    /// Speed at the pins and its deviation, m/s: 18.61 mph at release less 2.25 [S: facts.md "People"]; the deviation is a
    /// guess over bowlers and shots.
    pub speed_m_s: (f64, f64),
    /// Spin about the vertical that is left, rad/s: 436 rpm at 13 degrees of tilt [S for the rate, M for the tilt].
    pub upright_spin_rad_s: (f64, f64),
}

impl Default for Spread {
    fn default() -> Self {
        Self { board: (18.0, 1.40), degrees: (5.23, 0.69), speed_m_s: (7.11, 0.30), upright_spin_rad_s: (10.0, 4.0) }
    }
}

impl Spread {
    /// One ball of the spread.
    pub fn draw(&self, ball: &BallBody, stream: &mut Stream) -> Entry {
        let mut normal = |(mean, deviation): (f64, f64)| mean + deviation * stream.normal();
        let board = normal(self.board).clamp(2.0, 38.0);
        let degrees = normal(self.degrees);
        let mut entry = rolling(board, degrees, normal(self.speed_m_s), ball);
        entry.spin_rad_s.z = normal(self.upright_spin_rad_s);
        entry
    }
}

/// How often each set of pins is left, over racks `from..to`.
pub fn leaves(rack: &boardwise_pins::Rack, spread: &Spread, ball: &BallBody, from: u64, to: u64) -> [u32; 1024] {
    let mut counts = [0; 1024];
    for index in from..to {
        let mut draw = Stream::keyed(61, "professional entries", index);
        let entry = spread.draw(ball, &mut draw);
        let outcome = rack.throw(&entry, ball, &mut Stream::keyed(62, "racks", index)).expect("a legal throw");
        counts[usize::from(outcome.standing)] += 1;
    }
    counts
}
