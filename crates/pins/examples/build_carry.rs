//! Builds the carry table.
//!
//! Throw some of the 256 shards, each cell by cell on one core; what is in the file already is kept, so the command can be
//! stopped and given again:
//!
//! `cargo run --release -p pins --example build_carry -- --shards 0..64 --out part-0.shards`
//!
//! Then join files into the table, in any order:
//!
//! `cargo run --release -p pins --example build_carry -- --merge part-0.shards part-1.shards --out carry.bin`
//!
//! `--estimate` says how long the whole takes on this machine. `--thin`, given with any of these, throws a fortieth of the
//! racks: a rough table to develop with, in minutes.

use pins::carry::{Carry, Plan, Shard, merge, throw_shard};
use pins::{Constants, Rack};
use std::io::Write;
use std::time::Instant;

const SHARDS: u32 = 256;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let Err(problem) = run(&arguments) {
        eprintln!("{problem}");
        std::process::exit(1);
    }
}

fn run(arguments: &[String]) -> Result<(), String> {
    let (mut plan, rack) = (Plan::full(), Rack::new(Constants::default()));
    if arguments.iter().any(|a| a == "--thin") {
        (plan.racks_at_home, plan.racks_elsewhere) = (60, 15);
    }
    let after = |flag: &str| arguments.iter().position(|a| a == flag).map(|at| &arguments[at + 1..]);
    if after("--estimate").is_some() {
        return estimate(&plan, &rack);
    }
    let out = after("--out").and_then(<[String]>::first).ok_or("say --out FILE")?;
    if let Some(files) = after("--merge") {
        let files: Vec<&String> = files.iter().take_while(|a| !a.starts_with("--")).collect();
        return join(&plan, &rack, &files, out);
    }
    let range =
        after("--shards").and_then(<[String]>::first).ok_or("say --shards A..B, --merge FILES or --estimate")?;
    let (from, to) = range
        .split_once("..")
        .and_then(|(a, b)| Some((a.parse::<u32>().ok()?, b.parse::<u32>().ok()?)))
        .filter(|(a, b)| a <= b && *b <= SHARDS)
        .ok_or(format!("shards '{range}' must be A..B within 0..{SHARDS}"))?;
    throw(&plan, &rack, from..to, out)
}

/// The shards of a file, each after its length; a last one that was cut off while being written is dropped.
fn shards_in(bytes: &[u8]) -> Vec<&[u8]> {
    let (mut rest, mut found) = (bytes, Vec::new());
    while let Some((length, after)) = rest.split_first_chunk::<8>() {
        let length = u64::from_le_bytes(*length) as usize;
        if length > after.len() {
            break;
        }
        let (shard, next) = after.split_at(length);
        found.push(shard);
        rest = next;
    }
    found
}

fn throw(plan: &Plan, rack: &Rack, shards: std::ops::Range<u32>, out: &str) -> Result<(), String> {
    let fingerprint = plan.fingerprint(rack.constants());
    let before = std::fs::read(out).unwrap_or_default();
    let kept: Vec<&[u8]> = shards_in(&before)
        .into_iter()
        .filter(|bytes| Shard::parse(bytes).is_ok_and(|shard| shard.fingerprint == fingerprint))
        .collect();
    let done: Vec<_> = kept.iter().filter_map(|bytes| Some(Shard::parse(bytes).ok()?.cells)).collect();
    let mut file = std::fs::File::create(format!("{out}.new")).map_err(|e| format!("{out}.new: {e}"))?;
    let mut write = |bytes: &[u8]| -> Result<(), String> {
        let length = (bytes.len() as u64).to_le_bytes();
        file.write_all(&length).and_then(|()| file.write_all(bytes)).map_err(|e| format!("{out}: {e}"))?;
        file.sync_data().map_err(|e| format!("{out}: {e}"))
    };
    for bytes in kept {
        write(bytes)?;
    }
    // Everything kept is in the new file: from here on it is the file, and grows by whole shards.
    std::fs::rename(format!("{out}.new"), out).map_err(|e| format!("{out}: {e}"))?;
    for number in shards {
        let cells = plan.shard(number, SHARDS);
        if done.contains(&cells) {
            continue;
        }
        let start = Instant::now();
        write(&throw_shard(rack, plan, cells.clone()).map_err(|e| e.to_string())?)?;
        println!("shard {number}: cells {cells:?} in {:.0} s", start.elapsed().as_secs_f64());
    }
    Ok(())
}

fn join(plan: &Plan, rack: &Rack, files: &[&String], out: &str) -> Result<(), String> {
    let bytes: Vec<Vec<u8>> =
        files.iter().map(|file| std::fs::read(file).map_err(|e| format!("{file}: {e}"))).collect::<Result<_, _>>()?;
    let mut shards = Vec::new();
    for bytes in bytes.iter().flat_map(|bytes| shards_in(bytes)) {
        let shard = Shard::parse(bytes).map_err(|e| e.to_string())?;
        if !shards.contains(&shard) {
            shards.push(shard);
        }
    }
    let table = merge(plan, rack.constants(), &shards).map_err(|e| e.to_string())?;
    Carry::parse(&table).map_err(|e| e.to_string())?;
    println!("{} cells, {} bytes", plan.cells(), table.len());
    std::fs::write(out, table).map_err(|e| format!("{out}: {e}"))
}

/// Times a thin sample of cells, spread over the plan.
fn estimate(plan: &Plan, rack: &Rack) -> Result<(), String> {
    const SAMPLE: u32 = 200;
    let thin = Plan { racks_at_home: 40, racks_elsewhere: 40, ..plan.clone() };
    let start = Instant::now();
    for k in 0..SAMPLE {
        let cell = (u64::from(plan.cells()) * u64::from(k) / u64::from(SAMPLE)) as u32;
        throw_shard(rack, &thin, cell..cell + 1).map_err(|e| e.to_string())?;
    }
    let rack_s = start.elapsed().as_secs_f64() / f64::from(SAMPLE * 40);
    let racks = plan.total_racks();
    println!(
        "{} cells, {racks} racks, {:.3} ms each: {:.1} core-hours",
        plan.cells(),
        rack_s * 1e3,
        racks as f64 * rack_s / 3600.0
    );
    Ok(())
}
