//! Which constants of covers and contact would make the trade's rules of thumb come out? The tables of docs/calibration.md.
//!
//! - `calibrate_cover` prints how the rules come out with the constants in use; `calibrate_cover KEY=VALUE...` with some of them changed.
//! - `calibrate_cover --search SECONDS` looks for constants under which they come out best, near the ones in use, and prints the best few.
//!
//! Every figure is a mean over seeds, for near the best of a flat pattern lines differ by less than a search can tell.

#[allow(dead_code, reason = "the rules of thumb use the rest")]
#[path = "../../tests/typical/mod.rs"]
mod typical;

mod constants;
mod told;

use boardwise_units::stream::Stream;
use constants::Constants;
use rayon::prelude::*;
use std::ops::RangeInclusive;
use std::time::Instant;
use told::Told;
use typical::rules::SEEDS;

/// Seeds behind a step of the search.
const SEARCH_SEEDS: RangeInclusive<u64> = 1..=2;
/// Constants tried side by side, and how many of the best are kept to start from.
const BATCH: u64 = 64;
const KEPT: usize = 16;

fn main() {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let told = match asked.as_slice() {
        [search, seconds] if search == "--search" => match seconds.parse() {
            Ok(seconds) => Ok(search_for(seconds)),
            Err(_) => Err(format!("{seconds:?} is no number of seconds")),
        },
        changes => Constants::default().with(changes).map(|constants| vec![constants]),
    };
    match told {
        Ok(all) => all.iter().for_each(|constants| println!("{constants}\n{}\n", Told::of(constants, SEEDS))),
        Err(why) => {
            eprintln!("{why}");
            std::process::exit(2);
        }
    }
}

/// The best few constants found in a time.
fn search_for(seconds: f64) -> Vec<Constants> {
    let start = Instant::now();
    let misfit = |constants: &Constants| Told::of(constants, SEARCH_SEEDS).misfit() + constants.unlikely();
    let first = Constants::default();
    let mut best = vec![(misfit(&first), first)];
    let mut round = 0;
    while start.elapsed().as_secs_f64() < seconds {
        // Far from what is known at first, nearer as time runs out.
        let width = 1.1 - start.elapsed().as_secs_f64() / seconds;
        let tried: Vec<(f64, Constants)> = (0..BATCH)
            .into_par_iter()
            .map(|index| {
                let mut draw = Stream::keyed(5, "calibrate cover", round * BATCH + index);
                let from = (draw.uniform() * draw.uniform() * best.len() as f64) as usize;
                let constants = best[from].1.strayed(width, &mut draw);
                (misfit(&constants), constants)
            })
            .collect();
        best.extend(tried);
        best.sort_by(|a, b| a.0.total_cmp(&b.0));
        best.truncate(KEPT);
        round += 1;
        eprintln!("{} tried, least misfit {:.2}", round * BATCH, best[0].0);
    }
    best.into_iter().take(4).map(|(_, constants)| constants).collect()
}
