//! The layout: how the core sits to the axis the bowler puts the ball on.

use boardwise_units::{INCH_M, math};
use glam::{DMat3, DVec3};

/// Where the core's principal axes stand at release, seen from the bowler's axis.
///
/// The release frame has three directions: `axis`, toward the positive axis point (PAP); `up`, along the vertical axis
/// line (VAL) through it; and `grip`, across the VAL toward the grip. For a left-hander it is the mirror image, so
/// the same numbers describe the same layout.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Layout {
    /// Pin-to-PAP distance and the two layout angles.
    Angles {
        /// Distance over the cover from pin to PAP, metres.
        pin_to_pap_m: f64,
        /// Angle at the pin between the lines to the PAP and to the mass bias, radians. Only asymmetric cores feel it.
        drilling_rad: f64,
        /// Angle at the PAP between the VAL and the line to the pin, radians.
        val_rad: f64,
    },
    /// The low-RG (pin) and high-RG (mass bias) axes given directly in the release frame (axis, up, grip).
    Axes {
        /// Direction of the low-RG axis.
        low: DVec3,
        /// Direction of the high-RG axis; made square to `low`.
        high: DVec3,
    },
}

impl Default for Layout {
    /// A common strong layout: pin 4 in from the PAP, 50 and 40 degrees.
    fn default() -> Self {
        Self::Angles { pin_to_pap_m: 4.0 * INCH_M, drilling_rad: 50f64.to_radians(), val_rad: 40f64.to_radians() }
    }
}

/// The release frame's axes in some other frame: axis, up, grip as columns.
pub type ReleaseFrame = DMat3;

impl Layout {
    /// Core axes (low, intermediate, high RG) as columns, in the release frame (axis, up, grip); right-handed.
    ///
    /// `radius_m` turns the pin-to-PAP distance into an arc. None if the given axes are degenerate.
    pub fn core_axes(&self, radius_m: f64) -> Option<DMat3> {
        let (low, high) = match *self {
            Self::Angles { pin_to_pap_m, drilling_rad, val_rad } => {
                let arc = pin_to_pap_m / radius_m;
                let pap = DVec3::X;
                let toward_pin = DVec3::new(0.0, math::cos(val_rad), math::sin(val_rad));
                let pin = pap * math::cos(arc) + toward_pin * math::sin(arc);
                // At the pin, the way back to the PAP; the mass bias lies clockwise from it seen from outside
                // (common practice for a right-hander, no source).
                let toward_pap = pap * math::sin(arc) - toward_pin * math::cos(arc);
                let high = toward_pap * math::cos(drilling_rad) - pin.cross(toward_pap) * math::sin(drilling_rad);
                (pin, high)
            }
            Self::Axes { low, high } => (low.try_normalize()?, high),
        };
        let high = high.reject_from_normalized(low).try_normalize()?;
        (low.is_finite() && high.is_finite()).then(|| DMat3::from_cols(low, high.cross(low), high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_units::Inches;

    #[test]
    fn law_layout_distances_and_angles_come_back() {
        let radius_m = 0.1085;
        for (inches, drilling, val) in [(1.0, 30.0, 20.0), (3.375, 50.0, 40.0), (5.0, 75.0, 70.0)] {
            let layout = Layout::Angles {
                pin_to_pap_m: Inches(inches).to_metres(),
                drilling_rad: f64::to_radians(drilling),
                val_rad: f64::to_radians(val),
            };
            let axes = layout.core_axes(radius_m).unwrap();
            assert!((axes.determinant() - 1.0).abs() < 1e-12);
            let (pin, high) = (axes.col(0), axes.col(2));
            assert!((pin.dot(DVec3::X).acos() * radius_m - Inches(inches).to_metres()).abs() < 1e-12);
            // Angle at the PAP from "up" to the pin, toward the grip.
            assert!((pin.z.atan2(pin.y).to_degrees() - val).abs() < 1e-9);
            // Angle at the pin between PAP and mass bias.
            let toward_pap = DVec3::X.reject_from_normalized(pin).normalize();
            assert!((toward_pap.dot(high).acos().to_degrees() - drilling).abs() < 1e-9);
        }
    }

    #[test]
    fn law_degenerate_axes_are_refused() {
        assert!(Layout::Axes { low: DVec3::X, high: DVec3::X * 2.0 }.core_axes(0.1).is_none());
        assert!(Layout::Axes { low: DVec3::ZERO, high: DVec3::X }.core_axes(0.1).is_none());
        assert!(Layout::Axes { low: DVec3::NAN, high: DVec3::X }.core_axes(0.1).is_none());
    }
}
