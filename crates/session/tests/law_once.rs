//! Once and in order, whoever writes: the turn is checked inside the write, a key stands for one thing, and a correction names its block.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command as Process;

use boardwise_record::{Record, Seq};
use boardwise_session::Failure;
use boardwise_session::at_lanes::after;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Command, Deed, Details, LogShot, Move, ShotTold, Stamp};
use boardwise_session::at_lanes::turn::Turn;
use tempfile::TempDir;

/// Frames that two programs fight over. `cargo xtask attack` and the figures in `docs/record.md` use more.
const FRAMES: usize = 30;

/// A record with an evening in it, of which frame 5 is half bowled.
fn evening() -> (TempDir, PathBuf) {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../record/tests/earlier/v3.record");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.record");
    fs::copy(kept, &path).unwrap();
    (folder, path)
}

fn stamp(key: &str) -> Stamp {
    Stamp { key: key.parse().unwrap(), at: "2027-01-01T12:00:00Z".parse().unwrap() }
}

fn told(pins: &str) -> ShotTold {
    ShotTold { pins: pins.to_owned(), ..ShotTold::default() }
}

fn log(shot: ShotTold) -> Command {
    Command::Log(LogShot { shot, ..LogShot::default() })
}

fn next(state: &BlockState) -> Option<Turn> {
    state.upcoming().map(|next| Turn { game: next.game, frame: next.frame, ball: next.ball })
}

/// Logs a ball for each turn until the block is full; counts those that were taken.
fn fight(path: &Path, name: &str) -> usize {
    let mut state = BlockState::open(path).unwrap();
    let mut taken = 0;
    for number in 0.. {
        let Some(turn) = next(&state) else { break };
        if usize::from(turn.frame) + 10 * usize::from(turn.game - 1) > FRAMES {
            break;
        }
        let shot = Command::Log(LogShot { shot: told("none"), turn: Some(turn), by_device: None });
        match state.run(&shot, &stamp(&format!("{name}-{number}"))) {
            Ok(_) => taken += 1,
            // The other was first, perhaps with the last ball of all.
            Err(Failure::NotTheirTurn { .. } | Failure::BlockComplete { .. }) => {}
            Err(other) => panic!("{other}"),
        }
        state.catch_up().unwrap();
    }
    taken
}

const FIGHT: &str = "SESSION_TEST_FIGHT";

#[test]
#[ignore = "the child process of the other test"]
fn law_child() {
    if let Some(path) = std::env::var_os(FIGHT) {
        println!("took {}", fight(Path::new(&path), &std::process::id().to_string()));
    }
}

#[test]
fn law_two_programs_on_one_record_never_log_one_turn_twice() {
    let (_folder, path) = evening();
    let before = BlockState::open(&path).unwrap().sheet.deliveries.len();
    let child = || {
        Process::new(std::env::current_exe().unwrap())
            .args(["--exact", "law_once::law_child", "--ignored", "--nocapture"])
            .env(FIGHT, &path)
            .stdout(std::process::Stdio::piped())
            .spawn()
            .unwrap()
    };
    let children = [child(), child(), child()];
    let mut taken = 0;
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success());
        let text = String::from_utf8(output.stdout).unwrap();
        let of_one = text.lines().find_map(|line| line.split_once("took ")).unwrap().1;
        taken += of_one.trim().parse::<usize>().unwrap();
    }
    let state = BlockState::open(&path).unwrap();
    let turns: Vec<_> =
        state.sheet.deliveries.iter().map(|one| (one.game, one.thrown.map(|at| (at.frame, at.ball)))).collect();
    let mut once = turns.clone();
    once.dedup();
    assert_eq!(turns, once);
    // Every ball that a program was told is logged is on the sheet, and no other.
    assert_eq!(turns.len() - before, taken);
    state.desk.record.check().unwrap();
}

#[test]
fn law_what_is_believed_of_the_sheet_is_read_again_before_a_shot() {
    let (_folder, path) = evening();
    let (mut here, mut there) = (BlockState::open(&path).unwrap(), BlockState::open(&path).unwrap());
    here.run(&log(told("none")), &stamp("a")).unwrap();
    // The other has not looked since: `all` means what stands now, not what stood then.
    there.run(&log(told("all")), &stamp("b")).unwrap();
    assert_eq!(there.sheet.deliveries.last().unwrap().thrown.unwrap().before, boardwise_score::Deck::FULL);
}

#[test]
fn law_a_known_key_with_other_content_is_refused_and_with_the_same_is_done_once() {
    let (_folder, path) = evening();
    let mut state = BlockState::open(&path).unwrap();
    let block = state.desk.begun.block.to_string();
    let details = |arrows: f64| Details { arrows: Some(arrows), ..Details::default() };
    let shot = |pins: &str, arrows: f64, note: Option<&str>| ShotTold {
        pins: pins.to_owned(),
        details: details(arrows),
        note: note.map(str::to_owned),
    };
    let fix = |number: usize, pins: &str, arrows: f64| Command::Correct {
        block: block.clone(),
        number,
        shot: shot(pins, arrows, None),
    };
    let shift = |feet: f64| Command::Move(Move { feet: Some(feet), eyes: Some(1.0), ..Move::default() });
    let number = state.sheet.deliveries.len();
    let cases: Vec<(&str, Command, Vec<Command>)> = vec![
        (
            "shot",
            log(shot("none", 11.0, Some("dry"))),
            vec![
                log(shot("none", 12.0, Some("dry"))),
                log(shot("none", 11.0, None)),
                log(shot("none", 11.0, Some("wet"))),
                log(shot("10", 11.0, Some("dry"))),
                log(told("none")),
                shift(1.0),
                fix(1, "none", 11.0),
            ],
        ),
        (
            "fix",
            fix(number, "10", 9.0),
            vec![fix(number, "10", 9.5), fix(number, "7", 9.0), fix(1, "10", 9.0), log(shot("10", 9.0, None))],
        ),
        (
            "move",
            shift(2.0),
            vec![
                shift(1.0),
                Command::Move(Move { feet: Some(2.0), eyes: Some(1.0), both: true, ..Move::default() }),
                Command::Move(Move { speed: Some(18.5), ..Move::default() }),
            ],
        ),
    ];
    for (key, first, others) in cases {
        // A foul is corrected to a pin that stands, so that the sheet adds up.
        let done = state.run(&first, &stamp(key)).unwrap_or_else(|why| panic!("{key}: {why}"));
        let facts = |state: &BlockState| state.desk.record.facts(Seq(0)).unwrap().len();
        let before = facts(&state);
        for other in others {
            let why = state.run(&other, &stamp(key)).expect_err(&format!("{key}: {other:?}"));
            assert!(why.to_string().contains("stands for"), "{key}: {why}");
        }
        let again = state.run(&first, &stamp(key)).unwrap();
        assert_eq!(facts(&state), before, "{key}: nothing was added");
        assert_eq!(again.shot, done.shot, "{key}");
    }
    // A key of something taken back.
    let of = "shot".parse().unwrap();
    let undo = Command::Undo { of: Some("move".parse().unwrap()) };
    state.run(&undo, &stamp("undo")).unwrap();
    assert_eq!(state.run(&undo, &stamp("undo")).unwrap().deed, Deed::TakenBackBefore);
    state.run(&Command::Undo { of: Some(of) }, &stamp("undo")).unwrap_err();
    // Remarks.
    let bowler = state.desk.begun.bowler.to_string();
    let note = |text: &str| after::note(&path, &block, &bowler, text, &stamp("note"));
    note("slow").unwrap();
    note("slow").unwrap();
    note("fast").unwrap_err();
}

#[test]
fn law_a_correction_of_another_block_changes_nothing_in_this_one() {
    let (_folder, path) = evening();
    let mut state = BlockState::open(&path).unwrap();
    let before = state.sheet.clone();
    let command = Command::Correct { block: "the week before".to_owned(), number: 1, shot: told("10") };
    let why = state.run(&command, &stamp("fix")).unwrap_err();
    assert!(matches!(why, Failure::OtherBlock { .. }), "{why}");
    assert_eq!(BlockState::open(&path).unwrap().sheet, before);
}

#[test]
fn law_a_block_that_is_looked_at_again_leaves_all_of_it_in_the_file() {
    let (folder, path) = evening();
    let mut state = BlockState::open(&path).unwrap();
    state.run(&log(told("none")), &stamp("a")).unwrap();
    let copy = folder.path().join("copy.record");
    fs::copy(&path, &copy).unwrap();
    assert!(Record::open(&copy).unwrap().read_only().is_some());
    state.catch_up().unwrap();
    fs::remove_file(&copy).unwrap();
    fs::copy(&path, &copy).unwrap();
    assert!(Record::open(&copy).unwrap().read_only().is_none());
    assert_eq!(BlockState::open(&copy).unwrap().sheet, state.sheet);
}
