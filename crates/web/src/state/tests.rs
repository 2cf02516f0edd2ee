//! Whoever looks sees what was written last, by whomever.

use std::collections::BTreeSet;
use std::io::Read;
use std::path::Path;
use std::thread;

use axum::http::HeaderMap;
use axum::http::header::ACCEPT_ENCODING;
use flate2::read::GzDecoder;
use http_body_util::BodyExt;
use serde_json::{Value, json};
use tempfile::TempDir;

use super::*;
use crate::stamp;
use boardwise_session::at_lanes::begin::{Beginning, begin};
use boardwise_session::at_lanes::command::{LogShot, Move, ShotTold};

const EVENT: &str = r#"name = "club night"
practice_shots = 0
[[pair]]
lanes = [7, 8]
patterns = ["house-40-walled", "house-40-walled"]
games = 1
[[bowler]]
file = "right-straighter"
bag = "two"
line = { laydown = 17, arrows = 11 }
"#;

const BAG: &str = include_str!("../../../boardwise/tests/answers/two-balls.toml");

/// An app with a block begun in which nothing is counted, so that anybody may log at any time.
pub fn evening() -> (TempDir, App) {
    let folder = tempfile::tempdir().unwrap();
    for (shelf, name, text) in [("event", "club", EVENT), ("bag", "two", BAG)] {
        let shelf = folder.path().join("kit").join(shelf);
        std::fs::create_dir_all(&shelf).unwrap();
        std::fs::write(shelf.join(format!("{name}.toml")), text).unwrap();
    }
    let at = |name| folder.path().join(name);
    let app = App::new(&Serving { record: at("a.record"), kit: at("kit"), port: 4310, network: false }, 4310).unwrap();
    start(&app);
    (folder, app)
}

fn start(app: &App) {
    let asked = Beginning { counting: "nothing".to_owned(), ..Beginning::default() };
    begin(&app.record, app.library.event("club").unwrap(), &asked, &stamp::fresh().unwrap()).unwrap();
}

/// Another program with the record open, as the command line has it.
fn elsewhere(record: &Path) -> BlockState {
    BlockState::open(record).unwrap()
}

pub fn log(state: &mut BlockState, pins: &str, key: &str) -> Result<(), Failure> {
    state.run(&shot(pins), &stamp::under(key)?).map(|_| ())
}

pub fn shot(pins: &str) -> Command {
    Command::Log(LogShot { shot: ShotTold { pins: pins.to_owned(), ..ShotTold::default() }, ..LogShot::default() })
}

pub fn undo(state: &mut BlockState) -> Result<(), Failure> {
    state.run(&Command::Undo { of: None }, &stamp::fresh()?).map(|_| ())
}

fn shift(state: &mut BlockState, to: &Move, key: &str) -> Result<(), Failure> {
    state.run(&Command::Move(to.clone()), &stamp::under(key)?).map(|_| ())
}

fn log_in(app: &App, block: &str, pins: &str, key: &str) -> Result<Arc<Served>, Failure> {
    app.change_in(Some(block), &shot(pins), &stamp::under(key)?).map(|(_, served)| served)
}

fn go_back(app: &App, block: &str) -> Result<(), Failure> {
    open::go_back(&app.record, block, &stamp::fresh()?)
}

/// What an answer says; packed or not, it says the same.
fn read(served: &Served) -> Value {
    let body = |asked: &HeaderMap| {
        let body = served.answer(asked).unwrap().into_body().collect();
        tokio::runtime::Builder::new_current_thread().build().unwrap().block_on(body).unwrap().to_bytes()
    };
    let plain = body(&HeaderMap::new());
    let mut unpacked = Vec::new();
    let packed = body(&HeaderMap::from_iter([(ACCEPT_ENCODING, "gzip".parse().unwrap())]));
    GzDecoder::new(&packed[..]).read_to_end(&mut unpacked).unwrap();
    assert!(packed.len() < plain.len() && unpacked == plain);
    serde_json::from_slice(&plain).unwrap()
}

fn keys(told: &Value) -> Vec<String> {
    let shots = told["sheet"]["deliveries"].as_array().unwrap().iter();
    shots.map(|shot| shot["key"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn law_every_change_by_whomever_is_seen_at_once_and_has_a_number_of_its_own() {
    let (_folder, app) = evening();
    let mut other = elsewhere(&app.record);
    let mut pages = app.live.subscribe();
    let mut numbers = BTreeSet::new();
    let mut look = |what: &str| {
        let told = read(&app.served().unwrap());
        assert!(pages.has_changed().unwrap(), "{what}: pages are told");
        let number = *pages.borrow_and_update();
        assert_eq!(told["changes"], number, "{what}");
        assert!(numbers.last().is_none_or(|last| number > *last) && numbers.insert(number), "{what}");
        assert!(Arc::ptr_eq(&app.served().unwrap(), &app.served().unwrap()), "{what}: worked out once");
        assert!(!pages.has_changed().unwrap(), "{what}: looking changes nothing");
        told
    };
    assert_eq!(keys(&look("begun")), Vec::<String>::new());
    let ((), served) = app.change(|state| log(state, "10", "ours")).unwrap();
    assert_eq!(keys(&read(&served)), ["ours"]);
    look("a shot of ours");
    log(&mut other, "7", "theirs").unwrap();
    assert_eq!(keys(&look("a shot of another program")), ["ours", "theirs"]);
    undo(&mut other).unwrap();
    assert_eq!(keys(&look("its undo")), ["ours"]);
    let right = ShotTold { pins: "3".to_owned(), ..ShotTold::default() };
    other
        .run(
            &Command::Correct { block: other.desk.begun.block.to_string(), number: 1, shot: right },
            &stamp::fresh().unwrap(),
        )
        .unwrap();
    assert_eq!(look("a shot put right")["sheet"]["deliveries"][0]["pins"][0], 3);
    let to = Move { line: Some([24.0, 12.5]), lane: Some(8), ..Move::default() };
    shift(&mut other, &to, "their move").unwrap();
    assert_eq!(look("a move")["lanes"][1]["laydown"], 24.0);
}

#[test]
fn law_the_answer_to_a_shot_is_as_short_after_a_hundred_as_after_ten() {
    let (_folder, app) = evening();
    let length_after = |shots: std::ops::Range<usize>| {
        let mut last = None;
        for k in shots {
            last = Some(app.change(|state| log(state, "10", &format!("shot-{k:03}"))).unwrap().1);
        }
        let served = last.unwrap();
        let answer = serde_json::to_string(&served.with("logged".to_owned())).unwrap();
        assert!(
            answer.contains("shot-") && keys(&read(&served)).len() > 9,
            "the last shot is there, and all of them can be had"
        );
        answer.len()
    };
    let (short, long) = (length_after(0..10), length_after(10..100));
    assert!(long < short + 20, "{short} bytes after ten shots, {long} after a hundred");
}

#[test]
fn law_another_block_is_seen_at_once() {
    let (_folder, app) = evening();
    app.change(|state| log(state, "10", "ours")).unwrap();
    let first = read(&app.served().unwrap());
    start(&app);
    let second = read(&app.served().unwrap());
    assert!(keys(&second).is_empty() && second["block"] != first["block"], "{second}");
    assert!(second["changes"].as_u64() > first["changes"].as_u64());
}

#[test]
fn law_a_late_shot_goes_to_the_block_it_was_made_in_and_the_present_one_stays() {
    let (_folder, app) = evening();
    let first = read(&app.served().unwrap())["block"].as_str().unwrap().to_owned();
    app.change(|state| log(state, "10", "early")).unwrap();
    start(&app);
    let second = read(&app.served().unwrap());
    let served = log_in(&app, &first, "7", "late").unwrap();
    let told = read(&served);
    assert_eq!((keys(&told), &told["block"]), (vec!["early".to_owned(), "late".to_owned()], &first.as_str().into()));
    assert!(told["changes"].is_null(), "it is not the present one: {told}");
    let now = read(&app.served().unwrap());
    assert!(keys(&now).is_empty() && now["block"] == second["block"]);
    assert!(log_in(&app, "no such block", "7", "lost").is_err());
    let second = second["block"].as_str();
    let served = log_in(&app, second.unwrap(), "3", "here").unwrap();
    assert!(keys(&read(&served)) == ["here"] && read(&served)["changes"].is_u64());
}

#[test]
fn law_a_block_gone_back_to_is_the_present_one_with_its_shots_and_its_ball() {
    let (_folder, app) = evening();
    let first = read(&app.served().unwrap());
    let balls: Vec<&str> = first["balls"].as_array().unwrap().iter().map(|one| one["id"].as_str().unwrap()).collect();
    let other = balls.iter().find(|ball| first["in_hand"] != **ball).unwrap();
    let change = Move { ball: Some((*other).to_owned()), ..Move::default() };
    app.change(|state| shift(state, &change, "a move")).unwrap();
    app.change(|state| log(state, "10", "one")).unwrap();
    start(&app);
    assert_eq!(read(&app.served().unwrap())["in_hand"], first["in_hand"], "the second one begins as the first did");
    app.change(|state| log(state, "7", "two")).unwrap();
    let second = read(&app.served().unwrap());

    go_back(&app, first["block"].as_str().unwrap()).unwrap();
    let back = read(&app.served().unwrap());
    assert!(back["block"] == first["block"] && back["in_hand"] == **other && keys(&back) == ["one"], "{back}");
    assert!(back["changes"].as_u64() > second["changes"].as_u64());
    app.change(|state| log(state, "3", "three")).unwrap();
    assert_eq!(keys(&read(&app.served().unwrap())), ["one", "three"]);
    // What is taken back is of this block alone.
    for left in [vec!["one"], vec![], vec![]] {
        let _ = app.change(undo);
        assert_eq!(keys(&read(&app.served().unwrap())), left);
    }

    go_back(&app, second["block"].as_str().unwrap()).unwrap();
    let again = read(&app.served().unwrap());
    assert!(again["block"] == second["block"] && again["in_hand"] == first["in_hand"] && keys(&again) == ["two"]);
    // Both are open: practice is as long as one likes. The other one cannot be found.
    let open = open::Open::page(&app.record, 0, 20).unwrap().0;
    assert_eq!(
        open.iter().map(|one| one.stands.as_str()).collect::<Vec<_>>(),
        ["practice, 1 shot", "nothing bowled yet"]
    );
    assert!(go_back(&app, "no such block").is_err());
}

#[test]
fn law_a_late_shot_is_thrown_with_the_ball_of_its_block_and_the_present_one_keeps_its_own() {
    let (_folder, app) = evening();
    let first = read(&app.served().unwrap());
    let in_first = first["block"].as_str().unwrap();
    let balls: Vec<&str> = first["balls"].as_array().unwrap().iter().map(|one| one["id"].as_str().unwrap()).collect();
    let other = *balls.iter().find(|ball| first["in_hand"] != **ball).unwrap();
    let ball_of = |told: &Value| told["sheet"]["deliveries"].as_array().unwrap().last().unwrap()["ball"].clone();
    let change = Move { ball: Some(other.to_owned()), ..Move::default() };
    app.change(|state| shift(state, &change, "a move")).unwrap();
    start(&app);
    for key in ["late", "later"] {
        let served = log_in(&app, in_first, "10", key).unwrap();
        assert_eq!(ball_of(&read(&served)), other);
    }
    // A change of ball that is late is of its block too.
    let back = Move { ball: first["in_hand"].as_str().map(str::to_owned), ..Move::default() };
    app.change(|state| shift(state, &change, "here")).unwrap();
    app.change_in(Some(in_first), &Command::Move(back), &stamp::under("late move").unwrap()).unwrap();
    let served = log_in(&app, in_first, "10", "last").unwrap();
    assert_eq!(ball_of(&read(&served)), first["in_hand"]);
    assert_eq!(read(&app.served().unwrap())["in_hand"], other, "the present block keeps its ball");
    go_back(&app, in_first).unwrap();
    assert_eq!(read(&app.served().unwrap())["in_hand"], first["in_hand"]);
}

#[test]
fn law_what_practice_taught_holds_also_after_going_back_to_it() {
    let (_folder, app) = evening();
    let practice = read(&app.served().unwrap())["block"].as_str().unwrap().to_owned();
    app.change(|state| log(state, "10", "before")).unwrap();
    begin(&app.record, app.library.event("club").unwrap(), &Beginning::default(), &stamp::fresh().unwrap()).unwrap();
    let game = read(&app.served().unwrap())["block"].as_str().unwrap().to_owned();
    let learned_from = || {
        let state = BlockState::open(&app.record).unwrap();
        let shots = state.practice.map(|practice| practice.sheet.deliveries);
        shots.map(|shots| shots.iter().map(|shot| shot.key.to_string()).collect::<Vec<_>>())
    };
    assert_eq!(learned_from(), Some(vec!["before".to_owned()]));
    go_back(&app, &practice).unwrap();
    app.change(|state| log(state, "7", "since")).unwrap();
    go_back(&app, &game).unwrap();
    assert_eq!(learned_from(), Some(vec!["before".to_owned()]), "what was thrown since is of later oil");
}

#[test]
fn law_a_complete_block_is_not_open() {
    let (_folder, app) = evening();
    let practice = read(&app.served().unwrap())["block"].as_str().unwrap().to_owned();
    begin(&app.record, app.library.event("club").unwrap(), &Beginning::default(), &stamp::fresh().unwrap()).unwrap();
    let game = read(&app.served().unwrap())["block"].as_str().unwrap().to_owned();
    for k in 0..11 {
        app.change(|state| log(state, "none", &format!("ball-{k}"))).unwrap();
    }
    let open = open::Open::page(&app.record, 0, 20).unwrap().0;
    assert_eq!(open[0].stands, "game 1, frame 10 next; 270 so far, on two strikes");
    app.change(|state| log(state, "none", "last")).unwrap();
    let open = open::Open::page(&app.record, 0, 20).unwrap().0;
    assert_eq!(open.iter().map(|one| one.listed.block.as_str()).collect::<Vec<_>>(), [practice.as_str()]);
    go_back(&app, &practice).unwrap();
    let refused = go_back(&app, &game).unwrap_err().to_string();
    assert!(refused.contains("complete"), "{refused}");
}

#[test]
fn law_what_was_said_is_said_again_only_while_nothing_was_bowled_or_meant() {
    let (_folder, app) = evening();
    let mut other = elsewhere(&app.record);
    let mut worked = 0;
    let mut say = || {
        let said = app.think(|thinking| {
            thinking.say("how many", |state, _| {
                worked += 1;
                Ok(state.sheet.deliveries.len().to_string())
            })
        });
        (said.unwrap().to_string(), worked)
    };
    assert_eq!(say(), ("0".to_owned(), 1));
    assert_eq!(say(), ("0".to_owned(), 1));
    app.change(|state| log(state, "10", "ours")).unwrap();
    assert_eq!(say(), ("1".to_owned(), 2));
    log(&mut other, "7", "theirs").unwrap();
    assert_eq!(say(), ("2".to_owned(), 3));
    undo(&mut other).unwrap();
    assert_eq!(say(), ("1".to_owned(), 4));
    let remark = boardwise_record::Fact::Note { text: "dry on the left".to_owned(), block: None, bowler: None };
    other.desk.record.log(remark, &stamp::fresh().unwrap().key, jiff::Timestamp::UNIX_EPOCH).unwrap();
    assert_eq!(say(), ("1".to_owned(), 4), "a remark changes no advice");
}

#[test]
fn law_looking_ahead_changes_nothing_that_is_thought() {
    let (ahead, plain) = (evening(), evening());
    let thought = |app: &App| {
        let said = app.think(|thinking| {
            thinking.say("thought", |_, replay| Ok(json!(replay()?.belief.checkpoint()).to_string()))
        });
        said.unwrap()
    };
    let mut last = thought(&plain.1);
    app_looks(&ahead.1);
    assert_eq!(thought(&ahead.1), last);
    let moves = |state: &mut BlockState, key: &str| {
        let to = Move { line: Some([24.0, 12.5]), lane: Some(7), ..Move::default() };
        shift(state, &to, key)
    };
    for (k, done) in ["none", "7", "moved", "none", "taken back", "3-10"].into_iter().enumerate() {
        let key = format!("{k}");
        for app in [&ahead.1, &plain.1] {
            let do_it = |state: &mut BlockState| match done {
                "moved" => moves(state, &key),
                "taken back" => state.run(&Command::Undo { of: None }, &stamp::under(&key)?).map(|_| ()),
                pins => log(state, pins, &key),
            };
            app.change(do_it).unwrap();
        }
        let now = thought(&plain.1);
        assert_eq!(thought(&ahead.1), now, "{done}");
        assert_eq!(now == last, done == "moved", "{done}");
        last = now;
        app_looks(&ahead.1);
    }
}

/// As it does once nobody has asked for a while, and again.
fn app_looks(app: &App) {
    app.think(Thinking::look_ahead).unwrap();
    app.think(Thinking::look_ahead).unwrap();
}

#[test]
fn law_two_who_write_at_once_lose_nothing_and_each_sees_what_it_wrote() {
    const SHOTS: usize = 20;
    let (_folder, app) = evening();
    thread::scope(|threads| {
        threads.spawn(|| {
            let mut other = elsewhere(&app.record);
            for k in 0..SHOTS {
                log(&mut other, "7", &format!("theirs-{k}")).unwrap();
                let key = format!("theirs-{k}");
                assert!(keys(&read(&app.served().unwrap())).contains(&key), "what is written can be seen");
            }
        });
        threads.spawn(|| {
            for k in 0..SHOTS {
                let key = format!("ours-{k}");
                let ((), served) = app.change(|state| log(state, "10", &key)).unwrap();
                assert!(keys(&read(&served)).contains(&key), "the answer to a shot holds it");
            }
        });
        threads.spawn(|| {
            let (mut number, mut shots) = (0, 0);
            while shots < 2 * SHOTS {
                let told = read(&app.served().unwrap());
                let now = (told["changes"].as_u64().unwrap(), keys(&told).len());
                assert!(now.0 >= number && now.1 >= shots, "it never goes back: {now:?} after {number}, {shots}");
                (number, shots) = now;
            }
        });
    });
    assert_eq!(keys(&read(&app.served().unwrap())).len(), 2 * SHOTS);
}
