//! One oil map, one ball and one rev rate against robot throws [P: USBC blog "The Technician", issue 2].

use crate::robot::{Setting, Throw, misfit};

/// Printed by `cargo run --release -p boardwise-tools --bin fit_robot 12000`: the fit of the values the source does not state.
const FITTED: Setting =
    Setting([40.7424, 23.6232, 0.44451, 11.7407, 1.0, 422.739, 44.0132, 8.7566, 0.15, 0.198_989, 2.4743, 1.0]);

#[test]
fn truth_robot_throws_fit_within_their_own_scatter() {
    let throws = Throw::read();
    let misfit = misfit(&FITTED, &throws);
    // Repeats of one throw differ by 0.2 to 0.3 board and up to 1.2 degrees.
    assert!(misfit.board_rms <= 1.0, "{misfit:?}");
    assert!(misfit.angle_rms <= 1.2, "{misfit:?}");
}

#[test]
fn truth_moving_in_lands_toward_the_hand_at_two_degrees_and_away_at_one() {
    let throws = Throw::read();
    let finishes = FITTED.throw_all(&throws);
    let board = |laydown: f64, launch: f64| {
        let k = throws.iter().position(|t| (t.laydown, t.launch_deg, t.speed_mph) == (laydown, launch, 18.0)).unwrap();
        finishes[k].touch.unwrap().board().0
    };
    // Measured: 19.55 to 16.5 at 2 degrees, 21.85 to 29.0 at 1 degree.
    assert!(board(23.0, 2.0) < board(15.0, 2.0) - 1.0);
    assert!(board(23.0, 1.0) > board(15.0, 1.0) + 4.0);
}

#[test]
fn keep_the_robots_speed_effect_has_the_wrong_sign_at_two_degrees() {
    // Measured: a mile an hour more enters 1.35 (2 degrees) and 0.35 (1 degree) boards higher. With the rev rate rising in proportion to
    // speed the model says 2.2 lower and 0.04 higher: a conflict that docs/calibration.md shows, kept so that nobody takes it for solved.
    let throws = Throw::read();
    let finishes = FITTED.throw_all(&throws);
    let board = |launch: f64, speed: f64| {
        let k = throws.iter().position(|t| (t.laydown, t.launch_deg, t.speed_mph) == (15.0, launch, speed)).unwrap();
        finishes[k].touch.unwrap().board().0
    };
    let rise = |launch: f64| board(launch, 19.0) - board(launch, 18.0);
    assert!(rise(2.0) < -1.0, "{}", rise(2.0));
    assert!(rise(1.0).abs() < 0.2, "{}", rise(1.0));
}
