//! One throw: from oil, ball and release to where the ball meets the pins.

use boardwise_lane::ball::{Ball, BallSpec, CoverKind, Surface};
use boardwise_lane::units::{Board, Feet, Inches, Microlitres, Mph, Rpm};
use boardwise_lane::{Coating, ContactLaw, Direction, Film, Fineness, Lane, Release, Stroke, throw};
use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    // Oil as a machine lays it: much in the middle, little outside, 40 ft long. The buffer smears it over 2.5 ft.
    let stroke =
        |boards, feet, microlitres, direction| Stroke { boards, feet, oil: Microlitres(microlitres), direction };
    let oil = [
        stroke((2.0, 38.0), (0.0, 20.0), 6000.0, Direction::Out),
        stroke((10.0, 30.0), (0.0, 40.0), 16_000.0, Direction::Out),
    ];
    let lane = Lane::new(Coating::Oil(Film::from_strokes(&oil, 2.5)?));

    // A spec starts from a middling ball: state what you know of yours.
    let spec = BallSpec {
        surface: Surface::sanded(2000.0),
        rg: Inches(2.5),
        differential: Inches(0.05),
        ..BallSpec::new("solid", CoverKind::Reactive)
    };
    let (ball, warnings) = Ball::new(spec)?;
    assert!(warnings.is_empty(), "within the rules");

    // Laid down on board 25, looking at board 15 at the arrows.
    let release = Release { laydown: Board(25.0), speed: Mph(18.0), rev_rate: Rpm(350.0), ..Release::default() }
        .aimed_at(Board(15.0), Feet(15.0));
    let path = throw(&lane, &ball, &release, &ContactLaw::default(), Fineness::default())?;

    for row in path.rows.iter().step_by(10) {
        let (angle_deg, speed_mph) = (row.angle.0, row.speed.0);
        println!("{:2.0} ft: board {:4.1}, {angle_deg:5.1} degrees, {speed_mph:.1} mph", row.feet, row.board);
    }
    println!("breakpoint: board {:.1} at {:.0} ft", path.breakpoint.board.0, path.breakpoint.feet.0);
    match path.touch {
        Some(touch) => println!("entry: board {:.1} at {:.1} degrees", touch.board().0, touch.angle().0),
        None => println!("no pin touched; gutter: {:?}", path.gutter),
    }
    Ok(())
}
