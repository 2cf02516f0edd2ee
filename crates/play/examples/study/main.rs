//! Is the advice worth following? Blocks of three games on hidden lanes, bowled by four policies on the same seeds.
//!
//! `cargo run --release -p play --example study -- BLOCKS [FIRST]` prints one line a block and the comparison at the end, and draws `study.svg`. The lanes differ from
//! what the policies are told: oil in all and by place, friction, tilt, length, how fast they wear, the oil exchange and the covers' reach; so does the
//! bowler's day. Policies see what a bowler sees: the pins that stand and how the ball hit, one call in ten wrong.

#[allow(dead_code, reason = "the rules of thumb use the rest")]
#[path = "../../tests/typical/mod.rs"]
mod typical;

mod bowl;
mod plot;
mod policy;
mod world;

use bowl::{Told, bowl};
use policy::Policy;
use rayon::prelude::*;
use world::World;

fn main() {
    let mut asked = std::env::args().skip(1).map(|a| a.parse::<u64>().expect("a number"));
    let (blocks, first) = (asked.next().unwrap_or(8), asked.next().unwrap_or(0));
    let told: Vec<(u64, Vec<Told>)> = (first..first + blocks)
        .into_par_iter()
        .map(|index| {
            let world = World::hidden(index);
            let told: Vec<Told> = Policy::ALL.iter().map(|policy| bowl(&world, *policy)).collect();
            let scores: Vec<String> = told.iter().map(|one| format!("{:.1}", one.mean_score())).collect();
            let chances: Vec<String> = told.iter().map(|one| format!("{:.3}", one.chance())).collect();
            let (scores, chances) = (scores.join(" "), chances.join(" "));
            println!("block {index} skill {} pattern {} scores {scores} chances {chances}", world.skill, world.pattern);
            (index, told)
        })
        .collect();
    for (k, policy) in Policy::ALL.iter().enumerate() {
        let scores: Vec<f64> = told.iter().map(|(_, one)| one[k].mean_score()).collect();
        let strikes: f64 = told.iter().map(|(_, one)| one[k].strikes()).sum::<f64>() / told.len() as f64;
        let (mean, error) = mean_and_error(&scores);
        let chances: Vec<f64> = told.iter().map(|(_, one)| one[k].chance()).collect();
        let (chance, _) = mean_and_error(&chances);
        println!(
            "{policy:?}: {mean:.2} ± {error:.2} a game, {:.1}% strikes, {:.2}% true chance",
            100.0 * strikes,
            100.0 * chance
        );
    }
    let of = |k: usize| told.iter().map(move |(_, one)| one[k].mean_score());
    let differ = |a: usize, b: usize| mean_and_error(&of(a).zip(of(b)).map(|(a, b)| a - b).collect::<Vec<_>>());
    let names = Policy::ALL;
    for (a, b) in [(2, 0), (2, 1), (3, 2), (3, 1)] {
        let (mean, error) = differ(a, b);
        let chance = |k: usize| told.iter().map(move |(_, one)| one[k].chance());
        let (points, points_error) =
            mean_and_error(&chance(a).zip(chance(b)).map(|(a, b)| 100.0 * (a - b)).collect::<Vec<_>>());
        println!(
            "{:?} - {:?}: {mean:.2} ± {:.2} (95%) pins a game, {points:.2} ± {:.2} points of strikes",
            names[a],
            names[b],
            1.96 * error,
            1.96 * points_error
        );
    }
    let bins = calibration(&told);
    let name = ["never move", "usual 2 and 1", "ours", "lane known"];
    let bar = |k: usize| {
        let (mean, error) = mean_and_error(&of(k).collect::<Vec<_>>());
        (name[k], mean, 1.96 * error)
    };
    let bars: Vec<plot::Bar> = (0..name.len()).map(bar).collect();
    std::fs::write("study.svg", plot::picture(told.len(), &bars, &bins)).expect("a place to write to");
}

fn mean_and_error(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let square = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
    (mean, (square / n).sqrt())
}

/// Predicted chances of strikes against what happened, and how often intervals held.
fn calibration(told: &[(u64, Vec<Told>)]) -> Vec<plot::Bin> {
    let shots: Vec<(f64, bool)> = told.iter().flat_map(|(_, one)| one[2].predicted.iter().copied()).collect();
    let n = shots.len().max(1) as f64;
    let base = shots.iter().filter(|shot| shot.1).count() as f64 / n;
    let hit = |struck: bool| f64::from(u8::from(struck));
    let brier = shots.iter().map(|(p, struck)| (p - hit(*struck)).powi(2)).sum::<f64>() / n;
    println!("strikes: {} shots, Brier score {brier:.4}, base rate's {:.4}", shots.len(), base * (1.0 - base));
    let mut bins = Vec::new();
    for k in 0..10 {
        let bin: Vec<_> = shots.iter().filter(|(p, _)| (*p * 10.0) as usize == k).collect();
        if bin.len() >= 20 {
            let mean = bin.iter().map(|one| one.0).sum::<f64>() / bin.len() as f64;
            let happened = bin.iter().filter(|one| one.1).count() as f64 / bin.len() as f64;
            println!("  predicted {mean:.3} happened {happened:.3} of {}", bin.len());
            bins.push((mean, happened, bin.len()));
        }
    }
    let held: Vec<(&'static str, f64)> = told.iter().flat_map(|(_, one)| one[2].off.iter().copied()).collect();
    let mut names: Vec<&str> = held.iter().map(|one| one.0).collect();
    names.sort_unstable();
    names.dedup();
    for name in names {
        let all: Vec<f64> = held.iter().filter(|one| one.0 == name).map(|one| one.1).collect();
        let inside = all.iter().filter(|off| off.abs() < 1.2816).count() as f64 / all.len() as f64;
        println!("  80% interval of {name}: held {:.1}% of {}", 100.0 * inside, all.len());
    }
    bins
}
