//! Where a ball comes to the pins of a spare.

use crate::body::BallBody;
use crate::outcome::Mask;
use crate::profile::Profile;
use boardwise_ball::Entry;
use boardwise_units::{Board, Degrees, INCH_M, court, math};
use glam::DVec3;

/// A ball's line at the head pin's row, whether or not the head pin stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrival {
    /// Board of the ball's centre where its line crosses the head pin's spot's distance, 60 ft.
    pub board: f64,
    /// Angle in degrees, positive from the bowling-hand side toward the other.
    pub angle_deg: f64,
}

impl Arrival {
    /// The arrival of an entry, wherever on its way it is given: the line is taken as straight over the deck.
    ///
    /// ```
    /// use boardwise_ball::Entry;
    /// use glam::DVec3;
    /// use boardwise_units::court::HEAD_PIN_M;
    /// use boardwise_pins::spare::Arrival;
    /// // A ball half a metre behind the head pin's row, moving 0.1 m away for each metre down.
    /// let velocity_m_s = DVec3::new(-0.7, 7.0, 0.0);
    /// let entry = Entry { x_m: -0.05, y_m: HEAD_PIN_M + 0.5, velocity_m_s, spin_rad_s: DVec3::ZERO };
    /// let arrival = Arrival::of(&entry);
    /// assert!((arrival.board - 20.0).abs() < 1e-9 && arrival.angle_deg > 5.7);
    /// ```
    pub fn of(entry: &Entry) -> Self {
        let v = entry.velocity_m_s;
        let board = Board::from_metres(entry.at_head_pin_row().x_m).0;
        Self { board, angle_deg: Degrees::from_radians(math::atan2(-v.x, v.y)).0 }
    }

    /// Drift toward the bowling hand for each metre down the lane (negative for a positive angle).
    pub(super) fn lean(&self) -> f64 {
        let angle = Degrees(self.angle_deg).to_radians();
        -math::sin(angle) / math::cos(angle)
    }

    /// A ball at this line with some forward roll and side roll and no other spin, placed clear of the pins that stand: at the head pin's
    /// row, or at its first touch of the head pin.
    pub(crate) fn entry(&self, pins: Mask, ball: &BallBody, speed_m_s: f64, (roll, side_roll): (f64, f64)) -> Entry {
        let x_m = Board(self.board).to_metres();
        let angle = Degrees(self.angle_deg).to_radians();
        let (ux, uy) = (-math::sin(angle), math::cos(angle));
        // The head pin's spot is the origin: foot of its perpendicular on the line, then back to first contact.
        let (ahead, miss, apart) = (-x_m * ux, x_m * uy, contact_m(ball.radius_m));
        let back = if pins & 1 == 1 && miss.abs() < apart {
            (math::sqrt(apart * apart - miss * miss) - ahead).max(0.0)
        } else {
            0.0
        };
        Entry {
            x_m: x_m - ux * back,
            y_m: court::HEAD_PIN_M - uy * back,
            velocity_m_s: DVec3::new(ux, uy, 0.0) * speed_m_s,
            spin_rad_s: (DVec3::new(-uy, ux, 0.0) * roll - DVec3::new(ux, uy, 0.0) * side_roll)
                * (speed_m_s / ball.radius_m),
        }
    }

    /// Whether a ball on this line comes within `margin_m` of touching one of these pins.
    pub(super) fn reaches(&self, pins: Mask, ball: &BallBody, margin_m: f64) -> bool {
        let (x_m, lean) = (Board(self.board).to_metres(), self.lean());
        let reach_m = (contact_m(ball.radius_m) + margin_m) * math::sqrt(1.0 + lean * lean);
        court::PIN_SPOTS_IN.iter().enumerate().any(|(i, (x_in, behind_in))| {
            pins >> i & 1 == 1 && (x_in * INCH_M - x_m - lean * behind_in * INCH_M).abs() < reach_m
        })
    }
}

/// Distance of the centres of a ball and an upright pin that touch.
fn contact_m(radius_m: f64) -> f64 {
    radius_m + Profile::published().radius_m(radius_m)
}
