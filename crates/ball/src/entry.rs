//! How a ball arrives at the pins: the one value that passes from the lane to the rack.

use glam::DVec3;

/// The ball at its first touch of a pin, or where it passes the head pin's row if it touches none.
///
/// Frame: x toward the bowling-hand side from the centre line, y toward the pins from the foul line, z up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Entry {
    /// Centre of the ball, across the lane: metres from the centre line toward the bowling-hand side.
    pub x_m: f64,
    /// Centre of the ball, along the lane: metres from the foul line.
    pub y_m: f64,
    /// Velocity of the centre, m/s (z is zero on the lane).
    pub velocity_m_s: DVec3,
    /// Angular velocity in the lane's frame, rad/s.
    pub spin_rad_s: DVec3,
}
