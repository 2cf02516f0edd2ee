//! A record of many seasons stays as quick as that of an evening: its times, by hand. That its questions cost the database no
//! more is counted in the record's own tests.

use std::path::Path;
use std::time::{Duration, Instant};

use boardwise_files::Library;
use boardwise_record::{Block, Fact, Key, Newcomers, Record, Shot};
use boardwise_session::at_lanes::after::{Listed, SheetChoice, Story};
use boardwise_session::at_lanes::begin::{Beginning, begin};
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Command, LogShot, ShotTold, Stamp};
use boardwise_session::at_lanes::open::Open;
use jiff::{SignedDuration, Timestamp};

/// A record with so many blocks of so many shots, each block begun as the first one was.
fn seasons(place: &Path, blocks: usize, shots: usize) {
    let library = Library::new(place.with_file_name("kit"));
    let start: Timestamp = "2024-01-01T18:00:00Z".parse().unwrap();
    let first = Stamp { key: "first".parse().unwrap(), at: start };
    let event = library.event("short-32-squad").unwrap();
    let begun = begin(place, event, &Beginning::default(), &first).unwrap().state.desk.begun;
    let mut record = Record::open(place).unwrap();
    let opening = record.opening(&begun.block, &begun.bowler).unwrap().unwrap();
    let model: Block = record.get(begun.block.as_str()).unwrap();
    for (number, day) in (0..blocks).zip(0_i64..) {
        let at = start + SignedDuration::from_hours(24 * day);
        let block = Block { id: format!("block {number}").parse().unwrap(), games: None, ..model.clone() };
        let key = |what: &str, k: usize| -> Key { format!("{what}-{number}/{k}").parse().unwrap() };
        let (id, bowler) = (block.id.clone(), begun.bowler.clone());
        let [lane, other] = begun.lanes.clone();
        let mut opening = opening.clone();
        opening.since = key("begin", 2);
        let facts = [
            Fact::BallChange { bowler: bowler.clone(), ball: begun.balls[0].clone() },
            Fact::LaneChange { block: id.clone(), bowler: bowler.clone(), lane, other: Some(other) },
            Fact::BlockBegun { block: id.clone(), bowler: bowler.clone(), opening: Box::new(opening) },
        ];
        let facts = facts.into_iter().enumerate().map(|(k, fact)| (fact, key("begin", k + 1)));
        record.log_with(Newcomers { blocks: vec![block], ..Newcomers::default() }, facts, at).unwrap();
        let shot = |k: usize| Shot::standing(&id, &bowler, ["10", "none"][k % 2].parse().unwrap());
        record.log_all((0..shots).map(|k| (Fact::from(shot(k)), key("shot", k))), at).unwrap();
    }
}

/// What is done with a record at the lanes and after, each with the time it took.
struct Times {
    log: Duration,
    look: Duration,
    open: Duration,
    story: Duration,
    list: Duration,
}

impl Times {
    fn of(place: &Path) -> Self {
        fn timed<T>(doing: impl FnOnce() -> T) -> (Duration, T) {
            let start = Instant::now();
            let done = doing();
            (start.elapsed(), done)
        }
        let (open, mut state) = timed(|| BlockState::open(place).unwrap());
        let mut beside = BlockState::open(place).unwrap();
        let mut number = 0;
        let mut log = || {
            number += 1;
            let shot = ShotTold { pins: "10".to_owned(), ..ShotTold::default() };
            let at = Timestamp::now();
            let stamp = Stamp { key: format!("{}-{number}", at.as_nanosecond()).parse().unwrap(), at };
            state.run(&Command::Log(LogShot { shot, ..LogShot::default() }), &stamp).unwrap();
            let taken_back = Stamp { key: format!("{}-u{number}", at.as_nanosecond()).parse().unwrap(), at };
            state.run(&Command::Undo { of: None }, &taken_back).unwrap();
        };
        // The first one fills what is kept ready.
        log();
        let (both, ()) = timed(&mut log);
        let (look, _) = timed(|| (beside.catch_up().unwrap(), beside.is_present().unwrap()));
        let (story, _) = timed(|| Story::of(place, &SheetChoice::default()).unwrap().moves.len());
        let (list, _) = timed(|| Open::page(place, 0, 20).unwrap().0.len());
        Self { log: both / 2, look, open, story, list }
    }

    fn rows(&self) -> [(&'static str, Duration); 5] {
        let Self { log, look, open, story, list } = *self;
        [("log", log), ("look", look), ("open", open), ("story", story), ("list", list)]
    }
}

#[test]
fn law_the_lists_of_blocks_come_in_pages_that_hold_each_block_once() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("a.record");
    seasons(&place, 45, 1);
    let record = Record::open(&place).unwrap();
    let all: Vec<String> = record.sheets().unwrap().iter().rev().map(|(block, _)| block.to_string()).collect();
    assert_eq!((all.len(), Listed::PAGE), (46, 20));
    let (mut open, mut listed, mut sizes) = (Vec::new(), Vec::new(), Vec::new());
    for skip in [0, 20, 40] {
        let (page, more) = Open::page(&place, skip, Listed::PAGE).unwrap();
        let (page_of_all, on_record) = Listed::page(&record, skip).unwrap();
        sizes.push((page.len(), more, page_of_all.len(), on_record));
        open.extend(page.into_iter().map(|one| one.listed.block.to_string()));
        listed.extend(page_of_all.into_iter().map(|one| one.block.to_string()));
    }
    assert_eq!(sizes, [(20, true, 20, 46), (20, true, 20, 46), (6, false, 6, 46)]);
    assert_eq!((&open, &listed), (&all, &all));
}

/// The full size, for its figures: `SEASONS=FILE cargo test --release -p boardwise-session --test all seasons -- --ignored --nocapture`
/// keeps the record there.
#[test]
#[ignore = "takes a minute, and its times hold on an idle machine"]
fn law_a_thousand_blocks_with_a_hundred_thousand_shots_keep_to_their_times() {
    let folder = tempfile::tempdir().unwrap();
    let place = std::env::var_os("SEASONS").map_or_else(|| folder.path().join("a.record"), std::path::PathBuf::from);
    if !place.exists() {
        seasons(&place, 1000, 100);
    }
    let most = |what| Duration::from_millis(if what == "log" { 50 } else { 1000 });
    let times = Times::of(&place).rows();
    for (what, took) in &times {
        println!("{what}: {took:?}");
    }
    assert!(times.into_iter().all(|(what, took)| took < most(what)), "on two idle cores: {times:?}");
}
