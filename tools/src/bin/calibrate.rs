//! Searches for constants of a rack that give the published shares of leaves.
//!
//! `cargo run --release -p boardwise-tools --bin calibrate -- search 1..33 sets.txt` makes one search a seed, one a
//! core, and adds a line to the file for each: seed, misfits in errors, values of the knobs. Seeds that the file holds are
//! left out, so the command can be stopped and given again.
//!
//! `... -- data sets.txt` prints the sets as src/ensemble.rs holds them; `... -- give [racks]` throws each set in use at its
//! professionals' entries and prints what it gives, fitted and kept out.

#[path = "../../../crates/pins/tests/shared/entries.rs"]
mod entries;
#[path = "../../../crates/pins/tests/shared/knobs.rs"]
mod knobs;
#[path = "../shared/search.rs"]
mod search;

use boardwise_pins::carry::Approach;
use boardwise_pins::ensemble::{ENSEMBLE, Fitted};
use boardwise_pins::{BallBody, Rack};
use boardwise_units::stream::Stream;
use knobs::{FITTED, KEPT_OUT, KNOBS, Point, Setting, Shares};
use std::io::Write;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

/// Seeds of a file and where their searches ended.
fn read(file: &str) -> Vec<(u64, [f64; FITTED.len()], Point)> {
    let text = std::fs::read_to_string(file).unwrap_or_default();
    let line = |line: &str| {
        let numbers: Vec<f64> = line.split_whitespace().filter_map(|word| word.parse().ok()).collect();
        let at = numbers.get(1 + FITTED.len()..)?.try_into().ok()?;
        Some((numbers[0] as u64, numbers[1..=FITTED.len()].try_into().ok()?, at))
    };
    text.lines().filter_map(line).collect()
}

fn search_all(seeds: std::ops::Range<u64>, file: &str) -> std::io::Result<()> {
    let done: Vec<u64> = read(file).iter().map(|(seed, ..)| *seed).collect();
    let out = Mutex::new(std::fs::File::options().create(true).append(true).open(file)?);
    let next = AtomicU64::new(seeds.start);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed >= seeds.end {
                        break;
                    }
                    if done.contains(&seed) {
                        continue;
                    }
                    let end = search::search(seed);
                    let numbers: Vec<String> = end.misfits.iter().chain(&end.at).map(f64::to_string).collect();
                    let mut out = out.lock().expect("no writer fails");
                    writeln!(out, "{seed} {}", numbers.join(" "))
                        .and_then(|()| out.sync_data())
                        .expect("a file to write");
                }
            });
        }
    });
    Ok(())
}

/// A set lies near enough to where starts lie if no knob is farther than this, in widths.
const NEAR: f64 = 3.0;

/// The sets that fit and lie near, as data.
fn data(file: &str) {
    let mut sets = read(file);
    sets.sort_by_key(|(seed, ..)| *seed);
    for (seed, misfits, at) in sets {
        if misfits.iter().all(|y| y.abs() <= 1.0) && at.iter().all(|x| x.abs() <= NEAR) {
            let values: Vec<String> = KNOBS.iter().zip(at).map(|(knob, x)| format!("{:.5}", knob.value(x))).collect();
            println!("    Fitted::new({seed}, [{}]),", values.join(", "));
        }
    }
}

/// Entry boards of the pocket, at the head pin's row.
const POCKET: std::ops::RangeInclusive<f64> = 16.5..=18.5;

/// Share of professionals' pocket hits that strike.
fn carried(fitted: &Fitted, racks: u64) -> f64 {
    let (rack, ball) = (Rack::new(fitted.constants), BallBody::of_pounds(15.0));
    let (mut hits, mut strikes) = (0, 0);
    for index in 0..racks {
        let index = u64::from(fitted.search) << 32 | index;
        let entry = fitted.professionals.draw(&ball, &mut Stream::keyed(66, "pocket entries", index));
        if POCKET.contains(&Approach::of(&entry, &ball).board) {
            let outcome =
                rack.throw(&entry, &ball, &mut Stream::keyed(67, "pocket racks", index)).expect("a legal throw");
            hits += 1;
            strikes += u32::from(outcome.is_strike());
        }
    }
    f64::from(strikes) / f64::from(hits)
}

/// What each set in use gives, at its own professionals.
fn give(racks: u64) {
    let rows = || FITTED.iter().chain(&KEPT_OUT);
    let names: Vec<&str> = rows().map(|row| row.name).collect();
    println!("| search | {} | pocket carry |", names.join(" | "));
    let found: Vec<(Shares, f64)> = std::thread::scope(|scope| {
        let one = |fitted: &'static Fitted| {
            let setting = Setting { constants: fitted.constants, professionals: fitted.professionals };
            (Shares::thrown(&setting, (1 << 20) + u64::from(fitted.search), racks), carried(fitted, racks / 4))
        };
        let work: Vec<_> = ENSEMBLE.iter().map(|fitted| scope.spawn(move || one(fitted))).collect();
        work.into_iter().map(|work| work.join().expect("a worker finishes")).collect()
    });
    for (fitted, (shares, pocket)) in ENSEMBLE.iter().zip(&found) {
        let row: Vec<String> = rows().map(|row| format!("{:.1}", 100.0 * (row.found)(shares))).collect();
        println!("| {} | {} | {:.0} |", fitted.search, row.join(" | "), 100.0 * pocket);
    }
    let carry = found.iter().map(|(_, pocket)| pocket).sum::<f64>() / found.len() as f64;
    let all: Vec<Shares> = found.into_iter().map(|(shares, _)| shares).collect();
    let mean = Shares::mean(&all);
    println!("\n{} racks in all\n| share | published | mean | SD over sets | count error |", mean.racks);
    for row in rows() {
        let found = (row.found)(&mean);
        let square = all.iter().map(|one| ((row.found)(one) - found).powi(2)).sum::<f64>() / all.len() as f64;
        let n = if row.name == "strikes" { mean.racks as f64 } else { mean.racks as f64 * (1.0 - mean.strikes) };
        let error = (found * (1.0 - found) / n).sqrt();
        let [published, found, sd, error] = [row.published, found, square.sqrt(), error].map(|x| 100.0 * x);
        println!("| {} | {published:.1} | {found:.2} | {sd:.2} | {error:.2} |", row.name);
    }
    println!("| pocket carry | 74 | {:.1} | | |", 100.0 * carry);
    let names: Vec<String> =
        mean.order().iter().take(36).map(|&(m, share)| format!("{} {:.2}", entries::name(m), 100.0 * share)).collect();
    println!("commonest of non-strikes, both hands: {}", names.join(", "));
    println!(
        "5: {:.2}  8-10: {:.2}  5-7: {:.2}",
        100.0 * mean.leave(&[5]),
        100.0 * mean.leave(&[8, 10]),
        100.0 * mean.leave(&[5, 7])
    );
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["give"] => give(20_000),
        ["give", racks] => give(racks.parse().expect("a number of racks")),
        ["data", file] => data(file),
        ["search", seeds, file] => {
            let (from, to) = seeds.split_once("..").expect("seeds as FROM..TO");
            let seeds = from.parse().expect("a seed")..to.parse().expect("a seed");
            search_all(seeds, file).expect("a file to write");
        }
        _ => eprintln!("say 'search FROM..TO FILE', 'data FILE' or 'give [RACKS]'"),
    }
}
