//! A rack here and in a general engine, and a look-up in the carry table, in one run.
//!
//! `cargo bench -p boardwise-pins`

use boardwise_pins::carry::{Approach, Carry, Leaves, Plan, Shard, merge, throw_shard};
use boardwise_pins::ensemble::ENSEMBLE;
use boardwise_pins::{BallBody, Constants, Rack};
use boardwise_units::Hand;
use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::time::Duration;

#[path = "../tests/shared/entries.rs"]
mod entries;
#[path = "../tests/shared/general.rs"]
mod general;

/// Racks of a professional's entries, one after another: what a table or a search throws.
fn racks(c: &mut Criterion) {
    let constants = Constants::default();
    let ball = BallBody::of_pounds(15.0);
    let spread = ENSEMBLE[0].professionals;
    let mut group = c.benchmark_group("rack");
    group.sample_size(20).measurement_time(Duration::from_secs(8));
    let rack = Rack::new(constants);
    let mut index = 0;
    group.bench_function("this engine", |b| {
        b.iter_batched(
            || {
                index += 1;
                let mut stream = entries::stream(index);
                (spread.draw(&ball, &mut stream), stream)
            },
            |(entry, mut stream)| rack.throw(&entry, &ball, &mut stream),
            BatchSize::SmallInput,
        );
    });
    // Its single blows come out the same at 0.25 ms and less, and not at more (tools/src/bin/blows.rs).
    for step_ms in [1.0, 0.5, 0.25] {
        let peer = general::General::new(constants, step_ms / 1e3);
        let mut index = 0;
        group.sample_size(10).measurement_time(Duration::from_secs(20));
        group.bench_function(format!("general engine at {step_ms} ms"), |b| {
            b.iter_batched(
                || {
                    index += 1;
                    let mut stream = entries::stream(index);
                    (spread.draw(&ball, &mut stream), stream)
                },
                |(entry, mut stream)| peer.throw(&entry, &ball, &mut stream),
                BatchSize::SmallInput,
            );
        });
    }
    group.finish();
}

/// A table as fine as the full one near the pocket.
fn lookup(c: &mut Criterion) {
    let plan = Plan {
        boards: (0..21).map(|k| 15.0 + 0.25 * f64::from(k)).collect(),
        angles_deg: vec![4.0, 5.0, 6.0],
        speeds_m_s: vec![6.5, 7.5],
        weights_lb: vec![14.0, 16.0],
        rolls: vec![0.8, 1.0],
        racks_at_home: 40,
        racks_elsewhere: 40,
        seed: 1,
    };
    let rack = Rack::new(Constants::default());
    let shard = throw_shard(std::slice::from_ref(&rack), &plan, 0..plan.cells()).expect("a shard");
    let bytes = merge(&plan, [rack.constants()], &[Shard::parse(&shard).expect("whole")]).expect("a table");
    let carry = Carry::parse(&bytes).expect("readable");
    let mut at = Approach { board: 15.0, angle_deg: 5.3, speed_m_s: 7.1, weight_lb: 15.0, roll: 0.93 };
    let mut leaves = Leaves::default();
    let mut step = || {
        at.board = if at.board > 19.9 { 15.01 } else { at.board + 0.037 };
        at
    };
    c.bench_function("carry/leaves", |b| {
        b.iter(|| {
            carry.leaves(&step(), Hand::Right, &mut leaves);
            black_box(leaves.strike())
        });
    });
    c.bench_function("carry/strike", |b| b.iter(|| black_box(carry.strike(&step()))));
}

criterion_group!(benches, lookup, racks);
criterion_main!(benches);
