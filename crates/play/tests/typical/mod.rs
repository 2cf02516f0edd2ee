//! The patterns, balls and payoff that the rules of thumb and the table of lengths share.

use ball::{Ball, BallSpec, CoverKind, Surface};
use lane::{Coating, Direction, Film, Lane, Stroke};
use measure::{Hand, Inches, Microlitres};
use pins::carry::Carry;
use play::{Pocket, Strikes};
use std::sync::LazyLock;

/// A pattern whose outer boards hold `outside` of the oil of the middle ones; most in the heads.
pub fn pattern(length: f64, outside: f64) -> Lane {
    let stroke = |boards, feet, ul: f64| Stroke { boards, feet, oil: Microlitres(ul), direction: Direction::Out };
    let mut strokes = Vec::new();
    for (end, per_foot) in [(1.0, 320.0), (0.7, 420.0), (0.35, 800.0)] {
        let ul = per_foot * end * length;
        strokes.push(stroke((1.0, 39.0), (0.0, end * length), ul * outside));
        strokes.push(stroke((9.0, 31.0), (0.0, end * length), ul * (1.0 - outside) * 23.0 / 39.0));
    }
    Lane::new(Coating::Oil(Film::from_strokes(&strokes, 1.5).unwrap()))
}

pub fn ball(cover: CoverKind, surface: Surface, rg: f64, differential: f64) -> Ball {
    let spec = BallSpec { surface, rg: Inches(rg), differential: Inches(differential), ..BallSpec::new("b", cover) };
    Ball::new(spec).unwrap().0
}

pub fn urethane() -> Ball {
    ball(CoverKind::Urethane, Surface::sanded(1000.0), 2.55, 0.030)
}

pub fn dull() -> Ball {
    ball(CoverKind::Reactive, Surface::sanded(1500.0), 2.48, 0.050)
}

pub fn shiny() -> Ball {
    ball(CoverKind::Reactive, Surface::polished(), 2.56, 0.035)
}

/// The carry table of the data folder.
pub static CARRY: LazyLock<Carry> = LazyLock::new(|| {
    Carry::parse(include_bytes!("../../../../data/carry/carry.bin")).expect("the table of the data folder")
});

/// Strikes of a right-hander with this ball.
pub fn strikes(ball: &Ball) -> Strikes<'static> {
    Strikes::new(&CARRY, ball, Hand::Right, Pocket::default())
}
