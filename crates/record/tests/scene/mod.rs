//! A record with made-up people and things in it, for the tests to write into.
// Each test file is a crate of its own and none needs all of this.
#![allow(dead_code)]

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use boardwise_record::{
    Ball, Block, BlockId, Bowler, BowlerId, Counting, CoverKind, Error, Event, EventKind, Fact, Key, Lane, Record, Seq,
    Shot, Surface,
};
use boardwise_units::Hand;
use jiff::Timestamp;
use tempfile::TempDir;

/// A record in a folder that goes when this goes.
pub struct Scene {
    pub folder: TempDir,
    pub record: Record,
    keys: u32,
}

impl Scene {
    /// Anna and Ben with two balls each, lanes 1 to 4, and the blocks `two` (two games), `free` (as many games as there
    /// will be), `short` (one game in current-frame scoring) and `drill` (nothing counted).
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut record = Record::open(folder.path().join("a.record")).unwrap();
        people(&mut record);
        Self { folder, record, keys: 0 }
    }

    pub fn path(&self) -> PathBuf {
        self.folder.path().join("a.record")
    }

    pub fn key(&mut self) -> Key {
        self.keys += 1;
        key(&format!("key {}", self.keys))
    }

    pub fn log(&mut self, fact: impl Into<Fact>) -> Result<Seq, boardwise_record::Error> {
        let key = self.key();
        self.record.log(fact, &key, at(0)).map(|receipt| receipt.seq)
    }

    pub fn undo(&mut self, of: Seq) -> Result<Seq, boardwise_record::Error> {
        self.log(Fact::Undo { of })
    }

    pub fn correct(&mut self, of: Seq, to: impl Into<Fact>) -> Result<Seq, boardwise_record::Error> {
        self.log(Fact::Correction { of, to: Box::new(to.into()) })
    }

    /// Anna's games in a block, as they stand on a score sheet.
    pub fn marks(&self, block: &str) -> Vec<String> {
        self.record.sheet(&id(block), &anna()).unwrap().games.iter().map(ToString::to_string).collect()
    }

    /// Opens the file once more, beside the record that is open.
    pub fn again(&self) -> Record {
        Record::open(self.path()).unwrap()
    }
}

/// Puts the people and things of every scene into a record, all at once because there are many scenes.
pub fn people(record: &mut Record) {
    static PEOPLE: OnceLock<String> = OnceLock::new();
    let people = PEOPLE.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let mut record = empty(folder.path(), "people.record");
        introduce(&mut record);
        json(&record)
    });
    record.import_json(people).unwrap();
}

fn introduce(record: &mut Record) {
    for (bowler, hand) in [("anna", Hand::Right), ("ben", Hand::Left)] {
        record.add(&Bowler { id: id(bowler), name: bowler.to_uppercase(), hand }).unwrap();
        for (ball, cover) in [("dull", CoverKind::Reactive), ("spare", CoverKind::Plastic)] {
            let surface = (ball == "dull").then_some(Surface::Grit(500.0));
            let (ball_id, name) = (id(&format!("{bowler}-{ball}")), format!("{ball} one"));
            let ball = Ball { id: ball_id, bowler: id(bowler), name, cover: Some(cover), surface, games_before: 2.5 };
            record.add(&ball).unwrap();
        }
    }
    for lane in ["1", "2", "3", "4"] {
        record.add(&Lane { id: id(lane), name: format!("Lane {lane}") }).unwrap();
    }
    let day = Some("2026-04-11".parse().unwrap());
    record.add(&Event { id: id("spring"), name: "Spring open".into(), kind: EventKind::Competition, day }).unwrap();
    for (block, counting, games) in [
        ("two", Counting::Traditional, Some(2)),
        ("free", Counting::Traditional, None),
        ("short", Counting::CurrentFrame, Some(1)),
        ("drill", Counting::Nothing, None),
    ] {
        let (event, name) = (id("spring"), format!("Block {block}"));
        record.add(&Block { id: id(block), event, name, counting, games }).unwrap();
    }
}

/// Anna's shot in a block, after which these pins stand.
pub fn shot(block: &str, standing: &str) -> Shot {
    Shot::standing(&id::<BlockId>(block), &anna(), standing.parse().unwrap())
}

pub fn anna() -> BowlerId {
    id("anna")
}

pub fn id<T: std::str::FromStr<Err = boardwise_record::WordError>>(text: &str) -> T {
    text.parse().unwrap()
}

pub fn key(text: &str) -> Key {
    id(text)
}

/// A time, in seconds after the first.
pub fn at(seconds: i64) -> Timestamp {
    Timestamp::from_second(1_775_900_000 + seconds).unwrap()
}

pub fn json(record: &Record) -> String {
    let mut json = Vec::new();
    record.export_json(&mut json).unwrap();
    String::from_utf8(json).unwrap()
}

pub fn csv(record: &Record) -> String {
    let mut csv = Vec::new();
    record.export_csv(&mut csv).unwrap();
    String::from_utf8(csv).unwrap()
}

/// All that can be read from a record of a scene, each in words, or why it cannot be read.
pub fn everything(record: &Record) -> Vec<Result<String, Error>> {
    fn words<T: std::fmt::Debug>(read: Result<T, Error>) -> Result<String, Error> {
        read.map(|read| format!("{read:?}"))
    }
    let text = |write: &dyn Fn(&mut Vec<u8>) -> Result<(), Error>| {
        let mut all = Vec::new();
        write(&mut all).map(|()| String::from_utf8(all).unwrap())
    };
    let mut read = vec![
        text(&|to| record.export_json(to)),
        text(&|to| record.export_csv(to)),
        words(record.sheets()),
        words(record.present()),
        words(record.notes()),
        words(record.facts(Seq(0))),
    ];
    for bowler in ["anna", "ben"].map(id::<BowlerId>) {
        read.push(words(record.in_hand(&bowler)));
        read.push(words(record.life(&id(&format!("{bowler}-dull")))));
        for block in ["two", "free", "short", "drill"].map(id::<BlockId>) {
            read.push(words(record.sheet(&block, &bowler)));
            read.push(words(record.lines(&block, &bowler)));
            read.push(words(record.opening(&block, &bowler)));
        }
    }
    read
}

/// A record of its own in the same folder.
pub fn empty(folder: &Path, name: &str) -> Record {
    Record::open(folder.join(name)).unwrap()
}
