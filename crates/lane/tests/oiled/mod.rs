//! The oiled lane on which the engines are compared.

use boardwise_lane::{Coating, Direction, Film, Lane, Stroke};
use boardwise_units::Microlitres;

/// 24 mL over 40 ft, more of it in the middle.
pub fn oil() -> Lane {
    let stroke = |boards, end, ul| Stroke { boards, feet: (0.0, end), oil: Microlitres(ul), direction: Direction::Out };
    let strokes = [stroke((2.0, 38.0), 40.0, 12_000.0), stroke((10.0, 30.0), 34.0, 12_000.0)];
    Lane::new(Coating::Oil(Film::from_strokes(&strokes, 2.0).unwrap()))
}
