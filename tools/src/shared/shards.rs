//! Building a table in parts: files of shards that grow, can be stopped and given again, and are joined in any order.

use boardwise_pins::carry::CarryError;
use std::io::Write;
use std::ops::Range;
use std::time::Instant;

/// Joins shards.
type Merge<'a> = dyn Fn(&[&[u8]]) -> Result<Vec<u8>, CarryError> + 'a;

/// A table to build.
pub struct Work<'a> {
    /// Number of shards.
    pub shards: u32,
    /// What a shard covers, by its number.
    pub covers: &'a dyn Fn(u32) -> Range<u32>,
    /// Throws what is covered.
    pub throw: &'a dyn Fn(Range<u32>) -> Result<Vec<u8>, CarryError>,
    /// What a shard's bytes cover; none if they are damaged or of another plan.
    pub covered: &'a dyn Fn(&[u8]) -> Option<Range<u32>>,
    /// Joins shards into the table and reads it once.
    pub merge: &'a Merge<'a>,
    /// Racks in all, and seconds one takes on average, measured on a sample.
    pub cost: &'a dyn Fn() -> Result<(u64, f64), CarryError>,
}

/// Does what the arguments ask for: `--estimate`, `--shards A..B --out FILE` or `--merge FILES --out FILE`.
pub fn run(arguments: &[String], work: &Work) -> Result<(), String> {
    let after = |flag: &str| arguments.iter().position(|a| a == flag).map(|at| &arguments[at + 1..]);
    if after("--estimate").is_some() {
        let (racks, rack_s) = (work.cost)().map_err(|e| e.to_string())?;
        let hours = racks as f64 * rack_s / 3600.0;
        println!("{racks} racks, {:.3} ms each: {hours:.1} core-hours", rack_s * 1e3);
        return Ok(());
    }
    let out = after("--out").and_then(<[String]>::first).ok_or("say --out FILE")?;
    if let Some(files) = after("--merge") {
        let files: Vec<&String> = files.iter().take_while(|a| !a.starts_with("--")).collect();
        return join(work, &files, out);
    }
    let range =
        after("--shards").and_then(<[String]>::first).ok_or("say --shards A..B, --merge FILES or --estimate")?;
    let (from, to) = range
        .split_once("..")
        .and_then(|(a, b)| Some((a.parse::<u32>().ok()?, b.parse::<u32>().ok()?)))
        .filter(|(a, b)| a <= b && *b <= work.shards)
        .ok_or(format!("shards '{range}' must be A..B within 0..{}", work.shards))?;
    throw(work, from..to, out)
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

fn throw(work: &Work, shards: Range<u32>, out: &str) -> Result<(), String> {
    let before = std::fs::read(out).unwrap_or_default();
    let kept: Vec<(&[u8], Range<u32>)> =
        shards_in(&before).into_iter().filter_map(|bytes| Some((bytes, (work.covered)(bytes)?))).collect();
    let mut file = std::fs::File::create(format!("{out}.new")).map_err(|e| format!("{out}.new: {e}"))?;
    let mut write = |bytes: &[u8]| -> Result<(), String> {
        let length = (bytes.len() as u64).to_le_bytes();
        file.write_all(&length).and_then(|()| file.write_all(bytes)).map_err(|e| format!("{out}: {e}"))?;
        file.sync_data().map_err(|e| format!("{out}: {e}"))
    };
    for (bytes, _) in &kept {
        write(bytes)?;
    }
    // Everything kept is in the new file: from here on it is the file, and grows by whole shards.
    std::fs::rename(format!("{out}.new"), out).map_err(|e| format!("{out}: {e}"))?;
    for number in shards {
        let covers = (work.covers)(number);
        if kept.iter().any(|(_, done)| *done == covers) {
            continue;
        }
        let start = Instant::now();
        write(&(work.throw)(covers.clone()).map_err(|e| e.to_string())?)?;
        println!("shard {number}: {covers:?} in {:.0} s", start.elapsed().as_secs_f64());
    }
    Ok(())
}

fn join(work: &Work, files: &[&String], out: &str) -> Result<(), String> {
    let bytes: Vec<Vec<u8>> =
        files.iter().map(|file| std::fs::read(file).map_err(|e| format!("{file}: {e}"))).collect::<Result<_, _>>()?;
    let mut shards: Vec<&[u8]> = Vec::new();
    for shard in bytes.iter().flat_map(|bytes| shards_in(bytes)) {
        if !shards.contains(&shard) {
            shards.push(shard);
        }
    }
    let table = (work.merge)(&shards).map_err(|e| e.to_string())?;
    println!("{} bytes", table.len());
    std::fs::write(out, table).map_err(|e| format!("{out}: {e}"))
}
