//! Where paths end, one line a throw, for a comparison of two machines: first the cases that an independent solver checks
//! (`crates/lane/tests/truth_adaptive.rs`), as the reference engine throws them; then random throws of the batch engine.
//!
//! A line holds the kind, what the ball met, and where: the board and the angle in degrees, with all digits. A ball in the gutter has
//! neither.

use boardwise_ball::{Ball, BallError, BallSpec, CoverKind};
use boardwise_lane::{
    Coating, ContactLaw, Direction, Film, Fineness, Finish, Lane, Release, Runway, Stroke, TrackForm, throw,
};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Degrees, Feet, Inches, Microlitres, Mph, Rpm};

/// Random throws, over this many balls.
const THROWS: u64 = 1000;
const BALLS: u64 = 10;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let stroke = |boards, end, ul| Stroke { boards, feet: (0.0, end), oil: Microlitres(ul), direction: Direction::Out };
    let strokes = [stroke((2.0, 38.0), 40.0, 12_000.0), stroke((10.0, 30.0), 34.0, 12_000.0)];
    let lane = Lane::new(Coating::Oil(Film::from_strokes(&strokes, 2.0)?));
    oracle(&lane)?;
    random(&lane)?;
    Ok(())
}

/// The eleven cases of the adaptive solver.
fn oracle(lane: &Lane) -> Result<(), Box<dyn std::error::Error>> {
    let law = ContactLaw::coulomb();
    let strong = Ball::new(BallSpec { intermediate: Inches(0.015), ..BallSpec::new("t", CoverKind::Reactive) })?.0;
    for k in 0..8 {
        let across = f64::from(k);
        let release = Release {
            laydown: Board(12.0 + across),
            launch: Degrees(1.0 + 0.2 * across),
            loft: Feet(0.0),
            ..Release::default()
        };
        let fineness = Fineness { step_s: 5e-4, track: TrackForm::Dry };
        let path = throw(lane, &strong, &release, &law, fineness)?;
        if let Some(end) = path.rows.get(60) {
            println!("oracle 60-ft {} 0", end.board);
        }
    }
    for (differential, laydown) in [(0.0, 14.0), (0.02, 15.0), (0.05, 16.0)] {
        let ball =
            Ball::new(BallSpec { differential: Inches(differential), ..BallSpec::new("t", CoverKind::Reactive) })?.0;
        let release = Release { laydown: Board(laydown), launch: Degrees(1.5), loft: Feet(0.0), ..Release::default() };
        let fineness = Fineness { step_s: 2e-4, track: TrackForm::Ring };
        let path = throw(lane, &ball, &release, &law, fineness)?;
        if let Some(end) = path.rows.get(60) {
            println!("oracle 60-ft {} 0", end.board);
        }
    }
    Ok(())
}

/// Throws as bowlers make them: every cover, speed and rev rate within what is usual.
fn random(lane: &Lane) -> Result<(), BallError> {
    let law = ContactLaw::default();
    for index in 0..BALLS {
        let mut draw = Stream::keyed(1, "ends", index);
        let mut between = |low: f64, high: f64| low + (high - low) * draw.uniform();
        let cover = [CoverKind::Reactive, CoverKind::Urethane][usize::from(index % 3 == 2)];
        let differential = Inches(between(0.0, 0.058));
        let ball = Ball::new(BallSpec { differential, ..BallSpec::new("t", cover) })?.0;
        let releases: Vec<Release> = (0..THROWS / BALLS)
            .map(|_| {
                let release = Release {
                    speed: Mph(between(15.0, 21.0)),
                    rev_rate: Rpm(between(200.0, 500.0)),
                    rotation: Degrees(between(20.0, 75.0)),
                    tilt: Degrees(between(5.0, 20.0)),
                    laydown: Board(between(10.0, 28.0)),
                    loft: Feet(between(0.0, 1.5)),
                    ..Release::default()
                };
                release.aimed_at(Board(between(6.0, 14.0)), Feet(42.0))
            })
            .collect();
        for finish in Runway::new(lane, &ball, &law).throw_many(&releases) {
            say(&finish);
        }
    }
    Ok(())
}

fn say(finish: &Finish) {
    match finish.touch {
        Some(touch) => println!("random pin-{} {} {}", touch.pin, touch.board().0, touch.angle().0),
        None if finish.gutter.is_some() => println!("random gutter"),
        None => println!("random past-the-pins"),
    }
}
