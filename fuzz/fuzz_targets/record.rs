//! Any bytes are imported whole, as JSON or as CSV, into a record that then adds up; or nothing is, with an error that
//! can be shown; and never a panic.
#![no_main]

use std::cell::RefCell;

use boardwise_record::{Record, Seq};

/// People and things for the facts to be about.
const PEOPLE: &str = r#"{"schema":1,"bowlers":[{"id":"a","name":"A","hand":"right"},{"id":"b","name":"B","hand":"left"}],
"balls":[{"id":"d","bowler":"a","name":"dull solid"}],"lanes":[{"id":"1","name":"1"},{"id":"2","name":"2"}],
"events":[{"id":"e","name":"E","kind":"practice"}],
"blocks":[{"id":"t","event":"e","name":"T","counting":"traditional","games":1},
{"id":"n","event":"e","name":"N","counting":"nothing"}],"facts":[]}"#;

thread_local! {
    static RECORD: RefCell<Record> = RefCell::new(fresh());
}

/// A record with nothing but people in it, in a file that is new to this process.
fn fresh() -> Record {
    let path = std::env::temp_dir().join(format!("fuzzed-{}.record", std::process::id()));
    for end in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(format!("{}{end}", path.display()));
    }
    let mut record = Record::open(path).expect("a new file");
    record.import_json(PEOPLE).expect("people");
    record
}

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Some((&first, rest)) = bytes.split_first() else { return };
    RECORD.with_borrow_mut(|record| {
        let facts = record.facts(Seq(0)).expect("facts").len();
        let imported = match std::str::from_utf8(rest) {
            Ok(text) if first == b'j' => record.import_json(text),
            _ => record.import_csv(rest, &"f".parse().expect("a key"), "2026-04-11T09:30:00Z".parse().expect("a time")),
        };
        let now = record.facts(Seq(0)).expect("facts").len();
        match imported {
            Ok(imported) => {
                assert_eq!(now, facts + imported.added);
                record.check().expect("a record that adds up");
                if now > 50 {
                    *record = fresh();
                }
            }
            Err(why) => {
                assert_eq!(now, facts);
                assert!(!why.to_string().is_empty());
            }
        }
    });
});
