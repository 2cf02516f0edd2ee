//! Copies of a record and its file under attack: a copy without its log, flipped bits, a file deleted or replaced while it is open.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::scene::{Scene, anna, at, everything, id, key, shot};
use boardwise_record::{Error, Fact, LineMeant, Opening, Record, Seq, Shot, Surface};
use boardwise_units::stream::Stream;
use rusqlite::Connection;

/// Bits flipped, one at a time; `cargo xtask attack` flips more.
fn flips() -> u64 {
    std::env::var("RECORD_TEST_FLIPS").map_or(60, |flips| flips.parse().unwrap())
}

/// Shots in the record that is attacked.
const SHOTS: usize = 400;

/// A scene in which some shots were logged.
fn bowled(shots: usize) -> Scene {
    let mut scene = Scene::new();
    for number in 0..shots {
        scene.log(shot("free", ["9", "none", "7-10", "7"][number % 4])).unwrap();
    }
    scene
}

fn shots(record: &Record) -> usize {
    record.sheet(&id("free"), &anna()).unwrap().deliveries.len()
}

/// Copies the file alone, as somebody may with a file manager.
fn copied_alone(scene: &Scene) -> std::path::PathBuf {
    let copy = scene.folder.path().join("copy.record");
    let _ = fs::remove_file(&copy);
    fs::copy(scene.path(), &copy).unwrap();
    copy
}

#[test]
fn law_a_copy_of_the_file_alone_is_whole_or_says_that_its_log_is_missing() {
    let mut scene = bowled(0);
    for number in 1..=12 {
        scene.log(shot("free", "none")).unwrap();
        let copy = Record::open(copied_alone(&scene)).unwrap();
        let why = copy.read_only().expect("it must say that it may lack shots").to_string();
        assert!(why.contains("was copied while it was in use, without copy.record-wal"), "{why}");
        drop(copy);
        // Idle.
        scene.record.settle().unwrap();
        let copy = Record::open(copied_alone(&scene)).unwrap();
        assert!(copy.read_only().is_none());
        assert_eq!(shots(&copy), number);
    }
}

#[test]
fn law_a_record_that_somebody_read_while_it_was_settled_is_settled_the_next_time() {
    let mut scene = bowled(0);
    scene.log(shot("free", "none")).unwrap();
    let reader = Connection::open(scene.path()).unwrap();
    reader.execute_batch("BEGIN").unwrap();
    reader.query_row("SELECT count(*) FROM fact", [], |row| row.get::<_, i64>(0)).unwrap();
    scene.log(shot("free", "none")).unwrap();
    scene.record.settle().unwrap();
    assert!(Record::open(copied_alone(&scene)).unwrap().read_only().is_some(), "a reader keeps the log");
    reader.execute_batch("COMMIT").unwrap();
    scene.record.settle().unwrap();
    let copy = Record::open(copied_alone(&scene)).unwrap();
    assert!(copy.read_only().is_none());
    assert_eq!(shots(&copy), 2);
}

#[test]
fn law_a_copy_without_its_log_is_read_and_exported_and_refuses_a_shot() {
    let scene = bowled(5);
    let path = copied_alone(&scene);
    let before = fs::read(&path).unwrap();
    let mut copy = Record::open(&path).unwrap();
    let why = copy.log(shot("free", "none"), &key("k"), at(0)).unwrap_err();
    assert!(matches!(why, Error::Lone { .. }), "{why:?}");
    copy.export_json(&mut Vec::new()).unwrap();
    // It can be taken as it is by copying it to a new place.
    let held = copy.facts(Seq(0)).unwrap().len();
    let taken = scene.folder.path().join("taken.record");
    assert_eq!(copy.backup(&taken).unwrap().facts, held as u64);
    assert!(Record::open(&taken).unwrap().read_only().is_none());
    drop(copy);
    assert!(fs::read(&path).unwrap() == before, "it is left as it is");
}

#[test]
fn law_a_copy_with_its_log_is_whole() {
    let scene = bowled(12);
    let copy = copied_alone(&scene);
    fs::copy(scene.folder.path().join("a.record-wal"), scene.folder.path().join("copy.record-wal")).unwrap();
    let copy = Record::open(copy).unwrap();
    assert!(copy.read_only().is_none());
    assert_eq!(shots(&copy), 12);
}

#[test]
fn law_a_record_whose_writer_was_killed_goes_on_and_its_copy_without_the_log_does_not() {
    const PATH: &str = "RECORD_TEST_KILLED";
    if let Some(path) = std::env::var_os(PATH) {
        let mut record = Record::open(path).unwrap();
        for number in 0..7 {
            record.log(shot("free", "none"), &key(&format!("k{number}")), at(0)).unwrap();
        }
        // Ends as a kill does: nothing is closed.
        std::process::abort();
    }
    let Scene { folder, record, .. } = Scene::new();
    drop(record);
    let path = folder.path().join("a.record");
    let name = std::thread::current().name().unwrap().to_owned();
    let status = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", &name, "--nocapture"])
        .env(PATH, &path)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    assert!(!status.success());
    let copy = folder.path().join("copy.record");
    fs::copy(&path, &copy).unwrap();
    assert!(matches!(Record::open(&copy).unwrap().read_only(), Some(Error::Lone { .. })));
    // Read once and closed, the file itself holds everything again.
    assert_eq!(shots(&Record::open(&path).unwrap()), 7);
    fs::remove_file(&copy).unwrap();
    fs::copy(&path, &copy).unwrap();
    let copy = Record::open(&copy).unwrap();
    assert!(copy.read_only().is_none());
    assert_eq!(shots(&copy), 7);
}

/// Shots of two bowlers in turn, with corrections, undos, changes of ball and of surface, lines and notes among them.
fn season() -> Scene {
    let mut scene = bowled(SHOTS);
    for round in 0..20 {
        let first = scene.log(shot("drill", "10")).unwrap();
        let theirs = Shot { bowler: id("ben"), ..shot("free", "none") };
        let second = scene.log(theirs).unwrap();
        scene.correct(first, shot("drill", "7")).unwrap();
        let undo = scene.undo(second).unwrap();
        if round % 2 == 0 {
            scene.undo(undo).unwrap();
        }
        let (bowler, balls) = (anna(), ["anna-dull", "anna-spare"]);
        scene.log(Fact::BallChange { bowler, ball: id(balls[round % 2]) }).unwrap();
        let (ball, surface) = (id("anna-dull"), Surface::Grit(500.0 + 100.0 * round as f64));
        scene.log(Fact::SurfaceChange { ball, surface, how: None }).unwrap();
        let line = LineMeant { laydown: 20.0, arrows: 10.0, speed_mph: 17.0, rotation_deg: 45.0 };
        scene.log(Fact::LineMeant { block: id("drill"), bowler: anna(), lane: id("1"), line }).unwrap();
        let opening = Opening {
            since: key("key 1"),
            pair: 0,
            files: serde_json::json!({ "round": round }),
            lanes: [id("1"), id("2")],
            balls: Vec::new(),
            forms: [Vec::new(), Vec::new()],
            others: Vec::new(),
        };
        let block = id(["free", "drill"][round % 2]);
        scene.log(Fact::BlockBegun { block, bowler: anna(), opening: Box::new(opening) }).unwrap();
        scene.log(Fact::Note { text: format!("note {round}"), block: None, bowler: None }).unwrap();
    }
    scene
}

/// Flips bits of a record one at a time, at the byte that `place` gives for a number from 0 to 1, and reads all that can be read. Each
/// answer is the right one, or says that the file is damaged. Gives how many flips were told, and how many were in bytes that hold nothing.
fn flipped(folder: &Path, purpose: &str, place: impl Fn(f64) -> usize) -> (u64, u64) {
    let path = folder.join("a.record");
    let sound = fs::read(&path).unwrap();
    let right: Vec<_> = everything(&Record::open(&path).unwrap()).into_iter().map(Result::unwrap).collect();
    let (mut told, mut harmless) = (0, 0);
    for flip in 0..flips() {
        let mut stream = Stream::keyed(1, purpose, flip);
        let (byte, bit) = (place(stream.uniform()), (stream.uniform() * 8.0) as u32);
        let mut flipped = sound.clone();
        flipped[byte] ^= 1 << bit;
        fs::write(&path, &flipped).unwrap();
        match Record::open_waiting(&path, Duration::ZERO) {
            Err(_) => told += 1,
            Ok(record) => {
                let mut said = record.read_only().is_some();
                for (k, (read, right)) in everything(&record).into_iter().zip(&right).enumerate() {
                    match read {
                        Ok(read) => assert_eq!(read, *right, "byte {byte}, bit {bit}, answer {k}"),
                        Err(Error::Damaged { .. }) => said = true,
                        Err(other) => panic!("byte {byte}, bit {bit}, answer {k}: {other:?}"),
                    }
                }
                if said { told += 1 } else { harmless += 1 }
            }
        }
        for beside in ["a.record-wal", "a.record-shm"] {
            let _ = fs::remove_file(folder.join(beside));
        }
    }
    fs::write(&path, &sound).unwrap();
    println!(
        "{} bits flipped, {purpose}: {told} told, {harmless} in bytes that hold nothing, no wrong answer",
        flips()
    );
    (told, harmless)
}

#[test]
fn law_a_flipped_bit_is_told_and_never_gives_a_wrong_sheet() {
    let Scene { folder, record, .. } = season();
    drop(record);
    let bytes = fs::metadata(folder.path().join("a.record")).unwrap().len();
    let (told, _) = flipped(folder.path(), "anywhere in the file", |at| (at * bytes as f64) as usize);
    assert!(told > 0);
}

#[test]
fn law_a_bit_flipped_in_an_index_never_hides_a_shot() {
    let Scene { folder, record, .. } = season();
    drop(record);
    // The pages of every index, and of the counts that indexes are compared with.
    let db = Connection::open(folder.path().join("a.record")).unwrap();
    let sql =
        "SELECT pgoffset, pgsize FROM dbstat WHERE name GLOB 'fact_*' OR name = 'tally' OR name GLOB 'sqlite_auto*'";
    let pages: Vec<(usize, usize)> = {
        let mut query = db.prepare(sql).unwrap();
        let pages = query.query_map([], |row| Ok((row.get::<_, i64>(0)? as usize, row.get::<_, i64>(1)? as usize)));
        pages.unwrap().collect::<Result<_, _>>().unwrap()
    };
    drop(db);
    let whole: usize = pages.iter().map(|(_, size)| size).sum();
    let (told, _) = flipped(folder.path(), "in an index", |at| {
        let mut left = (at * whole as f64) as usize;
        let page = pages.iter().find(|(_, size)| {
            let here = left < *size;
            left -= if here { 0 } else { *size };
            here
        });
        page.unwrap().0 + left
    });
    assert!(told > 0);
}

#[test]
fn law_a_damaged_shot_is_told_by_its_own_sheet_and_by_a_check_and_costs_no_other_sheet() {
    let Scene { folder, record, .. } = season();
    let others = record.sheet(&id("drill"), &anna()).unwrap();
    drop(record);
    let path = folder.path().join("a.record");
    {
        let db = Connection::open(&path).unwrap();
        let trigger = "SELECT sql FROM sqlite_schema WHERE name = 'fact_stays'";
        let trigger: String = db.query_row(trigger, [], |row| row.get(0)).unwrap();
        let shot = "SELECT seq FROM fact WHERE block = 'free' AND bowler = 'anna' ORDER BY seq LIMIT 1 OFFSET 3";
        db.execute_batch("DROP TRIGGER fact_stays").unwrap();
        db.execute(&format!("UPDATE fact SET standing = '10' WHERE seq = ({shot})"), []).unwrap();
        db.execute_batch(&trigger).unwrap();
    }
    // A record of many seasons is opened without reading each of its shots.
    let record = Record::open(&path).unwrap();
    assert_eq!(record.sheet(&id("drill"), &anna()).unwrap(), others);
    for told in [
        record.sheet(&id("free"), &anna()).map(drop),
        record.check(),
        record.export_json(&mut Vec::new()),
        record.backup(folder.path().join("copy.record")).map(drop),
    ] {
        assert!(matches!(told, Err(Error::Damaged { .. })), "{told:?}");
    }
}

#[test]
fn law_a_bit_flipped_in_the_log_is_told_or_costs_no_more_than_what_a_power_cut_may() {
    const LOGGED: usize = 12;
    let scene = bowled(LOGGED);
    let (path, log) = (scene.folder.path().join("copy.record"), scene.folder.path().join("copy.record-wal"));
    let sound = (fs::read(scene.path()).unwrap(), fs::read(scene.folder.path().join("a.record-wal")).unwrap());
    let (mut told, mut last_lost) = (0, 0);
    for flip in 0..flips() {
        let mut stream = Stream::keyed(1, "flipped bit of a log", flip);
        let (byte, bit) = ((stream.uniform() * sound.1.len() as f64) as usize, (stream.uniform() * 8.0) as u32);
        let mut flipped = sound.1.clone();
        flipped[byte] ^= 1 << bit;
        fs::write(&path, &sound.0).unwrap();
        fs::write(&log, &flipped).unwrap();
        match Record::open_waiting(&path, Duration::ZERO) {
            Err(_) => told += 1,
            Ok(record) if record.read_only().is_some() => told += 1,
            Ok(record) => {
                assert!((LOGGED - 1..=LOGGED).contains(&shots(&record)), "byte {byte}, bit {bit}");
                last_lost += LOGGED - shots(&record);
            }
        }
        let _ = fs::remove_file(scene.folder.path().join("copy.record-shm"));
    }
    println!("{} bits of a log flipped: {told} told, {last_lost} cost the last shot", flips());
    assert!(told > 0);
}

#[test]
fn law_a_bit_flipped_while_the_record_is_open_is_told_when_it_is_read() {
    let scene = bowled(SHOTS);
    scene.record.settle().unwrap();
    let other = Connection::open(scene.path()).unwrap();
    other.execute_batch("DROP TRIGGER fact_stays; UPDATE fact SET standing = '10' WHERE seq = 3").unwrap();
    let why = scene.record.sheet(&id("free"), &anna()).unwrap_err().to_string();
    assert!(why.contains("fact number 3 is not as it was written"), "{why}");
}

#[test]
fn law_a_file_deleted_while_it_is_open_is_noticed_at_the_next_shot_and_saved() {
    let mut scene = bowled(SHOTS);
    fs::remove_file(scene.path()).unwrap();
    let why = scene.log(shot("free", "none")).unwrap_err();
    let Error::Gone { rescued: Some(rescued), .. } = &why else { panic!("{why:?}") };
    assert!(why.to_string().contains("was deleted or replaced while it was open"), "{why}");
    assert_eq!(shots(&Record::open(rescued).unwrap()), SHOTS);
    assert!(scene.record.is_gone());
    assert!(!scene.path().exists(), "no empty record takes its place");
}

#[test]
fn law_a_file_replaced_while_it_is_open_is_noticed_at_the_next_shot() {
    let mut scene = bowled(8);
    let other = bowled(2);
    other.record.settle().unwrap();
    let new = scene.folder.path().join("new.record");
    fs::copy(other.path(), &new).unwrap();
    fs::rename(&new, scene.path()).unwrap();
    let before = fs::read(scene.path()).unwrap();
    let why = scene.log(shot("free", "none")).unwrap_err();
    assert!(matches!(why, Error::Gone { rescued: None, .. }), "{why:?}");
    assert!(fs::read(scene.path()).unwrap() == before, "the new file is not written into");
}

#[test]
fn law_work_alone_holds_within_such_work_and_a_failure_takes_all_of_it_back() {
    let mut scene = bowled(0);
    let log = |record: &mut Record, name: &str| record.log(shot("free", "none"), &key(name), at(0));
    Record::alone(&mut scene.record, |record| {
        log(record, "outer")?;
        Record::alone(record, |record| log(record, "inner"))
    })
    .unwrap();
    assert_eq!(shots(&scene.record), 2);
    let failed = Record::alone(&mut scene.record, |record| {
        log(record, "lost")?;
        Record::alone(record, |record| log(record, "lost too"))?;
        record.log(shot("no such block", "none"), &key("fails"), at(0))
    });
    assert!(failed.is_err());
    assert_eq!(shots(&scene.record), 2);
    assert_eq!(shots(&scene.again()), 2);
}

#[test]
fn law_a_backup_is_compared_and_whole_while_others_write() {
    let scene = bowled(SHOTS);
    let writer = {
        let mut record = scene.again();
        std::thread::spawn(move || {
            for number in 0..40 {
                record.log(shot("two", "10"), &key(&format!("beside {number}")), at(0)).err();
                std::thread::sleep(Duration::from_millis(2));
            }
        })
    };
    let copy = scene.folder.path().join("copy.record");
    let saved = scene.record.backup(&copy).unwrap();
    writer.join().unwrap();
    let copy = Record::open(&copy).unwrap();
    copy.check().unwrap();
    assert_eq!((copy.digest().unwrap(), shots(&copy)), (saved.digest, SHOTS));
}

#[test]
fn law_a_backup_replaces_nothing_and_leaves_nothing_behind() {
    let scene = bowled(3);
    let copy = scene.folder.path().join("copy.record");
    fs::write(&copy, "mine").unwrap();
    assert!(matches!(scene.record.backup(&copy), Err(Error::NoCopy { .. })));
    assert_eq!(fs::read_to_string(&copy).unwrap(), "mine");
    fs::remove_file(&copy).unwrap();
    scene.record.backup(&copy).unwrap();
    let names = |folder: &Path| {
        let mut names: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        names.sort();
        names
    };
    assert_eq!(names(scene.folder.path()), ["a.record", "a.record-shm", "a.record-wal", "copy.record"]);
}

#[cfg(unix)]
#[test]
fn law_a_record_and_its_copies_are_their_owners_alone() {
    use std::os::unix::fs::PermissionsExt;
    let scene = bowled(1);
    let copy = scene.folder.path().join("copy.record");
    scene.record.backup(&copy).unwrap();
    for path in [scene.path(), scene.folder.path().join("a.record-wal"), copy] {
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600, "{}", path.display());
    }
}
