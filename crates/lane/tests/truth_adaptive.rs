//! Both engines against an independent adaptive integration by a general solver.

use crate::oiled::oil;
use crate::peer;
use boardwise_ball::{Ball, BallSpec, CoverKind};
use boardwise_lane::{ContactLaw, Fineness, Release, TrackForm, throw};
use boardwise_units::{Board, Degrees, Feet, Inches};

#[test]
fn truth_reference_agrees_with_a_general_adaptive_solver() {
    let lane = oil();
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
        let path = throw(&lane, &ball, &release, &law, fineness).unwrap();
        let Some(end) = path.rows.get(60) else { continue };
        let effort = peer::Effort { tolerance: 1e-9, longest_step_s: end.time_s, track: false };
        let across_m = peer::across_m(&lane, &ball, &release, &law, end.time_s, effort);
        // The solver's smoothed slip (0.01 m/s) alone is worth about 0.001 board (design notes [C]).
        assert!((Board::from_metres(across_m).0 - end.board).abs() < 0.01, "{k}: {}", end.board);
    }
}

#[test]
fn truth_track_film_agrees_with_a_general_adaptive_solver() {
    let lane = oil();
    let law = ContactLaw::coulomb();
    for (k, differential) in [0.0, 0.02, 0.05].into_iter().enumerate() {
        let spec = BallSpec { differential: Inches(differential), ..BallSpec::new("t", CoverKind::Reactive) };
        let ball = Ball::new(spec).unwrap().0;
        let release =
            Release { laydown: Board(14.0 + k as f64), launch: Degrees(1.5), loft: Feet(0.0), ..Release::default() };
        let fineness = Fineness { step_s: 2e-4, track: TrackForm::Ring };
        let path = throw(&lane, &ball, &release, &law, fineness).unwrap();
        let end = path.rows.get(60).unwrap();
        let effort = peer::Effort { tolerance: 1e-5, longest_step_s: 1e-3, track: true };
        let across_m = peer::across_m(&lane, &ball, &release, &law, end.time_s, effort);
        let off = Board::from_metres(across_m).0 - end.board;
        assert!(off.abs() < 0.01, "differential {differential}: {off}");
    }
}
