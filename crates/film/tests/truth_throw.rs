//! A film with a throw that is known: rendered by `film_study` (seed 3), coded by ffmpeg.

use boardwise_film::units::Hand;
use boardwise_film::{Reel, Settings, measure, parse_points};

const CLIP: &[u8] = include_bytes!("clips/throw.mp4");
const POINTS: &str = include_str!("clips/throw.points");
const TRUTH: &str = include_str!("clips/throw.truth");

fn truth(name: &str) -> f64 {
    let line = TRUTH.lines().find(|line| line.starts_with(name)).unwrap();
    line.rsplit_once(": ").unwrap().1.parse().unwrap()
}

/// Within three stated errors, and the stated errors small enough to be of use.
#[test]
fn truth_a_known_throw_is_measured() {
    let points = parse_points(POINTS).unwrap();
    let settings = Settings { hand: Hand::Right, pattern_ft: Some(42.0), slowed: 1.0 };
    let measured = measure(&mut Reel::open(CLIP).unwrap(), &points, &settings).unwrap();
    let checks = [
        ("laydown, board", measured.laydown.unwrap(), 0.5),
        ("arrows, board", measured.arrows.unwrap(), 0.5),
        ("breakpoint, board", measured.breakpoint_board, 1.0),
        ("entry, board", measured.entry.unwrap(), 2.0),
        ("release, mph", measured.release_speed, 1.0),
    ];
    for (name, estimate, useful) in checks {
        let off = (estimate.value - truth(name)).abs();
        assert!(
            off < 3.0 * estimate.error.max(0.02) && estimate.error < useful,
            "{name}: {estimate:?}, off by {off:.3}"
        );
    }
}
