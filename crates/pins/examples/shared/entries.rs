//! Entries for the examples and tests: a rolling ball at a board, an angle and a speed.
#![allow(dead_code)]

use ball::Entry;
use glam::DVec3;
use measure::stream::Stream;
use measure::{Board, Degrees, court, math};
use pins::BallBody;

/// The stream of the rack with this number.
pub fn stream(index: u64) -> Stream {
    Stream::keyed(20, "example racks", index)
}

/// A ball that rolls without slip, its centre on `board` where it would touch the head pin's neighbourhood: on the line
/// through the board at the distance of first contact for that offset (or at the head pin's row for a miss).
pub fn rolling(board: f64, degrees: f64, speed_m_s: f64, ball: &BallBody) -> Entry {
    let x_m = Board(board).to_metres();
    // Centres of ball and upright pin when they touch, 0.1690 m (physics.md section 6).
    let apart = ball.radius_m + pins::profile::Profile::published().radius_m(ball.radius_m);
    let back = apart * apart - x_m * x_m;
    let y_m = court::HEAD_PIN_M - math::sqrt(back.max(0.0));
    let angle = Degrees(degrees).to_radians();
    let (vx, vy) = (-speed_m_s * math::sin(angle), speed_m_s * math::cos(angle));
    Entry {
        x_m,
        y_m,
        velocity_m_s: DVec3::new(vx, vy, 0.0),
        spin_rad_s: DVec3::new(-vy, vx, 0.0) / ball.radius_m,
    }
}

/// A leave by its pin numbers, "3-10".
pub fn name(mask: u16) -> String {
    let pins: Vec<String> = (0..10).filter(|i| mask >> i & 1 == 1).map(|i| (i + 1).to_string()).collect();
    if pins.is_empty() { "strike".into() } else { pins.join("-") }
}
