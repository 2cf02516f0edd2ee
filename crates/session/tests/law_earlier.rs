//! A block of a record of every earlier form goes on where it was left. The records: `crates/record/tests/law_earlier.rs`.

use std::fs;
use std::path::{Path, PathBuf};

use boardwise_record::{Fact, Seq};
use boardwise_session::at_lanes::after::{SheetChoice, Story};
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Command, LogShot, ShotTold, Stamp};
use tempfile::TempDir;

/// A record of an earlier form, in a folder of its own with what lay beside it.
fn earlier(name: &str) -> (TempDir, PathBuf) {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../record/tests/earlier");
    let folder = tempfile::tempdir().unwrap();
    for file in [format!("{name}.record"), format!("{name}.record.block.json")] {
        fs::copy(kept.join(&file), folder.path().join(&file)).unwrap();
    }
    let path = folder.path().join(format!("{name}.record"));
    (folder, path)
}

#[test]
fn law_a_block_of_an_earlier_form_goes_on_where_it_was_left() {
    for (name, beginnings) in [("v1", 1), ("v2", 2)] {
        let (_folder, path) = earlier(name);
        let mut block = BlockState::open(&path).unwrap();
        assert_eq!(block.practice.is_some(), name == "v2", "{name}: what practice taught needs its beginning");
        let begun = block.desk.record.facts(Seq(0)).unwrap();
        let begun = begun.iter().filter(|logged| matches!(logged.fact, Fact::BlockBegun { .. }));
        assert_eq!(begun.count(), beginnings, "{name}");
        let shot = ShotTold { pins: "10".to_owned(), ..ShotTold::default() };
        let stamp = Stamp { key: "later".parse().unwrap(), at: "2027-01-01T12:00:00Z".parse().unwrap() };
        let done = block.run(&Command::Log(LogShot { shot, ..LogShot::default() }), &stamp).unwrap();
        assert_eq!(done.shot, Some(9), "{name}");
        let undo = Stamp { key: "undo".parse().unwrap(), ..stamp };
        block.run(&Command::Undo { of: None }, &undo).unwrap();
        assert_eq!(block.sheet.deliveries.len(), 8, "{name}");
        let story = Story::of(&path, &SheetChoice::default()).unwrap();
        assert!(story.no_account().is_none(), "{name}: its event is kept");
        assert_eq!(story.moves.iter().map(|moved| moved.lane).collect::<Vec<_>>(), [7, 8, 8], "{name}");
    }
}
