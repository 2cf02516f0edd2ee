//! A block that is kept from shot to shot is the block read anew, whatever is done and whoever does it.

use std::fs;
use std::path::Path;

use boardwise_record::Surface;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::command::{Command, LogShot, Move, ShotTold, Stamp};
use proptest::prelude::*;

#[derive(Clone, Debug)]
enum Deed {
    Log { down: u8, ball: Option<bool>, note: bool },
    Undo,
    UndoOf { of: prop::sample::Index },
    Correct { of: prop::sample::Index, down: u8 },
    Move { feet: f64, surface: bool },
    Resurface,
}

fn deed() -> impl Strategy<Value = Deed> {
    let down = || prop_oneof![Just(10_u8), 0..8_u8];
    let of = any::<prop::sample::Index>;
    prop_oneof![
        6 => (down(), proptest::option::weighted(0.3, any::<bool>()), any::<bool>())
            .prop_map(|(down, ball, note)| Deed::Log { down, ball, note }),
        3 => Just(Deed::Undo),
        1 => of().prop_map(|of| Deed::UndoOf { of }),
        2 => (of(), down()).prop_map(|(of, down)| Deed::Correct { of, down }),
        2 => (-1.0..1.0, any::<bool>()).prop_map(|(feet, surface)| Deed::Move { feet, surface }),
        1 => Just(Deed::Resurface),
    ]
}

fn command(deed: &Deed, state: &BlockState) -> Command {
    let shots = &state.sheet.deliveries;
    let balls = state.setting.event.seats[0].bag.bag.balls();
    let pins = |down: u8| ["none", "10", "7-10", "3-10", "4-7", "2", "5", "6-7"][usize::from(down) % 8].to_owned();
    match deed {
        Deed::Log { down, ball, note } => {
            let ball = ball.map(|last| if last { balls.len() - 1 } else { 0 }).map(|place| balls[place].id.clone());
            let mut shot = ShotTold { pins: pins(*down), note: note.then(|| "dry".to_owned()), ..ShotTold::default() };
            shot.details.ball = ball;
            Command::Log(LogShot { shot, ..LogShot::default() })
        }
        Deed::Undo => Command::Undo { of: None },
        Deed::UndoOf { of } => Command::Undo { of: (!shots.is_empty()).then(|| of.get(shots).key.clone()) },
        Deed::Correct { of, down } => {
            let number = of.index(shots.len().max(1)) + 1;
            let shot = ShotTold { pins: pins(*down), ..ShotTold::default() };
            Command::Correct { block: state.desk.begun.block.to_string(), number, shot }
        }
        Deed::Move { feet, surface } => {
            let surface = surface.then_some(Surface::Grit(2000.0));
            Command::Move(Move { feet: Some(*feet), eyes: Some(0.0), surface, ..Move::default() })
        }
        Deed::Resurface => {
            Command::ChangeSurface { ball: balls[0].id.clone(), surface: Surface::Grit(3000.0), how: None }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn law_a_block_that_is_kept_is_the_block_read_anew(
        deeds in proptest::collection::vec((deed(), any::<bool>(), any::<bool>()), 1..24),
    ) {
        let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../record/tests/earlier/v3.record");
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.record");
        fs::copy(kept, &path).unwrap();
        let mut states = [BlockState::open(&path).unwrap(), BlockState::open(&path).unwrap()];
        for (number, (deed, second, both)) in deeds.iter().enumerate() {
            let state = &mut states[usize::from(*second)];
            let stamp = Stamp { key: format!("deed-{number}").parse().unwrap(), at: "2027-01-01T12:00:00Z".parse().unwrap() };
            // What is refused changes nothing, and is kept no worse.
            let _ = state.run(&command(deed, state), &stamp);
            let anew = BlockState::open(&path).unwrap();
            for (place, state) in states.iter_mut().enumerate() {
                if place == usize::from(*second) || *both {
                    state.catch_up().unwrap();
                    prop_assert_eq!(&state.sheet, &anew.sheet);
                    prop_assert_eq!(&state.lines, &anew.lines);
                    prop_assert_eq!(&state.surfaces, &anew.surfaces);
                    prop_assert_eq!(&state.newest, &anew.newest);
                }
            }
        }
    }
}
