//! What a throw did: its path, where it turned, where it left the oil and how it came to the pins.

use alloc::vec::Vec;
use boardwise_ball::Entry;
use boardwise_units::{Board, Degrees, Feet, INCH_M, Mph, Rpm, court, math};
use glam::{DVec2, DVec3};

/// The ball at one distance. Angles are positive when it travels away from the bowling-hand side, as entry angles are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PathRow {
    /// Distance from the foul line.
    pub feet: f64,
    /// Board under the middle of the ball.
    pub board: f64,
    /// Direction of travel.
    pub angle: Degrees,
    /// Speed.
    pub speed: Mph,
    /// Rev rate.
    pub rev_rate: Rpm,
    /// Speed of the contact point over the lane, m/s.
    pub slip_m_s: f64,
    /// Friction coefficient in force.
    pub friction: f64,
    /// Velocity of the centre, m/s.
    pub velocity_m_s: DVec2,
    /// Angular velocity in the lane's frame, rad/s.
    pub spin_rad_s: DVec3,
    /// Time since release, s.
    pub time_s: f64,
}

/// A place on the lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Board from the bowling-hand side.
    pub board: Board,
    /// Distance from the foul line.
    pub feet: Feet,
}

/// A side of the lane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The bowling-hand side.
    Hand,
    /// The other side.
    Away,
}

/// First touch of a pin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PinTouch {
    /// The pin touched first, 1 to 10, numbered as a right-hander sees the rack from the bowling-hand side.
    pub pin: u8,
    /// The ball at that moment.
    pub entry: Entry,
}

impl PinTouch {
    /// Entry board: where the ball's line of entry crosses the head pin's row, 60 ft.
    pub fn board(&self) -> Board {
        Board::from_metres(self.entry.at_head_pin_row().x_m)
    }

    /// Entry angle, positive from the bowling-hand side toward the pocket.
    pub fn angle(&self) -> Degrees {
        heading(self.entry.velocity_m_s.truncate())
    }

    /// Speed at the pins.
    pub fn speed(&self) -> Mph {
        Mph::from_metres_per_second(self.entry.velocity_m_s.length())
    }
}

/// A whole throw.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// One row per foot from the foul line to 60 ft, as if no pin stood; shorter if the ball left the lane.
    pub rows: Vec<PathRow>,
    /// First touch of a pin, unless the ball left the lane or missed them all.
    pub touch: Option<PinTouch>,
    /// Where the ball dropped into a gutter.
    pub gutter: Option<(Feet, Side)>,
    /// The place closest to the bowling-hand gutter.
    pub breakpoint: Place,
    /// Where it crossed the end of the pattern, if there is one: of the longest stroke, which may lie on other boards than the ball.
    pub exit: Option<Place>,
    /// Where it passed 15 ft, at the arrows.
    pub arrows: Option<Place>,
    /// Distance from which it rolled (slip under 2.5% of its speed) for good.
    pub roll: Option<Feet>,
    /// Time to 60 ft, or to the gutter, s.
    pub time_s: f64,
}

/// Direction of travel, positive away from the bowling-hand side.
pub(crate) fn heading(velocity_m_s: DVec2) -> Degrees {
    Degrees::from_radians(math::atan2(-velocity_m_s.x, velocity_m_s.y))
}

/// The end of a path just before the pins, from which the first touch follows: the ball keeps its last curvature over
/// the half second that matters.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Approach {
    pub x_m: f64,
    pub y_m: f64,
    /// dx/dy.
    pub lean: f64,
    /// d²x/dy².
    pub bend_per_m: f64,
}

impl Approach {
    /// Where the ball, going on like this, first touches a standing pin: pin number, x and y of its centre.
    ///
    /// None if it reaches the pit or leaves the lane first.
    pub fn first_touch(&self, ball_radius_m: f64) -> Option<(u8, f64, f64)> {
        let reach_m = ball_radius_m + court::PIN_CONTACT_RADIUS_M;
        let x_at = |y: f64| {
            let d = y - self.y_m;
            self.x_m + d * (self.lean + 0.5 * d * self.bend_per_m)
        };
        let mut first: Option<(u8, f64, f64)> = None;
        for (k, (x_in, behind_in)) in court::PIN_SPOTS_IN.into_iter().enumerate() {
            let (px, py) = (x_in * INCH_M, court::HEAD_PIN_M + behind_in * INCH_M);
            if first.is_some_and(|(_, _, best)| py - reach_m > best) {
                continue;
            }
            // A few rounds of the straight-line solution along the local tangent.
            let mut y = py - 0.5 * reach_m;
            let mut hit = false;
            for _ in 0..4 {
                let lean = self.lean + (y - self.y_m) * self.bend_per_m;
                let x = x_at(y);
                // Distance of the pin from the tangent, and the foot of its perpendicular.
                let scale = 1.0 / (1.0 + lean * lean);
                let foot_y = y + ((px - x) * lean + (py - y)) * scale;
                let miss = (px - x - lean * (py - y)) * math::sqrt(scale);
                hit = miss.abs() < reach_m;
                if !hit {
                    break;
                }
                y = foot_y - math::sqrt((reach_m * reach_m - miss * miss) * scale);
            }
            if hit && y > self.y_m && first.is_none_or(|(_, _, best)| y < best) {
                first = Some((k as u8 + 1, x_at(y), y));
            }
        }
        first.filter(|&(_, x, _)| x.abs() <= 0.5 * court::WIDTH_M)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const R: f64 = 0.1085;

    #[test]
    fn law_a_straight_ball_touches_where_circles_meet() {
        let reach = R + court::PIN_CONTACT_RADIUS_M;
        let straight = |x_m| Approach { x_m, y_m: 18.0, lean: 0.0, bend_per_m: 0.0 };
        let (pin, x, y) = straight(0.05).first_touch(R).unwrap();
        assert_eq!(pin, 1);
        assert!((x - 0.05).abs() < 1e-12);
        assert!((court::HEAD_PIN_M - y - (reach * reach - 0.0025).sqrt()).abs() < 1e-9);
        // Past the head pin on the hand side stand 3, then 6, then 10.
        assert_eq!(straight(0.17).first_touch(R).unwrap().0, 3);
        assert_eq!(straight(0.325).first_touch(R).unwrap().0, 6);
        assert_eq!(straight(0.48).first_touch(R).unwrap().0, 10);
        assert_eq!(straight(-0.17).first_touch(R).unwrap().0, 2);
    }

    #[test]
    fn law_touching_points_lie_one_contact_distance_from_the_pin_on_the_curve() {
        let curve = Approach { x_m: 0.16, y_m: 18.0, lean: -0.09, bend_per_m: -0.02 };
        let (pin, x, y) = curve.first_touch(R).unwrap();
        let (px, py) = court::PIN_SPOTS_IN[usize::from(pin) - 1];
        let d = (x - px * INCH_M).hypot(y - court::HEAD_PIN_M - py * INCH_M);
        assert!((d - R - court::PIN_CONTACT_RADIUS_M).abs() < 1e-7);
        let dy = y - 18.0;
        assert!((x - (0.16 - 0.09 * dy - 0.01 * dy * dy)).abs() < 1e-12);
    }
}
