//! What the raw lines come to.

use crate::Row;
use crate::bowl::Tally;
use crate::plot;
use crate::policy::Policy;
use std::collections::BTreeMap;

/// What came of the blocks, by policy and block.
type Blocks = BTreeMap<Policy, BTreeMap<u64, Row>>;

/// The comparison from raw files, printed, and `study.svg`.
pub fn report(files: &[String]) -> Result<(), String> {
    let mut blocks = Blocks::new();
    for file in files {
        let text = std::fs::read_to_string(file).map_err(|why| format!("{file}: {why}"))?;
        for (number, line) in text.lines().enumerate() {
            let row: Row = serde_json::from_str(line).map_err(|why| format!("{file}:{}: {why}", number + 1))?;
            blocks.entry(row.policy).or_default().insert(row.block, row);
        }
    }
    for (policy, rows) in &blocks {
        let (pins, error) = mean_and_error(&each(rows, &Tally::mean_score));
        let (chance, chance_error) = mean_and_error(&each(rows, &|told| 100.0 * told.chance()));
        let (strikes, _) = mean_and_error(&each(rows, &|told| 100.0 * told.strikes()));
        let (expected, expected_error) = mean_and_error(&each(rows, &Tally::expected));
        println!(
            "{policy:?}, {} blocks: expected {expected:.2} ± {:.2} a game, bowled {pins:.2} ± {:.2}, {strikes:.1}% strikes, {chance:.2} ± {:.2}% true chance",
            rows.len(),
            SURE * expected_error,
            SURE * error,
            SURE * chance_error
        );
    }
    for (a, b) in [
        (Policy::Ours, Policy::Never),
        (Policy::Ours, Policy::Usual),
        (Policy::Hasty, Policy::Ours),
        (Policy::Near, Policy::Ours),
        (Policy::Known, Policy::Ours),
        (Policy::Known, Policy::Usual),
    ] {
        compare(&blocks, a, b);
    }
    closed(&blocks);
    changes(&blocks);
    let ours = blocks.get(&Policy::Ours);
    let bins = ours.map_or_else(Vec::new, calibration);
    let bars: Vec<plot::Bar> = blocks
        .iter()
        .map(|(policy, rows)| {
            let (mean, error) = mean_and_error(&each(rows, &Tally::expected));
            (policy.name(), mean, SURE * error)
        })
        .collect();
    let count = blocks.values().map(BTreeMap::len).max().unwrap_or_default();
    std::fs::write("study.svg", plot::picture(count, &bars, &bins)).map_err(|why| format!("study.svg: {why}"))
}

/// Standard errors of a 95% interval.
const SURE: f64 = 1.96;

fn each(rows: &BTreeMap<u64, Row>, value: &dyn Fn(&Tally) -> f64) -> Vec<f64> {
    rows.values().map(|row| value(&row.told)).collect()
}

/// One policy against another on the blocks that both bowled: in all, by pattern and by bowler.
fn compare(blocks: &Blocks, a: Policy, b: Policy) {
    let (Some(ours), Some(theirs)) = (blocks.get(&a), blocks.get(&b)) else { return };
    let pairs: Vec<(&Row, &Row)> = ours.iter().filter_map(|(block, row)| Some((row, theirs.get(block)?))).collect();
    let tell = |of: &str, pairs: &[&(&Row, &Row)]| {
        let differ = |value: &dyn Fn(&Tally) -> f64| {
            mean_and_error(&pairs.iter().map(|(a, b)| value(&a.told) - value(&b.told)).collect::<Vec<_>>())
        };
        let (pins, error) = differ(&Tally::mean_score);
        let (expected, expected_error) = differ(&Tally::expected);
        let (points, points_error) = differ(&|told| 100.0 * told.chance());
        println!(
            "{of}: expected {expected:.2} ± {:.2} (95%) pins a game, bowled {pins:.2} ± {:.2}, {points:.2} ± {:.2} points of strikes, {} blocks",
            SURE * expected_error,
            SURE * error,
            SURE * points_error,
            pairs.len()
        );
    };
    tell(&format!("{a:?} - {b:?}"), &pairs.iter().collect::<Vec<_>>());
    let kinds: [fn(&Row) -> &str; 2] = [|row| &row.pattern, |row| &row.skill];
    for kind in kinds {
        let mut names: Vec<&str> = pairs.iter().map(|pair| kind(pair.0)).collect();
        names.sort_unstable();
        names.dedup();
        for name in names {
            tell(&format!("  {name}"), &pairs.iter().filter(|pair| kind(pair.0) == name).collect::<Vec<_>>());
        }
    }
}

/// How much of the way from the usual rule to the lane known our advice goes, on the blocks that all three bowled.
fn closed(blocks: &Blocks) {
    let three = [Policy::Usual, Policy::Ours, Policy::Known].map(|policy| blocks.get(&policy));
    let [Some(usual), Some(ours), Some(known)] = three else { return };
    let share = |value: &dyn Fn(&Tally) -> f64| {
        let of = |rows: &BTreeMap<u64, Row>, block: &u64| rows.get(block).map(|row| value(&row.told));
        let all = usual.keys().filter_map(|block| Some((of(usual, block)?, of(ours, block)?, of(known, block)?)));
        let (gained, gap) =
            all.fold((0.0, 0.0), |sum, (usual, ours, known)| (sum.0 + ours - usual, sum.1 + known - usual));
        100.0 * gained / gap
    };
    let (expected, pins, chance) = (share(&Tally::expected), share(&Tally::mean_score), share(&Tally::chance));
    println!(
        "Of the gap between the usual rule and the lane known: {expected:.0}% in pins expected, {pins:.0}% in pins bowled, \
         {chance:.0}% in true strikes"
    );
}

/// How often each policy of ours changed something before a first ball.
fn changes(blocks: &Blocks) {
    for (policy, rows) in blocks.iter().filter(|(policy, _)| policy.is_advised()) {
        let (changed, shots) =
            rows.values().fold((0, 0), |sum, row| (sum.0 + row.told.changed, sum.1 + row.told.shots()));
        println!(
            "{policy:?} changed something before {:.1}% of first balls",
            100.0 * f64::from(changed) / f64::from(shots.max(1))
        );
    }
}

fn mean_and_error(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let square = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0).max(1.0);
    (mean, (square / n).sqrt())
}

/// Predicted chances of strikes against what happened, and how often intervals held.
fn calibration(rows: &BTreeMap<u64, Row>) -> Vec<plot::Bin> {
    let shots: Vec<(f64, bool)> = rows.values().flat_map(|row| row.told.predicted.iter().copied()).collect();
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
    let mut held: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for (name, off) in rows.values().flat_map(|row| &row.told.off) {
        held.entry(name).or_default().push(*off);
    }
    for (name, all) in held {
        let inside = all.iter().filter(|off| off.abs() < 1.2816).count() as f64 / all.len() as f64;
        let (bias, _) = mean_and_error(&all);
        println!("  80% interval of {name}: held {:.1}% of {}, off by {bias:+.2} sd", 100.0 * inside, all.len());
    }
    bins
}
