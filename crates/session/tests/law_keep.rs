//! Backups hold everything, are compared before they are called good, and are put in place on another machine as they were.

use std::fs;
use std::path::{Path, PathBuf};

use boardwise_files::{LANES, Library, Shelf};
use boardwise_record::Record;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::keep::{self, KEPT, Places};
use jiff::{SignedDuration, Timestamp};
use tempfile::TempDir;

/// A record with an evening in it, a kit and a device.
fn machine() -> (TempDir, Places) {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../record/tests/earlier/v3.record");
    let folder = tempfile::tempdir().unwrap();
    let places = places(folder.path());
    fs::copy(kept, &places.record).unwrap();
    Library::new(places.kit.clone()).keep(Shelf::Lane, "my-house", LANES[0].text).unwrap();
    fs::write(folder.path().join("mine.record.devices.json"), "[]").unwrap();
    (folder, places)
}

fn places(folder: &Path) -> Places {
    Places { record: folder.join("mine.record"), kit: folder.join("kit") }
}

fn now(hours: i64) -> Timestamp {
    Timestamp::UNIX_EPOCH + SignedDuration::from_hours(hours)
}

fn tree(folder: &Path) -> Vec<PathBuf> {
    let mut all: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    all.sort();
    all
}

#[test]
fn law_a_new_machine_has_record_kit_devices_and_the_open_block() {
    let ((old, here), new) = (machine(), tempfile::tempdir().unwrap());
    let before = BlockState::open(&here.record).unwrap();
    let (digest, sheet, block) =
        (before.desk.record.digest().unwrap(), before.sheet.clone(), before.desk.begun.block.clone());
    let stick = old.path().join("stick");
    let kept = keep::backup(&here, &stick, now(0)).unwrap();
    assert_eq!(kept.files, 2);
    let there = places(new.path());
    assert_eq!(keep::restore(&stick, &there).unwrap().facts, kept.facts);
    let after = BlockState::open(&there.record).unwrap();
    assert_eq!((after.desk.record.digest().unwrap(), &after.sheet, &after.desk.begun.block), (digest, &sheet, &block));
    let lane = Library::new(there.kit.clone()).fetch(Shelf::Lane, "my-house").unwrap().1;
    assert_eq!(lane, LANES[0].text.as_bytes());
    assert_eq!(fs::read_to_string(new.path().join("mine.record.devices.json")).unwrap(), "[]");
    // Twice replaces nothing.
    let why = keep::restore(&stick, &there).unwrap_err().to_string();
    assert!(why.contains("is not replaced"), "{why}");
    keep::backup(&here, &stick, now(0)).unwrap_err();
}

#[test]
fn law_a_backup_with_anything_missing_or_changed_is_not_restored() {
    let (old, here) = machine();
    let stick = old.path().join("stick");
    keep::backup(&here, &stick, now(0)).unwrap();
    let files = ["boardwise.record", "kit/lane/my-house.toml", "devices.json", "contents.json"];
    for file in files {
        let (path, new) = (stick.join(file), tempfile::tempdir().unwrap());
        let good = fs::read(&path).unwrap();
        for changed in [None, Some(good[..good.len() / 2].to_vec()), Some([&good[..], b" "].concat())] {
            // Bytes behind a record's end, and spaces in a list, mean nothing.
            let harmless = changed.as_ref().is_some_and(|bytes| bytes.len() > good.len());
            match &changed {
                None => fs::remove_file(&path).unwrap(),
                Some(bytes) => fs::write(&path, bytes).unwrap(),
            }
            let restored = keep::restore(&stick, &places(new.path()));
            if restored.is_ok() {
                assert!(harmless && ["boardwise.record", "contents.json"].contains(&file), "{file}");
                continue;
            }
            assert!(tree(new.path()).is_empty(), "{file}: nothing is half done");
        }
        fs::write(&path, &good).unwrap();
    }
    keep::restore(&stick, &places(tempfile::tempdir().unwrap().path())).unwrap();
}

#[test]
fn law_backups_rotate_and_one_that_holds_all_is_not_made_again() {
    let (_old, here) = machine();
    assert!(keep::rotate(&here, now(0)).unwrap().is_some());
    assert!(keep::rotate(&here, now(1)).unwrap().is_none(), "nothing is new");
    for hour in 1..=7 {
        let text = format!("# {hour}\n{}", LANES[0].text);
        Library::new(here.kit.clone()).keep(Shelf::Lane, "my-house", &text).unwrap();
        assert!(keep::rotate(&here, now(hour)).unwrap().is_some());
    }
    let all = tree(&here.backups());
    assert_eq!(all.len(), KEPT);
    assert!(all[KEPT - 1].ends_with("1970-01-01T07-00-00Z"));
    // A bad copy is made again.
    fs::write(all[KEPT - 1].join("kit/lane/my-house.toml"), "").unwrap();
    assert!(keep::rotate(&here, now(8)).unwrap().is_some());
    assert_eq!(keep::check(&here).unwrap().backup.unwrap(), here.backups().join("1970-01-01T08-00-00Z"));
}

#[test]
fn law_a_damaged_record_is_neither_saved_nor_called_whole() {
    let (old, here) = machine();
    drop(Record::open(&here.record).unwrap());
    let mut bytes = fs::read(&here.record).unwrap();
    // Pages that hold nothing any more may have the word, too.
    let places: Vec<usize> = (0..bytes.len() - 6).filter(|&at| bytes[at..].starts_with(b"pocket")).collect();
    for at in places {
        bytes[at] ^= 1;
    }
    fs::write(&here.record, &bytes).unwrap();
    keep::check(&here).unwrap_err();
    keep::rotate(&here, now(0)).unwrap_err();
    keep::backup(&here, &old.path().join("stick"), now(0)).unwrap_err();
    assert!(!old.path().join("stick").exists());
    assert!(tree(&here.backups()).is_empty());
}

#[test]
fn law_a_record_that_is_sent_is_taken_in_whole_or_nothing_changes() {
    let ((_old, here), new) = (machine(), tempfile::tempdir().unwrap());
    let phone = new.path().join("phone.record");
    // A phone without a record gets this one.
    fs::write(&phone, keep::exchange(&here, &[], now(0)).unwrap()).unwrap();
    let held = keep::check(&here).unwrap();
    let note = |record: &mut Record, key: &str| {
        let fact = boardwise_record::Fact::Note { text: key.to_owned(), block: None, bowler: None };
        record.log(fact, &key.parse().unwrap(), Timestamp::now()).unwrap()
    };
    let mut there = Record::open(&phone).unwrap();
    note(&mut there, "on the phone");
    note(&mut Record::open(&here.record).unwrap(), "on the desk");
    let copy = new.path().join("sent.record");
    there.backup(&copy).unwrap();
    let back = new.path().join("back.record");
    fs::write(&back, keep::exchange(&here, &fs::read(&copy).unwrap(), now(1)).unwrap()).unwrap();
    there.join(&Record::open(&back).unwrap()).unwrap();
    let now_held = keep::check(&here).unwrap();
    assert_eq!((now_held.facts, now_held.digest.clone()), (held.facts + 2, there.digest().unwrap()));
    assert!(now_held.backup.is_some(), "as it was before");
    // What is no record, or only a part of one, changes nothing.
    let whole = fs::read(&copy).unwrap();
    for sent in [&b"no record"[..], &whole[..whole.len() / 2]] {
        keep::exchange(&here, sent, now(2)).unwrap_err();
    }
    assert_eq!(keep::check(&here).unwrap().digest, now_held.digest);
}
