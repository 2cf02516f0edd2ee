//! What earlier versions wrote: lines as remarks in fixed words, and beginnings of blocks as texts beside the log.
//!
//! Nothing here writes these forms. A record of an earlier version and an export of one are read through here, once.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use jiff::Timestamp;
use rusqlite::OptionalExtension;
use serde::Deserialize;

use crate::Error;
use crate::fact::{Fact, Logged};
use crate::opening::{LineMeant, Opening};
use crate::row::{COLUMNS, Row};
use crate::store::Store;
use crate::word::{BallId, BlockId, BowlerId, Key, Kind, LaneId, Seq};

/// Columns that the log did not have before version 3.
const NEW_COLUMNS: [&str; 4] = ["laydown_board", "speed_mph", "rotation_deg", "opening"];

/// A line in the words of a remark: `line on lane 12: laydown 25, arrows 11.5, 17 mph, 40 degrees of rotation`.
fn line_of(remark: &str) -> Option<(u32, LineMeant)> {
    let (lane, rest) = remark.strip_prefix("line on lane ")?.split_once(": laydown ")?;
    let (laydown, rest) = rest.split_once(", arrows ")?;
    let (arrows, rest) = rest.split_once(", ")?;
    let (speed, rest) = rest.split_once(" mph, ")?;
    let rotation = rest.strip_suffix(" degrees of rotation")?;
    let number = |text: &str| text.parse::<f64>().ok();
    let meant = LineMeant {
        laydown: number(laydown)?,
        arrows: number(arrows)?,
        speed_mph: number(speed)?,
        rotation_deg: number(rotation)?,
    };
    // Anybody may have written a remark in these words: what cannot be thrown is no line.
    meant.check().ok()?;
    Some((lane.parse().ok()?, meant))
}

/// The remarks of a log that are lines.
#[derive(Default)]
pub(crate) struct Lines(BTreeMap<i64, (LaneId, LineMeant)>);

impl Lines {
    /// Finds them. A remark and its corrections become a line only if each of them is one.
    pub fn of(rows: &[Row]) -> Self {
        let mut lanes: BTreeMap<(&BlockId, &BowlerId), BTreeSet<&LaneId>> = BTreeMap::new();
        for row in rows.iter().filter(|row| row.kind == Kind::Lane) {
            let (Some(block), Some(bowler)) = (&row.block, &row.bowler) else { continue };
            lanes.entry((block, bowler)).or_default().extend(row.lane.iter().chain(&row.other_lane));
        }
        let line = |row: &Row| {
            let (number, meant) = line_of(row.text.as_deref()?)?;
            let of_block = lanes.get(&(row.block.as_ref()?, row.bowler.as_ref()?))?;
            let lane = of_block.iter().find(|lane| lane.as_str().ends_with(&format!(", lane {number}")))?;
            Some(((*lane).clone(), meant))
        };
        let notes = || rows.iter().filter(|row| row.kind == Kind::Note);
        let found: BTreeMap<i64, _> = notes().filter_map(|row| Some((row.seq, line(row)?))).collect();
        let root = |row: &Row| row.corrects.unwrap_or(row.seq);
        let mixed: BTreeSet<i64> = notes().filter(|row| !found.contains_key(&row.seq)).map(root).collect();
        let whole = notes().filter(|row| !mixed.contains(&root(row)));
        Self(whole.filter_map(|row| Some((row.seq, found.get(&row.seq)?.clone()))).collect())
    }

    /// The row as it is written now.
    pub fn retyped(&self, mut row: Row) -> Row {
        if let Some((lane, meant)) = self.0.get(&row.seq) {
            row.kind = Kind::Line;
            row.text = None;
            row.lane = Some(lane.clone());
            row.fill_line(*meant);
        }
        row
    }
}

/// With what a block began, in the words of an earlier version.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Words {
    schema: u32,
    block: BlockId,
    bowler: BowlerId,
    since: Key,
    pair: usize,
    files: serde_json::Value,
    lanes: [LaneId; 2],
    balls: Vec<BallId>,
    forms: [Vec<Option<LineMeant>>; 2],
    others: Vec<[Option<LineMeant>; 2]>,
}

/// The fact that a block began, from the words of an earlier version; none where they are no such words.
pub(crate) fn begun(text: &str) -> Option<(Fact, Key)> {
    let Words { schema: 1, block, bowler, since, pair, files, lanes, balls, forms, others } =
        serde_json::from_str(text).ok()?
    else {
        return None;
    };
    let key = beside(&since, "begun")?;
    let opening = Box::new(Opening { since, pair, files, lanes, balls, forms, others });
    Some((Fact::BlockBegun { block, bowler, opening }, key))
}

/// A key for what the log lacked, made from one that it has.
fn beside(key: &Key, what: &str) -> Option<Key> {
    format!("{key}/{what}").parse().ok()
}

/// Carries everything of version 2 over into the log of version 3.
pub(crate) fn carry_over(store: &Store) -> Result<(), Error> {
    let column = |name: &str| if NEW_COLUMNS.contains(&name) { format!("NULL AS {name}") } else { name.to_owned() };
    let columns: Vec<String> = COLUMNS.split(", ").map(column).collect();
    let sql = format!("SELECT {}, root FROM earlier_fact ORDER BY seq", columns.join(", "));
    let rows: Vec<(Row, Option<i64>)> = store.ask(|| {
        let mut query = store.db.prepare(&sql)?;
        query.query_map([], |row| Ok((Row::read(row)?, row.get("root")?)))?.collect()
    })?;
    let (rows, roots): (Vec<Row>, Vec<Option<i64>>) = rows.into_iter().unzip();
    let lines = Lines::of(&rows);
    for (row, root) in rows.into_iter().zip(roots) {
        let row = lines.retyped(row);
        insert(store, Some(row.seq), &row, root)?;
    }
    let texts: Vec<String> = store.ask(|| {
        let mut query = store.db.prepare("SELECT text FROM beginning ORDER BY rowid")?;
        query.query_map([], |row| row.get(0))?.collect()
    })?;
    for (fact, key) in texts.iter().filter_map(|text| begun(text)) {
        add(store, fact, key)?;
    }
    present(store)?;
    store.ask(|| store.db.execute_batch("DROP TABLE earlier_fact; DROP TABLE beginning"))
}

/// The present block of earlier versions is the one whose beginning lies beside the record.
fn present(store: &Store) -> Result<(), Error> {
    let Some((fact, key)) = beside_record(&store.place.path).and_then(|text| begun(&text)) else { return Ok(()) };
    let Fact::BlockBegun { block, bowler, opening } = &fact else { return Ok(()) };
    // Somebody may have put another record in the place of the one that the file was of.
    let known = |sql: &str, id: &str| store.ask(|| store.db.prepare(sql)?.exists([id]));
    if !known("SELECT 1 FROM block WHERE id = ?1", block.as_str())?
        || !known("SELECT 1 FROM bowler WHERE id = ?1", bowler.as_str())?
    {
        return Ok(());
    }
    let (block, bowler) = (block.clone(), bowler.clone());
    let resumed = beside(&opening.since, "resumed");
    if at_of_key(store, &key)?.is_none() {
        add(store, fact, key)?;
    } else if present_there(store)?.as_ref() != Some(&(block.clone(), bowler.clone()))
        && let Some(key) = resumed
    {
        add(store, Fact::BlockResumed { block, bowler }, key)?;
    }
    Ok(())
}

fn beside_record(path: &Path) -> Option<String> {
    let name = path.file_name()?.to_string_lossy();
    std::fs::read_to_string(path.with_file_name(format!("{name}.block.json"))).ok()
}

/// Logs a fact that the log lacked, with the time of the fact it belongs to.
fn add(store: &Store, fact: Fact, key: Key) -> Result<(), Error> {
    let since = match &fact {
        Fact::BlockBegun { opening, .. } => at_of_key(store, &opening.since)?,
        _ => None,
    };
    let latest = "SELECT at FROM fact WHERE ?1 IS NOT NULL ORDER BY seq DESC LIMIT 1";
    let at = match since {
        Some(at) => at,
        None => at_of(store, latest, &key)?.unwrap_or(Timestamp::UNIX_EPOCH),
    };
    insert(store, None, &Row::from(Logged { seq: Seq(0), key, at, fact }), None)
}

/// A row in the log of version 3, which has no checksums.
fn insert(store: &Store, seq: Option<i64>, row: &Row, root: Option<i64>) -> Result<(), Error> {
    let at = row.at.to_string();
    let at = at.as_str();
    let mut values: Vec<&dyn rusqlite::ToSql> = vec![&seq];
    values.extend(row.values(&at));
    values.push(&root);
    let marks = vec!["?"; values.len()].join(", ");
    let sql = format!("INSERT INTO fact ({COLUMNS}, root) VALUES ({marks})");
    store.ask(|| store.db.prepare_cached(&sql)?.execute(values.as_slice())).map(drop)
}

/// The time of the fact under a key.
fn at_of_key(store: &Store, key: &Key) -> Result<Option<Timestamp>, Error> {
    at_of(store, "SELECT at FROM fact WHERE key = ?1", key)
}

fn at_of(store: &Store, sql: &str, key: &Key) -> Result<Option<Timestamp>, Error> {
    let at: Option<String> = store.ask(|| store.db.prepare(sql)?.query_row([key], |row| row.get(0)).optional())?;
    at.map(|at| at.parse().map_err(|_| store.damaged(format!("{at:?} is no time")))).transpose()
}

/// The block and bowler begun last; nothing of version 2 takes a beginning back.
fn present_there(store: &Store) -> Result<Option<(BlockId, BowlerId)>, Error> {
    let sql = "SELECT block, bowler FROM fact WHERE kind IN ('begun', 'resumed') ORDER BY seq DESC LIMIT 1";
    store.ask(|| store.db.prepare(sql)?.query_row([], |row| Ok((row.get(0)?, row.get(1)?))).optional())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn law_a_line_is_read_from_its_remark_and_nothing_else_is() {
        let words = "laydown 25.33, arrows 11.5, 17 mph, 40 degrees of rotation";
        let meant = LineMeant { laydown: 25.33, arrows: 11.5, speed_mph: 17.0, rotation_deg: 40.0 };
        assert_eq!(line_of(&format!("line on lane 12: {words}")), Some((12, meant)));
        for other in [
            "line on lane 7: feet in, I think",
            "line on lane 7: laydown 900, arrows 3, 17 mph, 40 degrees of rotation",
            "line on lane 7: laydown nan, arrows 3, 17 mph, 40 degrees of rotation",
            "the line on lane 7: laydown 20, arrows 3, 17 mph, 40 degrees of rotation",
        ] {
            assert_eq!(line_of(other), None, "{other}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn law_no_remark_panics(
            more in "line on lane [0-9]{1,20}: laydown \\PC{0,9}, arrows \\PC{0,9}, [0-9e.-]{1,9} mph, \\PC{0,9} degrees of rotation"
        ) {
            if let Some((_, meant)) = line_of(&more) {
                prop_assert!(meant.check().is_ok());
            }
        }
    }
}
