//! How a bowler lets go of the ball.

use crate::LaneError;
use boardwise_ball::Ball;
use boardwise_units::{Board, Degrees, Feet, Mph, Rpm, court, math};
use glam::{DMat3, DVec3};

/// A release, as the ball leaves the hand over the foul line.
///
/// ```
/// use boardwise_lane::Release;
/// use boardwise_units::{Board, Degrees, Feet};
/// let release = Release { laydown: Board(18.0), ..Release::default() }.aimed_at(Board(10.0), Feet(15.0));
/// assert!((release.launch.0 - 2.71).abs() < 0.01);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Release {
    /// Board under the middle of the ball at the foul line.
    pub laydown: Board,
    /// Launch angle, positive toward the bowling-hand gutter.
    pub launch: Degrees,
    /// Speed at release.
    pub speed: Mph,
    /// Rev rate.
    pub rev_rate: Rpm,
    /// Axis rotation: 0 end over end, 90 full side roll.
    pub rotation: Degrees,
    /// Axis tilt: 0 with the axis level.
    pub tilt: Degrees,
    /// How far past the foul line the ball first touches the lane.
    pub loft: Feet,
}

impl Default for Release {
    /// A middling bowler: 18 mph, 350 rpm, 45 degrees of rotation, 15 of tilt, from board 17 at 1.5 degrees.
    fn default() -> Self {
        Self {
            laydown: Board(17.0),
            launch: Degrees(1.5),
            speed: Mph(18.0),
            rev_rate: Rpm(350.0),
            rotation: Degrees(45.0),
            tilt: Degrees(15.0),
            loft: Feet(1.0),
        }
    }
}

impl Release {
    /// The same release aimed so that, going straight, it would cross `board` at `feet`.
    ///
    /// A ball that hooks crosses `feet` further inside: by one or two boards at the arrows on a usual pattern, by five or six
    /// on a nearly dry lane. [`Path::arrows`](crate::Path::arrows) and [`Finish::arrows`](crate::Finish::arrows) say where it
    /// does cross.
    #[must_use]
    pub fn aimed_at(self, board: Board, feet: Feet) -> Self {
        let across_m = board.to_metres() - self.laydown.to_metres();
        let launch = Degrees::from_radians(math::atan2(across_m, feet.to_metres()));
        Self { launch, ..self }
    }

    /// Checks that a person could throw this on this lane.
    ///
    /// # Errors
    /// If a value is not a number or outside what is possible; the error names it and what is allowed.
    pub fn check(&self) -> Result<(), LaneError> {
        let bounds = [
            ("laydown", self.laydown.0, 0.5, 39.5),
            ("launch_deg", self.launch.0, -15.0, 15.0),
            ("speed_mph", self.speed.0, 5.0, 40.0),
            ("rev_rate_rpm", self.rev_rate.0, 0.0, 900.0),
            ("rotation_deg", self.rotation.0, -30.0, 120.0),
            ("tilt_deg", self.tilt.0, -30.0, 90.0),
            ("loft_ft", self.loft.0, 0.0, 15.0),
        ];
        for (key, value, low, high) in bounds {
            if !(low..=high).contains(&value) {
                return Err(LaneError::range(key, value, low, high));
            }
        }
        Ok(())
    }

    /// Velocity at release, m/s.
    pub fn velocity_m_s(&self) -> DVec3 {
        let (launch, speed) = (self.launch.to_radians(), self.speed.to_metres_per_second());
        DVec3::new(speed * math::sin(launch), speed * math::cos(launch), 0.0)
    }

    /// Direction of the angular velocity: (−cos t cos a, −cos t sin a, sin t) for rotation a and tilt t.
    pub fn spin_direction(&self) -> DVec3 {
        let (a, t) = (self.rotation.to_radians(), self.tilt.to_radians());
        let level = math::cos(t);
        DVec3::new(-level * math::cos(a), -level * math::sin(a), math::sin(t))
    }

    /// Angular velocity at release, rad/s.
    pub fn spin_rad_s(&self) -> DVec3 {
        self.spin_direction() * self.rev_rate.to_radians_per_second()
    }

    /// Core axes (low, intermediate, high RG) as columns in the lane's frame at release.
    ///
    /// The positive axis point is where the spin axis leaves the ball on the bowling-hand side.
    pub fn core_in_lane(&self, ball: &Ball) -> DMat3 {
        Self::core_about(self.spin_direction(), ball)
    }

    /// As [`core_in_lane`](Self::core_in_lane), where the direction of the spin is known.
    pub(crate) fn core_about(spin_direction: DVec3, ball: &Ball) -> DMat3 {
        let axis = -spin_direction;
        let up = DVec3::Z.reject_from_normalized(axis).try_normalize().unwrap_or(DVec3::Y);
        DMat3::from_cols(axis, up, axis.cross(up)) * ball.core_axes
    }

    /// Downward speed as the ball lands after its loft, m/s: it leaves the hand level and falls freely.
    pub fn landing_speed_m_s(&self) -> f64 {
        court::GRAVITY_M_S2 * self.loft.to_metres() / self.velocity_m_s().y
    }
}
