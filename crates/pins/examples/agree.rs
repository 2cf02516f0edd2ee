//! The special engine beside a general one: the same constants, the same entries, racks of their own.
//!
//! `cargo run --release -p pins --example agree -- [racks] [bodies_hz] [ratio] [first_entry] [last_entry] [step_ms]`
//!
//! The general engine resolves every blow as a spring (examples/shared/resolved.rs): of `bodies_hz` between ball and pins,
//! `ratio` times softer on the deck. Here ten times as many racks are thrown, at `step_ms`. The test is that of
//! examples/shared/sampling.rs.

use pins::{BallBody, Constants, Rack};
use std::time::Instant;

#[path = "shared/entries.rs"]
mod entries;
#[path = "shared/general.rs"]
mod general;
#[path = "shared/resolved.rs"]
mod resolved;
#[path = "shared/sampling.rs"]
mod sampling;
#[path = "shared/smooth.rs"]
mod smooth;

use sampling::{Sample, Verdict};

/// Board and angle of the entries compared.
const ENTRIES: [(f64, f64); 8] =
    [(17.5, 6.0), (17.5, 4.0), (16.5, 7.0), (15.5, 4.0), (18.5, 5.0), (19.0, 5.0), (14.5, 6.0), (16.0, 2.0)];

/// The general engine's racks are numbered from here, so that the two samples have none in common.
const APART: u64 = 1_000_000;

fn main() {
    let number = |n: usize, default: f64| std::env::args().nth(n).and_then(|a| a.parse().ok()).unwrap_or(default);
    let (racks, bodies_hz, ratio) = (number(1, 100.0) as u64, number(2, 1000.0), number(3, 5.0));
    let (first, last) = (number(4, 1.0) as usize, number(5, 8.0) as usize);
    let surroundings_hz = bodies_hz / ratio;
    let step_s = 1.0 / (32.0 * bodies_hz.max(surroundings_hz));
    let constants = Constants {
        restitution_jitter: 0.0,
        friction_jitter: 0.0,
        step_s: number(6, 1.0) / 1e3,
        ..Constants::default()
    };
    let rack = Rack::new(constants);
    let peer = resolved::Resolved::new(constants, resolved::Springs { step_s, bodies_hz, surroundings_hz });
    let ball = BallBody::of_pounds(15.0);
    println!(
        "{racks} racks there, ten times as many here at {} ms; springs of {bodies_hz} and {surroundings_hz} Hz, {:.1} steps a ms",
        constants.step_s * 1e3,
        1e-3 / step_s
    );
    for (board, degrees) in &ENTRIES[first - 1..last] {
        let throw = |index: u64, leave: &mut dyn FnMut(&ball::Entry, &mut measure::stream::Stream) -> u16| {
            let mut stream = entries::stream(index);
            let entry = entries::rolling(board + 0.5 * (stream.uniform() - 0.5), *degrees, 7.3, &ball);
            leave(&entry, &mut stream)
        };
        let (mut ours, mut theirs) = (Sample::default(), Sample::default());
        for index in 0..10 * racks {
            ours.add(throw(index, &mut |entry, stream| {
                rack.throw(entry, &ball, stream).expect("a legal throw").standing
            }));
        }
        let start = Instant::now();
        for index in APART..APART + racks {
            theirs.add(throw(index, &mut |entry, stream| peer.throw(entry, &ball, stream).0));
            let thrown = theirs.racks();
            if thrown % 100 == 0 || u64::from(thrown) == racks {
                let spent_ms = start.elapsed().as_secs_f64() * 1e3 / f64::from(thrown);
                show(*board, *degrees, &ours, &theirs, spent_ms);
            }
        }
    }
}

fn show(board: f64, degrees: f64, ours: &Sample, theirs: &Sample, spent_ms: f64) {
    let verdict = Verdict::of(ours, theirs);
    let share = |part: u32, sample: &Sample| 100.0 * f64::from(part) / f64::from(sample.racks());
    println!(
        "{board} at {degrees}, {} racks there: {}, least chance {:.4}; strikes {:.1} {:.1} (p {:.3}); left {:.3} {:.3} (p {:.3}); {spent_ms:.0} ms",
        theirs.racks(),
        if verdict.agrees() { "agrees" } else { "DIFFERS" },
        verdict.least(),
        share(ours.strikes(), ours),
        share(theirs.strikes(), theirs),
        verdict.strikes,
        ours.left().0,
        theirs.left().0,
        verdict.left,
    );
    let pins: Vec<String> = (0..10)
        .map(|pin| {
            let (here, there) = (share(ours.standing(pin), ours), share(theirs.standing(pin), theirs));
            format!("{} {here:.1}/{there:.1} (p {:.3})", pin + 1, verdict.pins[pin])
        })
        .collect();
    println!("  standing: {}", pins.join(", "));
    let mut leaves: Vec<u16> = (0..1024).filter(|&mask| ours.0[mask as usize] + theirs.0[mask as usize] > 0).collect();
    leaves.sort_by_key(|&mask| std::cmp::Reverse(ours.0[mask as usize] + 10 * theirs.0[mask as usize]));
    let named: Vec<String> = leaves
        .iter()
        .take(8)
        .map(|&mask| {
            let (here, there) = (share(ours.0[mask as usize], ours), share(theirs.0[mask as usize], theirs));
            format!("{} {here:.1}/{there:.1}", entries::name(mask))
        })
        .collect();
    println!("  leaves: {}", named.join(", "));
}
