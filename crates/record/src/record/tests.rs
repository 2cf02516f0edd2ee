//! What the database does for each question: steps are counted, so that a busy machine changes nothing.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use boardwise_units::Hand;
use jiff::Timestamp;

use super::*;
use crate::{Ball, Bowler, Counting, Event, EventKind, Lane, LineMeant, Shot};

fn id<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().unwrap()
}

fn at(day: usize) -> Timestamp {
    Timestamp::from_second(1_775_900_000 + 86_400 * i64::try_from(day).unwrap()).unwrap()
}

/// A record of so many blocks, each begun with a lane, a ball and a line, and each with ten shots.
fn seasons(blocks: usize) -> (tempfile::TempDir, Record) {
    let folder = tempfile::tempdir().unwrap();
    let mut record = Record::open(folder.path().join("a.record")).unwrap();
    let name = || "any".to_owned();
    record.add(&Bowler { id: id("anna"), name: name(), hand: Hand::Right }).unwrap();
    record.add(&Event { id: id("league"), name: name(), kind: EventKind::Competition, day: None }).unwrap();
    for lane in ["7", "8"] {
        record.add(&Lane { id: id(lane), name: name() }).unwrap();
    }
    let ball = Ball { id: id("dull"), bowler: id("anna"), name: name(), cover: None, surface: None, games_before: 0.0 };
    record.add(&ball).unwrap();
    for number in 0..blocks {
        let key = |what: &str| -> Key { id(&format!("{what} {number}")) };
        let block: BlockId = id(&format!("block {number}"));
        let new = Block {
            id: block.clone(),
            event: id("league"),
            name: name(),
            counting: Counting::Traditional,
            games: None,
        };
        record.add(&new).unwrap();
        let line = LineMeant { laydown: 20.0, arrows: 12.0, speed_mph: 17.0, rotation_deg: 45.0 };
        let opening = Opening {
            since: key("since"),
            pair: 0,
            files: serde_json::Value::Null,
            lanes: [id("7"), id("8")],
            balls: vec![id("dull")],
            forms: [vec![None], vec![None]],
            others: Vec::new(),
        };
        let facts = [
            (Fact::BallChange { bowler: id("anna"), ball: id("dull") }, key("ball")),
            (
                Fact::LaneChange { block: block.clone(), bowler: id("anna"), lane: id("7"), other: Some(id("8")) },
                key("lane"),
            ),
            (Fact::BlockBegun { block: block.clone(), bowler: id("anna"), opening: Box::new(opening) }, key("begun")),
            (Fact::LineMeant { block: block.clone(), bowler: id("anna"), lane: id("7"), line }, key("line")),
        ];
        record.log_all(facts, at(number)).unwrap();
        let shot = |k: usize| Shot::standing(&block, &id("anna"), id(["10", "none"][k % 2]));
        record.log_all((0..10).map(|k| (Fact::from(shot(k)), key(&format!("shot {k}")))), at(number)).unwrap();
    }
    (folder, record)
}

/// Steps of the database for each thing that is done at the lanes, in the newest of so many blocks.
fn steps(blocks: usize) -> Vec<(&'static str, u64)> {
    const STRIDE: i32 = 10;
    let (_folder, mut record) = seasons(blocks);
    let counted = Arc::new(AtomicU64::new(0));
    let counter = Arc::clone(&counted);
    let count = move || {
        counter.fetch_add(1, Ordering::Relaxed);
        false
    };
    record.store.db.progress_handler(STRIDE, Some(count)).unwrap();
    let mut done = Vec::new();
    let mut took = |what, from: &AtomicU64| done.push((what, from.swap(0, Ordering::Relaxed)));
    let (block, anna): (BlockId, BowlerId) = (id(&format!("block {}", blocks - 1)), id("anna"));
    let shot = Shot::standing(&block, &anna, id("10"));
    let logged = record.log(shot, &id("one more"), at(blocks)).unwrap();
    took("log", &counted);
    record.undo(logged.seq, &id("back"), at(blocks)).unwrap();
    took("undo", &counted);
    record.version().unwrap();
    took("version", &counted);
    record.sheet(&block, &anna).unwrap();
    took("sheet", &counted);
    record.opening(&block, &anna).unwrap().unwrap();
    took("opening", &counted);
    record.lines(&block, &anna).unwrap();
    took("lines", &counted);
    record.receipt(&id("one more")).unwrap().unwrap();
    took("receipt", &counted);
    record.facts(logged.seq).unwrap();
    took("facts", &counted);
    record.present().unwrap();
    took("present", &counted);
    record.in_hand(&anna).unwrap();
    took("in hand", &counted);
    let mut running = record.running_sheet(&block, &anna).unwrap();
    counted.store(0, Ordering::Relaxed);
    let onto = |what: &str| [(Fact::from(Shot::standing(&block, &anna, id("none"))), id::<Key>(what))];
    record.log_onto(&mut running, onto("onto"), at(blocks)).unwrap();
    took("log onto a kept sheet", &counted);
    let first: BlockId = id("block 0");
    let since = record.receipt(&id("begun 0")).unwrap().unwrap().seq;
    counted.store(0, Ordering::Relaxed);
    record.facts_about(&first, &anna, &[id("dull")], since).unwrap();
    took("about the first block", &counted);
    done
}

/// So many more tens of steps may each further block cost: every beginning and every change of ball is counted, so that no index
/// hides one. What a first block can feel are later changes of ball, and not the other 13 facts of each block.
const A_BLOCK: [(&str, u64); 3] = [("present", 3), ("in hand", 12), ("about the first block", 20)];

#[test]
fn law_what_is_done_at_the_lanes_costs_hardly_more_in_an_old_record() {
    let (few, many) = (3, 100);
    for ((what, new), (_, old)) in steps(few).into_iter().zip(steps(many)) {
        println!("{what}: {new} tens of steps with {few} blocks, {old} with {many}");
        let counts = A_BLOCK.iter().find(|(known, _)| *known == what).map_or(0, |(_, each)| each * many as u64);
        assert!(old <= 2 * new + 20 + counts, "{what}: {new} tens of steps with {few} blocks, {old} with {many}");
    }
}

/// Steps of the database for a shot, and for the undo of it, on a sheet that is kept and holds so many shots, as many again taken back.
fn steps_on_a_sheet_of(shots: usize) -> [u64; 2] {
    let (_folder, mut record) = seasons(1);
    let (block, anna): (BlockId, BowlerId) = (id("block 0"), id("anna"));
    let mut running = record.running_sheet(&block, &anna).unwrap();
    let mut number = 0;
    let mut log = |record: &mut Record, running: &mut crate::RunningSheet, fact: Fact| {
        number += 1;
        record.log_onto(running, [(fact, id(&format!("kept {number}")))], at(1)).unwrap()[0].seq
    };
    let strike = || Fact::from(Shot::standing(&block, &anna, id("none")));
    for _ in 0..shots {
        log(&mut record, &mut running, strike());
        let of = log(&mut record, &mut running, strike());
        log(&mut record, &mut running, Fact::Undo { of });
    }
    let counted = Arc::new(AtomicU64::new(0));
    let counter = Arc::clone(&counted);
    let count = move || {
        counter.fetch_add(1, Ordering::Relaxed);
        false
    };
    record.store.db.progress_handler(1, Some(count)).unwrap();
    let of = log(&mut record, &mut running, strike());
    let logged = counted.swap(0, Ordering::Relaxed);
    log(&mut record, &mut running, Fact::Undo { of });
    let undone = counted.load(Ordering::Relaxed);
    assert_eq!(*running.sheet(), record.sheet(&block, &anna).unwrap());
    [logged, undone]
}

#[test]
fn law_a_shot_onto_a_kept_sheet_costs_the_database_the_same_however_long_it_is() {
    let (short, long) = (steps_on_a_sheet_of(2), steps_on_a_sheet_of(200));
    println!("a shot and its undo: {short:?} steps on a short sheet, {long:?} on a long one");
    for (short, long) in short.into_iter().zip(long) {
        assert!(10 * long <= 11 * short, "{short} steps on a short sheet, {long} on a long one");
    }
}
