//! Any bytes give rows of throws that can be made and end somewhere, or an error that can be shown, and never a panic.
#![no_main]

use std::sync::LazyLock;

use boardwise::{Failure, ThrowRows};
use boardwise_files as kit;
use boardwise_session::Scene;
use boardwise_session::batch::{Asked, Batch};

/// Rows of an input that are thrown, the first ones: all others are only read.
const THROWN: usize = 4;

/// A scene of the demo kit with every ball of its bag.
static SCENE: LazyLock<Scene> = LazyLock::new(|| {
    fn demo<T>(all: &[kit::Entry], parse: impl Fn(&str, &[u8]) -> Result<kit::Loaded<T>, kit::Fault>) -> T {
        parse(all[0].path, all[0].text.as_bytes()).expect("a file of the demo kit").value
    }
    let lane = demo(&kit::LANES, kit::parse_lane);
    let (bag, bowler) = (demo(&kit::BAGS, kit::parse_bag), demo(&kit::BOWLERS, kit::parse_bowler));
    Scene::new(lane, bag, Vec::new(), bowler).for_any_ball(&[])
});
static BATCH: LazyLock<Batch<'static>> = LazyLock::new(|| Batch::new(&SCENE).expect("the table built in"));

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let mut asked: Vec<Asked> = Vec::new();
    let read = ThrowRows::new("fuzzed.csv", bytes).and_then(|mut rows| {
        while let Some(row) = rows.next(&SCENE, &SCENE.bowler.release)? {
            assert!(row.asked.release.check().is_ok() && row.asked.ball < SCENE.balls.len(), "{row:?}");
            if asked.len() < THROWN {
                asked.push(row.asked);
            }
        }
        Ok(())
    });
    if let Err(fault) = read {
        assert!(Failure::from(fault).shown(false).starts_with("error:"));
        return;
    }
    let ended = BATCH.throw(&asked);
    assert_eq!(ended.len(), asked.len());
    for (one, asked) in ended.iter().zip(&asked) {
        let possible = (0.0..=1.0).contains(&one.strike) && one.finish.time_s.is_finite() && one.finish.time_s > 0.0;
        assert!(
            possible && (one.finish.touch.is_some() || one.finish.gutter.is_some() || one.strike == 0.0),
            "{asked:?}"
        );
    }
});
