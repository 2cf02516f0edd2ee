//! Records of every earlier form open, and tell the same shots, lines and scores as the program did that wrote them.
//!
//! `earlier/v5.record` is what the program of file version 5 made of `v4.record` (nothing from film).
//! `earlier/v4.record` is the same evening as the next version of the program made of it (file version 4: no tally). `earlier/v3.record` is what version 0.2.0 made of `v2.record` (file version 3: no checksums), and `earlier/v3-export.json` was exported
//! from it. `earlier/v2.record` was written by version 0.1.0 (file version 2: beginnings in a table, lines as remarks), and
//! `earlier/v2-export.json` exported from it. `earlier/v1.record` is the same evening without what version 2 added: the
//! tables are those of file version 1, and only the present block's beginning is kept, beside the record.

use std::fs;
use std::path::{Path, PathBuf};

use boardwise_record::{BallId, BlockId, BowlerId, Record, Seq};
use tempfile::TempDir;

/// A record of an earlier form, in a folder of its own with what lay beside it.
fn earlier(name: &str) -> (TempDir, PathBuf) {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/earlier");
    let folder = tempfile::tempdir().unwrap();
    for file in [format!("{name}.record"), format!("{name}.record.block.json")] {
        fs::copy(kept.join(&file), folder.path().join(&file)).unwrap();
    }
    let path = folder.path().join(format!("{name}.record"));
    (folder, path)
}

fn block() -> (BlockId, BowlerId) {
    ("club night, 7-8".parse().unwrap(), "right-handed, straighter".parse().unwrap())
}

/// What the evening was, whichever form it was kept in.
fn is_the_evening(record: &Record) {
    let (block, bowler) = block();
    let sheet = record.sheet(&block, &bowler).unwrap();
    assert_eq!(sheet.games[0].to_string(), "X 9/ 8/ 6/ F");
    assert_eq!(sheet.total(), 64);
    let shots: Vec<_> = sheet.deliveries.iter().map(|one| (one.shot.hit, one.shot.arrows, one.shot.felt)).collect();
    assert_eq!(shots.len(), 8);
    assert_eq!(shots[0].0.unwrap().as_str(), "pocket");
    assert_eq!(shots[0].1.unwrap().0, 11.0);
    assert_eq!(shots[1].2.unwrap().as_str(), "in");
    assert_eq!(sheet.deliveries[2].ball.as_ref().map(BallId::as_str), Some("spare"));
    let lines = record.lines(&block, &bowler).unwrap();
    let lines: Vec<_> = lines.iter().map(|one| (one.lane.as_str(), one.line.laydown, one.line.arrows)).collect();
    let (seven, eight) = ("club night, lane 7", "club night, lane 8");
    assert_eq!(lines, [(seven, 17.0, 11.0), (eight, 17.0, 11.0), (eight, 19.0, 12.0)], "the move taken back is none");
    let notes: Vec<String> = record.notes().unwrap().into_iter().map(|note| note.text).collect();
    assert_eq!(notes, ["slow hands"], "a remark stays a remark, and no line is one");
    assert_eq!(record.present().unwrap(), Some((block, bowler)));
    record.check().unwrap();
}

#[test]
fn law_a_record_of_each_earlier_form_opens_and_tells_the_same_evening() {
    for name in ["v1", "v2", "v3", "v4", "v5"] {
        let (folder, path) = earlier(name);
        is_the_evening(&Record::open(&path).unwrap());
        let copy = folder.path().join(format!("{name}.record.{name}.backup"));
        assert!(copy.is_file(), "{name}: the record as it was is laid beside it");
        // Opened again, nothing is added.
        let facts = |record: &Record| record.facts(Seq(0)).unwrap().len();
        let before = facts(&Record::open(&path).unwrap());
        assert_eq!(facts(&Record::open(&path).unwrap()), before, "{name}");
    }
}

#[test]
fn law_an_export_of_an_earlier_form_is_imported_as_the_same_evening() {
    for (name, text) in [("v2", include_str!("earlier/v2-export.json")), ("v3", include_str!("earlier/v3-export.json"))]
    {
        let folder = tempfile::tempdir().unwrap();
        let mut record = Record::open(folder.path().join("a.record")).unwrap();
        record.import_json(text).unwrap();
        is_the_evening(&record);
        assert_eq!(record.import_json(text).unwrap().added, 0, "{name}: sent twice, it is there once");
        // What was migrated knows every fact of the export already.
        let (_folder, path) = earlier(name);
        let mut migrated = Record::open(&path).unwrap();
        assert_eq!(migrated.import_json(text).unwrap().added, 0, "{name}");
    }
}
