//! Paths a second on one core: the batch, the reference, and a general adaptive solver at a hundredth of a board.

#[path = "../tests/peer/mod.rs"]
mod peer;

#[path = "../tests/oiled/mod.rs"]
mod oiled;

use boardwise_ball::{Ball, BallSpec, CoverKind};
use boardwise_lane::{ContactLaw, Fineness, Release, Runway, throw};
use boardwise_units::{Board, Degrees, Feet};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use oiled::oil;
use std::hint::black_box;

fn paths(c: &mut Criterion) {
    let lane = oil();
    let ball = Ball::new(BallSpec::new("t", CoverKind::Reactive)).unwrap().0;
    let law = ContactLaw::default();
    let releases: Vec<Release> = (0..4096)
        .map(|k| {
            let f = f64::from(k) / 4096.0;
            Release { laydown: Board(12.0 + 8.0 * f), launch: Degrees(1.0 + (37.0 * f) % 2.0), ..Release::default() }
        })
        .collect();
    let runway = Runway::new(&lane, &ball, &law);
    let mut group = c.benchmark_group("paths");
    group.sample_size(10);
    group.throughput(Throughput::Elements(releases.len() as u64));
    group.bench_function("batch, film on the track", |b| b.iter(|| runway.throw_many(black_box(&releases))));
    group.throughput(Throughput::Elements(1));
    let release = Release { loft: Feet(0.0), ..releases[1500] };
    group.bench_function("reference, film on a grid", |b| {
        b.iter(|| throw(&lane, &ball, black_box(&release), &law, Fineness::default()));
    });
    group.bench_function("throw that wears the lane", |b| {
        b.iter(|| lane.clone().wear(&ball, black_box(&release), &law));
    });
    // The loosest settings at which it stays within 0.01 board of its own limit here.
    let effort = peer::Effort { tolerance: 1e-5, longest_step_s: 2e-3, track: true };
    group.bench_function("general adaptive solver, film on the track", |b| {
        b.iter(|| peer::across_m(&lane, &ball, black_box(&release), &law, 2.45, effort));
    });
    let effort = peer::Effort { tolerance: 1e-6, longest_step_s: 2.45, track: false };
    group.bench_function("general adaptive solver, no film on the track", |b| {
        b.iter(|| peer::across_m(&lane, &ball, black_box(&release), &law, 2.45, effort));
    });
    group.finish();
}

criterion_group!(benches, paths);
criterion_main!(benches);
