//! Whatever is logged, by whichever of two programs: a sheet that keeps up says what the same sheet says when it is read anew.

use std::collections::BTreeSet;

use boardwise_record::{BlockId, BowlerId, Error, Fact, Key, Record, RunningSheet, Seq, Shot};
use boardwise_score::Roll;
use proptest::prelude::*;

use crate::scene::{Scene, anna, at, id, key, shot};

const BLOCKS: [&str; 3] = ["two", "free", "drill"];
const BOWLERS: [&str; 2] = ["anna", "ben"];

/// What one of two programs writes.
#[derive(Clone, Debug)]
enum Deed {
    Shot { block: usize, bowler: usize, down: u8, spare_ball: bool },
    Ball { bowler: usize, spare: bool },
    Lane { block: usize, bowler: usize, pair: bool },
    Undo { of: prop::sample::Index },
    Correct { of: prop::sample::Index, block: usize, bowler: usize, down: u8 },
    Forgotten { before: prop::sample::Index, down: u8 },
    Rename,
}

fn deed() -> impl Strategy<Value = Deed> {
    let (block, bowler) = (|| 0..BLOCKS.len(), || 0..BOWLERS.len());
    let down = || prop_oneof![Just(10_u8), 0..6_u8];
    let of = any::<prop::sample::Index>;
    prop_oneof![
        10 => (block(), bowler(), down(), any::<bool>())
            .prop_map(|(block, bowler, down, spare_ball)| Deed::Shot { block, bowler, down, spare_ball }),
        3 => (bowler(), any::<bool>()).prop_map(|(bowler, spare)| Deed::Ball { bowler, spare }),
        2 => (block(), bowler(), any::<bool>()).prop_map(|(block, bowler, pair)| Deed::Lane { block, bowler, pair }),
        6 => of().prop_map(|of| Deed::Undo { of }),
        3 => (of(), block(), bowler(), down())
            .prop_map(|(of, block, bowler, down)| Deed::Correct { of, block, bowler, down }),
        1 => (of(), down()).prop_map(|(before, down)| Deed::Forgotten { before, down }),
        1 => Just(Deed::Rename),
    ]
}

fn sheet_of(block: usize, bowler: usize) -> (BlockId, BowlerId) {
    (id(BLOCKS[block]), id(BOWLERS[bowler]))
}

fn thrown(block: usize, bowler: usize, down: u8) -> Shot {
    let (block, bowler) = sheet_of(block, bowler);
    Shot::new(&block, &bowler, Roll::Down(down))
}

fn ball(bowler: usize, spare: bool) -> Fact {
    let ball = format!("{}-{}", BOWLERS[bowler], if spare { "spare" } else { "dull" });
    Fact::BallChange { bowler: id(BOWLERS[bowler]), ball: id(&ball) }
}

/// The deed as a fact, where there is something that it can be about.
fn fact(deed: &Deed, record: &Record) -> Option<Fact> {
    let facts = record.facts(Seq(0)).unwrap();
    let one = |of: &prop::sample::Index| (!facts.is_empty()).then(|| of.get(&facts));
    Some(match deed {
        Deed::Shot { block, bowler, down, spare_ball } => {
            let ball = spare_ball.then(|| id(&format!("{}-spare", BOWLERS[*bowler])));
            Shot { ball, ..thrown(*block, *bowler, *down) }.into()
        }
        Deed::Ball { bowler, spare } => ball(*bowler, *spare),
        Deed::Lane { block, bowler, pair } => {
            let (block, bowler) = sheet_of(*block, *bowler);
            Fact::LaneChange { block, bowler, lane: id("1"), other: pair.then(|| id("2")) }
        }
        Deed::Undo { of } => Fact::Undo { of: one(of)?.seq },
        Deed::Correct { of, block, bowler, down } => {
            let of = one(of)?;
            let to = match &of.fact {
                Fact::BallChange { .. } => ball(*bowler, *down > 4),
                _ => thrown(*block, *bowler, *down).into(),
            };
            Fact::Correction { of: of.seq, to: Box::new(to) }
        }
        Deed::Forgotten { before, down } => match &one(before)?.fact {
            Fact::Shot(other) => {
                Shot { before: Some(one(before)?.seq), ..Shot::new(&other.block, &other.bowler, Roll::Down(*down)) }
                    .into()
            }
            _ => return None,
        },
        Deed::Rename => return None,
    })
}

/// All sheets, each kept by one of the programs.
fn running(record: &Record) -> Vec<RunningSheet> {
    let sheets = (0..BLOCKS.len()).flat_map(|block| (0..BOWLERS.len()).map(move |bowler| sheet_of(block, bowler)));
    sheets.map(|(block, bowler)| record.running_sheet(&block, &bowler).unwrap()).collect()
}

fn agree(kept: &mut RunningSheet, record: &Record) {
    record.keep_up(kept).unwrap();
    let (block, bowler) = (kept.sheet().block.id.clone(), kept.sheet().bowler.clone());
    assert_eq!(*kept.sheet(), record.sheet(&block, &bowler).unwrap());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    #[test]
    fn law_a_sheet_that_keeps_up_is_the_sheet_read_anew(
        deeds in proptest::collection::vec((deed(), any::<bool>(), 0_usize..6, any::<bool>()), 1..60),
    ) {
        let scene = Scene::new();
        let mut programs = [scene.again(), scene.again()];
        let mut kept = [running(&programs[0]), running(&programs[1])];
        for (number, (deed, second, sheet, look)) in deeds.iter().enumerate() {
            let program = usize::from(*second);
            let (record, kept) = (&mut programs[program], &mut kept[program]);
            let key: Key = id(&format!("deed {number}"));
            if let Deed::Rename = deed {
                record.rename::<boardwise_record::Block>("free", &format!("name {number}")).unwrap();
            }
            if let Some(fact) = fact(deed, record) {
                let anew = {
                    let receipt = record.log_onto(&mut kept[*sheet], [(fact, key.clone())], at(0));
                    agree(&mut kept[*sheet], record);
                    receipt.is_ok()
                };
                prop_assert_eq!(anew, record.receipt(&key).unwrap().is_some());
            }
            if *look {
                for kept in kept.iter_mut() {
                    agree(kept, record);
                }
            }
        }
        for (record, kept) in programs.iter().zip(&mut kept) {
            for kept in kept {
                agree(kept, record);
            }
        }
    }
}

#[test]
fn law_a_shot_that_does_not_fit_is_refused_by_a_kept_sheet_and_the_record_as_by_one_read_anew() {
    let mut scene = Scene::new();
    let mut kept = scene.record.running_sheet(&id("two"), &anna()).unwrap();
    let first = Fact::from(shot("two", "7-10"));
    scene.record.log_onto(&mut kept, [(first, key("a"))], at(0)).unwrap();
    let more = Fact::from(shot("two", "1-2-3"));
    let refused = scene.record.log_onto(&mut kept, [(more.clone(), key("b"))], at(0)).unwrap_err();
    assert!(matches!(refused, Error::DoesNotFit { .. }), "{refused}");
    assert_eq!(refused.to_string(), scene.record.log(more, &key("b"), at(0)).unwrap_err().to_string());
    agree(&mut kept, &scene.record);
    assert_eq!(kept.sheet().deliveries.len(), 1);
}

#[test]
fn law_a_correction_that_breaks_another_sheet_is_refused_too() {
    let mut scene = Scene::new();
    let strike = scene.log(shot("free", "none")).unwrap();
    scene.log(shot("two", "7-10")).unwrap();
    let mut kept = scene.record.running_sheet(&id("free"), &anna()).unwrap();
    let moved = Fact::Correction { of: strike, to: Box::new(shot("two", "7-10").into()) };
    scene.record.log_onto(&mut kept, [(moved, key("m"))], at(0)).unwrap();
    agree(&mut kept, &scene.record);
    let strike = scene.log(shot("free", "none")).unwrap();
    let misfit = Fact::Correction { of: strike, to: Box::new(shot("two", "1-2-3").into()) };
    scene.record.log_onto(&mut kept, [(misfit, key("n"))], at(0)).unwrap();
    let strike = scene.log(shot("free", "none")).unwrap();
    let misfit = Fact::Correction { of: strike, to: Box::new(shot("two", "4-5").into()) };
    let refused = scene.record.log_onto(&mut kept, [(misfit, key("o"))], at(0));
    assert!(matches!(refused, Err(Error::DoesNotFit { .. })), "{refused:?}");
    agree(&mut kept, &scene.record);
}

#[test]
fn law_what_was_never_written_is_forgotten() {
    let mut scene = Scene::new();
    let mut kept = scene.record.running_sheet(&id("two"), &anna()).unwrap();
    let failed: Result<(), Error> = Record::alone(&mut scene.record, |record| {
        record.log_onto(&mut kept, [(shot("two", "none").into(), key("a"))], at(0))?;
        Err(Error::NoGames)
    });
    failed.unwrap_err();
    kept.forget();
    // As many facts are there as the sheet saw, and others.
    scene.record.log(shot("two", "10"), &key("b"), at(0)).unwrap();
    agree(&mut kept, &scene.record);
}

#[test]
fn law_the_facts_about_a_block_are_all_that_it_feels_and_no_others() {
    let mut scene = Scene::new();
    let note = |block: Option<&str>| Fact::Note { text: "dry".into(), block: block.map(id), bowler: None };
    let surface = |ball: &str| Fact::SurfaceChange {
        ball: id(ball),
        surface: boardwise_record::Surface::Grit(2000.0),
        how: None,
    };
    let before = scene.log(shot("two", "10")).unwrap();
    let ours = [
        scene.log(shot("two", "none")).unwrap(),
        scene.log(note(Some("two"))).unwrap(),
        scene.log(ball(0, true)).unwrap(),
        scene.log(surface("anna-dull")).unwrap(),
        scene.log(Fact::LaneChange { block: id("two"), bowler: anna(), lane: id("1"), other: None }).unwrap(),
    ];
    let strike = scene.log(shot("free", "none")).unwrap();
    let others = [
        strike,
        scene.log(note(None)).unwrap(),
        scene.log(note(Some("free"))).unwrap(),
        scene.log(ball(1, true)).unwrap(),
        scene.log(surface("ben-dull")).unwrap(),
        scene.log(Shot::standing(&id("two"), &id("ben"), id_pins("10"))).unwrap(),
    ];
    let later = [
        scene.undo(ours[2]).unwrap(),
        scene.correct(strike, shot("two", "4-5")).unwrap(),
        scene.correct(before, shot("two", "7-10")).unwrap(),
    ];
    let facts = scene.record.facts_about(&id("two"), &anna(), &[id("anna-dull")], before).unwrap();
    let found: BTreeSet<Seq> = facts.iter().map(|logged| logged.seq).collect();
    let felt: BTreeSet<Seq> = ours.into_iter().chain([strike]).chain(later).collect();
    assert_eq!(found, felt);
    assert!(others.iter().skip(1).all(|other| !found.contains(other)));
    assert!(facts.is_sorted_by_key(|logged| logged.seq));
}

fn id_pins(pins: &str) -> boardwise_score::PinSet {
    pins.parse().unwrap()
}
