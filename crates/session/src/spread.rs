//! Many shots meant alike, foot by foot: what the band of a lane picture is drawn from.

use boardwise_ball::Ball;
use boardwise_lane::{ContactLaw, Fineness, LaneError, Path, Release, TrackForm, throw};

use super::Scene;

/// Shots behind a band. Even if drawn at random, the edge that leaves out one shot in ten would be known to 0.11
/// standard deviations; evenly spread ones do better.
pub const SHOTS: u32 = 256;

/// Steps four times the reference's move a path by less than a tenth of a board. The track of one revolution is what the
/// search throws with too, so that a line's band and its pocket share belong together; with strong flare it lies up to 0.4
/// board from the reference at the pins, while the reference's grid of the whole cover takes thirty times as long.
const FINENESS: Fineness = Fineness { step_s: 4e-3, track: TrackForm::Ring };

/// A throw as meant, followed as its band's shots are.
///
/// # Errors
/// If the release is not possible.
pub fn path(scene: &Scene, ball: &Ball, meant: &Release) -> Result<Path, LaneError> {
    throw(&scene.lane, ball, meant, &ContactLaw::default(), FINENESS)
}

/// The bowler's shots around a release, spread evenly over the six ways to be off (scrambled Sobol points, repeatable
/// by seed). Shots that nobody can throw are left out.
pub fn shots(scene: &Scene, ball: &Ball, meant: &Release, seed: u64) -> Vec<Path> {
    sample(scene, ball, meant, seed, SHOTS, FINENESS)
}

fn sample(scene: &Scene, ball: &Ball, meant: &Release, seed: u64, count: u32, fineness: Fineness) -> Vec<Path> {
    let releases = scene.bowler.spread.releases(meant, count, seed);
    let law = ContactLaw::default();
    releases.into_iter().filter_map(|release| throw(&scene.lane, ball, &release, &law, fineness).ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_files::{parse_bag, parse_bowler, parse_lane};
    use boardwise_units::{Board, Degrees};

    fn scene(lane: &str, ball: &str, bowler: &str) -> Scene {
        let of = |entries: &[boardwise_files::Entry], id: &str| *entries.iter().find(|entry| entry.id == id).unwrap();
        let (lane, bag, bowler) =
            (of(&boardwise_files::LANES, lane), boardwise_files::BAGS[0], of(&boardwise_files::BOWLERS, bowler));
        let bag = parse_bag(bag.path, bag.text.as_bytes()).unwrap().value;
        let ball = bag.get(ball).unwrap();
        let lane = parse_lane(lane.path, lane.text.as_bytes()).unwrap().value;
        Scene::new(lane, bag, vec![ball], parse_bowler(bowler.path, bowler.text.as_bytes()).unwrap().value)
    }

    fn released(scene: &Scene) -> Release {
        Release { laydown: Board(17.0), launch: Degrees(1.5), ..scene.bowler.release }
    }

    /// Boards at 60 ft below which a share of the shots passes; those in a gutter count where they were lost.
    fn quantile(paths: &[Path], share: f64) -> f64 {
        let mut boards: Vec<f64> = paths.iter().map(|path| path.rows.last().unwrap().board).collect();
        boards.sort_by(f64::total_cmp);
        boards[(share * (boards.len() - 1) as f64).round() as usize]
    }

    #[test]
    fn law_a_band_of_256_shots_is_where_that_of_4096_is() {
        let scene = scene("house-40-walled", "strong-solid", "right-straighter");
        let (ball, meant) = (&scene.balls[0].ball, released(&scene));
        let many = sample(&scene, ball, &meant, 9, 4096, FINENESS);
        let deviation = (quantile(&many, 0.84) - quantile(&many, 0.16)) / 2.0;
        for seed in 1..=4 {
            let few = shots(&scene, ball, &meant, seed);
            assert_eq!(few.len(), SHOTS as usize);
            for share in [0.1, 0.25, 0.75, 0.9] {
                let off = (quantile(&few, share) - quantile(&many, share)) / deviation;
                assert!(off.abs() < 0.25, "seed {seed}, {share}: {off} deviations");
            }
        }
        assert_eq!(shots(&scene, ball, &meant, 1), shots(&scene, ball, &meant, 1), "repeatable by seed");
        assert_ne!(shots(&scene, ball, &meant, 1), shots(&scene, ball, &meant, 2));
    }

    #[test]
    fn law_the_steps_of_a_band_move_it_by_less_than_a_tenth_of_a_board() {
        for (lane, ball, bowler) in [
            ("house-40-walled", "strong-solid", "right-straighter"),
            ("short-32-flat", "urethane-dull", "two-handed"),
            ("long-45-flat", "weak-pearl", "left-handed"),
        ] {
            let scene = scene(lane, ball, bowler);
            let (ball, meant) = (&scene.balls[0].ball, released(&scene));
            let thrown = |step_s| sample(&scene, ball, &meant, 1, 32, Fineness { step_s, ..FINENESS });
            let shots = thrown(FINENESS.step_s).into_iter().zip(thrown(FINENESS.step_s / 8.0));
            for (coarse, fine) in shots {
                for (a, b) in coarse.rows.iter().zip(&fine.rows) {
                    assert!((a.board - b.board).abs() < 0.1, "{lane}: {} and {} at {} ft", a.board, b.board, a.feet);
                }
            }
        }
    }
}
