//! Builds the table of spares, as `build_carry` builds the table of first balls:
//!
//! `cargo run --release -p boardwise-tools --bin build_spares -- --shards 0..32 --out part-0.shards`
//!
//! `cargo run --release -p boardwise-tools --bin build_spares -- --merge part-0.shards part-1.shards --out spares.bin`
//!
//! There are 128 shards. `--estimate` says how long the whole takes on this machine; `--thin`, given with any of these,
//! throws a third of the racks.

#[path = "../shared/shards.rs"]
mod shards;

use boardwise_pins::carry::CarryError;
use boardwise_pins::spare::{Shard, SparePlan, Spares, merge, throw_shard};
use boardwise_pins::{Rack, ensemble};
use shards::Work;
use std::time::Instant;

const SHARDS: u32 = 128;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let (mut plan, racks) = (SparePlan::full(), ensemble::racks());
    if arguments.iter().any(|a| a == "--thin") {
        plan.racks = racks.len() as u32;
    }
    let fingerprint = plan.fingerprint(racks.iter().map(Rack::constants));
    let work = Work {
        shards: SHARDS,
        covers: &|number| SparePlan::shard(number, SHARDS),
        throw: &|leaves| throw_shard(&racks, &plan, leaves),
        covered: &|bytes| {
            Shard::parse(bytes).ok().filter(|shard| shard.fingerprint == fingerprint).map(|shard| shard.leaves)
        },
        merge: &|shards| {
            let shards: Vec<Shard> = shards.iter().map(|bytes| Shard::parse(bytes)).collect::<Result<_, _>>()?;
            let table = merge(&plan, racks.iter().map(Rack::constants), &shards)?;
            Spares::parse(&table).map(|_| table)
        },
        cost: &|| cost(&plan, &racks),
    };
    if let Err(problem) = shards::run(&arguments, &work) {
        eprintln!("{problem}");
        std::process::exit(1);
    }
}

/// Times single racks of leaves spread over all of them.
fn cost(plan: &SparePlan, racks: &[Rack]) -> Result<(u64, f64), CarryError> {
    const SAMPLE: u32 = 60;
    let thin = SparePlan { racks: racks.len() as u32, ..plan.clone() };
    let leaves = SparePlan::leaves().count() as u32;
    let (start, mut thrown) = (Instant::now(), 0);
    for k in 0..SAMPLE {
        let leave = leaves * k / SAMPLE;
        throw_shard(racks, &thin, leave..leave + 1)?;
        thrown += thin.racks_of(leave..leave + 1);
    }
    let rack_s = start.elapsed().as_secs_f64() / thrown as f64;
    Ok((plan.racks_of(0..leaves), rack_s))
}
