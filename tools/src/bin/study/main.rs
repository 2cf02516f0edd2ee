//! Is the advice worth following? Blocks of three games on hidden lanes, bowled by several policies on the same seeds.
//!
//! - `study FIRST LAST RAW [POLICY...]` bowls the blocks from FIRST up to but not with LAST and adds a line of JSON to the file RAW for each policy as
//!   soon as it has bowled a block; policies are `never`, `usual`, `ours`, `hasty` (ours without patience),
//!   `near` (ours without a look ahead) and `known`, all if none is named.
//! - `study --merge RAW...` makes the comparison from such files and draws `study.svg`. Where two tell of the same block and policy the later counts.
//!
//! The lanes differ from what the policies are told: oil in all and by place, friction, tilt, length, how fast they wear,
//! the oil exchange and the covers' reach. So does the bowler's day, and the pins are those of one set of constants. Policies see what a bowler sees: the pins that stand and how the ball hit, one call in ten wrong.

#[allow(dead_code, reason = "the rules of thumb use the rest")]
#[path = "../../../../crates/search/tests/typical/mod.rs"]
mod typical;

mod bowl;
mod plot;
mod policy;
mod report;
mod world;

use bowl::{Tally, bowl};
use policy::Policy;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use std::fs::{File, OpenOptions};
use std::io::Write;
use std::sync::Mutex;
use world::Hidden;

/// A block by one policy: a line of a raw file.
#[derive(Debug, Deserialize, Serialize)]
struct Row {
    block: u64,
    skill: String,
    pattern: String,
    policy: Policy,
    told: Tally,
}

const USAGE: &str = "study FIRST LAST RAW [never|usual|ours|hasty|near|known]... or study --merge RAW...";

fn main() {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let told = match asked.as_slice() {
        [merge, files @ ..] if merge == "--merge" => report::report(files),
        [first, last, raw, policies @ ..] => study(first, last, raw, policies),
        _ => Err(USAGE.to_owned()),
    };
    if let Err(why) = told {
        eprintln!("{why}");
        std::process::exit(2);
    }
}

fn study(first: &str, last: &str, raw: &str, policies: &[String]) -> Result<(), String> {
    let number = |text: &str| text.parse::<u64>().map_err(|_| format!("{text:?} is no block: {USAGE}"));
    let (first, last) = (number(first)?, number(last)?);
    let policies: Vec<Policy> = if policies.is_empty() {
        Policy::ALL.to_vec()
    } else {
        let named = |name: &String| {
            serde_json::from_value(serde_json::Value::String(name.clone())).map_err(|why| format!("{why}: {USAGE}"))
        };
        policies.iter().map(named).collect::<Result<_, String>>()?
    };
    let file = OpenOptions::new().append(true).create(true).open(raw).map_err(|why| format!("{raw}: {why}"))?;
    let file = Mutex::new(file);
    (first..last).into_par_iter().try_for_each(|index| {
        let world = Hidden::of(index);
        policies.par_iter().try_for_each(|&policy| {
            let (skill, pattern) = (world.skill.to_owned(), world.pattern.to_owned());
            write(&file, &Row { block: index, skill, pattern, policy, told: bowl(&world, policy) })
        })
    })
}

/// A line at a time, whole even if the run is ended.
fn write(file: &Mutex<File>, row: &Row) -> Result<(), String> {
    let mut line = serde_json::to_string(row).map_err(|why| why.to_string())?;
    println!(
        "block {} skill {} pattern {} {:?}: {:.1} a game, true chance {:.3}",
        row.block,
        row.skill,
        row.pattern,
        row.policy,
        row.told.mean_score(),
        row.told.chance()
    );
    line.push('\n');
    let mut file = file.lock().map_err(|why| why.to_string())?;
    file.write_all(line.as_bytes()).map_err(|why| why.to_string())
}
