//! What the next shot takes: the others' balls, what is learned from a shot, lines over the worlds, the advice, and all of it from the first shot on.

#[allow(dead_code, reason = "the rules of thumb use the rest")]
#[path = "../../search/tests/typical/mod.rs"]
mod typical;

use boardwise_belief::{Belief, Noticed, Seen, Situation, advise};
use boardwise_lane::Release;
use boardwise_search::Unknowns;
use boardwise_search::{Bowler, Hit, Range};
use boardwise_units::{Board, Degrees, Mph};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use typical::{CARRY, dull, pattern, right_hander, shiny, urethane};

fn belief() -> Belief {
    let lane = pattern(40.0, 0.3);
    let range = Range { speed: (Mph(17.0), Mph(19.0)), rotation: (Degrees(40.0), Degrees(50.0)) };
    let bowler = Bowler { range, ..right_hander(Release::default()) };
    Belief::new([lane.clone(), lane], bowler, vec![dull(), shiny(), urethane()], &Unknowns::default(), 4)
}

fn others(belief: &mut Belief, throws: u32) {
    for k in 0..throws {
        let meant = Release { laydown: Board(14.0 + f64::from(k % 3)), launch: Degrees(1.0), ..Release::default() };
        belief.thrown((k % 2) as usize, &dull(), &meant).expect("possible");
    }
}

fn shot(meant: Release) -> Seen {
    let noticed = Noticed { hit: Some(Hit::Pocket), ..Noticed::default() };
    Seen { lane: 0, ball: 0, meant, standing: "10".parse().expect("pins"), noticed }
}

/// As the command line asks: the shots from the first on, two other balls on their lines, the advice.
fn whole(meant: Release, near: Release) {
    let mut belief = belief();
    others(&mut belief, 30);
    for _ in 0..4 {
        belief.saw(&shot(meant), &CARRY).expect("possible");
    }
    black_box(next(&belief, meant, near));
}

fn next(belief: &Belief, meant: Release, near: Release) -> boardwise_belief::Advice {
    let lines = [1, 2].into_iter().filter_map(|ball| Some((ball, belief.line(0, ball, &[near], &CARRY)?.release)));
    let at = Situation { others: lines.collect(), ..Situation::new((0, 0, meant), vec![shot(meant); 4]) };
    advise(belief, &at, &CARRY)
}

fn next_shot(c: &mut Criterion) {
    let fresh = belief();
    let meant = fresh.line(0, 0, &[], &CARRY).expect("something strikes").release;
    let near = fresh.line(0, 1, &[], &CARRY).expect("something strikes").release;
    let mut group = c.benchmark_group("next_shot");
    group.sample_size(10);
    group.bench_function("a belief before any shot", |b| b.iter(belief));
    group.bench_function("a belief copied", |b| b.iter(|| fresh.clone()));
    group.bench_function("thirty balls of others", |b| b.iter(|| others(&mut fresh.clone(), 30)));
    group.bench_function("learned from a shot", |b| {
        b.iter(|| fresh.clone().saw(&shot(meant), &CARRY).expect("possible"));
    });
    group.bench_function("a line over the worlds", |b| b.iter(|| fresh.line(0, 1, &[near], &CARRY)));
    let at = Situation::new((0, 0, meant), Vec::new());
    group.bench_function("advice with the ball in hand", |b| b.iter(|| advise(&fresh, &at, &CARRY)));
    group.bench_function("two lines and advice with three balls", |b| b.iter(|| next(&fresh, meant, near)));
    group.bench_function("thirty others, four shots, two lines, advice", |b| b.iter(|| whole(meant, near)));
    group.finish();
}

criterion_group!(benches, next_shot);
criterion_main!(benches);
