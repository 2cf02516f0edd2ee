//! What goes wrong is told by field: no sentence of the session holds a flag or a command of the command line, since the phone shows it too.

use std::fs;
use std::path::Path;

use boardwise_files::Fault;
use boardwise_session::Failure;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Command, Details, LogShot, Move, ShotTold, Stamp};
use boardwise_session::at_lanes::desk;

fn block(folder: &Path) -> BlockState {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../record/tests/earlier/v2.record");
    let path = folder.join("a.record");
    fs::copy(kept, &path).unwrap();
    // The record of an earlier version knew its present block by a file beside it; without one it is the one begun last.
    BlockState::open(&path).unwrap()
}

fn shot(pins: &str, details: Details) -> ShotTold {
    ShotTold { pins: pins.to_owned(), details, note: None }
}

fn log(pins: &str, details: Details) -> Command {
    Command::Log(LogShot { shot: shot(pins, details), ..LogShot::default() })
}

#[test]
fn law_no_sentence_of_a_failure_holds_a_flag_or_a_command() {
    let folder = tempfile::tempdir().unwrap();
    let mut block = block(folder.path());
    let none = Details::default;
    let id = block.desk.begun.block.to_string();
    let commands = [
        (Some("arrows"), log("X", Details { arrows: Some(55.0), ..none() })),
        (Some("breakpoint"), log("X", Details { breakpoint: Some(0.0), ..none() })),
        (Some("lane"), log("X", Details { lane: Some(9), ..none() })),
        (Some("pins"), log("11", none())),
        (None, log("X", Details { ball: Some("dul".to_owned()), ..none() })),
        (None, Command::Correct { block: id.clone(), number: 99, shot: shot("X", none()) }),
        (Some("pins"), Command::Correct { block: id.clone(), number: 1, shot: shot("zz", none()) }),
        (None, Command::Correct { block: "another".to_owned(), number: 1, shot: shot("X", none()) }),
        (None, Command::Move(Move::default())),
        (Some("eyes"), Command::Move(Move { feet: Some(2.0), eyes: Some(40.0), ..Move::default() })),
        (Some("feet and eyes"), Command::Move(Move { feet: Some(20.0), eyes: Some(-17.0), ..Move::default() })),
        (Some("line"), Command::Move(Move { line: Some([24.0, 41.0]), ..Move::default() })),
        (Some("speed"), Command::Move(Move { speed: Some(60.0), ..Move::default() })),
        (Some("rotation"), Command::Move(Move { rotation: Some(200.0), ..Move::default() })),
    ];
    for (number, (field, command)) in commands.into_iter().enumerate() {
        let stamp =
            Stamp { key: format!("bad-{number}").parse().unwrap(), at: "2027-01-01T12:00:00Z".parse().unwrap() };
        let failure = block.run(&command, &stamp).unwrap_err();
        assert!(failure.is_bad_input(), "{command:?}");
        is_plain(&failure);
        if let Some(wanted) = field {
            let Failure::Input(Fault::Field { field, .. }) = failure else { panic!("{command:?}: {failure}") };
            assert_eq!(field, wanted, "{command:?}");
        }
    }
    for failure in [
        desk::own_key("a/b").unwrap_err(),
        Failure::NoBlock,
        Failure::NoRecord { place: "a.record".into() },
        Failure::BlockComplete { pins: Some("X".to_owned()), games: Some(1) },
        Failure::PinsNotKnown { count: 3 },
        Failure::NothingToTakeBack,
        Failure::WhoseSheet { block: "b".to_owned(), bowlers: vec!["anna".to_owned(), "eve".to_owned()] },
    ] {
        is_plain(&failure);
    }
}

fn is_plain(failure: &Failure) {
    let words = failure.to_string();
    assert!(!words.contains("--") && !words.contains("`boardwise") && !words.contains("boardwise "), "{words}");
}
