//! What two devices logged apart becomes one record on both.

use std::path::Path;

use boardwise_record::{Bowler, Error, Fact, Record, Seq};
use boardwise_units::stream::Stream;

use crate::scene::{anna, at, empty, id, json, key, people, shot};

/// Devices that hold the same people and things, and nothing else.
fn devices<const N: usize>(folder: &Path) -> [Record; N] {
    std::array::from_fn(|k| {
        let mut record = empty(folder, &format!("device {k}"));
        people(&mut record);
        record
    })
}

/// Each takes in what the other holds; that both hold the same then is looked at here.
fn exchange(one: &mut Record, other: &mut Record) {
    let there = other.join(one).unwrap();
    let back = one.join(other).unwrap();
    assert_eq!((back.facts, back.lacks), (there.facts, 0));
    assert_eq!((json(one), one.digest().unwrap()), (json(other), other.digest().unwrap()));
    one.check().unwrap();
    other.check().unwrap();
}

fn marks(record: &Record) -> String {
    record.sheet(&id("free"), &anna()).unwrap().games.iter().map(ToString::to_string).collect()
}

#[test]
fn law_two_devices_that_log_one_block_in_turns_end_with_one_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let [mut phone, mut laptop] = devices(folder.path());
    for (second, pins) in [(0, "none"), (2, "none"), (4, "7-10")] {
        phone.log(shot("free", pins), &key(&format!("p{second}")), at(second)).unwrap();
    }
    // The laptop has not heard of the strikes.
    for (second, pins) in [(1, "none"), (3, "none")] {
        laptop.log(shot("free", pins), &key(&format!("l{second}")), at(second)).unwrap();
    }
    exchange(&mut phone, &mut laptop);
    assert_eq!(marks(&phone), "X X X X 8");
    let held = (json(&laptop), laptop.version().unwrap());
    // Told once more, nothing changes.
    let again = laptop.join(&phone).unwrap();
    assert_eq!((again.facts, again.new, again.lacks), (5, 0, 0));
    assert_eq!((json(&laptop), laptop.version().unwrap()), held);
    // It can be exported and imported like any other.
    let mut copy = empty(folder.path(), "copy");
    copy.import_json(&json(&phone)).unwrap();
    assert_eq!(json(&copy), json(&phone));
}

#[test]
fn law_whoever_has_read_a_record_sees_that_facts_came_in_between() {
    let folder = tempfile::tempdir().unwrap();
    let [mut phone, mut laptop] = devices(folder.path());
    phone.log(shot("free", "none"), &key("early"), at(0)).unwrap();
    laptop.log(shot("free", "10"), &key("late"), at(1)).unwrap();
    let beside = Record::open(folder.path().join("device 1")).unwrap();
    let read = beside.version().unwrap();
    assert_eq!(beside.fact(Seq(1)).unwrap().key, key("late"));
    laptop.join(&phone).unwrap();
    assert_ne!(beside.version().unwrap(), read);
    assert_eq!(beside.fact(Seq(1)).unwrap().key, key("early"));
    assert_eq!(marks(&beside), "X 9");
    // The guard of the log is up again.
    beside.check().unwrap();
    laptop.log(shot("free", "none"), &key("next"), at(2)).unwrap();
    assert_eq!(marks(&Record::open(folder.path().join("device 1")).unwrap()), "X 9/");
}

#[test]
fn law_what_both_took_back_stays_taken_back_until_both_have_it_again() {
    let folder = tempfile::tempdir().unwrap();
    let [mut phone, mut laptop] = devices(folder.path());
    phone.log(shot("free", "none"), &key("first"), at(0)).unwrap();
    phone.log(shot("free", "10"), &key("second"), at(1)).unwrap();
    exchange(&mut phone, &mut laptop);
    phone.undo(Seq(2), &key("p"), at(2)).unwrap();
    laptop.undo(Seq(2), &key("l"), at(3)).unwrap();
    // Nobody knew that it was taken back when the next was logged.
    laptop.log(shot("free", "none"), &key("third"), at(4)).unwrap();
    phone.correct(Seq(1), shot("free", "7"), &key("right"), at(5)).unwrap();
    exchange(&mut phone, &mut laptop);
    assert_eq!(marks(&phone), "9/");
    let undo = phone.receipt(&key("p")).unwrap().unwrap().seq;
    phone.undo(undo, &key("again"), at(6)).unwrap();
    exchange(&mut phone, &mut laptop);
    assert_eq!(marks(&laptop), "9/", "the laptop's still stands");
    let facts = laptop.facts(Seq(0)).unwrap();
    assert_eq!(facts.iter().filter(|fact| matches!(fact.fact, Fact::Undo { .. })).count(), 3);
    let mut copy = empty(folder.path(), "copy");
    copy.import_json(&json(&laptop)).unwrap();
    assert_eq!(json(&copy), json(&laptop));
}

#[test]
fn law_what_cannot_both_be_is_refused_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let [mut phone, mut laptop] = devices(folder.path());
    phone.log(shot("free", "7-10"), &key("p"), at(0)).unwrap();
    // The same ball on the other device: the pins that it leaves were down already.
    laptop.log(shot("free", "1-2"), &key("l"), at(1)).unwrap();
    let held = (json(&phone), phone.version().unwrap());
    let refused = phone.join(&laptop);
    assert!(matches!(refused, Err(Error::DoesNotFit { .. })), "{refused:?}");
    assert_eq!((json(&phone), phone.version().unwrap()), held);
    phone.check().unwrap();
    // Taken back in one of them, the rest fits.
    laptop.undo(Seq(1), &key("not so"), at(2)).unwrap();
    exchange(&mut phone, &mut laptop);
    assert_eq!(marks(&phone), "8");

    phone.log(shot("free", "7"), &key("one key"), at(3)).unwrap();
    laptop.log(shot("free", "10"), &key("one key"), at(3)).unwrap();
    let refused = phone.join(&laptop);
    assert!(matches!(refused, Err(Error::KeyTaken { .. })), "{refused:?}");
}

#[test]
fn law_a_name_that_one_of_them_changed_is_the_same_for_both() {
    let folder = tempfile::tempdir().unwrap();
    let [mut phone, mut laptop] = devices(folder.path());
    phone.rename::<Bowler>("anna", "Anna of the lanes").unwrap();
    laptop.rename::<Bowler>("ben", "B").unwrap();
    exchange(&mut phone, &mut laptop);
    assert_eq!(laptop.get::<Bowler>("anna").unwrap().name, "Anna of the lanes");
    assert_eq!(laptop.get::<Bowler>("ben").unwrap().name, "BEN");
}

/// Files of two devices and a server, where nothing is counted, so that any order of balls makes a sheet.
#[test]
fn law_files_that_are_exchanged_at_random_end_equal_with_every_ball_once() {
    const RUNS: u64 = 12;
    const STEPS: i64 = 30;
    for run in 0..RUNS {
        let folder = tempfile::tempdir().unwrap();
        let mut places: [Record; 3] = devices(folder.path());
        let mut draw = Stream::keyed(1, "files exchanged", run);
        let mut logged = Vec::new();
        for step in 0..STEPS {
            let who = (draw.bits() % 3) as usize;
            if draw.uniform() < 0.67 {
                let name = key(&format!("{who}-{step}"));
                let pins = ["none", "7-10", "1-2-4"][(draw.bits() % 3) as usize];
                // Clocks differ by up to four seconds.
                places[who].log(shot("drill", pins), &name, at(4 + step - [0, 2, 4][who])).unwrap();
                logged.push(name);
            } else {
                // One way alone: the answer never came.
                let (to, from) = [(0, 2), (2, 0), (1, 2), (2, 1)][(draw.bits() % 4) as usize];
                let [to, from] = places.get_disjoint_mut([to, from]).unwrap();
                to.join(from).unwrap();
            }
        }
        let [a, b, server] = &mut places;
        exchange(a, server);
        exchange(b, server);
        exchange(a, server);
        assert_eq!(json(a), json(b), "run {run}");
        let sheet = a.sheet(&id("drill"), &anna()).unwrap();
        let mut there: Vec<_> = sheet.deliveries.iter().map(|one| one.key.clone()).collect();
        there.sort();
        logged.sort();
        assert_eq!(there, logged, "run {run}: lost or doubled");
    }
}
