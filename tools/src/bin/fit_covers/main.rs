//! What the trade says of covers, as rows: the table of docs/calibration.md, and the fit behind the constants.
//!
//! - `fit_covers` prints the rows with the constants in use; `fit_covers KEY=VALUE...` with some of them changed.
//! - `fit_covers --fit SECONDS [--seed N] [KEY=VALUE...]` looks for constants under which the fitted rows come out better.

#[allow(dead_code, reason = "the checks use the rest")]
#[path = "../../../../crates/lane/tests/covers/mod.rs"]
mod covers;
mod rows;

use boardwise_units::stream::Stream;
use covers::Constants;
use rows::{Row, fitted, kept_out};
use std::time::Instant;

/// What the fit may change, with the least and the most it may be.
const FREE: [(&str, f64, f64); 15] = [
    ("thin", 0.3, 0.85),
    ("power", 1.15, 2.0),
    ("kept_um", 0.01, 1.0),
    ("split_um", 0.5, 5.0),
    // The oily ring a ball shows is a quarter to half an inch wide.
    ("stripe_mm", 5.0, 12.0),
    ("swath_mm", 1.0, 8.0),
    ("r_dry", 0.18, 0.22),
    ("r_dull", 0.0, 0.1),
    ("r_reach", 0.2, 1.2),
    ("r_film", 0.004, 0.02),
    ("r_soak", 1.0, 10.0),
    ("u_dry", 0.09, 0.13),
    ("u_reach", 0.05, 1.0),
    ("u_film", 0.02, 0.06),
    ("u_soak", 20.0, 80.0),
];

fn main() -> Result<(), String> {
    let (mut constants, mut seconds, mut seed) = (Constants::default(), 0.0, 1);
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut number =
            || words.next().and_then(|word| word.parse::<f64>().ok()).ok_or(format!("{word}: give a number"));
        match word.as_str() {
            "--fit" => seconds = number()?,
            "--seed" => seed = number()? as u64,
            change => {
                let pair = change.split_once('=').and_then(|(key, value)| Some((key, value.parse().ok()?)));
                let (key, value) = pair.ok_or(format!("{change}: give KEY=NUMBER"))?;
                if !constants.set(key, value) {
                    return Err(format!("{key}: no such constant"));
                }
            }
        }
    }
    if seconds > 0.0 {
        constants = fit(constants, seconds, seed);
    }
    let all: Vec<String> = constants.0.iter().map(|(key, value)| format!("{key}={value:.4}")).collect();
    println!("{}", all.join(" "));
    let (fitted, kept_out) = (fitted(&constants), kept_out(&constants));
    fitted.iter().chain(&kept_out).for_each(|row| println!("{row}"));
    println!("misfit {:.2}", misfit(&fitted));
    Ok(())
}

fn misfit(rows: &[Row]) -> f64 {
    rows.iter().map(Row::misfit).sum()
}

/// A search that strays from the best so far, ever less.
fn fit(mut best: Constants, seconds: f64, seed: u64) -> Constants {
    let (start, mut draw) = (Instant::now(), Stream::keyed(seed, "fit covers", 0));
    let mut least = misfit(&fitted(&best));
    loop {
        let spent = start.elapsed().as_secs_f64() / seconds;
        if spent > 1.0 {
            return best;
        }
        let mut tried = best.clone();
        for (key, low, high) in FREE {
            if draw.uniform() < 0.4 {
                let strayed = tried.get(key) * (0.35 * (1.0 - 0.8 * spent) * draw.normal()).exp();
                tried.set(key, strayed.clamp(low, high));
            }
        }
        let now = misfit(&fitted(&tried));
        if now < least {
            (least, best) = (now, tried);
            eprintln!("{least:.3}");
        }
    }
}
