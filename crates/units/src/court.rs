//! The published dimensions of a lane, its marks and its pins.
//!
//! Tags follow `truth/README.md`: \[P\] published source read, \[S\] secondary source, \[M\] from memory, \[C\] computed.

use crate::{Board, FOOT_M, Feet, INCH_M};

pub use crate::length::{BOARD_M, CENTRE_BOARD, OIL_UNIT_M, WIDTH_M};

/// Boards across a lane.
pub const BOARDS: usize = 39;
/// Foul line to the head pin's spot \[S: Rules of the Game, 1990\].
pub const HEAD_PIN_FT: f64 = 60.0;
/// Foul line to the head pin's spot, in metres.
pub const HEAD_PIN_M: f64 = HEAD_PIN_FT * FOOT_M;
/// Head pin's spot to the pit, 34 3/16 in \[S: Rules of the Game, 1990\].
pub const PIT_BEHIND_HEAD_PIN_M: f64 = 34.1875 * INCH_M;
/// Width of a gutter, 9 1/4 in (9 to 9 1/2 allowed) \[S/M\].
pub const GUTTER_WIDTH_M: f64 = 9.25 * INCH_M;
/// Standard acceleration of gravity \[P: 3rd CGPM, 1901\].
pub const GRAVITY_M_S2: f64 = 9.806_65;

/// Radius of an upright pin where a ball touches it, 4.27 in above its base \[C from the pin's profile, M\].
pub const PIN_CONTACT_RADIUS_M: f64 = 0.060_528_2;

/// Spots of pins 1 to 10: inches to the right of the centre line and inches behind the head pin. A 12 in triangle,
/// rows 10.392 in apart \[C from the published triangle\].
pub const PIN_SPOTS_IN: [(f64, f64); 10] = {
    const ROW: f64 = 10.392_304_845_413_264; // 12 sin 60
    [
        (0.0, 0.0),
        (-6.0, ROW),
        (6.0, ROW),
        (-12.0, 2.0 * ROW),
        (0.0, 2.0 * ROW),
        (12.0, 2.0 * ROW),
        (-18.0, 3.0 * ROW),
        (-6.0, 3.0 * ROW),
        (6.0, 3.0 * ROW),
        (18.0, 3.0 * ROW),
    ]
};

/// Places of the seven arrows: boards 5, 10, … 35, the outer ones nearest the foul line \[S/M\].
pub const ARROWS: [(Board, Feet); 7] = [
    (Board(5.0), Feet(12.5)),
    (Board(10.0), Feet(13.58)),
    (Board(15.0), Feet(14.67)),
    (Board(20.0), Feet(15.75)),
    (Board(25.0), Feet(14.67)),
    (Board(30.0), Feet(13.58)),
    (Board(35.0), Feet(12.5)),
];

/// Places of the lane's dots, about 7 ft from the foul line \[S\].
pub const DOTS: [(Board, Feet); 10] = [
    (Board(3.0), Feet(7.0)),
    (Board(5.0), Feet(7.0)),
    (Board(8.0), Feet(7.0)),
    (Board(11.0), Feet(7.0)),
    (Board(14.0), Feet(7.0)),
    (Board(26.0), Feet(7.0)),
    (Board(29.0), Feet(7.0)),
    (Board(32.0), Feet(7.0)),
    (Board(35.0), Feet(7.0)),
    (Board(37.0), Feet(7.0)),
];
