//! Any bytes give rows of throws that can be made and end somewhere, or an error that can be shown, and never a panic.
#![no_main]

use std::io::Cursor;
use std::sync::LazyLock;

use boardwise::{Failure, ThrowRows};
use boardwise_files as kit;
use boardwise_files::rows::Table;
use boardwise_session::Scene;
use boardwise_session::batch::{Asked, Batch};

/// Rows of an input that are thrown, the first ones: all others are only read.
const THROWN: usize = 4;

/// Rows that are read at a time: few, so that an input has several blocks.
const A_BLOCK: usize = 3;

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
    let table = Table::csv("--batch", "fuzzed.csv", Cursor::new(bytes.to_vec()));
    let read = table.and_then(|table| ThrowRows::new("fuzzed.csv", table)).and_then(|mut rows| {
        while let Some(some) = rows.next(&SCENE, &SCENE.bowler.release, A_BLOCK)? {
            assert_eq!(some.asked.len(), some.ids.len());
            for one in some.asked {
                assert!(one.release.check().is_ok() && one.ball < SCENE.balls.len(), "{one:?}");
                if asked.len() < THROWN {
                    asked.push(one);
                }
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
