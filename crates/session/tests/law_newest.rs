//! What was done last is what an undo takes back, and all that a choice holds is recorded and believed.

use std::fs;
use std::path::Path;

use boardwise_ball::Surface;
use boardwise_record::{Fact, LineMeant, Record};
use boardwise_session::at_lanes::belief_replay::BeliefReplay;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Choice, Command, Deed, LogShot, Move, ShotTold, Stamp};
use boardwise_session::at_lanes::game_shots;
use boardwise_session::at_lanes::screen;
use tempfile::TempDir;

/// A block of which frame 5 is half bowled.
fn evening() -> (TempDir, BlockState) {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../record/tests/earlier/v3.record");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.record");
    fs::copy(kept, &path).unwrap();
    let state = BlockState::open(&path).unwrap();
    (folder, state)
}

fn run(state: &mut BlockState, key: &str, command: &Command) -> Deed {
    let stamp = Stamp { key: key.parse().unwrap(), at: "2027-01-01T12:00:00Z".parse().unwrap() };
    state.run(command, &stamp).unwrap().deed
}

fn log(pins: &str) -> Command {
    let shot = ShotTold { pins: pins.to_owned(), ..ShotTold::default() };
    Command::Log(LogShot { shot, ..LogShot::default() })
}

/// Another line on the lane that is up, with another hand and surface.
fn choice(state: &BlockState) -> Choice {
    let lane = state.lane_up();
    let now = state.lines.on(lane, None);
    let line =
        LineMeant { laydown: now.laydown + 2.0, arrows: now.arrows + 1.0, rotation_deg: now.rotation_deg - 8.0, ..now };
    let ball = state.setting.seat.balls[0].id.clone();
    let surface = Some(boardwise_record::Surface::Grit(3000.0));
    Choice { ball, surface, line, lane: state.setting.numbers[lane] }
}

fn newest(state: &BlockState) -> String {
    state.newest.as_ref().expect("something to take back").words.clone()
}

#[test]
fn law_an_undo_takes_back_the_newest_thing_whatever_it_was_and_names_it() {
    let (_folder, mut state) = evening();
    run(&mut state, "spare", &log("none"));
    run(&mut state, "strike", &log("none"));
    let shots = state.sheet.deliveries.len();
    assert_eq!(newest(&state), "strike, frame 6");
    let taken = choice(&state);
    let before = state.lines.clone();
    run(&mut state, "choice", &Command::Take(taken));
    let words = newest(&state);
    assert!(words.starts_with("surface of "), "{words}");
    // By name, as the page asks, and by no name, as the command line does.
    let of = state.newest.clone().unwrap().key;
    assert_eq!(of.as_str(), "choice");
    let Deed::TakenBack(back) = run(&mut state, "undo", &Command::Undo { of: Some(of) }) else { panic!("nothing") };
    assert_eq!(back.words, words);
    assert_eq!((state.sheet.deliveries.len(), &state.lines), (shots, &before), "the ball stays, the line is back");
    assert_eq!(newest(&state), "strike, frame 6");
    let one_in = Move { feet: Some(1.0), eyes: Some(1.0), ..Move::default() };
    run(&mut state, "move", &Command::Move(one_in));
    let words = newest(&state);
    assert!(words.starts_with("move to slide "), "{words}");
    run(&mut state, "undo-2", &Command::Undo { of: None });
    assert_eq!((state.sheet.deliveries.len(), &state.lines), (shots, &before));
    let block = state.desk.begun.block.to_string();
    let shot = ShotTold { pins: "10".to_owned(), ..ShotTold::default() };
    run(&mut state, "fix", &Command::Correct { block, number: shots, shot });
    assert_eq!(newest(&state), "correction of 10 stands, frame 6");
    run(&mut state, "undo-3", &Command::Undo { of: None });
    assert_eq!(newest(&state), "strike, frame 6");
    assert_eq!(screen::view(&state).unwrap().newest.unwrap().words, "strike, frame 6");
}

#[test]
fn law_all_that_a_choice_holds_is_recorded_and_believed_from_then_on() {
    let (_folder, mut state) = evening();
    run(&mut state, "spare", &log("none"));
    run(&mut state, "before", &log("10"));
    run(&mut state, "made", &log("none"));
    let taken = choice(&state);
    let place = state.setting.ball(&taken.ball).unwrap();
    let as_it_came = state.setting.event.seats[0].bag.bag.balls()[place].surface;
    assert_ne!(as_it_came, Surface::sanded(3000.0));
    let lane = state.lane_up();
    run(&mut state, "choice", &Command::Take(taken.clone()));
    assert_eq!(state.lines.on(lane, None), taken.line, "line, speed and rotation");
    assert_eq!(state.surfaces.on(place, None), taken.surface);
    run(&mut state, "after", &log("none"));
    let carry = boardwise_files::carry().unwrap();
    let mut seen = Vec::new();
    let replay = BeliefReplay::watched(&state, carry, 1, &mut |about| {
        seen.extend(about.ball.filter(|ball| *ball == 0).map(|ball| about.belief.balls()[ball].surface));
        Ok(())
    })
    .unwrap();
    assert_eq!(seen.last(), Some(&Surface::sanded(3000.0)), "thrown as it was sanded");
    assert!(seen[..seen.len() - 1].iter().all(|surface| *surface == as_it_came), "and before that as it came");
    assert_eq!(replay.belief.balls()[0].surface, Surface::sanded(3000.0));
    // Learned shot by shot, it is the same.
    let mut by_and_by = BeliefReplay::of(&state, carry, 1).unwrap();
    assert!(by_and_by.leads_to(&state));
    run(
        &mut state,
        "polish",
        &Command::Move(Move { surface: Some(boardwise_record::Surface::Polished), ..Move::default() }),
    );
    assert!(by_and_by.leads_to(&state), "nothing was thrown since");
    by_and_by.learn(&state, carry).unwrap();
    assert_eq!(by_and_by.belief.balls()[0].surface, Surface::polished());
    let shown = screen::view(&state).unwrap();
    assert_eq!(shown.balls[place].surface, "polished");
    let shots = game_shots::game_shots(&state, 1).shots;
    assert_eq!(shots.len(), state.sheet.deliveries.len());
    assert!(shots.iter().all(|one| one.ball_id.is_some() && one.before.is_some()));
}

#[test]
fn law_what_another_device_logged_earlier_does_not_change_what_an_undo_takes_back() {
    let (folder, mut state) = evening();
    let [here, phone] = ["a.record", "phone.record"].map(|name| folder.path().join(name));
    state.desk.record.backup(&phone).unwrap();
    run(&mut state, "spare", &log("none"));
    run(&mut state, "strike", &log("none"));
    let shots = state.sheet.deliveries.len();
    // It comes in before the two, which get other numbers.
    let mut phone = Record::open(&phone).unwrap();
    let note = Fact::Note { text: "dry".into(), block: None, bowler: None };
    phone.log(note, &"on the phone".parse().unwrap(), "2026-12-31T12:00:00Z".parse().unwrap()).unwrap();
    Record::open(&here).unwrap().join(&phone).unwrap();
    state.catch_up().unwrap();
    assert_eq!(newest(&state), "strike, frame 6");
    run(&mut state, "back", &Command::Undo { of: None });
    assert_eq!((state.sheet.deliveries.len(), newest(&state).as_str()), (shots - 1, "spare, frame 5"));
}
