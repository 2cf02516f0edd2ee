//! Builds the carry table.
//!
//! Throw some of the 256 shards, each cell by cell on one core; what is in the file already is kept, so the command can be
//! stopped and given again:
//!
//! `cargo run --release -p boardwise-tools --bin build_carry -- --shards 0..64 --out part-0.shards`
//!
//! Then join files into the table, in any order:
//!
//! `cargo run --release -p boardwise-tools --bin build_carry -- --merge part-0.shards part-1.shards --out carry.bin`
//!
//! `--estimate` says how long the whole takes on this machine. `--thin`, given with any of these, throws a twenty-fifth
//! of the racks: a rough table to develop with, in minutes.

#[path = "../shared/shards.rs"]
mod shards;

use boardwise_pins::carry::{Carry, CarryError, Plan, Shard, merge, throw_shard};
use boardwise_pins::{Rack, ensemble};
use shards::Work;
use std::time::Instant;

const SHARDS: u32 = 256;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let (mut plan, racks) = (Plan::full(), ensemble::racks());
    if arguments.iter().any(|a| a == "--thin") {
        (plan.racks_at_home, plan.racks_elsewhere) = (60, 20);
    }
    let fingerprint = plan.fingerprint(racks.iter().map(Rack::constants));
    let work = Work {
        shards: SHARDS,
        covers: &|number| plan.shard(number, SHARDS),
        throw: &|cells| throw_shard(&racks, &plan, cells),
        covered: &|bytes| {
            Shard::parse(bytes).ok().filter(|shard| shard.fingerprint == fingerprint).map(|shard| shard.cells)
        },
        merge: &|shards| {
            let shards: Vec<Shard> = shards.iter().map(|bytes| Shard::parse(bytes)).collect::<Result<_, _>>()?;
            let table = merge(&plan, racks.iter().map(Rack::constants), &shards)?;
            Carry::parse(&table).map(|_| table)
        },
        cost: &|| cost(&plan, &racks),
    };
    if let Err(problem) = shards::run(&arguments, &work) {
        eprintln!("{problem}");
        std::process::exit(1);
    }
}

/// Times a thin sample of cells, spread over the plan.
fn cost(plan: &Plan, racks: &[Rack]) -> Result<(u64, f64), CarryError> {
    const SAMPLE: u32 = 200;
    let thin = Plan { racks_at_home: 40, racks_elsewhere: 40, ..plan.clone() };
    let start = Instant::now();
    for k in 0..SAMPLE {
        let cell = (u64::from(plan.cells()) * u64::from(k) / u64::from(SAMPLE)) as u32;
        throw_shard(racks, &thin, cell..cell + 1)?;
    }
    Ok((plan.total_racks(), start.elapsed().as_secs_f64() / f64::from(SAMPLE * 40)))
}
