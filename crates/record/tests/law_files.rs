//! JSON and CSV in and out: all or nothing, and every fault with its line.

use crate::scene::{Scene, anna, at, csv, empty, id, json, key, shot};
use boardwise_record::{
    Block, Bowler, Counting, Error, Event, EventKind, Fact, Faults, Felt, Hit, Imported, Record, Seq, Shot, Surface,
};
use boardwise_units::Board;

fn import(record: &mut Record, text: &str) -> Result<Imported, Error> {
    record.import_csv(text.as_bytes(), &key("file"), at(0))
}

/// What is wrong with a file, as it is told.
fn faults<T: std::fmt::Debug>(result: Result<T, Error>) -> Faults {
    match result {
        Err(Error::Import { faults }) => faults,
        other => panic!("{other:?}"),
    }
}

/// Expects the faults `told`: line, and words of the message.
fn check(result: Result<Imported, Error>, told: &[(u64, &str)]) {
    let faults = faults(result);
    assert_eq!(faults.count, told.len(), "{faults}");
    for (fault, (line, words)) in faults.told.iter().zip(told) {
        let why = fault.why.to_string();
        assert!(fault.line == *line && why.contains(words), "expected {line}: {words}\nfound {faults}");
    }
}

/// A record with a fact of every kind in it.
fn full() -> Scene {
    let mut scene = Scene::new();
    scene.log(Fact::BallChange { bowler: anna(), ball: id("anna-dull") }).unwrap();
    scene.log(Fact::LaneChange { block: id("two"), bowler: anna(), lane: id("1"), other: Some(id("2")) }).unwrap();
    let seen = Shot {
        arrows: Some(Board(10.1)),
        breakpoint: Some(Board(0.1 + 6.2)),
        hit: Some(Hit::OtherSide),
        felt: Some(Felt::In),
        ..shot("two", "7-10")
    };
    let first = scene.log(seen).unwrap();
    let second = scene.log(Shot { ball: Some(id("anna-spare")), ..shot("two", "7") }).unwrap();
    scene.log(Fact::SurfaceChange { ball: id("anna-dull"), surface: Surface::Grit(1500.0), how: None }).unwrap();
    scene
        .log(Fact::Note { text: "Dry, \"quoted\"\nand two lines; ünïcode".into(), block: None, bowler: None })
        .unwrap();
    scene.log(Shot::new(&id("two"), &anna(), boardwise_score::Roll::Down(6))).unwrap();
    let foul = scene.log(Shot::foul(&id("two"), &anna())).unwrap();
    let undo = scene.undo(foul).unwrap();
    scene.undo(undo).unwrap();
    scene.correct(first, shot("two", "4-7-10")).unwrap();
    scene.log(Shot { before: Some(second), ..shot("drill", "none") }).unwrap_err();
    scene.log(shot("drill", "3")).unwrap();
    scene
}

/// An export as somebody may write one by hand: of a schema without a digest.
fn undigested(record: &Record) -> String {
    let text = json(record).replacen("\"schema\":4", "\"schema\":2", 1);
    let (before, _) = text.rsplit_once(",\n\"digest\"").unwrap();
    format!("{before}}}\n")
}

#[test]
fn law_an_export_with_a_line_missing_or_changed_is_not_imported() {
    let scene = full();
    let whole = json(&scene.record);
    let lines: Vec<&str> = whole.lines().collect();
    for gone in 0..lines.len() {
        let without: Vec<&str> = lines.iter().enumerate().filter(|(k, _)| *k != gone).map(|(_, line)| *line).collect();
        let mut copy = empty(scene.folder.path(), &format!("{gone}.record"));
        let text = without.join("\n");
        let why = copy.import_json(&text).unwrap_err();
        assert!(matches!(why, Error::NotAsExported | Error::Json(_)), "line {gone}: {why}");
        assert!(copy.facts(Seq(0)).unwrap().is_empty() && copy.all::<Bowler>().unwrap().is_empty());
    }
    let mut copy = empty(scene.folder.path(), "copy.record");
    let why = copy.import_json(&whole.replacen("\"7-10\"", "\"10\"", 1)).unwrap_err();
    assert!(why.to_string().contains("a line is missing or was changed"), "{why}");
    // Lines may have got other ends on the way.
    copy.import_json(&whole.replace('\n', "\r\n")).unwrap();
    assert_eq!(json(&copy), whole);
}

#[test]
fn law_what_is_exported_comes_back_the_same() {
    let scene = full();
    let exported = json(&scene.record);
    let mut copy = empty(scene.folder.path(), "copy.record");
    assert_eq!(copy.import_json(&exported).unwrap(), Imported { added: 12, again: 0 });
    assert_eq!(json(&copy), exported);
    assert_eq!(copy.facts(Seq(0)).unwrap(), scene.record.facts(Seq(0)).unwrap());
    assert_eq!(csv(&copy), csv(&scene.record));
    assert_eq!(copy.bag(&anna()).unwrap(), scene.record.bag(&anna()).unwrap());
    assert_eq!(copy.import_json(&exported).unwrap(), Imported { added: 0, again: 12 });
    copy.check().unwrap();
    serde_json::from_str::<serde_json::Value>(&exported).unwrap();
}

#[test]
fn law_two_records_are_joined_by_import() {
    let (phone, mut desk) = (full(), Scene::new());
    let own = desk.record.log(shot("free", "10"), &key("desk 1"), at(0)).unwrap();
    let imported = desk.record.import_json(&json(&phone.record)).unwrap();
    assert_eq!(imported.added, 12);
    // The undos and corrections of the phone refer to the phone's facts, which have other numbers here.
    let marks = |record: &Record, block: &str| {
        record.sheet(&id(block), &anna()).unwrap().games.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(marks(&desk.record, "two"), marks(&phone.record, "two"));
    assert_eq!(marks(&desk.record, "free"), ["9"]);
    assert_eq!(own.seq, Seq(1));
    // A name that was changed here stays; anything else of the same id would be another bowler.
    desk.record.rename::<Bowler>("anna", "Anna B.").unwrap();
    assert_eq!(desk.record.import_json(&json(&phone.record)).unwrap(), Imported { added: 0, again: 12 });
    assert_eq!(desk.record.get::<Bowler>("anna").unwrap().name, "Anna B.");
    let other = undigested(&phone.record).replacen("\"hand\":\"right\"", "\"hand\":\"left\"", 1);
    let told = faults(desk.record.import_json(&other)).to_string();
    assert!(told.contains("already another bowler \"anna\""), "{told}");
    desk.record.check().unwrap();
}

#[test]
fn law_every_fault_of_a_json_file_is_told_and_nothing_imported() {
    let scene = full();
    let good = undigested(&scene.record);
    let bad = good
        .replace("\"hand\":\"left\"", "\"hand\":\"lfet\"")
        .replace("\"standing\":\"7\"", "\"standing\":\"17\"")
        .replace("\"grit\":1500.0", "\"grit\":1500.0,\"polished\":true");
    let line = |words: &str| 1 + bad.lines().position(|line| line.contains(words)).unwrap() as u64;
    let mut copy = empty(scene.folder.path(), "copy.record");
    let faults = faults(copy.import_json(&bad));
    let text = faults.to_string();
    for (words, why) in [
        ("lfet", "did you mean \\\"left\\\"?"),
        ("\"17\"", "is no pin"),
        ("\"polished\":true", "a surface is told in exactly one way"),
    ] {
        let line = format!("line {}: ", line(words));
        let told = text.lines().find(|told| told.starts_with(&line)).unwrap_or_else(|| panic!("{line} of {text}"));
        assert!(told.contains(&why.replace('\\', "")), "{told}");
    }
    assert!(!text.contains("line 1 column"), "{text}");
    assert!(copy.facts(Seq(0)).unwrap().is_empty() && copy.all::<Bowler>().unwrap().is_empty());
    for (text, why) in [
        ("{", "not the JSON"),
        ("[]", "not the JSON"),
        ("{\"schema\":5}", "schema is 5, this program reads 4"),
        ("{\"schema\":2,\"extra\":[]}", "extra"),
        ("{\"schema\":2}", "bowlers"),
    ] {
        let told = copy.import_json(text).unwrap_err().to_string();
        assert!(told.contains(why), "{told}");
    }
    copy.import_json(&good).unwrap();
}

#[test]
fn law_facts_of_a_file_refer_to_facts_of_the_file() {
    let scene = full();
    let good = undigested(&scene.record);
    let first = good.lines().find(|line| line.contains("\"standing\":\"7-10\"")).unwrap();
    let mut copy = empty(scene.folder.path(), "copy.record");
    let told = faults(copy.import_json(&good.replace(&format!("{first}\n"), ""))).to_string();
    assert!(told.contains("no fact number 3"), "{told}");
    let twice = first.replace("\"key\":\"key 3\"", "\"key\":\"key 3b\"");
    let told = faults(copy.import_json(&good.replace(first, &format!("{first}\n{twice}")))).to_string();
    assert!(told.contains("two facts with seq 3"), "{told}");
}

#[test]
fn law_shots_go_out_as_csv_and_in_again() {
    let scene = full();
    let text = csv(&scene.record);
    let mut lines = text.lines();
    assert_eq!(
        lines.next().unwrap(),
        "key,at,block,bowler,game,frame,ball_of_frame,standing,down,foul,ball,lane,arrows_board,breakpoint_board,hit,felt"
    );
    let time = at(0);
    assert_eq!(lines.next().unwrap(), format!("key 3,{time},two,anna,1,1,1,4-7-10,,,anna-dull,1,,,,"));
    assert_eq!(lines.next().unwrap(), format!("key 4,{time},two,anna,1,1,2,7,,,anna-spare,1,,,,"));
    assert_eq!(lines.next().unwrap(), format!("key 7,{time},two,anna,1,2,1,,6,,anna-dull,2,,,,"));
    assert_eq!(lines.next().unwrap(), format!("key 8,{time},two,anna,1,2,2,,,yes,anna-dull,2,,,,"));
    assert_eq!(lines.next().unwrap(), format!("key 13,{time},drill,anna,,,,3,,,anna-dull,,,,,"));
    assert_eq!(lines.next(), None);
    let mut other = empty(scene.folder.path(), "other.record");
    crate::scene::people(&mut other);
    assert_eq!(import(&mut other, &text).unwrap(), Imported { added: 5, again: 0 });
    assert_eq!(csv(&other), text);
    assert_eq!(import(&mut other, &text).unwrap(), Imported { added: 0, again: 5 });
}

#[test]
fn law_a_cell_that_begins_a_formula_is_defused_and_comes_back_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let (mut record, mut other) = (empty(folder.path(), "a.record"), empty(folder.path(), "b.record"));
    let names = ["=HYPERLINK(\"x\")", "+1", "-1", "@sum", "'=1", "''=1", "'plain", "plain=1"];
    for record in [&mut record, &mut other] {
        let event = Event { id: id("e"), name: "e".into(), kind: EventKind::Practice, day: None };
        record.add(&event).unwrap();
        record.add(&Bowler { id: anna(), name: "anna".into(), hand: boardwise_units::Hand::Right }).unwrap();
        for name in names {
            let block =
                Block { id: id(name), event: id("e"), name: name.into(), counting: Counting::Nothing, games: None };
            record.add(&block).unwrap();
        }
    }
    for (number, name) in names.iter().enumerate() {
        record.log(shot(name, "10"), &key(&format!("={number}")), at(0)).unwrap();
    }
    let text = csv(&record);
    for row in csv::Reader::from_reader(text.as_bytes()).records() {
        for cell in &row.unwrap() {
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{cell}");
        }
    }
    import(&mut other, &text).unwrap();
    assert_eq!(csv(&other), text);
    assert_eq!(other.facts(Seq(0)).unwrap(), record.facts(Seq(0)).unwrap());
}

#[test]
fn law_spreadsheets_may_write_as_they_do() {
    // A byte order mark, lines that end both ways, spaces, quotes, an empty line, other order, most columns left out.
    let text = "\u{feff}bowler,standing , block\r\nanna,10,two\n\"anna\",\"none\",two\r\n\r\n anna ,7-10, two";
    let mut scene = Scene::new();
    assert_eq!(import(&mut scene.record, text).unwrap(), Imported { added: 3, again: 0 });
    assert_eq!(scene.marks("two"), ["9/ 8"]);
    let logged = &scene.record.facts(Seq(0)).unwrap()[0];
    assert_eq!((logged.key.as_str(), logged.at), ("file:2", at(0)));
    assert_eq!(scene.record.facts(Seq(2)).unwrap()[0].key.as_str(), "file:5");
    assert_eq!(import(&mut scene.record, text).unwrap(), Imported { added: 0, again: 3 });
    assert_eq!(import(&mut scene.record, "bowler,block,standing\n").unwrap(), Imported::default());
}

#[test]
fn law_every_fault_of_a_csv_file_is_told_and_nothing_imported() {
    let mut scene = Scene::new();
    let text = "block,bowler,standing,down,foul,hit,arrows_board,at\n\
                two,anna,10,,,pocket,10.5,2026-04-11T09:30:00Z\n\
                two,anna,11,,,,,\n\
                two,ana,none,,,,,\n\
                two,anna,none,3,,,,\n\
                two,anna,,,,,,\n\
                two,anna,,,maybe,,,\n\
                two,anna,none,,,pockt,,\n\
                two,anna,none,,,,fifteen,\n\
                two,anna,none,,,,41,\n\
                two,anna,none,,,,,yesterday\n\
                two,anna,none\n\
                ,anna,none,,,,,\n\
                two,anna,,12,,,,\n\
                two,anna,3-10,,,,,\n";
    let told = [
        (3, "`11` (entry 1) is no pin"),
        (4, "no bowler \"ana\": did you mean \"anna\"?"),
        (5, "exactly one of standing, down and foul"),
        (6, "exactly one of standing, down and foul"),
        (7, "foul = \"maybe\": use yes, no or nothing"),
        (8, "\"pockt\" is no hit: did you mean \"pocket\"?"),
        (9, "arrows_board = \"fifteen\": use a board"),
        (10, "arrows_board = 41 is not on the lane"),
        (11, "at = \"yesterday\": use a time like"),
        (12, "the row has 3 cells, the header 8"),
        (13, "block = \"\": must not be empty"),
        (14, "down = 12 is out of range"),
        (15, "frame 1, ball 2: 3 cannot stand"),
    ];
    check(import(&mut scene.record, text), &told);
    assert_eq!(scene.record.facts(Seq(0)).unwrap(), []);
}

#[test]
fn law_columns_are_known_and_there() {
    let mut scene = Scene::new();
    let mut told =
        |header: &str, told: &[(u64, &str)]| check(import(&mut scene.record, &format!("{header}\nx,y,z\n")), told);
    told(
        "block,bowler,standng",
        &[(1, "\"standng\" is unknown: did you mean \"standing\"?"), (1, "`standing` is missing")],
    );
    told("block,standing,colour", &[(1, "\"colour\" is unknown"), (1, "`bowler` is missing")]);
    told("block,bowler,key", &[(1, "`standing` is missing")]);
    told("block,bowler,standing,block", &[(1, "`block` is there twice")]);
    check(import(&mut scene.record, ""), &[(1, "`block`"), (1, "`bowler`"), (1, "`standing`")]);
}

#[test]
fn law_a_missing_row_is_noticed_where_the_file_says_the_frame() {
    let mut scene = Scene::new();
    let text = "block,bowler,game,frame,ball_of_frame,standing\n\
                two,anna,1,1,1,10\ntwo,anna,1,1,2,none\ntwo,anna,1,2,1,10\ntwo,anna,1,3,1,none\ntwo,anna,1,4,1,none\n";
    check(
        import(&mut scene.record, text),
        &[(5, "game 1, frame 3, ball 1, the shots before it lead to game 1, frame 2, ball 2")],
    );
    assert_eq!(scene.record.facts(Seq(0)).unwrap(), []);
}

#[test]
fn law_a_thousand_faults_are_counted_and_a_hundred_told() {
    let mut scene = Scene::new();
    let rows = "two,nobody,10\n".repeat(1000);
    let faults = faults(import(&mut scene.record, &format!("block,bowler,standing\n{rows}")));
    assert_eq!((faults.count, faults.told.len()), (1000, Faults::TOLD));
    assert!(faults.to_string().ends_with("and 900 more"));
}

#[test]
fn law_bytes_that_are_no_text_are_a_fault_of_their_line() {
    let mut scene = Scene::new();
    let bytes = b"block,bowler,standing\ntwo,anna,10\ntwo,an\xffna,none\n";
    let result = scene.record.import_csv(bytes.as_slice(), &key("file"), at(0));
    check(result, &[(3, "not UTF-8")]);
}
