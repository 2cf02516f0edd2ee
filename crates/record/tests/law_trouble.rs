//! Files that are busy, foreign, damaged, locked away or of another time: each gives a clear error, and nothing is lost.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use crate::scene::{Scene, at, everything, key, shot};
use boardwise_record::{Error, Record, Seq};
use rusqlite::Connection;

/// A record with some shots, closed.
fn closed() -> (tempfile::TempDir, std::path::PathBuf) {
    let mut scene = Scene::new();
    for _ in 0..200 {
        scene.log(shot("free", "none")).unwrap();
    }
    let path = scene.path();
    let Scene { folder, record, .. } = scene;
    drop(record);
    (folder, path)
}

fn why(path: &Path) -> Error {
    match Record::open_waiting(path, Duration::from_millis(100)) {
        Err(why) => why,
        Ok(_) => panic!("{} was opened", path.display()),
    }
}

#[test]
fn law_a_closed_record_is_one_file() {
    let (folder, path) = closed();
    let names: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().path()).collect();
    assert_eq!(names, [path]);
}

#[test]
fn law_whoever_waits_in_vain_is_told_and_may_try_again() {
    let mut scene = Scene::new();
    let mut record = Record::open_waiting(scene.path(), Duration::from_millis(200)).unwrap();
    let other = Connection::open(scene.path()).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let start = Instant::now();
    let busy = record.log(shot("two", "none"), &key("k"), at(0));
    assert!(matches!(busy, Err(Error::Busy { .. })), "{busy:?}");
    assert!(busy.unwrap_err().to_string().contains("nothing was logged; try again with the same key"));
    assert!(start.elapsed() >= Duration::from_millis(200));
    // Reading goes on meanwhile.
    assert_eq!(record.sheet(&crate::scene::id("two"), &crate::scene::anna()).unwrap().games, []);
    other.execute_batch("ROLLBACK").unwrap();
    assert!(!record.log(shot("two", "none"), &key("k"), at(0)).unwrap().again);
    assert_eq!(scene.marks("two"), ["X"]);
    scene.log(shot("two", "none")).unwrap();
    assert_eq!(record.facts(Seq(0)).unwrap().len(), 2);
}

#[test]
fn law_a_foreign_file_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("letter.txt");
    let letter = "Dear Anna, this is no record. ".repeat(100);
    fs::write(&path, &letter).unwrap();
    assert!(matches!(why(&path), Error::NotARecord { .. }));
    assert_eq!(fs::read_to_string(&path).unwrap(), letter);
    let path = folder.path().join("other.db");
    Connection::open(&path).unwrap().execute_batch("CREATE TABLE recipes (name TEXT)").unwrap();
    let before = fs::read(&path).unwrap();
    assert!(matches!(why(&path), Error::NotARecord { .. }));
    assert_eq!(fs::read(&path).unwrap(), before);
    assert!(matches!(why(folder.path()), Error::CannotOpen { .. }));
    assert!(matches!(why(&folder.path().join("no folder").join("a.record")), Error::CannotOpen { .. }));
    assert!(matches!(why(Path::new("")), Error::CannotOpen { .. }));
}

#[test]
fn law_a_record_of_a_later_program_is_not_touched() {
    let (_folder, path) = closed();
    Connection::open(&path).unwrap().execute_batch("PRAGMA user_version = 99").unwrap();
    let before = fs::read(&path).unwrap();
    let newer = why(&path);
    assert!(matches!(newer, Error::Newer { found: 99, .. }), "{newer:?}");
    assert!(newer.to_string().contains("use a newer program"), "{newer}");
    assert_eq!(fs::read(&path).unwrap(), before);
}

/// Why a record cannot be opened, or what of it cannot be read.
fn told(path: &Path) -> Result<(), Error> {
    let record = Record::open_waiting(path, Duration::from_millis(100))?;
    everything(&record).into_iter().try_for_each(|read| read.map(drop))
}

#[test]
fn law_damage_is_found_at_the_latest_where_it_is_read() {
    let (_folder, path) = closed();
    let sound = fs::read(&path).unwrap();
    // Each page in turn loses its first half, where what it is and the places of its cells are written. The first page
    // begins with the words that say that the file is a database at all.
    let size = 4096;
    assert!(sound.len() >= 10 * size);
    let mut found = 0;
    for start in (0..sound.len()).step_by(size) {
        let mut damaged = sound.clone();
        damaged[start..start + size / 2].fill(0xa5);
        fs::write(&path, &damaged).unwrap();
        let checked = || Record::open_waiting(&path, Duration::ZERO)?.check();
        for told in [told(&path), checked()] {
            match told {
                Err(Error::Damaged { .. }) => found += 1,
                Err(Error::NotARecord { .. }) if start == 0 => {}
                // Answers need no index by keys; the check looks at it.
                Ok(()) => {}
                Err(other) => panic!("page at {start}: {other:?}"),
            }
        }
        assert!(checked().is_err(), "page at {start}");
        assert_eq!(fs::read(&path).unwrap(), damaged, "page at {start}: the damaged file was written to");
    }
    assert!(found >= 2 * (sound.len() / size - 1) - 2, "{found}");
    // Cut short.
    fs::write(&path, &sound[..sound.len() / 2]).unwrap();
    let cut = why(&path);
    assert!(matches!(cut, Error::Damaged { .. }), "{cut:?}");
    assert!(cut.to_string().contains("keep this file"), "{cut}");
    fs::write(&path, &sound).unwrap();
    Record::open(&path).unwrap().check().unwrap();
}

#[test]
fn law_a_copy_torn_at_any_page_says_that_it_is_damaged() {
    let mut scene = Scene::new();
    for _ in 0..100 {
        scene.log(shot("free", "none")).unwrap();
    }
    scene.record.settle().unwrap();
    let before = fs::read(scene.path()).unwrap();
    for _ in 0..100 {
        scene.log(shot("free", "none")).unwrap();
    }
    scene.record.settle().unwrap();
    let after = fs::read(scene.path()).unwrap();
    let right = [&before, &after].map(|bytes| {
        let path = scene.folder.path().join("sound.record");
        fs::write(&path, bytes).unwrap();
        everything(&Record::open(&path).unwrap()).into_iter().map(Result::unwrap).collect::<Vec<_>>()
    });
    let path = scene.folder.path().join("copy.record");
    let size = 4096;
    let (mut said, mut whole) = (0, 0);
    // Some pages are of before a write and the others of after it, as a copy made meanwhile has them.
    for torn in 0..=after.len() / size {
        for (head, tail) in [(&before, &after), (&after, &before)] {
            let cut = (torn * size).min(head.len());
            let bytes = [&head[..cut], tail.get(cut..).unwrap_or_default()].concat();
            if bytes.is_empty() {
                continue;
            }
            fs::write(&path, &bytes).unwrap();
            let read = Record::open_waiting(&path, Duration::ZERO)
                .and_then(|record| everything(&record).into_iter().collect::<Result<Vec<_>, _>>());
            match read {
                Ok(read) => {
                    assert!(right.contains(&read), "a copy torn at page {torn} is taken for whole");
                    whole += 1;
                }
                Err(Error::Damaged { .. }) => said += 1,
                Err(other) => panic!("torn at page {torn}: {other:?}"),
            }
            for beside in ["copy.record-wal", "copy.record-shm"] {
                let _ = fs::remove_file(scene.folder.path().join(beside));
            }
        }
    }
    println!("{said} torn copies said so, {whole} are as the record was at one moment");
    assert!(said > 0 && whole > 0);
}

#[test]
fn law_an_index_that_lies_is_found_on_opening() {
    let (_folder, path) = closed();
    let db = Connection::open(&path).unwrap();
    // The index of sheets forgets everything: each page is sound, together they are not.
    db.execute_batch(
        "PRAGMA writable_schema = ON;
         UPDATE sqlite_schema SET sql = replace(sql, '(block, bowler)', '(bowler, block)') WHERE name = 'fact_by_sheet';",
    )
    .unwrap();
    drop(db);
    let lying = why(&path);
    assert!(matches!(lying, Error::Damaged { .. }), "{lying:?}");
}

#[test]
fn law_rows_that_this_program_did_not_write_are_found() {
    for (sql, words) in [
        (
            "INSERT INTO fact (seq, key, at, kind, text) VALUES (201, 'x', '2026-04-11T09:30:00Z', 'note', 'a')",
            "200 facts must be there; there are 201",
        ),
        ("UPDATE block SET counting = 'nothing' WHERE id = 'free'", "\"free\" is not as it was written"),
        ("UPDATE bowler SET hand = 'left' WHERE id = 'anna'", "\"anna\" is not as it was written"),
        ("DROP TRIGGER fact_is_kept; DELETE FROM fact WHERE seq = 200", "tables are not those"),
        ("UPDATE seal SET facts = 199", "199 facts must be there; there are 200"),
        ("DELETE FROM seal", "a row that every record has is missing"),
        ("PRAGMA user_version = 4", "tables are not those"),
        ("PRAGMA user_version = 1", "tables are not those of version 1"),
    ] {
        let (_folder, path) = closed();
        Connection::open(&path).unwrap().execute_batch(sql).unwrap();
        let why = why(&path).to_string();
        assert!(why.contains("is damaged") && why.contains(words), "{sql}: {why}");
    }
}

#[test]
fn law_a_shot_slipped_in_is_found_where_it_is_read() {
    let (_folder, path) = closed();
    let slipped = "INSERT INTO fact (seq, key, at, kind, block, bowler, standing)
        VALUES (201, 'x', '2026-04-11T09:30:00Z', 'shot', 'free', 'anna', '10'); UPDATE seal SET facts = 201";
    Connection::open(&path).unwrap().execute_batch(slipped).unwrap();
    let why = told(&path).unwrap_err().to_string();
    assert!(why.contains("is damaged") && why.contains("fact number 201 is not as it was written"), "{why}");
}

#[test]
fn law_a_hand_on_the_file_cannot_change_what_was_logged() {
    let (_folder, path) = closed();
    let db = Connection::open(&path).unwrap();
    for (sql, word) in [("UPDATE fact SET standing = '10'", "never changed"), ("DELETE FROM fact", "never taken out")] {
        let refused = db.execute(sql, []).unwrap_err().to_string();
        assert!(refused.contains(word), "{refused}");
    }
}

/// Permissions do not bind the superuser, so the child gives its rights up.
#[cfg(unix)]
mod locked {
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;
    use std::process::Command;

    use super::*;

    const PATH: &str = "BOOK_TEST_LOCKED";

    #[test]
    #[ignore = "the child process of the other test"]
    fn law_child() {
        if let Some(path) = std::env::var_os(PATH) {
            let path = Path::new(&path);
            match Record::open(path) {
                Ok(mut record) => {
                    let why = record.read_only().map_or_else(|| "nothing".to_owned(), |why| why.to_string());
                    let log = record.log(shot("free", "none"), &key("k"), at(0)).unwrap_err();
                    let games = record.sheet(&crate::scene::id("free"), &crate::scene::anna()).unwrap().games.len();
                    let bytes = crate::scene::json(&record).len();
                    println!("said: {why}; on logging: {log}; games: {games}; export: {bytes}");
                }
                Err(why) => println!("said: {why}"),
            }
        }
    }

    /// What a process without rights of its own is told on opening a record, reading it and logging into it.
    fn told(path: &Path) -> String {
        let program = path.with_file_name("program");
        if !program.exists() {
            fs::copy(std::env::current_exe().unwrap(), &program).unwrap();
        }
        let mut command = Command::new(program);
        command.args(["--exact", "law_trouble::locked::law_child", "--ignored", "--nocapture"]).env(PATH, path);
        if fs::OpenOptions::new().append(true).open(path).is_ok() {
            command.uid(65_534);
        }
        let output = command.output().unwrap();
        let output = String::from_utf8_lossy(&output.stdout).into_owned();
        output.lines().find_map(|line| line.split_once("said: ")).map_or(output.clone(), |(_, said)| said.to_owned())
    }

    fn set(path: &Path, mode: u32) {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    }

    #[test]
    fn law_a_record_that_may_only_be_read_is_read_and_exported_and_refuses_a_shot() {
        let (folder, path) = closed();
        let bytes = crate::scene::json(&Record::open(&path).unwrap()).len();
        // The file, the folder, both.
        for (of_folder, of_file) in [(0o755, 0o444), (0o555, 0o644), (0o555, 0o444)] {
            set(folder.path(), of_folder);
            set(&path, of_file);
            let before = fs::read(&path).unwrap();
            let said = told(&path);
            assert!(said.contains("cannot be written: allow writing"), "{said}");
            assert!(said.contains("on logging: ") && said.matches("cannot be written").count() == 2, "{said}");
            assert!(said.ends_with(&format!("games: 17; export: {bytes}")), "{said}");
            assert_eq!(fs::read(&path).unwrap(), before);
            set(folder.path(), 0o755);
        }
        set(&path, 0o000);
        let said = told(&path);
        assert!(said.contains("cannot be opened"), "{said}");
    }
}
