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

/// What is drawn over the film sits on the ball: each picture's outline, found without the path, lies within a quarter of its radius of
/// the drawn one, and the ball stands on the drawn line.
#[test]
fn law_the_drawn_path_sits_on_the_ball() {
    let points = parse_points(POINTS).unwrap();
    let measured = measure(&mut Reel::open(CLIP).unwrap(), &points, &Settings::default()).unwrap();
    let laid = measured.laid();
    assert_eq!((laid.size_px, laid.path.len()), ((1080, 1920), 61));
    let mut off: Vec<f64> = Vec::new();
    for s in &measured.sightings {
        let (middle, radius, feet) = measured.ball_px(s.time_s).unwrap();
        off.push((middle - s.middle_px).length() / radius);
        let step = &laid.path[feet as usize];
        let below = step.touch_px - middle;
        assert!(below.x.abs() < radius && below.y > 0.0 && below.y < 2.5 * radius, "{feet:.0} ft: {below}");
    }
    off.sort_by(f64::total_cmp);
    assert!(off[off.len() * 95 / 100] < 0.25, "{:?}", &off[off.len() - 5..]);
}
