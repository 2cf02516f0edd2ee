//! How a ball arrives at the pins: the one value that passes from the lane to the rack.

use boardwise_units::court;
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

impl Entry {
    /// The same ball where its line of entry crosses the head pin's row, 60 ft: the plane at which every entry board is read.
    /// The line is taken as straight over the deck; at 6 degrees it lies 0.6 board farther out at first contact.
    ///
    /// ```
    /// # use boardwise_ball::Entry;
    /// # use glam::DVec3;
    /// let velocity_m_s = DVec3::new(-0.7, 7.0, 0.0);
    /// let y_m = boardwise_units::court::HEAD_PIN_M - 0.15;
    /// let entry = Entry { x_m: 0.05, y_m, velocity_m_s, spin_rad_s: DVec3::ZERO };
    /// assert!((entry.at_head_pin_row().x_m - 0.035).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn at_head_pin_row(&self) -> Self {
        let v = self.velocity_m_s;
        Self { x_m: self.x_m + (court::HEAD_PIN_M - self.y_m) * v.x / v.y, y_m: court::HEAD_PIN_M, ..*self }
    }
}
