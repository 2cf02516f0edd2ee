//! What measured shots teach: a hidden lane, cover and bowler, shots told by eye or by film, and how far off forecasts of other lines are then.
//!
//! `learn_film FIRST LAST [SHOTS]` takes the hidden worlds from FIRST up to but not with LAST, and 20 shots if no number is given. The same
//! numbers give the same answer. `docs/belief.md` tells what came of it.

#[path = "../../../crates/belief/tests/filmed/mod.rs"]
mod filmed;
#[allow(dead_code, reason = "the rules of thumb use the rest")]
#[path = "../../../crates/search/tests/typical/mod.rs"]
mod typical;

use filmed::{Forecast, Hidden, Told, off};

/// Standard normal numbers lie within this of nothing in 80 of 100 times.
const IN_80: f64 = 1.2816;

fn main() {
    let numbers: Vec<u64> = std::env::args().skip(1).filter_map(|text| text.parse().ok()).collect();
    let (first, last, shots) = match numbers[..] {
        [first, last] => (first, last, 20),
        [first, last, shots] => (first, last, shots as u32),
        _ => {
            eprintln!("learn_film FIRST LAST [SHOTS]");
            std::process::exit(2);
        }
    };
    let mut all: [Vec<Vec<Forecast>>; 3] = Default::default();
    println!("world  lines  told nothing  by eye  by film: boards off, root mean square");
    for index in first..last {
        let world = Hidden::of(index);
        let told = [Told::Nothing, Told::ByEye, Told::ByFilm].map(|told| world.forecasts(shots, told));
        println!(
            "{index:5}  {:5}  {:12.2}  {:6.2}  {:7.2}",
            told[0].len(),
            off(&told[0]),
            off(&told[1]),
            off(&told[2])
        );
        for (all, one) in all.iter_mut().zip(told) {
            all.push(one);
        }
    }
    println!("after {shots} shots in each of {} worlds:", all[0].len());
    for (name, worlds) in ["told nothing", "by eye", "by film"].iter().zip(&all) {
        let lines: Vec<Forecast> = worlds.concat();
        let held = lines.iter().filter(|one| (one.mean - one.is).abs() < IN_80 * one.sd).count();
        let sd = lines.iter().map(|one| one.sd).sum::<f64>() / lines.len().max(1) as f64;
        let each: Vec<f64> = worlds.iter().filter(|one| !one.is_empty()).map(|one| off(one)).collect();
        let (mean, spread) = mean_and_spread(&each);
        println!(
            "{name}: {:.2} boards off over all lines; by world {mean:.2} in the mean, {spread:.2} between worlds; believed {sd:.2}; 80% intervals held {:.0}%",
            off(&lines),
            100.0 * held as f64 / lines.len().max(1) as f64
        );
    }
    let shares = |k: usize| -> Vec<f64> {
        let pairs = all[0].iter().zip(&all[k]).filter(|(before, _)| off(before) > 0.0);
        pairs.map(|(before, after)| off(after) / off(before)).collect()
    };
    for (k, name) in [(1, "by eye"), (2, "by film")] {
        let mut shares = shares(k);
        shares.sort_by(f64::total_cmp);
        let median = shares.get(shares.len() / 2).copied().unwrap_or(f64::NAN);
        let whole = off(&all[k].concat()) / off(&all[0].concat());
        println!(
            "{name}: the error falls to {:.0}% over all lines; in the median world to {:.0}%",
            100.0 * whole,
            100.0 * median
        );
    }
}

/// Mean and standard deviation.
fn mean_and_spread(values: &[f64]) -> (f64, f64) {
    let n = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, (values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / n).sqrt())
}
