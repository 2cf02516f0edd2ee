use super::*;
use crate::fact::Fact;
use crate::record::Record;
use std::fs;

const WAIT: Duration = Duration::from_secs(1);

fn note(text: &str) -> Fact {
    Fact::Note { text: text.into(), block: None, bowler: None }
}

fn log(record: &mut Record, text: &str) -> Result<(), Error> {
    record.log(note(text), &text.parse()?, jiff::Timestamp::UNIX_EPOCH).map(|_| ())
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// Steps as later versions may take them.
fn later() -> Vec<Step> {
    let more = ["ALTER TABLE lane ADD COLUMN house TEXT", "CREATE TABLE house (id TEXT)"];
    STEPS.iter().copied().chain(more.map(Step::of)).collect()
}

#[test]
fn law_an_older_record_is_copied_before_each_step() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.record");
    log(&mut Record::open(&path).unwrap(), "kept").unwrap();
    assert_eq!(names(folder.path()), ["a.record"], "nothing to copy of a new record");
    drop(open_with(&path, WAIT, &later()).unwrap());
    assert_eq!(names(folder.path()), ["a.record", "a.record.v6.backup", "a.record.v7.backup"]);
    let version = |name: &str| {
        Store::pragma::<i64>(&open_with(&folder.path().join(name), WAIT, &later()).unwrap(), "user_version")
    };
    // The copy is the record as it was: the program of then opens it, the one of now would migrate it in turn.
    let old = Record::open(folder.path().join("a.record.v6.backup")).unwrap();
    assert_eq!(old.notes().unwrap()[0].text, "kept");
    let new = Record { store: open_with(&path, WAIT, &later()).unwrap() };
    assert_eq!(new.notes().unwrap()[0].text, "kept");
    assert_eq!(version("a.record").unwrap(), 8);
    assert!(matches!(Record::open(&path), Err(Error::Newer { found: 8, ours: 6, .. })));
}

#[test]
fn law_openers_that_migrate_at_once_make_one_copy_of_each_version() {
    let folder = tempfile::tempdir().unwrap();
    for round in 0..5 {
        let path = folder.path().join(format!("{round}.record"));
        log(&mut Record::open(&path).unwrap(), "kept").unwrap();
        let opener = || {
            let path = path.clone();
            std::thread::spawn(move || open_with(&path, Duration::from_secs(30), &later()).map(drop))
        };
        for opener in [opener(), opener(), opener(), opener()] {
            opener.join().unwrap().unwrap();
        }
        let copy = Record::open(folder.path().join(format!("{round}.record.v6.backup"))).unwrap();
        assert_eq!(copy.notes().unwrap()[0].text, "kept");
        drop(copy);
        assert_eq!(names(folder.path()).len(), 3 * (round + 1), "{:?}", names(folder.path()));
    }
}

#[test]
fn law_a_step_that_fails_leaves_the_record_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.record");
    log(&mut Record::open(&path).unwrap(), "kept").unwrap();
    let before = fs::read(&path).unwrap();
    let twice = Step::of("CREATE TABLE house (id TEXT); CREATE TABLE house (id TEXT)");
    let broken: Vec<Step> = STEPS.iter().copied().chain([twice]).collect();
    for times in 1..=2 {
        assert!(matches!(open_with(&path, WAIT, &broken), Err(Error::Database { .. })));
        assert_eq!(fs::read(&path).unwrap(), before);
        // An earlier copy is never written over.
        assert_eq!(names(folder.path()).len(), 1 + times);
    }
    assert_eq!(Record::open(&path).unwrap().notes().unwrap().len(), 1);
}

#[test]
fn law_a_full_disk_is_told_and_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut record = Record::open(folder.path().join("a.record")).unwrap();
    let pages: i64 = record.store.pragma("page_count").unwrap();
    record.store.db.pragma_update(None, "max_page_count", pages + 6).unwrap();
    let mut logged = 0;
    let why = loop {
        let text = format!("note {logged}");
        match record.log(note(&"long ".repeat(300)), &text.parse().unwrap(), jiff::Timestamp::UNIX_EPOCH) {
            Ok(_) => logged += 1,
            Err(why) => break why,
        }
    };
    assert!(matches!(why, Error::DiskFull { .. }), "{why:?}");
    assert!(why.to_string().contains("make room and try again with the same key"), "{why}");
    assert!(logged > 0);
    assert_eq!(record.notes().unwrap().len(), logged);
    record.check().unwrap();
    // With room again the same key goes through.
    record.store.db.pragma_update(None, "max_page_count", pages + 600).unwrap();
    log(&mut record, &format!("note {logged}")).unwrap();
    assert_eq!(Record::open(folder.path().join("a.record")).unwrap().notes().unwrap().len(), logged + 1);
}

#[test]
fn law_every_commit_is_synced() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(&folder.path().join("a.record"), WAIT).unwrap();
    assert_eq!(store.pragma::<String>("journal_mode").unwrap(), "wal");
    // 2 is FULL.
    assert_eq!(store.pragma::<i64>("synchronous").unwrap(), 2);
    assert_eq!(store.pragma::<i64>("foreign_keys").unwrap(), 1);
}

#[test]
fn law_a_copy_is_whole_and_never_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("a.record"), folder.path().join("copy.record"));
    let mut record = Record::open(path).unwrap();
    log(&mut record, "one").unwrap();
    record.backup(&copy).unwrap();
    log(&mut record, "two").unwrap();
    assert_eq!(Record::open(&copy).unwrap().notes().unwrap().len(), 1);
    assert!(matches!(record.backup(&copy), Err(Error::NoCopy { .. })));
}

#[test]
fn law_indexes_are_used() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(&folder.path().join("a.record"), WAIT).unwrap();
    for sql in crate::lookup::searches() {
        let plan: Vec<String> = store
            .ask(|| {
                let mut query = store.db.prepare(&format!("EXPLAIN QUERY PLAN {sql}"))?;
                let abouts = vec!["x"; query.parameter_count()];
                query.query_map(rusqlite::params_from_iter(abouts), |row| row.get(3))?.collect()
            })
            .unwrap();
        // An index that is read from end to end holds few facts of a record.
        let whole = |step: &String| step.starts_with("SCAN fact") && !step.contains("INDEX fact_by_");
        assert!(!plan.iter().any(whole), "{sql}: {plan:?}");
    }
}
