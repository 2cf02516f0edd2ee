//! Tests that every width of vectors gives the same bits.
//!
//! [`roll_pack`](super::advance::roll_pack) takes the widest vectors of the processor that it meets. Here the same kernel is
//! compiled for each width by itself.

use super::advance::{roll_any, roll_pack};
use super::pack::Pack;
use super::{Finish, Runway, WIDTH};
use crate::{Coating, ContactLaw, Direction, Film, Lane, Release, Stroke};
use alloc::vec::Vec;
use boardwise_ball::{Ball, BallSpec, CoverKind};
use boardwise_units::{Board, Degrees, Inches, Microlitres, Mph, Rpm};
use glam::DVec3;

fn thrown(runway: &Runway, releases: &[Release], roll: impl Fn(&mut Pack, &Runway)) -> Vec<Finish> {
    let mut pack = Pack::new();
    let mut finishes = Vec::new();
    for chunk in releases.chunks(WIDTH) {
        pack.load(chunk, runway);
        roll(&mut pack, runway);
        finishes.extend((0..chunk.len()).map(|i| runway.finish(&pack, i)));
    }
    finishes
}

/// As the compiler vectorises for every x86-64 processor, or whichever else this is built for.
fn roll_plain(pack: &mut Pack, runway: &Runway) {
    roll_any(pack, runway);
}

#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx2,fma")]
fn roll_avx2(pack: &mut Pack, runway: &Runway) {
    roll_any(pack, runway);
}

#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx512f,avx512bw,avx512cd,avx512dq,avx512vl,avx2,fma")]
fn roll_avx512(pack: &mut Pack, runway: &Runway) {
    roll_any(pack, runway);
}

fn runways() -> [Runway; 2] {
    let stroke = |boards, end, ul| Stroke { boards, feet: (0.0, end), oil: Microlitres(ul), direction: Direction::Out };
    let strokes = [stroke((2.0, 38.0), 40.0, 12_000.0), stroke((10.0, 30.0), 34.0, 12_000.0)];
    let lane = Lane::new(Coating::Oil(Film::from_strokes(&strokes, 2.0).expect("oil on the lane")));
    let spec = BallSpec { differential: Inches(0.05), ..BallSpec::new("any", CoverKind::Reactive) };
    // With its centre of gravity off the centre the ball takes the longer kernel.
    let heavy = BallSpec { cg_offset_m: DVec3::new(0.0004, 0.0, 0.0), ..spec.clone() };
    [spec, heavy].map(|spec| Runway::new(&lane, &Ball::new(spec).expect("a ball").0, &ContactLaw::default()))
}

fn releases() -> Vec<Release> {
    let release = |k: u32| Release {
        laydown: Board(8.0 + f64::from(k % 25)),
        launch: Degrees(f64::from(k % 7) - 1.0),
        speed: Mph(13.0 + f64::from(k % 9)),
        rev_rate: Rpm(150.0 + 40.0 * f64::from(k % 10)),
        rotation: Degrees(f64::from(k % 10) * 10.0),
        tilt: Degrees(f64::from(k % 5) * 5.0),
        ..Release::default()
    };
    (0..160).map(release).collect()
}

#[test]
fn law_every_width_of_vectors_gives_the_same_bits() {
    let releases = releases();
    for runway in runways() {
        let plain = thrown(&runway, &releases, roll_plain);
        assert!(plain.iter().filter(|finish| finish.touch.is_some()).count() > 40, "most meet a pin");
        assert_eq!(plain, thrown(&runway, &releases, roll_pack), "the width chosen at run time");
        #[cfg(target_arch = "x86_64")]
        {
            if std::is_x86_feature_detected!("avx2") && std::is_x86_feature_detected!("fma") {
                // SAFETY: the processor has what the function was compiled for.
                let wide = thrown(&runway, &releases, |pack, runway| unsafe { roll_avx2(pack, runway) });
                assert_eq!(plain, wide, "256 bits");
            }
            if has_avx512() {
                // SAFETY: the processor has what the function was compiled for.
                let wide = thrown(&runway, &releases, |pack, runway| unsafe { roll_avx512(pack, runway) });
                assert_eq!(plain, wide, "512 bits");
            }
        }
    }
}

#[cfg(target_arch = "x86_64")]
fn has_avx512() -> bool {
    std::is_x86_feature_detected!("avx512f")
        && std::is_x86_feature_detected!("avx512bw")
        && std::is_x86_feature_detected!("avx512cd")
        && std::is_x86_feature_detected!("avx512dq")
        && std::is_x86_feature_detected!("avx512vl")
        && std::is_x86_feature_detected!("fma")
}
