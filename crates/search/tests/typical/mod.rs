//! The patterns, balls, bowlers and payoff that the rules of thumb and the examples share.

pub mod rules;

use boardwise_ball::{Ball, BallSpec, CoverKind, Surface};
use boardwise_lane::{Coating, Direction, Film, Lane, Release, Stroke};
use boardwise_pins::carry::Carry;
use boardwise_search::{Bowler, Pocket, Range, Spread, Strikes, USUAL_SLIDE_OFFSET_BOARDS};
use boardwise_units::{Degrees, Hand, Inches, Microlitres, Mph, Rpm};
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
    Carry::parse(include_bytes!("../../../files/data/carry/carry.bin")).expect("the table of the data folder")
});

/// Strikes of a right-hander with this ball.
pub fn strikes(ball: &Ball) -> Strikes<'static> {
    Strikes::new(&CARRY, ball, Hand::Right, Pocket::default())
}

/// A spare ball.
pub fn plastic() -> Ball {
    ball(CoverKind::Plastic, Surface::polished(), 2.68, 0.010)
}

/// Spreads at the arrows of bowlers of 220, 200 and 160 average, over that of the usual [C from P: USBC magazine 2012].
pub const OF_220: f64 = 0.65 / 0.88;
pub const OF_200: f64 = 0.97 / 0.88;
pub const OF_160: f64 = 1.46 / 0.88;

/// A right-hander with a usual spread who throws in this one way.
pub fn right_hander(release: Release) -> Bowler {
    let range = Range { speed: (release.speed, release.speed), rotation: (release.rotation, release.rotation) };
    Bowler {
        name: "typical".into(),
        hand: Hand::Right,
        release,
        spread: Spread::default(),
        range,
        slide_offset_boards: USUAL_SLIDE_OFFSET_BOARDS,
        spare_release: None,
    }
}

/// How a rev-dominant bowler throws: slower, with more hand.
pub fn rev_dominant() -> Release {
    Release { speed: Mph(17.5), rev_rate: Rpm(430.0), rotation: Degrees(55.0), ..Release::default() }
}

/// The usual right-hander, who can change half a mile and five degrees.
pub fn adapting() -> Bowler {
    let range = Range { speed: (Mph(17.5), Mph(18.5)), rotation: (Degrees(40.0), Degrees(50.0)) };
    Bowler { range, ..right_hander(Release::default()) }
}

/// A spread with laydown, launch and speed times `share`.
pub fn wider(spread: &Spread, share: f64) -> Spread {
    Spread {
        laydown_boards: spread.laydown_boards * share,
        launch: Degrees(spread.launch.0 * share),
        speed: Mph(spread.speed.0 * share),
        ..*spread
    }
}

/// A bowler at spares whose shots spread by `share` of a usual one's.
pub fn spare_bowler(hand: Hand, share: f64) -> Bowler {
    let release = Release { rotation: Degrees(35.0), ..Release::default() };
    Bowler { hand, spread: wider(&Spread::default(), share), ..right_hander(release) }
}
