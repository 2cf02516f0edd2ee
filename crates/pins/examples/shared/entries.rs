//! Entries for the examples and tests: a rolling ball at a board, an angle and a speed.
#![allow(dead_code)]

use boardwise_ball::Entry;
use boardwise_pins::BallBody;
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Degrees, court, math};
use glam::DVec3;

/// The stream of the rack with this number.
pub fn stream(index: u64) -> Stream {
    Stream::keyed(20, "example racks", index)
}

/// A ball that rolls without slip, its centre on `board` where it would touch the head pin's neighbourhood: on the line
/// through the board at the distance of first contact for that offset (or at the head pin's row for a miss).
pub fn rolling(board: f64, degrees: f64, speed_m_s: f64, ball: &BallBody) -> Entry {
    let x_m = Board(board).to_metres();
    // Centres of ball and upright pin when they touch, 0.1690 m (physics.md section 6).
    let apart = ball.radius_m + boardwise_pins::profile::Profile::published().radius_m(ball.radius_m);
    let back = apart * apart - x_m * x_m;
    let y_m = court::HEAD_PIN_M - math::sqrt(back.max(0.0));
    let angle = Degrees(degrees).to_radians();
    let (vx, vy) = (-speed_m_s * math::sin(angle), speed_m_s * math::cos(angle));
    Entry { x_m, y_m, velocity_m_s: DVec3::new(vx, vy, 0.0), spin_rad_s: DVec3::new(-vy, vx, 0.0) / ball.radius_m }
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
    /// Entry board and its deviation.
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
        Self { board: (17.34, 1.40), degrees: (5.23, 0.69), speed_m_s: (7.11, 0.30), upright_spin_rad_s: (10.0, 4.0) }
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
