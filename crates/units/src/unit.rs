//! The units people type and read, each with its way to SI and back.

use crate::length;
use crate::length::{FOOT_M, INCH_M};

macro_rules! unit {
    ($(#[$doc:meta])* $name:ident, $to:ident, $from:ident, $factor:expr) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl $name {
            /// The SI value.
            pub const fn $to(self) -> f64 {
                self.0 * $factor
            }

            /// From the SI value.
            pub const fn $from(si: f64) -> Self {
                Self(si / $factor)
            }
        }
    };
}

unit!(
    /// Feet from the foul line, or any length in feet.
    Feet, to_metres, from_metres, FOOT_M
);
unit!(
    /// Inches: ball and pin dimensions, radii of gyration.
    Inches, to_metres, from_metres, INCH_M
);
unit!(
    /// Microinches of surface roughness.
    Microinches, to_metres, from_metres, 2.54e-8
);
unit!(
    /// Micrometres of roughness or film.
    Micrometres, to_metres, from_metres, 1e-6
);
unit!(
    /// Miles per hour.
    Mph, to_metres_per_second, from_metres_per_second, 0.44704
);
unit!(
    /// Revolutions per minute.
    Rpm, to_radians_per_second, from_radians_per_second, core::f64::consts::TAU / 60.0
);
unit!(
    /// Degrees of angle.
    Degrees, to_radians, from_radians, core::f64::consts::PI / 180.0
);
unit!(
    /// Pounds of mass.
    Pounds, to_kilograms, from_kilograms, 0.453_592_37
);
unit!(
    /// Microlitres of oil.
    Microlitres, to_cubic_metres, from_cubic_metres, 1e-9
);
unit!(
    /// "Units" of oil film: 0.0167 mL on one square foot (from memory; [`crate::court::OIL_UNIT_M`]).
    OilUnits, to_metres, from_metres, length::OIL_UNIT_M
);

/// A board of the lane, counted 1 to 39 from the gutter on the bowling-hand side.
///
/// A whole number is the middle of a board, so the lane spans 0.5 to 39.5 and 20 is the centre. As a length across
/// the lane, metres are positive toward the bowling-hand side.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Board(pub f64);

impl Board {
    /// Distance from the centre line in metres, positive toward the bowling-hand side.
    pub const fn to_metres(self) -> f64 {
        (length::CENTRE_BOARD - self.0) * length::BOARD_M
    }

    /// The board at a distance from the centre line, positive toward the bowling-hand side.
    pub const fn from_metres(x_m: f64) -> Self {
        Self(length::CENTRE_BOARD - x_m / length::BOARD_M)
    }

    /// The same place counted from the other gutter.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        Self(2.0 * length::CENTRE_BOARD - self.0)
    }

    /// Whether the middle of a ball here is still on the lane.
    pub const fn on_lane(self) -> bool {
        self.0 >= 0.5 && self.0 <= 39.5
    }
}

/// The hand that bowls: boards count from its side of the lane.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Hand {
    /// Boards count from the right gutter.
    #[default]
    Right,
    /// Boards count from the left gutter.
    Left,
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn law_board_twenty_is_the_centre_and_edges_are_half_boards() {
        assert_eq!(Board(20.0).to_metres(), 0.0);
        // 41.5 in wide over 39 boards, as in `court`.
        assert!((Board(0.5).to_metres() - Inches(41.5 / 2.0).to_metres()).abs() < 1e-15);
        assert!(Board(0.5).on_lane() && !Board(0.49).on_lane() && !Board(f64::NAN).on_lane());
    }

    proptest! {
        #[test]
        fn law_units_return_to_themselves(v in -1e6f64..1e6) {
            let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + b.abs());
            prop_assert!(close(Board::from_metres(Board(v).to_metres()).0, v));
            prop_assert!(close(Board(v).mirrored().mirrored().0, v));
            prop_assert!(close(Feet::from_metres(Feet(v).to_metres()).0, v));
            prop_assert!(close(Mph::from_metres_per_second(Mph(v).to_metres_per_second()).0, v));
            prop_assert!(close(Rpm::from_radians_per_second(Rpm(v).to_radians_per_second()).0, v));
            prop_assert!(close(OilUnits::from_metres(OilUnits(v).to_metres()).0, v));
        }
    }
}
