//! The batch engine against the reference, and the symmetries both must keep.

use crate::oiled::oil;
use boardwise_ball::{Ball, BallSpec, Blend, CoverKind, Surface};
use boardwise_lane::{
    Coating, ContactLaw, Direction, Field, Film, Fineness, Lane, Release, Runway, Shape, Stroke, TrackForm, throw,
};
use boardwise_units::{Board, Degrees, Feet, Inches, Microlitres, Rpm};
use glam::DVec3;

fn step() -> Lane {
    Lane::new(Coating::Step { low: 0.04, high: 0.2, middle: Feet(40.0), width: Feet(3.3) })
}

fn ball(differential: f64, intermediate: f64, surface: Surface) -> Ball {
    let spec = BallSpec {
        differential: Inches(differential),
        intermediate: Inches(intermediate),
        surface,
        ..BallSpec::new("t", CoverKind::Reactive)
    };
    Ball::new(spec).unwrap().0
}

fn releases(loft: f64) -> Vec<Release> {
    (0..120)
        .map(|i| {
            let f = f64::from(i) / 120.0;
            Release {
                laydown: Board(12.0 + 10.0 * f),
                launch: Degrees(1.0 + (f * 37.0) % 2.0),
                rev_rate: Rpm(250.0 + 200.0 * ((f * 91.0) % 1.0)),
                loft: Feet(loft),
                ..Release::default()
            }
        })
        .collect()
}

/// Worst difference of entry board and angle between batch and reference, over every `every`th throw.
fn worst(lane: &Lane, ball: &Ball, law: &ContactLaw, loft: f64, every: usize, fineness: Fineness) -> (f64, f64) {
    worst_of(lane, ball, law, &releases(loft).into_iter().step_by(every).collect::<Vec<_>>(), fineness)
}

fn worst_of(lane: &Lane, ball: &Ball, law: &ContactLaw, releases: &[Release], fineness: Fineness) -> (f64, f64) {
    let finishes = Runway::new(lane, ball, law).throw_many(releases);
    let (mut board, mut angle, mut compared) = (0.0f64, 0.0f64, 0);
    for (release, finish) in releases.iter().zip(finishes) {
        let path = throw(lane, ball, release, law, fineness).unwrap();
        // A graze of a pin behind magnifies any difference, so only balls that meet the head pin are compared.
        if let (Some(a), Some(b)) = (path.touch, finish.touch)
            && (a.pin, b.pin) == (1, 1)
        {
            board = board.max((a.board().0 - b.board().0).abs());
            angle = angle.max((a.angle().0 - b.angle().0).abs());
            compared += 1;
        }
    }
    assert!(compared >= 8, "only {compared} reached the head pin");
    (board, angle)
}

#[test]
fn law_batch_agrees_on_the_mechanics_within_a_hundredth_of_a_board() {
    let strong = ball(0.050, 0.015, Surface::sanded(2000.0));
    let dry = ContactLaw { track_share: 0.0, ..ContactLaw::default() };
    let fineness = Fineness { step_s: 5e-4, track: TrackForm::Dry };
    for (lane, law, loft) in [(step(), ContactLaw::default(), 0.0), (oil(), dry, 0.0), (oil(), dry, 1.53)] {
        let (board, angle) = worst(&lane, &strong, &law, loft, 1, fineness);
        assert!(board < 0.01 && angle < 0.02, "board {board} angle {angle}");
    }
}

#[test]
fn law_batch_agrees_on_the_track_film() {
    // The reference takes the film of each step's start, so its own step must be fine here.
    let fineness = Fineness { step_s: 2e-4, track: TrackForm::Ring };
    for (differential, loft) in
        [(0.0, 0.0), (0.010, 0.0), (0.020, 1.0), (0.030, 1.53), (0.050, 1.0), (0.054, 0.0), (0.060, 0.0)]
    {
        let ball = ball(differential, 0.0, Surface::sanded(2000.0));
        let (board, angle) = worst(&oil(), &ball, &ContactLaw::default(), loft, 2, fineness);
        // At the largest legal differential one throw in sixty is 0.0114 off: docs/path.md tells the miss.
        let most = if differential < 0.060 { 0.01 } else { 0.012 };
        assert!(board < most && angle < 0.02, "differential {differential}: board {board} angle {angle}");
    }
}

#[test]
fn law_batch_agrees_for_every_cover_and_surface() {
    let fineness = Fineness { step_s: 2e-4, track: TrackForm::Ring };
    let (rough, smooth) = (Surface::sanded(500.0), Surface::polished());
    let mut far = Vec::new();
    for (cover, blend, differential) in [
        (CoverKind::Reactive, Blend::Solid, 0.054),
        (CoverKind::Reactive, Blend::Hybrid, 0.035),
        (CoverKind::Reactive, Blend::Pearl, 0.045),
        (CoverKind::Urethane, Blend::Solid, 0.015),
        (CoverKind::Urethane, Blend::Solid, 0.030),
        (CoverKind::Plastic, Blend::Solid, 0.010),
        (CoverKind::Plastic, Blend::Solid, 0.050),
    ] {
        for surface in [rough, smooth] {
            let spec = BallSpec { blend, surface, differential: Inches(differential), ..BallSpec::new("t", cover) };
            let ball = Ball::new(spec).unwrap().0;
            // Plastic is thrown straighter, or it would never see the head pin.
            let aimed = |release: Release| match cover {
                CoverKind::Plastic => release.aimed_at(Board(15.5), Feet(60.0)),
                _ => release,
            };
            let thrown: Vec<Release> = releases(1.0).into_iter().step_by(7).map(aimed).collect();
            let (board, angle) = worst_of(&oil(), &ball, &ContactLaw::default(), &thrown, fineness);
            let of = format!("{cover:?} {blend:?} {differential} {:.2} um", surface.ra_m * 1e6);
            println!("{of}: {board:.4} board {angle:.4} degree");
            if board >= 0.01 || angle >= 0.02 {
                far.push(format!("{of}: board {board} angle {angle}"));
            }
        }
    }
    assert!(far.is_empty(), "{far:#?}");
}

#[test]
fn law_a_throw_that_is_followed_is_the_same_throw_and_where_the_reference_has_it() {
    let (lane, law) = (oil(), ContactLaw::default());
    let ball = ball(0.048, 0.0, Surface::sanded(2000.0));
    let fineness = Fineness { step_s: 1e-3, track: TrackForm::Ring };
    let mut thrown = releases(1.0);
    // Some for the gutters.
    thrown.extend([-4.0, 9.0].map(|launch| Release {
        launch: Degrees(launch),
        laydown: Board(20.0),
        ..Release::default()
    }));
    let runway = Runway::new(&lane, &ball, &law);
    let (finishes, followed) = (runway.throw_many(&thrown), runway.follow_many(&thrown));
    let mut lost = 0;
    for (k, release) in thrown.iter().enumerate() {
        let (finish, places) = &followed[k];
        assert_eq!(*finish, finishes[k]);
        let path = throw(&lane, &ball, release, &law, fineness).unwrap();
        assert_eq!(path.gutter.is_some(), finish.gutter.is_some());
        assert_eq!(places[0].board, release.laydown);
        for (place, row) in places.iter().zip(&path.rows).filter(|(place, _)| place.feet.0.fract() == 0.0) {
            assert!((place.feet.0 - row.feet).abs() < 0.01, "{} and {} ft", place.feet.0, row.feet);
            let off = (place.board.0 - row.board).abs();
            assert!(off < 0.03, "{release:?}: {off} boards at {} ft", row.feet);
        }
        match finish.gutter {
            Some((feet, _)) => {
                lost += 1;
                assert!((places.last().unwrap().feet.0 - feet.0).abs() < 1e-9 && places.len() < 61);
            }
            None => assert_eq!(places.len(), 61),
        }
    }
    assert!(lost >= 2, "{lost} were lost");
}

#[test]
fn law_a_mirrored_lane_mirrors_the_throw_exactly() {
    let film = Film::from_strokes(
        &[
            Stroke { boards: (2.0, 20.0), feet: (0.0, 40.0), oil: Microlitres(9000.0), direction: Direction::Out },
            Stroke { boards: (10.0, 35.0), feet: (0.0, 34.0), oil: Microlitres(9000.0), direction: Direction::Back },
        ],
        2.0,
    )
    .unwrap();
    let mut lane = Lane::new(Coating::Oil(film));
    lane.shape =
        Some(Shape { across: Field::from_fn(|board, _| 1e-3 * (board.0 - 12.0) / 20.0), along: Field::constant(1e-4) });
    let twice = lane.mirrored().mirrored();
    let ball = ball(0.05, 0.01, Surface::sanded(1000.0));
    let law = ContactLaw::default();
    let runs = |lane: &Lane| Runway::new(lane, &ball, &law).throw_many(&releases(1.0));
    assert_eq!(runs(&lane), runs(&twice));
    assert_ne!(runs(&lane), runs(&lane.mirrored()), "this lane is not symmetric");
    // A pattern that is its own mirror plays alike from both sides, bit for bit.
    assert_eq!(runs(&oil()), runs(&oil().mirrored()));
}

#[test]
fn truth_cross_tilt_drifts_a_sliding_ball_a_board() {
    // [C] physics of the lane's shape: slope 9.64e-4 over 2.45 s is about 1.05 boards; g s t²/2.
    let mut lane = Lane::new(Coating::Friction(Field::constant(0.01)));
    let ball = ball(0.0, 0.0, Surface::sanded(2000.0));
    let release =
        [Release { laydown: Board(20.0), launch: Degrees(0.0), rotation: Degrees(0.0), ..Release::default() }];
    let law = ContactLaw::coulomb();
    let board = |lane: &Lane| Runway::new(lane, &ball, &law).throw_many(&release)[0].touch.unwrap().board().0;
    let level = board(&lane);
    // Rising toward the away side pulls the ball toward the hand: to lower boards.
    lane.shape = Some(Shape { across: Field::constant(-9.64e-4), along: Field::constant(0.0) });
    let drift = level - board(&lane);
    let time_s = Runway::new(&lane, &ball, &law).throw_many(&release)[0].time_s;
    let expect = 0.5 * 9.806_65 * 9.64e-4 * time_s * time_s / boardwise_units::court::BOARD_M;
    assert!((drift - expect).abs() < 0.08 && (0.8..1.3).contains(&drift), "{drift} {expect}");
}

#[test]
fn truth_published_launch_rolls_out_near_six_degrees() {
    // AIP Advances 15, 045222 (2025): 17.9 mph, 416 rpm, 45 deg, 1.8 deg toward the hand [S]. Whatever the oil, a ball
    // that rolls by the pins has direction 6.63 deg (b .4, tilt 0) or 5.36 deg (RG 2.5 in, tilt 15) [C]; summaries put
    // the best entry near 6 [P].
    let law = ContactLaw::coulomb();
    let roll = |rg: f64, tilt: f64, radius_in: f64| {
        let spec = BallSpec {
            rg: Inches(rg),
            differential: Inches(0.0),
            diameter: Inches(2.0 * radius_in),
            ..BallSpec::new("t", CoverKind::Reactive)
        };
        let ball = Ball::new(spec).unwrap().0;
        let release = Release {
            laydown: Board(12.0),
            launch: Degrees(1.8),
            speed: boardwise_units::Mph(17.9),
            rev_rate: Rpm(416.0),
            rotation: Degrees(45.0),
            tilt: Degrees(tilt),
            loft: Feet(0.0),
        };
        let lane = Lane::new(Coating::Step { low: 0.04, high: 0.25, middle: Feet(34.0), width: Feet(3.3) });
        let fineness = Fineness { step_s: 5e-4, track: TrackForm::Dry };
        let path = throw(&lane, &ball, &release, &law, fineness).unwrap();
        assert!(path.roll.is_some());
        path.rows.last().unwrap().angle.0
    };
    let radius_in = 4.2717; // 0.1085 m
    assert!((roll(radius_in * 0.4f64.sqrt(), 0.0, radius_in) - 6.63).abs() < 0.01);
    assert!((roll(2.5, 15.0, radius_in) - 5.36).abs() < 0.01);
}

#[test]
fn law_a_centre_of_gravity_off_the_centre_moves_both_engines_alike() {
    // How far is checked against a derived figure in truth_closed_form.rs.
    let at = |offset_m: DVec3| {
        let mut ball = ball(0.0, 0.0, Surface::sanded(2000.0));
        ball.cg_offset_m = ball.core_axes.transpose() * offset_m;
        let law = ContactLaw::coulomb();
        let release = Release { laydown: Board(15.0), loft: Feet(0.0), ..Release::default() };
        let fineness = Fineness { step_s: 5e-4, track: TrackForm::Dry };
        let exact = throw(&step(), &ball, &release, &law, fineness).unwrap().rows.last().unwrap().board;
        let batch = Runway::new(&step(), &ball, &law).throw_many(&[release])[0].touch.unwrap();
        (exact, batch.board().0)
    };
    let ((level, batch_level), (heavy, batch_heavy)) = (at(DVec3::ZERO), at(DVec3::X * 1e-3));
    assert!((heavy - level).abs() > 0.5, "there is something to compare: {}", heavy - level);
    // Both engines move alike (boards at 60 ft and at first touch differ by the same constant).
    assert!(
        ((heavy - level) - (batch_heavy - batch_level)).abs() < 0.15,
        "{heavy} {level} {batch_heavy} {batch_level}"
    );
}

#[test]
fn law_no_release_that_is_allowed_breaks_the_batch() {
    // No turn at all, a ball that spins on the spot, one that hardly arrives: whatever comes of them, it is a number.
    let ball = ball(0.06, 0.0, Surface::sanded(2000.0));
    let mut releases = Vec::new();
    for speed in [5.0, 10.0, 40.0] {
        for rev_rate in [0.0, 20.0, 300.0, 900.0] {
            for (rotation, tilt) in [(-30.0, -30.0), (0.0, 0.0), (60.0, 90.0), (120.0, 20.0)] {
                for loft in [0.0, 2.3, 15.0] {
                    let (speed, rev_rate) = (boardwise_units::Mph(speed), Rpm(rev_rate));
                    let (rotation, tilt, loft) = (Degrees(rotation), Degrees(tilt), Feet(loft));
                    releases.push(Release { speed, rev_rate, rotation, tilt, loft, ..Release::default() });
                }
            }
        }
    }
    let runway = Runway::new(&oil(), &ball, &ContactLaw::default());
    for (release, finish) in releases.iter().zip(runway.throw_many(&releases)) {
        let places = [finish.arrows.0, finish.breakpoint.board.0, finish.time_s];
        let touch = finish.touch.is_none_or(|t| t.board().0.is_finite() && t.entry.spin_rad_s.is_finite());
        assert!(touch && places.iter().all(|v| v.is_finite()) && finish.time_s > 0.0, "{release:?} {finish:?}");
        assert_eq!(runway.throw_many(core::slice::from_ref(release))[0], finish, "in any company: {release:?}");
    }
}

#[test]
fn keep_the_batch_bit_for_bit() {
    // Same bits on every machine and vector width; a change here needs a changelog line.
    let ball = ball(0.05, 0.015, Surface::sanded(1000.0));
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for finish in Runway::new(&oil(), &ball, &ContactLaw::default()).throw_many(&releases(1.0)) {
        let bits = finish.touch.map_or(0, |t| t.entry.x_m.to_bits() ^ t.entry.velocity_m_s.x.to_bits().rotate_left(1));
        hash = (hash ^ bits).wrapping_mul(0x0100_0000_01b3);
    }
    assert_eq!(hash, GOLDEN, "{hash:#x}");
}
const GOLDEN: u64 = 0x6ad8_a59d_5ecd_19be;
