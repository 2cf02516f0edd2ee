//! Lengths that others are told in.

/// One international foot in metres, exactly \[P: yard and pound agreement, 1959\].
pub const FOOT_M: f64 = 0.3048;
/// One inch in metres, exactly \[P: yard and pound agreement, 1959\].
pub const INCH_M: f64 = 0.0254;

/// The board in the middle of the lane.
pub const CENTRE_BOARD: f64 = 20.0;
/// Width of the lane, 41.5 in nominal (41 to 42 allowed) \[S: Rules of the Game, 1990\].
pub const WIDTH_M: f64 = 41.5 * INCH_M;
/// Width of one board \[C\].
pub const BOARD_M: f64 = WIDTH_M / 39.0;
/// One "unit" of oil film: 0.0167 mL on one square foot, about 0.180 micrometre \[M\].
pub const OIL_UNIT_M: f64 = 0.0167e-6 / (FOOT_M * FOOT_M);
