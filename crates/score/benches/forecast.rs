//! How long the exact distribution of the final score takes, made and asked.

use boardwise_score::{Forecast, Form, Game, LeaveRate, Scoring, Skill, games_by_score};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// A bowler with every count on the first ball and every result on the second: the slowest case.
fn every_count() -> Skill {
    let leave = |down: u8| {
        let standing = usize::from(10 - down);
        let missed = vec![1.0 / standing as f64; standing];
        LeaveRate::counted(down, 0.05, 0.5).and_then(|rate| rate.missed(&missed))
    };
    (0..10).map(leave).collect::<Result<Vec<_>, _>>().and_then(|leaves| Skill::new(0.5, leaves)).expect("chances")
}

fn forecasts(c: &mut Criterion) {
    let skill = every_count();
    let new_game = Game::new(Scoring::Traditional);
    let midway = Game::from_marks(Scoring::Traditional, "X 9/ 72 XX 8").expect("a game");
    let form = Form::new(0.5).expect("a swing");
    c.bench_function("make and ask, new game", |b| b.iter(|| Forecast::new(black_box(&skill)).of(&new_game)));
    c.bench_function("make and ask, second ball of frame 6", |b| {
        b.iter(|| Forecast::new(black_box(&skill)).of(&midway));
    });
    let made = Forecast::new(&skill);
    c.bench_function("ask, new game", |b| b.iter(|| made.of(black_box(&new_game))));
    c.bench_function("ask, second ball of frame 6", |b| b.iter(|| made.of(black_box(&midway))));
    c.bench_function("make and ask, with form", |b| {
        b.iter(|| Forecast::with_form(black_box(&skill), form).of(&new_game));
    });
    let moving = Forecast::with_form(&skill, form);
    c.bench_function("ask, with form, frame 6", |b| b.iter(|| moving.of(black_box(&midway))));
    c.bench_function("three games", |b| b.iter(|| made.of_games(black_box(&midway), 2)));
    c.bench_function("count all games", |b| b.iter(games_by_score));
}

criterion_group!(benches, forecasts);
criterion_main!(benches);
