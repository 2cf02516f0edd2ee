//! Both engines against an independent adaptive integration by a general solver.

mod peer;

use ball::{Ball, BallSpec, CoverKind};
use lane::{Coating, ContactLaw, Direction, Film, Fineness, Lane, Release, Stroke, TrackForm, throw_to};
use measure::{Board, Degrees, Feet, Inches, Microlitres};

#[test]
fn truth_reference_agrees_with_a_general_adaptive_solver() {
    let stroke = |boards, end, ul| Stroke { boards, feet: (0.0, end), oil: Microlitres(ul), direction: Direction::Out };
    let strokes = [stroke((2.0, 38.0), 40.0, 12_000.0), stroke((10.0, 30.0), 34.0, 12_000.0)];
    let lane = Lane::new(Coating::Oil(Film::from_strokes(&strokes, 2.0).unwrap()));
    let spec = BallSpec { intermediate: Inches(0.015), ..BallSpec::new("t", CoverKind::Reactive) };
    let ball = Ball::new(spec).unwrap().0;
    let law = ContactLaw::coulomb();
    for k in 0..8 {
        let release = Release {
            laydown: Board(12.0 + f64::from(k)),
            launch: Degrees(1.0 + 0.2 * f64::from(k)),
            loft: Feet(0.0),
            ..Release::default()
        };
        let fineness = Fineness { step_s: 5e-4, track: TrackForm::Dry };
        let path = throw_to(&lane, None, &ball, &release, &law, fineness).unwrap();
        let Some(end) = path.rows.get(60) else { continue };
        let across_m = peer::across_m(&lane, &ball, &release, &law, end.time_s, 1e-9);
        // The solver's smoothed slip (0.01 m/s) alone is worth about 0.001 board (design notes [C]).
        assert!((Board::from_metres(across_m).0 - end.board).abs() < 0.01, "{k}: {}", end.board);
    }
}
