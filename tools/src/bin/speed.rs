//! Fails when the engines have lost their speed: build settings can slow them thirteen times over without changing an answer.
//!
//! `cargo run --release -p boardwise-tools --bin speed`
//!
//! Times are held against a yardstick of the same run: a chain of products and sums in which each step waits for the one
//! before. Its pace is the processor's and hardly depends on how well a compiler optimises. The limits leave a factor of
//! three and more, so that a busy machine passes. Each time is the least of several.

use boardwise_ball::{Ball, BallSpec, CoverKind};
use boardwise_lane::{Coating, ContactLaw, Direction, Film, Lane, Release, Runway, Stroke};
use boardwise_pins::carry::Approach;
use boardwise_pins::{Constants, Rack};
use boardwise_units::stream::Stream;
use boardwise_units::{Board, Feet, Microlitres, Mph, Rpm};
use std::error::Error;
use std::hint::black_box;
use std::process::ExitCode;
use std::time::Instant;

/// How often each work is timed; the least time counts.
const TIMES: u32 = 25;
/// Steps of the yardstick that a path may take.
const PATH_STEPS: f64 = 6000.0;
/// Steps of the yardstick that cutting a lane for a ball may take: about a millisecond.
const RUNWAY_STEPS: f64 = 600_000.0;
/// Steps of the yardstick that a rack may take.
const RACK_STEPS: f64 = 600_000.0;

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let step_s = yardstick_s();
    let ((runway_s, path_s), rack_s) = (cut_and_path_s()?, rack_s()?);
    println!("a step of the yardstick takes {:.2} ns", 1e9 * step_s);
    println!("a path takes {:.2} microseconds, {:.0} a second", 1e6 * path_s, 1.0 / path_s);
    println!("a lane cut for a ball takes {:.3} ms", 1e3 * runway_s);
    println!("a rack takes {:.3} ms", 1e3 * rack_s);
    if !vectors() {
        println!("this processor has no fused products in vectors: paths are slow here whatever the build");
    }
    let path_is_slow = vectors() && over("path", path_s / step_s, PATH_STEPS);
    let runway_is_slow = over("lane cut for a ball", runway_s / step_s, RUNWAY_STEPS);
    let rack_is_slow = over("rack", rack_s / step_s, RACK_STEPS);
    Ok(if path_is_slow || runway_is_slow || rack_is_slow { ExitCode::FAILURE } else { ExitCode::SUCCESS })
}

/// Says how a time compares with its limit, and whether it is over it.
fn over(what: &str, steps: f64, most: f64) -> bool {
    println!("a {what} takes {steps:.0} steps of the yardstick; {most:.0} at most");
    if steps > most {
        eprintln!("error: the {what} has lost its speed: look at the profiles in Cargo.toml and at inlined functions");
    }
    steps > most
}

/// Whether the batch can use the vectors it was written for.
fn vectors() -> bool {
    #[cfg(target_arch = "x86_64")]
    return std::is_x86_feature_detected!("avx2") && std::is_x86_feature_detected!("fma");
    #[cfg(not(target_arch = "x86_64"))]
    return cfg!(target_arch = "aarch64");
}

/// Least time of `work`, s.
fn least_s(mut work: impl FnMut()) -> f64 {
    let times = (0..TIMES).map(|_| {
        let start = Instant::now();
        work();
        start.elapsed().as_secs_f64()
    });
    times.fold(f64::INFINITY, f64::min)
}

fn yardstick_s() -> f64 {
    const STEPS: u32 = 1_000_000;
    let (factor, term) = (black_box(0.999_999), black_box(1e-6));
    let least = least_s(|| {
        let mut value = black_box(1.0);
        for _ in 0..STEPS {
            value = value * factor + term;
        }
        black_box(value);
    });
    least / f64::from(STEPS)
}

/// Times of cutting a lane for a ball, and of a path on it, s.
fn cut_and_path_s() -> Result<(f64, f64), Box<dyn Error>> {
    let stroke = |boards, end, ul| Stroke { boards, feet: (0.0, end), oil: Microlitres(ul), direction: Direction::Out };
    let strokes = [stroke((2.0, 38.0), 40.0, 12_000.0), stroke((10.0, 30.0), 34.0, 12_000.0)];
    let lane = Lane::new(Coating::Oil(Film::from_strokes(&strokes, 2.0)?));
    let ball = Ball::new(BallSpec::new("any", CoverKind::Reactive))?.0;
    let cut = || Runway::new(&lane, &ball, &ContactLaw::default());
    let runway_s = least_s(|| drop(black_box(cut())));
    let runway = cut();
    let mut stream = Stream::keyed(1, "speed", 0);
    let releases: Vec<Release> = (0..1024)
        .map(|_| {
            let (speed, rev_rate) = (Mph(17.0 + 0.4 * stream.normal()), Rpm(330.0 + 15.0 * stream.normal()));
            let laydown = Board(17.0 + stream.normal());
            Release { laydown, speed, rev_rate, ..Release::default() }
                .aimed_at(Board(10.0 + stream.normal()), Feet(15.0))
        })
        .collect();
    Ok((runway_s, least_s(|| drop(black_box(runway.throw_many(&releases)))) / releases.len() as f64))
}

fn rack_s() -> Result<f64, Box<dyn Error>> {
    const RACKS: u32 = 40;
    let rack = Rack::new(Constants::default());
    let (entry, ball) = Approach { board: 17.5, angle_deg: 6.0, speed_m_s: 7.5, weight_lb: 15.0, roll: 1.0 }.entry();
    rack.throw(&entry, &ball, &mut Stream::keyed(1, "speed rack", 0))?;
    let least = least_s(|| {
        for number in 0..RACKS {
            let _ = black_box(rack.throw(&entry, &ball, &mut Stream::keyed(1, "speed rack", number.into())));
        }
    });
    Ok(least / f64::from(RACKS))
}
